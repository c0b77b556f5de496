//! What cannot be, and why: asked before an event is stored, never when a record is folded.

use super::event::{Part, SawEvent};
use super::fold::Saw;
use crate::units::{Millimetres, Unit};

/// An event that cannot be. The message is a sentence for the sharpener.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SawRefusal {
    /// A figure that cannot be.
    #[error("A {what} of {value} is impossible; allowed: {allowed}.")]
    Impossible {
        /// What was measured.
        what: &'static str,
        /// What was read, printed.
        value: String,
        /// The range, printed.
        allowed: String,
    },
    /// A figure where none is taken.
    #[error("No figure is taken here.")]
    NoFigure,
    /// Void of something that is not there or was taken back.
    #[error("Entry {0} cannot be taken back.")]
    CannotVoid(u32),
}

impl Saw {
    /// Why an event cannot be, `Ok` if it can.
    ///
    /// # Errors
    /// [`SawRefusal`], a sentence for the sharpener.
    pub fn check(&self, event: &SawEvent) -> Result<(), SawRefusal> {
        match event {
            SawEvent::Checked { part, mm: Some(mm), .. } | SawEvent::Limit { part, mm: Some(mm) } => {
                check_figure(*part, *mm, Unit::Mm)
            }
            SawEvent::Void { target } if !self.standing().any(|entry| entry.seq == *target) => {
                Err(SawRefusal::CannotVoid(*target))
            }
            _ => Ok(()),
        }
    }
}

/// Whether a figure of a part can be; a refusal is told in `unit`.
pub(crate) fn check_figure(part: Part, figure: Millimetres, unit: Unit) -> Result<(), SawRefusal> {
    let (what, low, high) = part.figure().ok_or(SawRefusal::NoFigure)?;
    if (low..=high).contains(&figure.get()) {
        return Ok(());
    }
    let allowed = unit.range(Millimetres::new(low), Millimetres::new(high));
    Err(SawRefusal::Impossible { what, value: unit.show_named(figure), allowed })
}
