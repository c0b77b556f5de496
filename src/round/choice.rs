//! The length to file to: chosen, and chosen again.

use super::cutter::CutterState;
use super::event::{Reading, Task, Tool};
use super::fold::Round;
use super::list;
use super::phase::Phase;
use crate::chain::CutterNumber;
use crate::units::Millimetres;

/// The length chosen to file to.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The length.
    pub length: Millimetres,
    /// True when it was the program's recommendation.
    pub recommended: bool,
}

/// The choice of the length, taken up again while the length chosen before still holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reopened {
    /// The cutter that cannot be brought to that length, where it is about one.
    pub about: Option<CutterNumber>,
}

impl Round {
    /// The aim of filing: a cutter is done once it reads this or less. Plan, strokes, the stop of filing and what is said of it all
    /// go by it. None before a length is chosen.
    pub fn aim(&self) -> Option<Millimetres> {
        self.target.as_ref().map(|target| target.length + self.header.spec.band())
    }

    fn mark_left_short(&mut self, left_short: &[CutterNumber]) {
        for cutter in &mut self.cutters {
            if left_short.contains(&cutter.number) {
                cutter.state = CutterState::LeftShort;
            } else if cutter.state == CutterState::LeftShort {
                cutter.state = if cutter.need.is_some() { CutterState::Damaged } else { cutter.else_is };
            }
        }
    }

    /// Takes the chosen length. Where a lower one was chosen because of one cutter, those filed before follow: the filing
    /// parts are gone through again for what is open in them, else the round goes back to where it was.
    pub(super) fn choose(&mut self, target: Target, left_short: &[CutterNumber]) {
        let lower = self.target.as_ref().is_some_and(|before| target.length < before.length);
        self.target = Some(target);
        self.mark_left_short(left_short);
        if self.reopened.take().is_none() {
            return;
        }
        let header = &self.header;
        for cutter in self.cutters.iter_mut().filter(|cutter| cutter.hurt_since && cutter.is_matched()) {
            cutter.reopened.extend(list::readings_of(Phase::First, header));
        }
        if lower && self.back.take().is_some() && header.tool == Tool::Grinder {
            for task in [Task::StopSet, Task::FirstGround, Task::HeadSwung, Task::SecondGround] {
                self.done.remove(&task);
            }
            for cutter in self.cutters.iter_mut().filter(|cutter| cutter.is_matched() && !cutter.after.is_empty()) {
                cutter.reopened.insert(Reading::LengthAfter);
            }
        }
    }
}
