//! Drills of one learner: what is asked, what was answered, what a set comes to, whether the hand is steady yet.
//!
//! What the room is for: a set of a drill is a dozen cutters on a practice loop. What is known of a learner is the fold of the
//! events of their record, nothing else ([`Learner::replay`]); scores, the place of the feedback, the pass rules and the curve
//! are derived from it. It must not know rounds, files, terminals or clocks; the time of an event comes with the event. A
//! broken-off set does not count.
//!
//! The drills, their pass rules and figures are our proposals; where a share is given it is by simulation, see the tests.

mod ask;
mod event;
mod fold;
mod kind;
mod schedule;
mod score;
#[cfg(test)]
mod taught;
#[cfg(test)]
mod tests;
mod tip;

pub use ask::{Ask, Slot};
pub use event::{DrillEntry, DrillEvent, Given, LearnerHeader, Mistake, SetUp};
pub use fold::{Learner, Set};
pub use kind::{Drill, STROKES};
pub use schedule::{MOST_A_DAY, Next, NextWhy, NoSet, Stage, StageWhy};
pub use score::{Item, Score};
pub use tip::Tip;
