//! What the proof sends back, in words.

use super::length;
use crate::advice::redo::{Redo, RedoWhy};
use crate::units::Unit;

impl Redo {
    /// Why, a short line that follows the cutter's number.
    pub fn words(&self, unit: Unit) -> String {
        self.why.words(unit)
    }
}

impl RedoWhy {
    fn words(self, unit: Unit) -> String {
        let long = |by| length(unit, by);
        match self {
            Self::RakerLow { by, remedy } => format!("raker {} TOO LOW. {}", long(by), remedy.words(unit)),
            Self::RakerHigh { by } => format!("raker {} high: file it down.", long(by)),
            Self::GapStale => "tooth filed after its gap was measured: measure it.".into(),
            Self::GapMayBeOff { by } => format!("gap may be {} off: measure again.", long(by)),
            Self::Dull => "its edge shines: sharpen it again.".into(),
            Self::NotFiled => "not sharpened yet.".into(),
            Self::NotSharpened => "left short, not sharpened yet.".into(),
            Self::DamagedSince => "damaged since it was filed: leave it short or choose a lower length.".into(),
            Self::Long { by } => format!("{} long: take more off.", long(by)),
            Self::NoLength { by } => {
                format!("{} longer than the shortest, and no length is chosen: choose one.", long(by))
            }
            Self::Short { by } => format!("{} short: leave it short or choose a lower length.", long(by)),
            Self::LengthMayBeOff { by } => format!("may be {} off: measure again.", long(by)),
            Self::AngleOff(off) => off.words(),
            Self::AngleMayBeOff { angle } => format!("angle {:.1} may be off: measure again.", angle.get()),
        }
    }
}
