//! What the threads that only wait report to the one that acts.

use crossterm::event::Event;

use super::effect::{Joining, News};
use crate::devices::Sent;
use crate::system::Signal;

/// What the waiting threads report.
#[derive(Debug)]
pub(crate) enum Wake {
    /// Something from the terminal.
    Terminal(Event),
    /// Something of an instrument.
    Source(Sent),
    /// Rows of the rack.
    Rack(News),
    /// How bringing a data folder in goes on.
    Joining(Joining),
    /// Something to tell the sharpener.
    Notice(String),
    /// The system has something to tell.
    Signal(Signal),
    /// The terminal is gone.
    Gone,
}
