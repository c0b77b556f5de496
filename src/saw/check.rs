//! What cannot be, and why: asked before an event is stored, never when a record is folded.

use super::event::{Part, SawEvent};
use super::fold::Saw;

/// An event that cannot be. The message is a sentence for the sharpener.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SawRefusal {
    /// A figure that cannot be.
    #[error("A {what} of {value} mm cannot be: allowed are {low} to {high} mm.")]
    Impossible {
        /// What was measured.
        what: &'static str,
        /// What was read, mm.
        value: f64,
        /// Lowest allowed, mm.
        low: f64,
        /// Highest allowed, mm.
        high: f64,
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
                check_figure(*part, mm.get())
            }
            SawEvent::Void { target } if !self.standing().any(|entry| entry.seq == *target) => {
                Err(SawRefusal::CannotVoid(*target))
            }
            _ => Ok(()),
        }
    }
}

/// Whether a figure of a part, in mm, can be.
pub(crate) fn check_figure(part: Part, value: f64) -> Result<(), SawRefusal> {
    let (what, low, high) = part.figure().ok_or(SawRefusal::NoFigure)?;
    if (low..=high).contains(&value) { Ok(()) } else { Err(SawRefusal::Impossible { what, value, low, high }) }
}
