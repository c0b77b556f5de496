//! Reading a file of readings, looking at it, taking it.

use chrono::{DateTime, FixedOffset};

use super::super::effect::Answer;
use crate::care::Workshop;
use crate::care::files::{Look, Wish, read_named};

/// Reads the file of a typed or pasted name.
pub(super) fn read(name: &str, now: DateTime<FixedOffset>) -> Answer {
    Answer::FileRead(read_named(name, now).map(Box::new))
}

pub(super) fn look(care: &Workshop, text: &str, wish: &Wish) -> Answer {
    Answer::Looked(care.look(text, wish).map(Box::new))
}

pub(super) fn take(care: &Workshop, look: &Look) -> Answer {
    Answer::Created(care.take(look).map(|_| ()).map_err(|error| error.to_string()))
}
