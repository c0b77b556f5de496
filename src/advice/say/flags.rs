//! Flags in words: what is wrong, by how much, what it does in the cut, what to do.

use super::length;
use crate::advice::flags::{AngleOff, Flag, FlagKind, Remedy};
use crate::units::{Degrees, Unit};

impl Flag {
    /// One plain line.
    pub fn words(&self, unit: Unit) -> String {
        format!("Cutter {}: {}", self.cutter, self.kind.words(unit))
    }
}

impl FlagKind {
    fn words(self, unit: Unit) -> String {
        let long = |by| length(unit, by);
        match self {
            Self::RakerLow { over: true, remedy, .. } => {
                format!("raker TOO LOW, its gap over the limit. {}", remedy.words(unit))
            }
            Self::RakerLow { by, remedy, .. } => {
                format!("raker {} TOO LOW: kicks back. {}", long(by), remedy.words(unit))
            }
            Self::RakerMayBeLow { over: true, .. } => {
                "raker's gap may be over the limit, kicks back. Measure again.".into()
            }
            Self::RakerMayBeLow { by, .. } => format!("raker may be {} too low, kicks back. Measure again.", long(by)),
            Self::RakerOnEdge => "raker reads right, but too low if reach or new length differ. Measure them.".into(),
            Self::AtMark => "at its witness mark, spent. Replace it or retire the loop.".into(),
            Self::MayBeAtMark => "at its witness mark or too close to tell. Measure again.".into(),
            Self::Struck { by } => {
                format!("{} shorter than its side, cuts nothing. Hit? Look it over.", long(by))
            }
            Self::Long { by, height, than } => {
                let longer = than.map_or_else(|| "long".to_owned(), |number| format!("longer than {number}"));
                format!("{} {longer}, {} high: grabs, cuts rough. File it.", long(by), long(height))
            }
            Self::Short { by, height } => {
                format!("{} short, {} low: cuts little. Leave short or match it.", long(by), long(height))
            }
            Self::AngleOff(off) => off.words(),
            Self::AngleApart { by } => {
                let way = if by > Degrees::new(0.0) { "larger" } else { "smaller" };
                format!("angle {} {way} than its side: cuts unlike the rest. Check it.", by.abs())
            }
            Self::RakerHigh { by } => format!("raker {} high: fine chips, must be pushed. File it down.", long(by)),
        }
    }
}

impl Remedy {
    /// A short sentence.
    pub(super) fn words(self, unit: Unit) -> String {
        match self {
            Self::ScaledFits(gap) => format!("Scaled gap {} fits it.", length(unit, gap)),
            Self::Replace => "Spent: replace it.".into(),
            Self::FileTooth(tooth) => format!("File tooth {}.", length(unit, tooth)),
            Self::MarkOrFile(tooth) => format!("Mark it, or file tooth {}.", length(unit, tooth)),
            Self::Mark => "Mark it.".into(),
        }
    }
}

impl AngleOff {
    /// `angle 34.0, 4.0 too large: sharp but dulls fast. File to 30.0 deg.`
    pub(super) fn words(self) -> String {
        let (angle, off, target) = (self.angle.get(), self.off.get(), self.target.get());
        let does = if off > 0.0 { "large: sharp but dulls fast" } else { "small: slow, must be pushed" };
        format!("angle {angle:.1}, {:.1} too {does}. File to {target:.1} deg.", off.abs())
    }
}
