//! What was typed, at the step the round is at, into events.

use super::prompt::JUDGE_BY_FIT;
use super::{CHOOSE, Coach, MEASURE, Pending, Question, Reply, doubt};
use crate::advice::{gaps::Whole, plan, redo::Redo, setting};
use crate::chain::{CutterNumber, Rule};
use crate::round::{Ask, Closing, Event, Finding, LookItem, Phase, Reading, Refusal, Task, When};
use crate::units::Millimetres;
use crate::units::reading::{self, Kind, ReadingError, Value};

impl Coach {
    /// Takes a line at the present step. An empty line means Enter alone.
    pub(super) fn take(&self, typed: &str) -> Reply {
        let step = self.round.step();
        let line = typed.trim();
        match (step.ask, self.repeat) {
            (_, Some((_, _))) if line.is_empty() => Reply::Moved,
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
            (Ask::Do(_), None) => Reply::refused("Enter alone when it is done."),
            (Ask::Target, None) => self.take_target(typed),
            (Ask::Rule, None) => self.take_rule(line),
            (Ask::Light, None) => self.take_light(line),
            (Ask::Prove, None) => self.take_proof(line),
            (Ask::Sign, None) if self.round.is_spent() => spent(line),
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
        let pending = |event| Pending { event, typed: Some(read.raw.clone()) };
        let Some(event) = reading_event(cutter, reading, read.value, again) else {
            return Reply::refused("That is not the kind of reading asked for.");
        };
        let value = match read.value {
            Value::Length(mm) => mm.get(),
            Value::Angle(deg) => deg.get(),
            Value::Count(count) => f64::from(count),
        };
        let asked = self
            .round
            .cutter(cutter)
            .and_then(|at| doubt::doubt(&self.round, &self.past, at, reading, value, read.decimals));
        if let Err(refusal) = self.round.check(&event) {
            // What was probably meant says more than the bounds it broke.
            return Reply::Refused(
                asked.filter(|_| matches!(refusal, Refusal::Impossible { .. })).unwrap_or_else(|| refusal.to_string()),
            );
        }
        match asked {
            Some(text) => Reply::Question(Question { text, keep: vec![pending(event)], or: MEASURE }),
            None => Reply::Record(vec![pending(event)]),
        }
    }

    /// A line that could not be read; one in the other system of units asks whether to convert it.
    fn unread(&self, error: &ReadingError, typed: &str, event: impl Fn(Millimetres) -> Option<Event>) -> Reply {
        if let ReadingError::OtherUnit { reading, .. } = error
            && let Value::Length(length) = reading.value
            && let Some(event) = event(length)
            && self.round.check(&event).is_ok()
        {
            let raw = crate::units::clean::clean(typed);
            return Reply::Question(Question {
                text: format!("{error} Take it as {}?", self.round.header.units.show_named(length)),
                keep: vec![Pending { event, typed: Some(raw) }],
                or: MEASURE,
            });
        }
        Reply::refused(error.to_string())
    }

    fn take_target(&self, typed: &str) -> Reply {
        let plan = self.findings().plan;
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
                None => return Reply::refused("No such choice. Type its number, or a length such as 8.60."),
            }
        } else {
            return self.own_target(typed);
        };
        match chosen {
            Some((option, recommended)) => Reply::record(target_event(option, recommended)),
            None => Reply::refused("No cutter is measured yet: type a length such as 8.60."),
        }
    }

    fn own_target(&self, typed: &str) -> Reply {
        match reading::parse(typed, Kind::Length, self.round.header.units) {
            Err(error) => Reply::refused(error.to_string()),
            Ok(read) => {
                let Value::Length(mm) = read.value else { return Reply::refused("A length is needed.") };
                let spec = &self.round.header.spec;
                let event = Event::Target { mm, left_short: Vec::new(), recommended: false };
                let keep = vec![Pending { event, typed: Some(read.raw) }];
                let show = |mm| self.round.header.units.show_named(mm);
                if spec.at_mark(mm) {
                    let text =
                        format!("{} is at or below the witness mark, {}. Right?", show(mm), show(spec.mark_length));
                    Reply::Question(Question { text, keep, or: CHOOSE })
                } else if mm > spec.new_length {
                    Reply::refused(format!("{} is longer than a new cutter, {}.", show(mm), show(spec.new_length)))
                } else {
                    Reply::Record(keep)
                }
            }
        }
    }

    fn take_saw(&self, line: &str) -> Reply {
        match line {
            "" => Reply::record(Event::Saw { looked_at: None }),
            "1" => Reply::Saw(self.round.header.saw.clone()),
            _ => Reply::refused("Type 1 to look at the saw, or Enter alone: it is not here."),
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
                Reply::Question(Question { text: setting::question(&self.round, rule, above), keep, or: CHOOSE })
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

    fn take_proof(&self, line: &str) -> Reply {
        let findings = self.findings();
        let fits = findings.gaps.whole.as_ref().and_then(Whole::fits);
        if let (JUDGE_BY_FIT, Some(rule)) = (line, fits) {
            return self.choose_rule(rule);
        }
        let redo = findings.redo;
        match (line, redo.first()) {
            ("", Some(Redo { cutter, phase, .. })) => {
                Reply::record(Event::Went { phase: *phase, cutter: Some(*cutter) })
            }
            ("", None) | ("0", _) => self.checked(Event::Done { task: Task::Proved }),
            (number, _) => match number.parse::<CutterNumber>() {
                Ok(number) => self.go_to(number),
                Err(_) => {
                    Reply::refused("Enter alone for the next on the list, a cutter's number, or 0 to go on as it is.")
                }
            },
        }
    }

    /// To one cutter: in the proof to whatever it still wants, else in the part the round is at.
    pub(super) fn go_to(&self, number: CutterNumber) -> Reply {
        let findings = self.findings();
        let wanted = findings.redo.iter().find(|redo| redo.cutter == number).map(|redo| redo.phase);
        let side = self.round.layout.side(number);
        let filing = if side == Some(self.round.header.begin) { Phase::First } else { Phase::Second };
        // From a second look-over it is the part that was left for it.
        let at = self.round.going_back_to().filter(|_| self.round.phase() == Phase::Look);
        let phase = match at.unwrap_or_else(|| self.round.phase()) {
            Phase::Look | Phase::Measure | Phase::Plan => Phase::Measure,
            Phase::First | Phase::Second => filing,
            Phase::Rakers => Phase::Rakers,
            Phase::Prove | Phase::Sign => wanted.unwrap_or(filing),
        };
        self.checked(Event::Went { phase, cutter: Some(number) })
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
