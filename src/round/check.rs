//! What cannot happen now, and why: asked before an event is stored, never when a record is folded.

use super::about::cutter_of;
use super::event::{Closing, Event, Task, When};
use super::fold::Round;
use super::phase::Phase;
use crate::chain::known::NEW_LENGTH_U;
use crate::chain::layout::LayoutError;
use crate::chain::{CutterNumber, Rule};
use crate::units::{Millimetres, Unit};

/// An event that cannot happen now. The message is a sentence for the sharpener.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// No such cutter.
    #[error("There is no cutter {number}: this loop has 1 to {count}.")]
    NoCutter {
        /// What was named.
        number: CutterNumber,
        /// How many there are.
        count: u16,
    },
    /// The cutter is marked missing.
    #[error("Cutter {0} is marked missing. Mark it kept first.")]
    Missing(CutterNumber),
    /// The cutter is filed: what it was cannot be measured any more.
    #[error("Cutter {0} is filed: what it was before cannot be measured now.")]
    Filed(CutterNumber),
    /// The round has ended.
    #[error("This round is closed. Start a new one.")]
    Closed,
    /// The loop is rejected.
    #[error("This loop is rejected. Record the rejection, or take it back.")]
    Rejected,
    /// Nothing was rejected.
    #[error("Nothing rejects this loop.")]
    NotRejected,
    /// Sign-off before the proof.
    #[error("Not yet: prove the loop before signing off.")]
    NotProved,
    /// Sign-off of a loop without a cutter above its witness mark.
    #[error("Every cutter kept is at its witness mark: this loop is not ready and cannot be signed off.")]
    Spent,
    /// Void of something that is not there or cannot be taken back.
    #[error("Entry {0} cannot be taken back.")]
    CannotVoid(u32),
    /// A value that cannot be.
    #[error("{what} of {value} is impossible; allowed: {allowed}.")]
    Impossible {
        /// What was read.
        what: &'static str,
        /// The value, printed.
        value: String,
        /// The range, printed.
        allowed: String,
    },
    /// A new cutter that would be shorter than a worn one.
    #[error("{mm} cannot be a new cutter: one of this loop arrived with {longest}.")]
    ShorterThanWorn {
        /// What was read.
        mm: String,
        /// The longest cutter as it came.
        longest: String,
    },
    /// A new cutter that would be at its witness mark.
    #[error("{mm} cannot be a new cutter: the witness mark is at {mark}.")]
    AtMark {
        /// What was read.
        mm: String,
        /// Length at the mark.
        mark: String,
    },
    /// A plate rule without a plate.
    #[error("No plate gauge is known for this chain. Choose the fixed or the wear-scaled gap.")]
    NoPlate,
}

/// A round that was never made here: its parts contradict each other.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Contradiction {
    /// The intake's links and sequence do not fit.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// An entry is about a cutter that the loop does not have.
    #[error("{refusal}")]
    NoCutter {
        /// The entry.
        seq: u32,
        /// Which cutter, and which there are.
        refusal: Refusal,
    },
}

/// That a loop of `count` cutters has those that an event is about.
///
/// # Errors
/// [`Refusal::NoCutter`] for the first that is not there.
pub(crate) fn check_numbers(event: &Event, count: u16) -> Result<(), Refusal> {
    let short = match event {
        Event::Target { left_short, .. } => left_short.as_slice(),
        Event::Light { dull: Some(dull) } => dull.as_slice(),
        _ => &[],
    };
    match cutter_of(event).iter().chain(short).find(|number| number.get() > count) {
        Some(&number) => Err(Refusal::NoCutter { number, count }),
        None => Ok(()),
    }
}

impl Round {
    /// Why an event cannot happen now, `Ok` if it can.
    ///
    /// # Errors
    /// [`Refusal`], a sentence for the sharpener.
    pub fn check(&self, event: &Event) -> Result<(), Refusal> {
        if self.closed.is_some() {
            return Err(Refusal::Closed);
        }
        if self.is_rejected() && !allowed_when_rejected(event) {
            return Err(Refusal::Rejected);
        }
        if let Some(number) = cutter_of(event) {
            self.check_cutter(number, event)?;
        }
        check_value(event, self.header.units)?;
        if let Event::NewLength { mm: Some(mm) } = event {
            self.check_new_length(*mm)?;
        }
        match event {
            Event::Void { target } => self.check_void(*target),
            Event::Target { left_short, .. } => left_short.iter().try_for_each(|&n| self.check_cutter(n, event)),
            Event::Light { dull: Some(dull) } => dull.iter().try_for_each(|&n| self.check_cutter(n, event)),
            Event::Rule { rule: Rule::Plate } if self.header.spec.plate.is_none() => Err(Refusal::NoPlate),
            Event::Closed { how: Closing::Rejected } if !self.is_rejected() => Err(Refusal::NotRejected),
            Event::Closed { how: Closing::Signed } if self.phase != Phase::Sign => Err(Refusal::NotProved),
            Event::Closed { how: Closing::Signed } if self.is_spent() => Err(Refusal::Spent),
            // An older version went on to the proof from rakers that are filed on now.
            Event::Done { task: Task::Proved } if self.phase < Phase::Rakers => Err(Refusal::NotProved),
            _ => Ok(()),
        }
    }

    fn check_cutter(&self, number: CutterNumber, event: &Event) -> Result<(), Refusal> {
        match self.cutter(number) {
            None => Err(Refusal::NoCutter { number, count: self.layout.count() }),
            Some(cutter)
                if !cutter.is_present()
                    && !matches!(event, Event::State { .. } | Event::Note { .. } | Event::Rejected { .. }) =>
            {
                Err(Refusal::Missing(number))
            }
            Some(cutter) if !cutter.after.is_empty() && is_new_before(event) => Err(Refusal::Filed(number)),
            Some(_) => Ok(()),
        }
    }

    /// No cutter grows: a new one is longer than the mark, and no shorter than the cutters of this loop as they came, but for what
    /// cutters differ by when new.
    fn check_new_length(&self, mm: Millimetres) -> Result<(), Refusal> {
        let named = |length| self.header.units.show_named(length);
        let longest = self.cutters.iter().filter_map(|cutter| cutter.before.mean()).max_by(Millimetres::total_cmp);
        let mark = self.header.spec.mark_length;
        match longest {
            Some(longest) if mm < longest - NEW_LENGTH_U * 3.0 => {
                Err(Refusal::ShorterThanWorn { mm: named(mm), longest: named(longest) })
            }
            _ if mm <= mark => Err(Refusal::AtMark { mm: named(mm), mark: named(mark) }),
            _ => Ok(()),
        }
    }

    fn check_void(&self, seq: u32) -> Result<(), Refusal> {
        let found = self.standing().any(|entry| entry.seq == seq);
        if found { Ok(()) } else { Err(Refusal::CannotVoid(seq)) }
    }
}

const fn is_new_before(event: &Event) -> bool {
    matches!(event, Event::Length { when: When::Before, again: false, .. })
}

fn allowed_when_rejected(event: &Event) -> bool {
    matches!(
        event,
        Event::Looked { .. }
            | Event::Rejected { .. }
            | Event::Saw { .. }
            | Event::Note { .. }
            | Event::Void { .. }
            | Event::Paused {}
            | Event::Resumed {}
            | Event::Closed { how: Closing::Rejected | Closing::Abandoned }
    )
}

/// Bounds that no real reading passes; what is merely unlikely is asked about elsewhere.
fn check_value(event: &Event, unit: Unit) -> Result<(), Refusal> {
    let (what, mm, low, high) = match event {
        Event::Length { mm, .. } | Event::Target { mm, .. } => ("A length", *mm, 0.1, 60.0),
        Event::NewLength { mm: Some(mm) } => ("The length of a new cutter", *mm, 3.0, 40.0),
        Event::Gap { mm, .. } => ("A gap", *mm, -5.0, 5.0),
        Event::Zero { mm } => ("A reading of the closed caliper", *mm, -1.0, 1.0),
        Event::State { need_mm: Some(mm), .. } => ("A damage depth", *mm, 0.0, 20.0),
        Event::Angle { deg, .. } => return check_number("An angle", deg.get(), (0.0, 90.0), " degrees"),
        Event::Strokes { count, .. } => {
            return check_number("A number of strokes", f64::from(*count), (0.0, 999.0), "");
        }
        _ => return Ok(()),
    };
    if (low..=high).contains(&mm.get()) {
        return Ok(());
    }
    let allowed = unit.range(Millimetres::new(low), Millimetres::new(high));
    Err(Refusal::Impossible { what, value: unit.show_named(mm), allowed })
}

fn check_number(what: &'static str, value: f64, (low, high): (f64, f64), unit: &str) -> Result<(), Refusal> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    Err(Refusal::Impossible { what, value: format!("{value}{unit}"), allowed: format!("{low} to {high}{unit}") })
}
