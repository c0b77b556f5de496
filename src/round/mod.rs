//! One round: everything that happened to one loop from intake to sign-off, and what to do next.
//!
//! What the room is for: a round is the fold of its events, nothing else. Resume, undo, replay, report and test
//! all take the same way: [`Round::replay`]. It must not know files, terminals or clocks; the time of an event
//! comes with the event.
//!
//! # Example
//!
//! What comes next is told by the folded round; every answer is an event:
//!
//! ```
//! use chrono::DateTime;
//! use evenbite::chain::{Sequence, Side, Wood, profile::built_in};
//! use evenbite::round::{Ask, Entry, Event, Finding, Header, Round, Tool, Trust};
//! use evenbite::units::{Unit};
//!
//! let profile = built_in::named("three-eighths").ok_or("not built in")?;
//! let mut round = Round::begin(Header {
//!     tag: "big-saw".into(),
//!     started: DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00")?,
//!     sharpener: "Ina".into(),
//!     wood: Wood::Any,
//!     tool: Tool::File,
//!     units: Unit::Mm,
//!     begin: Side::Left,
//!     take_strokes: false,
//!     take_angles: false,
//!     spread: false,
//!     edges: true,
//!     trust: Trust::default(),
//!     links: 72,
//!     sequence: Sequence::Full,
//!     first: Side::Left,
//!     start_mark: String::new(),
//!     saw: String::new(),
//!     profile: profile.name.clone(),
//!     spec: profile.spec().clone(),
//! })?;
//! let mut looked_at = 0;
//! while let Ask::Look(item) = round.step().ask {
//!     let event = Event::Looked { item, finding: Finding::Sound, note: None };
//!     round.check(&event)?;
//!     let seq = u32::try_from(round.entries.len())? + 1;
//!     round.apply(Entry { seq, at: round.header.started, by: None, typed: None, event });
//!     looked_at += 1;
//! }
//! assert_eq!(looked_at, round.entries.len());
//! // The same entries give the same round: a resumed one stands where it stood.
//! let again = Round::replay(round.header.clone(), round.entries.clone())?;
//! assert_eq!(again.step(), round.step());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub(crate) mod about;
pub(crate) mod best;
pub(crate) mod card;
pub(crate) mod check;
pub(crate) mod choice;
pub(crate) mod cut;
pub(crate) mod cutter;
mod entries;
pub(crate) mod event;
pub(crate) mod fold;
pub(crate) mod held;
pub(crate) mod list;
mod look;
pub(crate) mod loss;
mod new_length;
pub(crate) mod now;
mod phase;
pub(crate) mod rule;
pub(crate) mod script;
pub(crate) mod summary;
#[cfg(test)]
pub(crate) mod tests;
pub(crate) mod trust;
pub(crate) mod visit;

pub use card::{Card, Own, Prices, Scrapped};
pub use check::{Contradiction, Refusal};
pub use choice::Reopened;
pub use cut::Cut;
pub use cutter::{Cutter, CutterState, Series};
pub use event::{Closing, Entry, Event, Header, Reading, Task, Tool, When};
pub use fold::{Light, Round, SawLook};
pub use held::{Held, Release};
pub use list::{Ask, Step};
pub use look::{Finding, LookItem, Stop};
pub use loss::GapLoss;
pub use new_length::NewLength;
pub use phase::Phase;
pub use summary::{LastCutter, Lengths, Past, Summary, last_cutters};
pub use trust::Trust;
pub use visit::{BadVisit, Visit};
