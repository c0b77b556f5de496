//! A drill, one thing after the other: what to ask, what an answer means, what the learner is told and when. Shared by both
//! faces.

mod group;
mod prepare;
mod stop;
mod told;

use chrono::{DateTime, FixedOffset};
use strum::VariantArray;

use crate::advice::say::drill as words;
pub(crate) use group::{Seat, named, pair, seats};

use crate::drill::{
    Ask, Drill, DrillEntry, DrillEvent, Given, Learner, Mistake, STROKES, Set, SetUp, Slot, Stage, StageWhy,
};
use crate::units::reading::{self, Kind, Value};
use crate::units::{Degrees, Millimetres, Unit, mm};

/// A learner at a drill.
#[derive(Debug, Clone)]
pub(crate) struct DrillBench {
    /// The learner.
    pub learner: Learner,
    unit: Unit,
    preparing: Option<Preparing>,
}

/// What a set is to be worked with, while that is being asked.
#[derive(Debug, Clone)]
struct Preparing {
    set: SetUp,
    left: Vec<Prepare>,
}

/// What is asked before a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Prepare {
    Resolution,
    Mark,
    Angle,
    Cap,
    Gap,
}

/// A step in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DrillPrompt {
    /// Where.
    pub place: String,
    /// What to do.
    pub question: String,
    /// Name of the field, with its unit.
    pub field: String,
    /// What helps.
    pub facts: Vec<String>,
    /// What Enter alone takes; nothing where an answer is needed.
    pub enter: Option<String>,
}

/// What orders and amounts of a set are drawn from.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "any 32 bits of the time will do")]
pub(crate) fn seed(now: DateTime<FixedOffset>) -> u32 {
    now.timestamp() as u32
}

/// One line of the list of drills.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DrillRow {
    /// Which.
    pub drill: Drill,
    /// Its name.
    pub name: &'static str,
    /// What it trains.
    pub trains: &'static str,
    /// How far the learner is: `passed 2026-03-02`, `2 sets`.
    pub stands: String,
    /// How the next set is told, or why none may be begun.
    pub next: String,
}

/// Lengths that a cutter may have, mm.
const LENGTHS: (f64, f64) = (1.0, 20.0);

impl DrillBench {
    /// A learner's drills.
    pub(crate) const fn new(learner: Learner, unit: Unit) -> Self {
        Self { learner, unit, preparing: None }
    }

    /// All drills, and how the learner stands at each.
    pub(crate) fn rows(&self, now: DateTime<FixedOffset>) -> Vec<DrillRow> {
        Drill::VARIANTS.iter().map(|drill| self.row(*drill, now)).collect()
    }

    fn row(&self, drill: Drill, now: DateTime<FixedOffset>) -> DrillRow {
        let sets = self.learner.whole(drill).len();
        let stands = match (self.learner.passed_at(drill), sets) {
            (Some(at), _) => format!("passed {}, {}", at.format("%Y-%m-%d"), sets_of(sets)),
            (None, 0) => "not begun".to_owned(),
            (None, _) => sets_of(sets),
        };
        let next = match self.learner.held(drill, now) {
            Some(why) => words::no_set(why),
            None => format!("Next set {}.", words::next(self.learner.next_stage(drill))),
        };
        DrillRow { drill, name: words::name(drill), trains: words::trains(drill), stands, next }
    }

    /// Prepares a set. Orders and amounts are drawn from `seed`.
    ///
    /// # Errors
    /// Why none may be begun, in a sentence.
    pub(crate) fn begin(&mut self, drill: Drill, seed: u32, now: DateTime<FixedOffset>) -> Result<(), String> {
        if let Some(why) = self.learner.held(drill, now) {
            return Err(words::no_set(why));
        }
        let left = match drill {
            Drill::MeasureTwice | Drill::FindShort => vec![Prepare::Resolution],
            Drill::SameStrokes | Drill::StopAtLength => vec![Prepare::Resolution, Prepare::Mark],
            Drill::HoldAngle => vec![Prepare::Resolution, Prepare::Angle],
            Drill::SetGap => vec![Prepare::Resolution, Prepare::Cap, Prepare::Gap],
            Drill::SeeEdge => vec![],
        };
        let stage = self.learner.next_stage(drill).stage;
        let set = SetUp { drill, stage, seed, resolution: None, angle: None, gap: None, mark: None, cap: None };
        self.preparing = Some(Preparing { set, left });
        Ok(())
    }

    /// What begins the set, once nothing is left to be asked before it.
    pub(crate) fn ready(&mut self) -> Option<DrillEvent> {
        let ready = self.preparing.take_if(|preparing| preparing.left.is_empty())?;
        Some(DrillEvent::Began { set: ready.set })
    }

    /// What a set is about, said before it is begun.
    pub(crate) fn about(&self, drill: Drill) -> Vec<String> {
        let mut said = vec![words::how(drill).to_owned()];
        said.extend(words::costs(drill, self.unit));
        said.push(format!("Passed: {}.", words::passes(drill, self.unit)));
        said
    }

    /// True while a set is prepared or worked.
    pub(crate) fn is_busy(&self) -> bool {
        self.preparing.is_some() || self.learner.open().is_some()
    }

    /// The step in words; nothing where no set is under way.
    pub(crate) fn prompt(&self) -> Option<DrillPrompt> {
        if let Some(preparing) = &self.preparing {
            return preparing.left.first().map(|what| self.prepare_prompt(preparing, *what));
        }
        let set = self.learner.open()?;
        let ask = set.next()?;
        let drill = set.up.drill;
        if let Some(why) = self.stopped() {
            let (field, place) = ("stopped".to_owned(), format!("{}, stopped", words::name(drill)));
            return Some(DrillPrompt { place, question: why, field, facts: Vec::new(), enter: None });
        }
        Some(DrillPrompt {
            place: words::place(drill, ask.slot, ask.item, ask.number),
            question: words::question(drill, ask.slot, ask.time),
            field: self.field(ask.slot),
            facts: self.facts(set, ask),
            enter: None,
        })
    }

    fn field(&self, slot: Slot) -> String {
        match slot {
            Slot::Say => "strokes".to_owned(),
            Slot::Named => "cutter".to_owned(),
            Slot::Angle => "degrees".to_owned(),
            Slot::Guess => "1, 2 or 3".to_owned(),
            Slot::Corner | Slot::TopPlate | Slot::SidePlate => "1 gone, 2 left".to_owned(),
            Slot::GapBefore | Slot::GapAfter => format!("gap, {}", self.unit.name()),
            _ => format!("length, {}", self.unit.name()),
        }
    }

    fn facts(&self, set: &Set, ask: Ask) -> Vec<String> {
        let mut facts = Vec::new();
        match set.up.drill {
            Drill::StopAtLength => {
                facts.extend(set.target(ask.item).map(|t| format!("file to {}", self.unit.show_named(t))));
            }
            Drill::HoldAngle => facts.extend(set.up.angle.map(|angle| format!("hold {} degrees", angle.get()))),
            Drill::SetGap => facts.extend(set.up.gap.map(|gap| format!("set {}", self.unit.show_named(gap)))),
            Drill::SameStrokes if ask.slot == Slot::After && ask.time == 1 => {
                facts.push(format!("{STROKES} strokes, no more"));
            }
            _ => {}
        }
        facts
    }

    /// How soon the learner is told, one step on: for the instructor. Nothing in a drill that is always told at the end.
    pub(crate) fn told_otherwise(&self, drill: Drill) -> Option<DrillEvent> {
        let now = self.learner.next_stage(drill);
        let at = Stage::VARIANTS.iter().position(|stage| *stage == now.stage)?;
        let stage = *Stage::VARIANTS.get((at + 1) % Stage::VARIANTS.len())?;
        (now.why != StageWhy::Always).then_some(DrillEvent::Stage { drill, stage })
    }

    /// What the answer to the present step is, to be stored; nothing where it only prepares the set.
    ///
    /// # Errors
    /// Why it was not taken, in a sentence.
    pub(crate) fn answer(&mut self, typed: &str) -> Result<Option<DrillEvent>, String> {
        let line = typed.trim();
        if let Some(mut preparing) = self.preparing.take() {
            let taken = self.prepare(&mut preparing, line);
            self.preparing = Some(preparing);
            taken?;
            return Ok(self.ready());
        }
        let Some(ask) = self.learner.open().and_then(Set::next) else { return Err("No set is under way.".to_owned()) };
        if let Some(why) = self.stopped() {
            return Err(why);
        }
        let given = match ask.slot {
            Slot::Say | Slot::Named => Given::Count(self.count(line, u32::from(ask.slot == Slot::Named))?),
            Slot::Angle => Given::Deg(self.angle(line, (1.0, 89.0))?),
            Slot::Guess => Given::Guess(match line {
                "1" => Mistake::Under,
                "2" => Mistake::Right,
                "3" => Mistake::Over,
                _ => return Err("Expected: 1, 2 or 3.".to_owned()),
            }),
            Slot::Corner | Slot::TopPlate | Slot::SidePlate => Given::Done(match line {
                "1" => true,
                "2" => false,
                _ => return Err("Expected: 1 for gone or 2 for left.".to_owned()),
            }),
            Slot::Zero => Given::Mm(self.length(line, (-1.0, 1.0))?),
            Slot::GapBefore | Slot::GapAfter => Given::Mm(self.length(line, (0.05, 3.0))?),
            _ => Given::Mm(self.length(line, LENGTHS)?),
        };
        match self.no_room(ask, given) {
            Some(why) => Err(why),
            None => Ok(Some(DrillEvent::Answer { given })),
        }
    }

    fn length(&self, line: &str, (low, high): (f64, f64)) -> Result<Millimetres, String> {
        match reading::parse(line, Kind::Length, self.unit).map(|read| read.value) {
            Ok(Value::Length(length)) if (low..=high).contains(&length.get()) => Ok(length),
            Ok(_) => Err(format!("Expected: {} to {}.", self.unit.show(mm(low)), self.unit.show_named(mm(high)))),
            Err(error) => Err(error.to_string()),
        }
    }

    fn angle(&self, line: &str, (low, high): (f64, f64)) -> Result<Degrees, String> {
        match reading::parse(line, Kind::Angle, self.unit).map(|read| read.value) {
            Ok(Value::Angle(angle)) if (low..=high).contains(&angle.get()) => Ok(angle),
            Ok(_) => Err(format!("Expected: {low} to {high} degrees.")),
            Err(error) => Err(error.to_string()),
        }
    }

    fn count(&self, line: &str, low: u32) -> Result<u32, String> {
        match reading::parse(line, Kind::Count, self.unit).map(|read| read.value) {
            Ok(Value::Count(count)) if count >= low => Ok(count),
            Ok(_) => Err(format!("Expected: a whole number from {low}.")),
            Err(error) => Err(error.to_string()),
        }
    }

    /// True where an instrument may send the answer: a reading. What stands for a choice is typed.
    pub(crate) fn may_be_sent(&self) -> bool {
        let asked = self.learner.open().and_then(Set::next).map(|ask| ask.slot);
        self.preparing.is_none()
            && self.stopped().is_none()
            && asked.is_some_and(|slot| {
                !matches!(slot, Slot::Say | Slot::Named | Slot::Guess | Slot::Corner | Slot::TopPlate | Slot::SidePlate)
            })
    }

    /// Takes the last answer back.
    ///
    /// # Errors
    /// There is none.
    pub(crate) fn back(&self) -> Result<DrillEvent, String> {
        let target = self.learner.last_answer().ok_or("There is no answer to take back.")?;
        Ok(DrillEvent::Void { target })
    }

    /// Leaves the set: what is to be stored, where it was begun.
    pub(crate) fn break_off(&mut self) -> Option<DrillEvent> {
        self.preparing = None;
        self.learner.open().map(|_| DrillEvent::BrokenOff)
    }

    /// Folds what is on record now, and says what the learner is told at this point.
    pub(crate) fn recorded(&mut self, entry: DrillEntry) -> Vec<String> {
        let answered = matches!(entry.event, DrillEvent::Answer { .. });
        let before = self.learner.open().and_then(Set::next);
        self.learner.apply(entry);
        match (answered, before, self.learner.sets.last()) {
            (true, Some(before), Some(set)) => self.told(set, before),
            _ => Vec::new(),
        }
    }
}

fn sets_of(sets: usize) -> String {
    if sets == 1 { "1 set".to_owned() } else { format!("{sets} sets") }
}

#[cfg(test)]
mod tests;
