//! The checks of a saw, one after the other: what to ask, what an answer means. Shared by both faces.
//!
//! A digit and Enter is an answer, as in the look-over: 1 good, 2 watch, 3 bad; r found bad and put right; Enter alone leaves a part out. A figure may be measured before the answer,
//! and is asked for after one that is not good.

use std::collections::BTreeMap;

use crate::advice::saw as meaning;
use crate::advice::say::saw::name;
use crate::saw::{Check, Grade, Part, Saw, SawEvent};
use crate::units::clean::clean;
use crate::units::reading::{self, Kind, Value};
use crate::units::{Millimetres, Unit};

/// What was answered for one part.
#[derive(Debug, Clone, PartialEq, Default)]
struct Answer {
    found: Option<Grade>,
    mm: Option<Millimetres>,
    note: Option<String>,
    /// It was found bad and put right at once.
    repaired: bool,
}

/// The checks being answered.
#[derive(Debug, Clone)]
pub(crate) struct Checklist {
    /// The saw, as loops' cards name it.
    pub saw: String,
    with: Option<String>,
    unit: Unit,
    known: Option<Saw>,
    parts: Vec<Part>,
    answers: BTreeMap<Part, Answer>,
    at: usize,
    /// The grade is given, its figure asked for.
    figure: bool,
}

/// A step in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SawPrompt {
    /// Where: `Bar rails, 1 of 7`.
    pub place: String,
    /// What to look at.
    pub question: &'static str,
    /// Name of the field.
    pub field: String,
    /// What helps.
    pub facts: Vec<String>,
    /// What may be typed: key and meaning.
    pub choices: &'static [(&'static str, &'static str)],
    /// What Enter alone does.
    pub enter: &'static str,
}

/// One line of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ListRow {
    /// Name of the part.
    pub name: String,
    /// What was answered, or what was known before.
    pub word: String,
    /// The grade answered now.
    pub found: Option<Grade>,
    /// The cursor stands here.
    pub here: bool,
}

const GRADES: &[(&str, &str)] = &[("1", "good"), ("2", "worn: watch it"), ("3", "bad"), ("r", "was bad, put right")];

/// The same for what is not worn but set or filled.
const SETTINGS: &[(&str, &str)] =
    &[("1", "good"), ("2", "not quite: watch it"), ("3", "bad"), ("r", "was bad, put right")];

const fn choices(part: Part) -> &'static [(&'static str, &'static str)] {
    match part {
        Part::Oil | Part::Tension | Part::TensionWarm => SETTINGS,
        Part::Rails | Part::Groove | Part::Straight | Part::Nose | Part::Sprocket => GRADES,
    }
}

const fn question(part: Part) -> &'static str {
    match part {
        Part::Rails => "Stand the bar on a flat plate. Are both rails of one height, square and without a burr?",
        Part::Groove => {
            "Pull the chain to the side. Does it stand upright in the groove, its drive links clear of the floor?"
        }
        Part::Straight => "Look along the bar. Is it straight, and without a crack?",
        Part::Nose => "Does the nose turn freely? Skip it where there is none to turn.",
        Part::Sprocket => {
            "Look at the sprocket's teeth or rim. Worn grooves? Measure the mark's depth first if you can."
        }
        Part::Oil => "Is the bar's oil hole clean, and were bar and chain wet with oil after the last cut?",
        Part::Tension => "Set the tension with the chain cold. Does it lie on the bar and still pull round by hand?",
        Part::TensionWarm => "Tension again after 5 to 10 minutes of cutting: was it still right?",
    }
}

impl Checklist {
    /// The checks at the bench. `with` is the tag of the loop there; a tension still to be looked at warm is asked first,
    /// for the time since.
    pub(crate) fn new(saw: &str, with: Option<String>, unit: Unit, known: Option<Saw>) -> Self {
        let warm = known.as_ref().is_some_and(Saw::is_warm_due).then_some(Part::TensionWarm);
        let parts = warm.into_iter().chain(Part::ALL.into_iter().filter(|part| *part != Part::TensionWarm)).collect();
        Self::of(saw, with, unit, known, parts)
    }

    /// The tension after some minutes of cutting, alone.
    pub(crate) fn warm(saw: &str, unit: Unit, known: Option<Saw>) -> Self {
        Self::of(saw, None, unit, known, vec![Part::TensionWarm])
    }

    fn of(saw: &str, with: Option<String>, unit: Unit, known: Option<Saw>, parts: Vec<Part>) -> Self {
        Self { saw: clean(saw), with, unit, known, parts, answers: BTreeMap::new(), at: 0, figure: false }
    }

    /// Unit of its figures.
    pub(crate) const fn unit(&self) -> Unit {
        self.unit
    }

    /// The part that is asked for; none at the end.
    pub(crate) fn part(&self) -> Option<Part> {
        self.parts.get(self.at).copied()
    }

    /// The present step in words; none at the end.
    pub(crate) fn prompt(&self) -> Option<SawPrompt> {
        let part = self.part()?;
        let place = format!("{}, {} of {}", capital(name(part)), self.at + 1, self.parts.len());
        let what = part.figure().map(|(what, _, _)| what);
        let mut prompt = SawPrompt {
            place,
            question: question(part),
            field: "found".to_owned(),
            facts: self.facts(part),
            choices: choices(part),
            enter: "not looked at",
        };
        if let (true, Some(what)) = (self.figure, what) {
            prompt.field = format!("{what}, {}", self.unit.name());
            prompt.choices = &[];
            prompt.question = "How much is it, if it was measured?";
            prompt.enter = "no figure";
        }
        Some(prompt)
    }

    fn facts(&self, part: Part) -> Vec<String> {
        let mut facts = Vec::new();
        if let Some(known) = &self.known {
            facts.extend(known.checks.get(&part).map(|check| format!("last: {}", self.said(check))));
            if part == Part::Sprocket {
                facts.push(format!("limit: {}", meaning::sprocket_limit(known).words(self.unit)));
            }
        }
        if let Some(mm) = self.answers.get(&part).and_then(|answer| answer.mm) {
            facts.push(format!("measured {}", self.unit.show_named(mm)));
        }
        facts
    }

    fn said(&self, check: &Check) -> String {
        let figure = check.mm.map(|mm| format!(", {}", self.unit.show_named(mm))).unwrap_or_default();
        let right = if check.repaired { ", put right" } else { "" };
        format!("{}{figure}{right} on {}", check.found.word(), check.at.format("%Y-%m-%d"))
    }

    /// Takes an answer; empty for Enter alone.
    ///
    /// # Errors
    /// Why it was not taken, in a sentence.
    pub(crate) fn answer(&mut self, typed: &str) -> Result<(), String> {
        let Some(part) = self.part() else { return Ok(()) };
        let line = typed.trim();
        if self.figure {
            if !line.is_empty() {
                let mm = self.read(part, line)?;
                self.answers.entry(part).or_default().mm = Some(mm);
            }
            self.next();
            return Ok(());
        }
        let found = match line {
            "1" => Grade::Good,
            "2" => Grade::Watch,
            "3" | "r" => Grade::Bad,
            "" | "0" if self.answers.get(&part).is_some_and(|answer| answer.mm.is_some()) => {
                return Err("Measured; now 1 good, 2 watch, 3 bad or r put right.".to_owned());
            }
            "" | "0" => Grade::NotLooked,
            _ if part.figure().is_none() => {
                return Err("1 good, 2 watch, 3 bad, r put right, or Enter: not looked at.".to_owned());
            }
            _ => {
                let mm = self.read(part, line)?;
                self.answers.entry(part).or_default().mm = Some(mm);
                return Ok(());
            }
        };
        let answer = self.answers.entry(part).or_default();
        answer.found = Some(found);
        answer.repaired = line == "r";
        self.figure = found >= Grade::Watch && answer.mm.is_none() && part.figure().is_some();
        if !self.figure {
            self.next();
        }
        Ok(())
    }

    /// True where an instrument may have sent this: a figure, where one is asked for. What stands for a choice is typed.
    pub(crate) fn may_be_sent(&self, line: &str) -> bool {
        let measured = self.part().is_some_and(|part| part.figure().is_some());
        self.figure || (measured && !matches!(line.trim(), "0" | "1" | "2" | "3" | "r"))
    }

    fn read(&self, part: Part, line: &str) -> Result<Millimetres, String> {
        match reading::parse(line, Kind::Length, self.unit).map(|read| read.value) {
            Ok(Value::Length(mm)) => {
                crate::saw::check_figure(part, mm, self.unit).map_err(|refusal| refusal.to_string())?;
                Ok(mm)
            }
            Ok(_) => Err("Type a length.".to_owned()),
            Err(error) => Err(error.to_string()),
        }
    }

    fn next(&mut self) {
        self.figure = false;
        self.at = (self.at + 1).min(self.parts.len());
    }

    /// Back to the part before, whose answer is thrown away.
    pub(crate) fn back(&mut self) {
        if !self.figure {
            self.at = self.at.saturating_sub(1);
        }
        self.figure = false;
        if let Some(part) = self.part() {
            self.answers.remove(&part);
        }
    }

    /// A remark on the part in hand; at the end of the list on the last one.
    pub(crate) fn note(&mut self, text: &str) {
        let part = self.part().or_else(|| self.parts.last().copied());
        let text = clean(text);
        if let Some(part) = part.filter(|_| !text.is_empty()) {
            self.answers.entry(part).or_default().note = Some(text);
        }
    }

    /// True once something is answered that is worth keeping.
    pub(crate) fn has_answers(&self) -> bool {
        self.answers.values().any(|answer| answer.found.is_some_and(|found| found != Grade::NotLooked))
    }

    /// What is to be stored: every part asked, one that was not come to as not looked at. Nothing where nothing was seen.
    pub(crate) fn events(&self) -> Vec<SawEvent> {
        let blank = Answer::default();
        let event = |part: &Part| {
            let Answer { found, mm, note, .. } = self.answers.get(part).unwrap_or(&blank).clone();
            // A figure without a word on it is kept: the figure alone says something.
            let unsaid = if mm.is_some() { Grade::Watch } else { Grade::NotLooked };
            SawEvent::Checked { part: *part, found: found.unwrap_or(unsaid), mm, note, with: self.with.clone() }
        };
        let said =
            self.has_answers() || self.answers.values().any(|answer| answer.mm.is_some() || answer.note.is_some());
        if !said {
            return Vec::new();
        }
        let right = self.answers.iter().filter(|(_, answer)| answer.repaired);
        let right = right.map(|(part, _)| SawEvent::Repaired { part: *part });
        self.parts.iter().map(event).chain(right).collect()
    }

    /// The list as it stands, for a face that shows it whole.
    pub(crate) fn rows(&self) -> Vec<ListRow> {
        let row = |(at, part): (usize, &Part)| {
            let answer = self.answers.get(part);
            let known = self.known.as_ref().and_then(|saw| saw.checks.get(part));
            let figure = answer.and_then(|a| a.mm).map(|mm| format!(", {}", self.unit.show_named(mm)));
            let note = answer.and_then(|a| a.note.as_ref()).map(|note| format!(" ({note})"));
            let word = match (answer.and_then(|a| a.found), known) {
                (Some(found), _) if answer.is_some_and(|a| a.repaired) => format!("{}, put right", found.word()),
                (Some(found), _) => found.word().to_owned(),
                (None, Some(check)) => format!("(last {})", self.said(check)),
                (None, None) => String::new(),
            };
            ListRow {
                name: capital(name(*part)),
                word: format!("{word}{}{}", figure.unwrap_or_default(), note.unwrap_or_default()),
                found: answer.and_then(|a| a.found),
                here: at == self.at,
            }
        };
        self.parts.iter().enumerate().map(row).collect()
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::mm;

    fn list() -> Checklist {
        Checklist::new("Big saw", Some("oak".into()), Unit::Mm, None)
    }

    fn found(events: &[SawEvent]) -> Vec<(Part, Grade, Option<f64>)> {
        let one = |event: &SawEvent| match event {
            SawEvent::Checked { part, found, mm, .. } => (*part, *found, mm.map(Millimetres::get)),
            other => panic!("{other:?}"),
        };
        events.iter().map(one).collect()
    }

    #[test]
    fn seven_digits_are_a_whole_look() {
        let mut list = list();
        for _ in 0..7 {
            list.answer("1").unwrap();
        }
        assert_eq!((list.part(), list.prompt()), (None, None));
        let events = found(&list.events());
        assert_eq!(events.len(), 7);
        assert!(events.iter().all(|(_, found, mm)| *found == Grade::Good && mm.is_none()));
    }

    #[test]
    fn a_figure_comes_first_or_is_asked_for_after() {
        let mut list = list();
        list.answer("0,3").unwrap();
        assert!(list.answer("").unwrap_err().contains("Measured"));
        list.answer("3").unwrap();
        list.answer("2").unwrap();
        assert!(list.figure && list.prompt().unwrap().field.contains("groove depth"));
        assert!(list.answer("99").unwrap_err().contains("0 to 15"));
        list.answer("4.8").unwrap();
        list.answer("3").unwrap();
        list.answer("").unwrap();
        let events = found(&list.events());
        assert_eq!(events[0], (Part::Rails, Grade::Bad, Some(0.3)));
        assert_eq!(events[1], (Part::Groove, Grade::Watch, Some(4.8)));
        assert_eq!(events[2], (Part::Straight, Grade::Bad, None));
        assert_eq!(events[3], (Part::Nose, Grade::NotLooked, None), "never come to");
    }

    #[test]
    fn what_is_put_right_at_once_is_found_and_repaired() {
        let mut list = list();
        list.note("burr, dressed");
        list.answer("r").unwrap();
        list.answer("0.3").unwrap();
        list.answer("1").unwrap();
        assert!(list.rows()[0].word.starts_with("bad, put right"), "{:?}", list.rows()[0]);
        let events = list.events();
        assert_eq!(found(&events[..1]), [(Part::Rails, Grade::Bad, Some(0.3))]);
        assert_eq!(events.last(), Some(&SawEvent::Repaired { part: Part::Rails }));
    }

    #[test]
    fn nothing_seen_is_nothing_stored() {
        let mut list = list();
        for _ in 0..7 {
            list.answer("").unwrap();
        }
        assert!(list.events().is_empty());
    }

    #[test]
    fn the_warm_tension_is_asked_at_the_next_visit() {
        let at = chrono::DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap();
        let header = crate::saw::SawHeader { tag: "a".into(), name: "A".into(), started: at };
        let event = SawEvent::Checked { part: Part::Tension, found: Grade::Good, mm: None, note: None, with: None };
        let known = Saw::replay(header, vec![crate::saw::SawEntry { seq: 1, at, event }]);
        let list = Checklist::new("A", None, Unit::Mm, Some(known));
        assert_eq!((list.part(), list.rows().len()), (Some(Part::TensionWarm), 8));
        assert_eq!(super::tests::list().rows().len(), 7);
    }

    #[test]
    fn going_back_throws_the_answer_away() {
        let mut list = list();
        list.answer("3").unwrap();
        list.back();
        assert!((list.part(), list.figure) == (Some(Part::Rails), false) && !list.has_answers());
        list.answer("1").unwrap();
        list.back();
        list.back();
        assert_eq!(list.part(), Some(Part::Rails));
        list.note("burr  at the\ttip");
        list.answer("2").unwrap();
        list.answer(".2").unwrap();
        let [SawEvent::Checked { note, mm: figure, .. }, ..] = &list.events()[..] else { panic!() };
        assert_eq!((note.as_deref(), *figure), (Some("burr  at the tip"), Some(mm(0.2))));
    }

    #[test]
    fn inches_are_read_as_they_are_typed() {
        let mut list = Checklist::new("A", None, Unit::Inch, None);
        list.answer("0.02").unwrap();
        list.answer("2").unwrap();
        assert!((found(&list.events())[0].2.unwrap() - 0.508).abs() < 1e-9);
    }
}
