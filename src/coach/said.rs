//! What to say once an entry is on record: the verdict in a word, and what follows from it.

use super::Coach;
use crate::advice::saw::faults;
use crate::advice::verdict::{AngleWord, GapWord, LengthWord};
use crate::advice::{Flag, FlagKind, Verdicts};
use crate::chain::CutterNumber;
use crate::round::{Closing, Cut, CutterState, Event, Finding, When, script};
use crate::saw::Grade;
use crate::units::Unit;
use crate::units::reading::{self, Kind, Value};

/// How a saying is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As it should be.
    Good,
    /// Taken; nothing to judge.
    Plain,
    /// Not proven: measure again.
    Again,
    /// Wants more work.
    Warn,
    /// Wrong or dangerous.
    Bad,
}

/// A saying.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// How it is meant.
    pub tone: Tone,
    /// The verdict in one word, in capitals where it matters; may be empty.
    pub word: String,
    /// The rest of the sentence.
    pub text: String,
    /// A second reading could change the verdict: ask for it.
    pub ask_again: bool,
}

impl Said {
    fn new(tone: Tone, word: &str, text: impl Into<String>) -> Self {
        Self { tone, word: word.to_owned(), text: text.into(), ask_again: false }
    }

    /// Word and text in one line.
    pub fn line(&self) -> String {
        match (self.word.is_empty(), self.text.is_empty()) {
            (true, _) => self.text.clone(),
            (false, true) => format!("{}.", self.word),
            (false, false) => format!("{}: {}", self.word, self.text),
        }
    }
}

/// What a reading was taken as, where that is not what was typed: a point was put in, or inches were turned into mm.
pub(super) fn taken_as(unit: Unit, event: &Event, typed: &str) -> Option<String> {
    let (kind, taken, shown) = match event {
        Event::Length { mm, .. } | Event::Gap { mm, .. } => (Kind::Length, mm.get(), unit.show_named(*mm)),
        Event::Angle { deg, .. } => (Kind::Angle, deg.get(), deg.to_string()),
        _ => return None,
    };
    let same = match reading::parse(typed, kind, unit).map(|read| read.value) {
        Ok(Value::Length(mm)) => (mm.get() - taken).abs() < 1e-4,
        Ok(Value::Angle(deg)) => (deg.get() - taken).abs() < 1e-3,
        _ => false,
    };
    (!same).then(|| format!("{typed} was taken as {shown}."))
}

pub(super) fn after(coach: &Coach, verdicts: &Verdicts, event: &Event) -> Said {
    let unit = coach.round.header.units;
    match event {
        Event::Length { cutter, when, mm, .. } => length(coach, verdicts, *cutter, *when, unit.show_named(*mm)),
        Event::Angle { cutter, deg, .. } => angle(verdicts, *cutter, &deg.to_string()),
        Event::Gap { cutter, mm, .. } => gap(coach, verdicts, *cutter, &unit.show_named(*mm)),
        Event::Strokes { cutter, count } => Said::new(
            Tone::Plain,
            "",
            format!("Cutter {cutter}: {}.", crate::advice::say::count(*count as usize, "stroke")),
        ),
        Event::Looked { finding: Finding::Reject, .. } | Event::Rejected { .. } => {
            Said::new(Tone::Bad, "REJECTED", "this loop must not go back on a saw.")
        }
        Event::Looked { finding, .. } => {
            Said::new(Tone::Plain, "", format!("Noted: {}.", super::words::finding(*finding)))
        }
        Event::Cut { how } => cut_said(coach, *how),
        Event::NewLength { mm } => {
            let told =
                mm.map(|mm| format!("A new cutter is {}: the next round counts wear from it.", unit.show_named(mm)));
            Said::new(Tone::Plain, "", told.unwrap_or_else(|| "The new length stays the profile's.".to_owned()))
        }
        Event::Saw { looked_at: None } => Said::new(Tone::Plain, "", "The saw was not looked at."),
        Event::Saw { looked_at: Some(_) } => saw_said(coach),
        Event::State { cutter, state, .. } => state_said(coach, *cutter, *state),
        Event::Target { mm, left_short, .. } => {
            let short = match left_short.len() {
                0 => String::new(),
                n => format!(" {n} left short."),
            };
            let unseen = match coach.unmeasured() {
                0 => String::new(),
                n => format!(" Not measured: {n} of {}; one of them may be shorter.", coach.round.layout.count()),
            };
            Said::new(
                Tone::Plain,
                "",
                format!(
                    "{} to {}.{short}{unseen}",
                    coach.round.header.tool.words("File", "Grind"),
                    unit.show_named(*mm)
                ),
            )
        }
        Event::Rule { rule } => Said::new(Tone::Plain, "", format!("Rakers by the {}.", rule.word())),
        Event::AboveSetting { largest_mm, .. } => Said::new(
            Tone::Warn,
            "ACCEPTED",
            format!("gaps up to {}, this program's proposal.", unit.show_named(*largest_mm)),
        ),
        Event::Light { dull: None } => Said::new(Tone::Plain, "", "Edges not looked along."),
        Event::Light { dull: Some(dull) } if dull.is_empty() => Said::new(Tone::Good, "SHARP", "no edge shines."),
        Event::Light { dull: Some(dull) } => {
            Said::new(Tone::Warn, "DULL", format!("file again: {}.", crate::advice::say::cutters(dull)))
        }
        Event::LeftOut { cutter, reading } => {
            let known = coach.round.cutter(*cutter).is_some_and(|cutter| cutter.taken(*reading) > 0);
            let what = if known { "not measured again" } else { "skipped" };
            Said::new(Tone::Plain, "", format!("Cutter {cutter}: {} {what}.", super::words::reading(*reading)))
        }
        Event::LeftAsIs { cutter, reading } => {
            Said::new(Tone::Plain, "", format!("Cutter {cutter}: {} left as it is.", super::words::reading(*reading)))
        }
        Event::Void { target } => taken_back(coach, *target),
        Event::Zero { mm } if mm.abs() > crate::advice::cautions::ZERO => {
            let text = format!("the caliper shows {} closed: set it to zero, or measure again.", unit.show_named(*mm));
            Said::new(Tone::Warn, "NOT ZERO", text)
        }
        Event::Zero { .. } => Said::new(Tone::Good, "ZERO", "the caliper is right."),
        Event::Closed { how: Closing::Signed } => {
            Said::new(Tone::Good, "SIGNED OFF", coach.findings().changeover.words(coach.round.header.units))
        }
        Event::Closed { how: Closing::Rejected } => Said::new(Tone::Bad, "REJECTED", "recorded."),
        Event::Closed { how: Closing::Abandoned } => {
            Said::new(Tone::Plain, "", "Given up; its readings stay on record.")
        }
        Event::Note { cutter: Some(cutter), .. } => {
            Said::new(Tone::Plain, "", format!("Remark on cutter {cutter} noted."))
        }
        Event::Note { cutter: None, .. } => Said::new(Tone::Plain, "", "Remark noted."),
        Event::Paused {} => Said::new(Tone::Plain, "", "Paused."),
        Event::Done { .. } | Event::Went { .. } | Event::Resumed {} => Said::new(Tone::Plain, "", ""),
    }
}

/// What the cut came to, and what the sheet had said of it.
fn cut_said(coach: &Coach, how: Cut) -> Said {
    let signed = coach.past.rounds.iter().rev().find(|round| round.how == Some(Closing::Signed));
    let said = match signed.and_then(|round| round.promised).filter(|_| how.is_told()) {
        Some(promised) if promised == how => ", as the sheet had said".to_owned(),
        Some(promised) => format!("; by its sheet it would have: it {}", promised.words()),
        None => String::new(),
    };
    Said::new(Tone::Plain, "", format!("Noted: it {}{said}.", how.words()))
}

fn percent(conformity: Option<f64>) -> String {
    conformity.map_or_else(String::new, |p| format!(" ({:.0} % sure)", (p * 100.0).clamp(0.0, 99.9).floor()))
}

fn length(coach: &Coach, verdicts: &Verdicts, number: CutterNumber, when: When, shown: String) -> Said {
    let unit = coach.round.header.units;
    let Some(found) = verdicts.cutter(number) else { return Said::new(Tone::Plain, "", shown) };
    if verdicts.mark_again.contains(&number) {
        let text = format!("cutter {number}, {shown}: at its witness mark or too close to tell. Once more.");
        return Said { ask_again: true, ..Said::new(Tone::Again, "AT ITS MARK?", text) };
    }
    if when == When::Before && coach.round.target.is_none() {
        // Longer than another is no fault before a length is chosen: most likely the other one was struck.
        let is_fault = |flag: &&Flag| flag.cutter == number && !matches!(flag.kind, FlagKind::Long { .. });
        return match verdicts.flags.iter().find(is_fault) {
            Some(flag) => Said::new(Tone::Warn, "LOOK", flag.words(unit)),
            None => Said::new(Tone::Plain, "", format!("Cutter {number}: {shown}.")),
        };
    }
    let (judged, tool) = (&found.length, coach.round.header.tool);
    let off = judged.off_by.map(|off| unit.show_named(off.abs())).unwrap_or_default();
    if found.state == CutterState::LeftShort && judged.word != LengthWord::Long {
        let text = format!("cutter {number}, {shown}: {off} under the length of the others, as chosen.");
        return Said::new(Tone::Plain, "LEFT SHORT", text);
    }
    let aim = coach
        .round
        .aim()
        .filter(|_| coach.round.cutter(number).is_some_and(|cutter| script::is_still_long(&coach.round, cutter)));
    if let (Some(aim), LengthWord::Even | LengthWord::Again) = (aim, judged.word) {
        let text = format!("cutter {number}, {shown}: file on until it reads {} or less.", unit.show_named(aim));
        return Said::new(Tone::Warn, "NOT THERE YET", text);
    }
    let mut said = match judged.word {
        LengthWord::Even => {
            Said::new(Tone::Good, "EVEN", format!("cutter {number}, {shown}{}.", percent(judged.conformity)))
        }
        LengthWord::Long => Said::new(
            Tone::Warn,
            "LONG",
            format!("cutter {number} is {off} over. {}", tool.words("File on.", "Grind it again.")),
        ),
        LengthWord::Short => Said::new(
            Tone::Bad,
            "SHORT",
            format!("cutter {number} is {off} under the length chosen: leave it short, or the others follow."),
        ),
        LengthWord::Again => Said::new(
            Tone::Again,
            "CLOSE",
            format!("cutter {number}, {shown}: near the limit{}.", percent(judged.conformity)),
        ),
        LengthWord::Unmeasured => Said::new(Tone::Plain, "", format!("Cutter {number}: {shown}.")),
    };
    said.ask_again = judged.word == LengthWord::Again
        && if coach.round.target.is_some() {
            judged.worth_again
        } else {
            coach.findings().cutter(number).is_some_and(|found| found.length.worth_again)
        };
    said
}

fn angle(verdicts: &Verdicts, number: CutterNumber, shown: &str) -> Said {
    let Some(found) = verdicts.cutter(number) else { return Said::new(Tone::Plain, "", shown) };
    let judged = &found.angle;
    // A hand protractor seldom proves an angle in one reading; asking twice at every cutter would be worse than not knowing.
    match judged.word {
        AngleWord::True => Said::new(Tone::Good, "TRUE", format!("cutter {number}, {shown}.")),
        AngleWord::Off => Said::new(
            Tone::Warn,
            "OFF",
            format!("cutter {number}, {shown}: {} from the target.", judged.off_by.unwrap_or_default().abs()),
        ),
        AngleWord::Again => Said::new(
            Tone::Again,
            "NOT PROVEN",
            format!("cutter {number}, {shown}{}; r measures it again.", percent(judged.conformity)),
        ),
        AngleWord::Unmeasured => Said::new(Tone::Plain, "", format!("Cutter {number}: {shown}.")),
    }
}

fn gap(coach: &Coach, verdicts: &Verdicts, number: CutterNumber, shown: &str) -> Said {
    let unit = coach.round.header.units;
    let Some(found) = verdicts.cutter(number) else { return Said::new(Tone::Plain, "", shown) };
    let judged = &found.gap;
    let off = judged.off_by.unwrap_or_default().abs();
    let mut said = match judged.word {
        GapWord::Good => Said::new(Tone::Good, "GOOD", format!("cutter {number}, gap {shown}.")),
        GapWord::High => {
            Said::new(Tone::Warn, "HIGH", format!("raker {number} is {} too high: file it.", unit.show_named(off)))
        }
        GapWord::Low => low_raker(coach, verdicts, number),
        GapWord::Again => Said::new(Tone::Again, "CLOSE", format!("cutter {number}, gap {shown}: near the limit.")),
        GapWord::Unmeasured => Said::new(Tone::Plain, "", format!("Cutter {number}: gap {shown}.")),
    };
    said.ask_again = judged.word == GapWord::Again && judged.worth_again;
    said
}

/// A raker that is proven too low.
pub(super) fn low_raker(coach: &Coach, verdicts: &Verdicts, number: CutterNumber) -> Said {
    let unit = coach.round.header.units;
    let Some(found) = verdicts.cutter(number) else { return Said::new(Tone::Bad, "TOO LOW", "") };
    let off = found.gap.off_by.unwrap_or_default().abs();
    let back = found.raker.recovery.map_or_else(String::new, |recovery| {
        format!(" It comes right once the tooth loses {}.", unit.show_named(recovery.tooth))
    });
    Said::new(Tone::Bad, "TOO LOW", format!("raker {number} is {} too deep: kickback.{back}", unit.show_named(off)))
}

fn state_said(coach: &Coach, number: CutterNumber, state: CutterState) -> Said {
    let need = coach.round.cutter(number).map(|cutter| coach.round.header.units.show_named(coach.round.need(cutter)));
    match (state, need) {
        (CutterState::Damaged, Some(need)) => {
            Said::new(Tone::Warn, "DAMAGED", format!("cutter {number}: {need} must come off."))
        }
        (CutterState::Kept, _) => Said::new(Tone::Plain, "", format!("Cutter {number} counts as healthy.")),
        (CutterState::LeftShort, _) => Said::new(Tone::Plain, "", format!("Cutter {number} is now left short.")),
        _ => Said::new(Tone::Plain, "", format!("Cutter {number} is now {state}.")),
    }
}

fn saw_said(coach: &Coach) -> Said {
    let (faults, unit) = (coach.saw.as_ref().map(faults).unwrap_or_default(), coach.round.header.units);
    match faults.first() {
        Some(fault) if fault.grade == Grade::Bad => Said::new(Tone::Bad, "SAW", fault.words(unit)),
        Some(fault) => Said::new(Tone::Warn, "SAW", fault.words(unit)),
        None => Said::new(Tone::Good, "SAW", "no fault in the parts checked."),
    }
}

fn taken_back(coach: &Coach, seq: u32) -> Said {
    let entry = coach.round.entries.iter().find(|entry| entry.seq == seq);
    let what = entry.map_or_else(String::new, |entry| super::words::event(&entry.event, coach.round.header.units));
    Said::new(Tone::Plain, "TAKEN BACK", format!("{what}."))
}
