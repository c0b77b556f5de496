//! What every screen may look at while it acts and draws. It knows no screen.

use chrono::{DateTime, FixedOffset};

use super::motion::Frame;
use super::theme::Theme;
use crate::units::Unit;

/// What every screen may look at.
#[derive(Debug, Clone)]
pub struct Shared {
    /// Colours and glyphs.
    pub theme: Theme,
    /// Unit of what belongs to no round with a unit of its own.
    pub units: Unit,
    /// Time of the message being handled.
    pub now: DateTime<FixedOffset>,
    /// A line for the foot of any screen: what the program itself has to say.
    pub notice: Option<String>,
    /// Line above everything: this is a demo, a throw-away copy.
    pub banner: Option<String>,
    /// How far what was just recorded is shown; none where nothing moves.
    pub moves: Option<Frame>,
}

impl Shared {
    /// With nothing to say.
    pub const fn new(theme: Theme, units: Unit, now: DateTime<FixedOffset>) -> Self {
        Self { theme, units, now, notice: None, banner: None, moves: None }
    }
}
