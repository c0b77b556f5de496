//! One saw: what was found at its bar, sprocket, oil and chain tension, look by look.
//!
//! What the room is for: an even loop still cuts crooked on a bad bar. Loops come and go, the saw keeps its own record,
//! and what is known of it is the fold of that record's events, nothing else: [`Saw::replay`]. It must not know files,
//! terminals or clocks; the time of an event comes with the event.

mod check;
pub(crate) mod event;
mod fold;
#[cfg(test)]
mod tests;

pub use check::SawRefusal;
pub(crate) use check::check_figure;
pub use event::{Grade, Part, Piece, SawEntry, SawEvent, SawHeader};
pub use fold::{Check, Glance, Judged, Look, Saw, USUAL_SPROCKET_LIMIT};
