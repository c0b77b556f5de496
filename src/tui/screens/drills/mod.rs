//! Drills: the learner, which drill, and a set thing by thing.

mod set;
mod who;

pub(super) use set::DrillScreen;
pub(super) use who::Who;
