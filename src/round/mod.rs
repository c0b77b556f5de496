//! One round: everything that happened to one loop from intake to sign-off, and what to do next.
//!
//! What the room is for: a round is the fold of its events, nothing else. Resume, undo, replay, report and test
//! all take the same way: [`Round::replay`]. It must not know files, terminals or clocks; the time of an event
//! comes with the event.

pub(crate) mod card;
pub(crate) mod check;
pub(crate) mod cutter;
pub(crate) mod event;
pub(crate) mod fold;
pub(crate) mod held;
pub(crate) mod loss;
pub(crate) mod now;
pub(crate) mod rule;
pub(crate) mod script;
pub(crate) mod summary;
#[cfg(test)]
mod tests;

pub use card::{Card, Own, Prices, Scrapped};
pub use check::{Contradiction, Refusal};
pub use cutter::{Cutter, CutterState, Series};
pub use event::{Closing, Entry, Event, Finding, Header, LookItem, Reading, Stop, Task, Tool, When};
pub use fold::{Round, SawLook};
pub use held::{Held, Release};
pub use loss::GapLoss;
pub use script::{Ask, Phase, Step};
pub use summary::{LastCutter, Lengths, Past, Summary, last_cutters};
