//! How long each cutter is at this moment, as far as the round knows.

use super::cutter::{Cutter, CutterState};
use super::event::{Reading, Task, Tool};
use super::fold::Round;
use crate::units::Millimetres;

/// A cutter's length now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Now {
    /// Length.
    pub length: Millimetres,
    /// Readings behind it; 0 where it is only taken for granted (ground against the stop and not sampled, or filed
    /// and left unmeasured).
    pub readings: usize,
    /// Filed or ground in this round.
    pub filed: bool,
}

impl Now {
    /// True for a length that was measured, not taken for granted.
    pub const fn is_measured(&self) -> bool {
        self.readings > 0
    }
}

/// The length after filing where there is one, else the target where the cutter was filed unmeasured, else the
/// length as it came.
pub(crate) fn length(round: &Round, cutter: &Cutter) -> Option<Now> {
    if !cutter.is_present() {
        return None;
    }
    if let Some(length) = cutter.after.mean() {
        return Some(Now { length, readings: cutter.after.count(), filed: true });
    }
    if was_filed_unseen(round, cutter) {
        return round.target.as_ref().map(|target| Now { length: target.length, readings: 0, filed: true });
    }
    cutter.before.mean().map(|length| Now { length, readings: cutter.before.count(), filed: false })
}

/// True for a cutter that was filed or ground in this round, measured since or not.
pub(super) fn is_filed(round: &Round, cutter: &Cutter) -> bool {
    !cutter.after.is_empty() || was_filed_unseen(round, cutter)
}

fn was_filed_unseen(round: &Round, cutter: &Cutter) -> bool {
    if cutter.state == CutterState::LeftShort {
        return false;
    }
    if round.header.tool == Tool::Grinder {
        let task = if cutter.side == round.header.begin { Task::FirstGround } else { Task::SecondGround };
        return round.done.contains(&task);
    }
    cutter.was_left_out(Reading::LengthAfter) && cutter.strokes.is_some_and(|n| n > 0)
}
