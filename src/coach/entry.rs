//! Turns what was typed, at the step the round is at, into events.

use super::hold::Hold;
use super::prompt::JUDGE_BY_FIT;
use super::{CHOOSE, Coach, MEASURE, Meant, Pending, Question, Reply, doubt};
use crate::advice::redo::{Redo, What};
use crate::advice::{gaps::Whole, plan, say, setting};
use crate::chain::{CutterNumber, Rule};
use crate::round::{Ask, Closing, Cut, CutterState, Event, Finding, LookItem, Phase, Reading, Refusal, Task, When};
use crate::units::reading::{self, Kind, ReadingError, Value};
use crate::units::{Degrees, Millimetres};

/// Lengths are typed to hundredths.
const LAST_DIGIT: Millimetres = Millimetres::new(0.005);

/// Why a name is not taken that differs from a known one only in capitals or blanks: strokes and repeats are learned by name,
/// and one person must not become two.
pub fn known_as(name: &str, known: &[String]) -> Option<String> {
    let bare = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let alike = known.iter().find(|other| bare(other) == bare(name))?;
    let same = known.iter().any(|other| other == name);
    (!same).then(|| format!("{alike} is known here: type the name so, or another one."))
}

impl Coach {
    /// Takes a line at the present step. An empty line means Enter alone.
    pub(super) fn take(&mut self, typed: &str) -> Reply {
        let step = self.round.step();
        let line = typed.trim();
        if let Some(hold) = self.hold.clone() {
            return self.take_hold(hold, line);
        }
        if self.asks_cut() {
            return self.take_cut(line);
        }
        match (step.ask, self.repeat) {
            // The proof does not ask for it again.
            (Ask::Prove, Some((cutter, reading))) if line.is_empty() => {
                self.repeat = None;
                Reply::record(Event::LeftOut { cutter, reading })
            }
            (_, Some((cutter, reading))) if line.is_empty() => self.leave(cutter, reading),
            (_, Some((cutter, reading))) => self.take_reading(cutter, reading, typed, true),
            (Ask::Read(reading), None) => match step.cutter {
                Some(cutter) if line.is_empty() => Reply::record(Event::LeftOut { cutter, reading }),
                Some(cutter) => self.take_reading(cutter, reading, typed, false),
                None => Reply::Moved,
            },
            (Ask::Look(item), None) => take_look(item, line),
            (Ask::Zero, None) if line.is_empty() => Reply::record(Event::Done { task: zero_task(step.phase) }),
            (Ask::Zero, None) => self.zero(typed),
            (Ask::Saw, None) => self.take_saw(line),
            (Ask::Do(task), None) if line.is_empty() => Reply::record(Event::Done { task }),
            (Ask::Do(_), None) => Reply::refused("Press Enter alone when it is done."),
            (Ask::Target, None) => self.take_target(typed),
            (Ask::Rule, None) => self.take_rule(line),
            (Ask::Light, None) => self.take_light(line),
            (Ask::Prove, None) => self.take_proof(line),
            (Ask::Sign, None) if self.round.is_spent() => spent(line),
            (Ask::Sign, None) if self.asks_new_length() => self.take_new_length(typed),
            (Ask::Sign, None) => deliberate(line, Closing::Signed, "Type 1 and Enter to sign off."),
            (Ask::Reject, None) => deliberate(line, Closing::Rejected, "Type 1 and Enter to record the rejection."),
            (Ask::Nothing, None) => Reply::refused("This round is closed."),
        }
    }

    fn take_reading(&self, cutter: CutterNumber, reading: Reading, typed: &str, again: bool) -> Reply {
        let kind = match reading {
            Reading::Strokes => Kind::Count,
            Reading::Angle => Kind::Angle,
            _ => Kind::Length,
        };
        let read = match reading::parse(typed, kind, self.round.header.units) {
            Ok(read) => read,
            Err(error) => {
                return self.unread(&error, typed, |mm| reading_event(cutter, reading, Value::Length(mm), again));
            }
        };
        let Some(at) = self.round.cutter(cutter) else { return Reply::refused("There is no such cutter.") };
        let pending = |value| {
            let event = reading_event(cutter, reading, value, again)?;
            Some(Pending { event, typed: Some(read.raw.clone()) })
        };
        let put = Some(read.raw.as_str()).filter(|_| self.by_hand);
        let put = put.and_then(|typed| doubt::point_left_out(&self.round, &self.past, at, reading, typed));
        let taken = put.map_or(read.value, Value::Length);
        let Some(keep) = pending(taken) else { return Reply::refused("That is not the kind of reading asked for.") };
        let value = match taken {
            Value::Length(mm) => mm.get(),
            Value::Angle(deg) => deg.get(),
            Value::Count(count) => f64::from(count),
        };
        let asked = doubt::doubt(&self.round, &self.past, at, reading, value, read.decimals);
        let refusal = self.round.check(&keep.event).err();
        let Some(asked) = asked else {
            return refusal.map_or_else(|| Reply::Record(vec![keep]), |refusal| Reply::refused(refusal.to_string()));
        };
        let meant = asked.meant.and_then(|meant| self.meant(&pending, taken, meant));
        match refusal {
            None => Reply::Question(Question { text: asked.text, keep: vec![keep], meant, or: MEASURE }),
            // What was probably meant says more than the bounds it broke.
            Some(Refusal::Impossible { .. }) if meant.is_some() => {
                Reply::Question(Question { text: asked.text, keep: Vec::new(), meant, or: MEASURE })
            }
            Some(Refusal::Impossible { .. }) => Reply::Refused(asked.text),
            Some(refusal) => Reply::refused(refusal.to_string()),
        }
    }

    /// What was likely meant, of the kind of what was taken; nothing where it cannot be either.
    fn meant(&self, pending: &dyn Fn(Value) -> Option<Pending>, taken: Value, meant: f64) -> Option<Box<Meant>> {
        let (value, shown) = match taken {
            Value::Length(_) => {
                // To a tenth of a micrometre, as readings are kept.
                let mm = Millimetres::new((meant * 10_000.0).round() / 10_000.0);
                (Value::Length(mm), self.round.header.units.show_named(mm))
            }
            Value::Angle(_) => {
                let deg = Degrees::new((meant * 1000.0).round() / 1000.0);
                (Value::Angle(deg), deg.to_string())
            }
            Value::Count(_) => {
                let count = say::whole(meant);
                (Value::Count(count), format!("{count}"))
            }
        };
        let take = pending(value).filter(|pending| self.round.check(&pending.event).is_ok())?;
        Some(Box::new(Meant { shown, take }))
    }

    /// A line that could not be read; one in the other system of units asks whether to convert it.
    pub(super) fn unread(
        &self,
        error: &ReadingError,
        typed: &str,
        event: impl Fn(Millimetres) -> Option<Event>,
    ) -> Reply {
        if let ReadingError::OtherUnit { reading, .. } = error
            && let Value::Length(length) = reading.value
            && let Some(event) = event(length)
            && self.round.check(&event).is_ok()
        {
            let raw = crate::units::clean::clean(typed);
            return Reply::Question(Question {
                text: format!("{error} Take it as {}?", self.round.header.units.show_named(length)),
                keep: vec![Pending { event, typed: Some(raw) }],
                meant: None,
                or: MEASURE,
            });
        }
        Reply::refused(error.to_string())
    }

    fn take_target(&self, typed: &str) -> Reply {
        let plan = &self.findings().plan;
        let line = typed.trim();
        let chosen = if line.is_empty() {
            plan.as_ref().and_then(|plan| Some((plan.best()?, true)))
        } else if let Ok(number) = line.parse::<usize>() {
            let at = number.checked_sub(1);
            let found = plan
                .as_ref()
                .zip(at)
                .and_then(|(plan, at)| Some((plan.options.get(at)?, plan.recommended == Some(at))));
            match found {
                Some(found) => Some(found),
                None => {
                    let example = self.round.header.units.example();
                    return Reply::refused(format!("No such choice. Type its number, or a length such as {example}."));
                }
            }
        } else {
            return self.own_target(typed);
        };
        match chosen {
            Some((option, recommended)) => Reply::record(target_event(option, recommended)),
            None => {
                let example = self.round.header.units.example();
                let why = if plan.is_some() {
                    "No choice is recommended: type the number of one, or"
                } else {
                    "No cutter is measured yet: type"
                };
                Reply::refused(format!("{why} a length such as {example}."))
            }
        }
    }

    fn own_target(&self, typed: &str) -> Reply {
        match reading::parse(typed, Kind::Length, self.round.header.units) {
            Err(error) => Reply::refused(error.to_string()),
            Ok(read) => {
                let Value::Length(mm) = read.value else { return Reply::refused("Type a length.") };
                let spec = &self.round.header.spec;
                let show = |mm| self.round.header.units.show_named(mm);
                if mm > spec.new_length {
                    return Reply::refused(format!(
                        "{} is longer than a new cutter, {}.",
                        show(mm),
                        show(spec.new_length)
                    ));
                }
                let reaches = plan::reaches(&self.round);
                let longest = reaches.iter().map(|(_, reach)| *reach).max_by(Millimetres::total_cmp);
                if let Some(longest) = longest.filter(|longest| mm > *longest + LAST_DIGIT) {
                    let text =
                        format!("No kept cutter can reach {}: the longest, sharpened, is {}.", show(mm), show(longest));
                    return Reply::refused(text);
                }
                // A length typed here may be a reading for a cutter that somebody thought was asked for: never taken silently.
                let short = |reach: Millimetres| reach < mm - plan::band(spec);
                let cannot: Vec<CutterNumber> =
                    reaches.into_iter().filter(|(_, reach)| short(*reach)).map(|(number, _)| number).collect();
                let text = self.is_it_the_length(mm, &cannot);
                let known = self.round.cutters.iter().filter(|cutter| cutter.state == CutterState::LeftShort);
                let left_short = known.map(|cutter| cutter.number).chain(cannot).collect();
                let event = Event::Target { mm, left_short, recommended: false };
                if let Err(refusal) = self.round.check(&event) {
                    return Reply::refused(refusal.to_string());
                }
                let keep = vec![Pending { event, typed: Some(read.raw) }];
                Reply::Question(Question { text, keep, meant: None, or: CHOOSE })
            }
        }
    }

    fn is_it_the_length(&self, mm: Millimetres, cannot: &[CutterNumber]) -> String {
        let show = |mm| self.round.header.units.show_named(mm);
        let spec = &self.round.header.spec;
        let mut text = String::new();
        if spec.at_mark(mm) {
            text.push_str(&format!("That is at or below the witness mark, {}. ", show(spec.mark_length)));
        }
        match cannot {
            [] => {}
            [one] => text.push_str(&format!("Cutter {one} cannot reach it and would be left short. ")),
            many => {
                let numbers: Vec<String> = many.iter().map(CutterNumber::to_string).collect();
                text.push_str(&format!("Cutters {} cannot reach it and would be left short. ", numbers.join(", ")));
            }
        }
        let unmeasured = self.unmeasured();
        if unmeasured > 0 {
            text.push_str(&format!("Not measured: {unmeasured} of {}. ", self.round.layout.count()));
        }
        format!("{text}Is {} the length to file to, and no reading?", show(mm))
    }

    /// Cutters of which no length is known.
    pub(super) fn unmeasured(&self) -> usize {
        let present = self.round.cutters.iter().filter(|cutter| cutter.is_present());
        present.filter(|cutter| cutter.length().is_none()).count()
    }

    /// How it cut since the last round is asked once, before anything else of a loop that was signed off before.
    pub(super) fn asks_cut(&self) -> bool {
        let round = &self.round;
        let begun = round.cut.is_some() || !round.looks.is_empty() || round.closed.is_some() || round.is_rejected();
        let first = round.phase() == Phase::Look && round.going_back_to().is_none();
        !begun && first && self.past.rounds.iter().any(|past| past.how == Some(Closing::Signed))
    }

    fn take_cut(&self, line: &str) -> Reply {
        let answer = |number: usize| Cut::ANSWERS.get(number.checked_sub(1)?).copied();
        match (line.is_empty(), line.parse().ok().and_then(answer)) {
            (true, _) => self.checked(Event::Cut { how: Cut::NotKnown }),
            (false, Some(how)) => self.checked(Event::Cut { how }),
            (false, None) => Reply::refused("Type the number of a choice, or Enter alone where nobody knows."),
        }
    }

    fn take_saw(&self, line: &str) -> Reply {
        match line {
            "" => Reply::record(Event::Saw { looked_at: None }),
            "1" => Reply::Saw(self.round.header.saw.clone()),
            _ => Reply::refused("Type 1 to look at the saw, or press Enter alone if it is not here."),
        }
    }

    fn take_rule(&self, line: &str) -> Reply {
        let rule = match line {
            "" => self.findings().rule.rule,
            "1" => Rule::Fixed,
            "2" => Rule::Scaled,
            "3" => Rule::Plate,
            "4" => Rule::Setting,
            _ => return Reply::refused("Type the number of a choice, or Enter alone for the recommended one."),
        };
        self.choose_rule(rule)
    }

    /// A rule for the gaps; one that goes above the published setting is asked about once.
    fn choose_rule(&self, rule: Rule) -> Reply {
        let above = setting::above(&self.round, rule).filter(|_| self.round.accepted.is_none());
        match (above, self.checked(Event::Rule { rule })) {
            (Some(above), Reply::Record(mut keep)) => {
                let accepted = Event::AboveSetting { setting_mm: above.setting, largest_mm: above.largest };
                keep.insert(0, Pending { event: accepted, typed: None });
                let text = setting::question(&self.round, rule, above);
                Reply::Question(Question { text, keep, meant: None, or: CHOOSE })
            }
            (_, reply) => reply,
        }
    }

    /// Cutters whose edge shines; `0` is none, Enter alone leaves the look out.
    fn take_light(&self, line: &str) -> Reply {
        if line.is_empty() {
            return self.checked(Event::Light { dull: None });
        }
        let words = || line.split([' ', ',', '.', '+']).filter(|word| !word.is_empty());
        if words().all(|word| word == "0") {
            return self.checked(Event::Light { dull: Some(Vec::new()) });
        }
        match words().map(str::parse::<CutterNumber>).collect::<Result<Vec<_>, _>>() {
            Ok(dull) => self.checked(Event::Light { dull: Some(dull) }),
            Err(_) => Reply::refused("The numbers of the cutters, such as 3,7; or 0: none shines."),
        }
    }

    /// Goes to what the proof sends back: a mere repeat is taken where it stands, anything else in its part of the round.
    fn go_back(&mut self, redo: &Redo) -> Reply {
        match redo.what {
            What::Again(reading) => {
                self.repeat = Some((redo.cutter, reading));
                return Reply::Moved;
            }
            What::Decide(reading) => {
                self.hold = Some(Hold::of_low_raker(self, self.verdicts(), redo.cutter, reading));
                return Reply::Moved;
            }
            What::Work | What::Angle | What::Measure => {}
        }
        let reading = redo.what.reading().filter(|_| self.round.header.take_angles);
        self.checked(Event::Went { phase: redo.phase, cutter: Some(redo.cutter), reading })
    }

    fn take_proof(&mut self, line: &str) -> Reply {
        let findings = self.findings();
        let fits = findings.gaps.whole.as_ref().and_then(Whole::fits);
        if let (JUDGE_BY_FIT, Some(rule)) = (line, fits) {
            return self.choose_rule(rule);
        }
        let redo = findings.redo.first().copied();
        match (line, redo) {
            ("", Some(redo)) => self.go_back(&redo),
            ("", None) | ("0", _) => self.checked(Event::Done { task: Task::Proved }),
            (number, _) => match number.parse::<CutterNumber>() {
                Ok(number) => self.go_to(number),
                Err(_) => {
                    Reply::refused("Enter alone for the next on the list, a cutter's number, or 0 to go on as it is.")
                }
            },
        }
    }

    /// Goes to one cutter: in the proof to whatever it still wants, else in the part the round is at.
    pub(super) fn go_to(&mut self, number: CutterNumber) -> Reply {
        let proving = matches!(self.round.phase(), Phase::Prove | Phase::Sign);
        let redo = self.findings().redo.iter().find(|redo| redo.cutter == number).filter(|_| proving);
        if let Some(redo) = redo.copied() {
            return self.go_back(&redo);
        }
        let is_filed = self.round.cutter(number).is_some_and(|cutter| !cutter.after.is_empty());
        let side = self.round.layout.side(number);
        let filing = if side == Some(self.round.header.begin) { Phase::First } else { Phase::Second };
        // From a second look-over it is the part that was left for it.
        let at = self.round.going_back_to().filter(|_| self.round.phase() == Phase::Look);
        let phase = match at.unwrap_or_else(|| self.round.phase()) {
            Phase::Look | Phase::Measure | Phase::Plan if !is_filed => Phase::Measure,
            Phase::Rakers => Phase::Rakers,
            _ => filing,
        };
        self.checked(Event::Went { phase, cutter: Some(number), reading: None })
    }

    /// The event if it can happen now, else why not.
    pub(super) fn checked(&self, event: Event) -> Reply {
        match self.round.check(&event) {
            Ok(()) => Reply::record(event),
            Err(refusal) => Reply::refused(refusal.to_string()),
        }
    }
}

fn target_event(option: &plan::PlanOption, recommended: bool) -> Event {
    Event::Target {
        // Files are written to hundredths: a target finer than the caliper shows would only puzzle.
        mm: Millimetres::new((option.target.get() * 100.0).round() / 100.0),
        left_short: option.left_short.clone(),
        recommended,
    }
}

fn reading_event(cutter: CutterNumber, reading: Reading, value: Value, again: bool) -> Option<Event> {
    Some(match (reading, value) {
        (Reading::LengthBefore, Value::Length(mm)) => Event::Length { cutter, when: When::Before, mm, again },
        (Reading::LengthAfter, Value::Length(mm)) => Event::Length { cutter, when: When::After, mm, again },
        (Reading::GapBefore, Value::Length(mm)) => Event::Gap { cutter, when: When::Before, mm, again },
        (Reading::GapAfter, Value::Length(mm)) => Event::Gap { cutter, when: When::After, mm, again },
        (Reading::Angle, Value::Angle(deg)) => Event::Angle { cutter, deg, again },
        (Reading::Strokes, Value::Count(count)) => Event::Strokes { cutter, count },
        _ => return None,
    })
}

/// The caliper is read closed once before and once after the cutters.
const fn zero_task(phase: Phase) -> Task {
    if matches!(phase, Phase::Prove) { Task::EndZero } else { Task::StartZero }
}

fn take_look(item: LookItem, line: &str) -> Reply {
    let finding = match line {
        "1" => Finding::Sound,
        "2" if item.may_be_worn() => Finding::Worn,
        "3" if item.may_be_rejected() => Finding::Reject,
        _ if !item.may_be_rejected() => return Reply::refused("Type 1 only dull or 2 worn or hit, then Enter."),
        _ if item.may_be_worn() => return Reply::refused("Type 1 sound, 2 worn or 3 reject, then Enter."),
        _ => return Reply::refused("Type 1 sound or 3 reject, then Enter."),
    };
    Reply::record(Event::Looked { item, finding, note: None })
}

/// Steps that end something want a digit: an Enter too many must not close a round.
fn deliberate(line: &str, how: Closing, hint: &str) -> Reply {
    if line == "1" { Reply::record(Event::Closed { how }) } else { Reply::refused(hint) }
}

/// A loop without a cutter above its witness mark is closed as rejected, never as ready.
fn spent(line: &str) -> Reply {
    if line != "1" {
        return Reply::refused("Type 1 and Enter to record that it is spent.");
    }
    let note = Some("every cutter kept is at it".to_owned());
    let events =
        [Event::Rejected { part: LookItem::WitnessMark, cutter: None, note }, Event::Closed { how: Closing::Rejected }];
    Reply::Record(events.map(|event| Pending { event, typed: None }).into())
}
