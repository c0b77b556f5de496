//! The seven drills, and what is fixed about each.

use serde::{Deserialize, Serialize};
use strum::{Display, EnumString, VariantArray};

use crate::chain::Side;

/// What is trained.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Display, EnumString, VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Drill {
    /// Six cutters, three times each, blind: how well one's own readings repeat.
    MeasureTwice,
    /// The shortest cutter of a side by eye.
    FindShort,
    /// Six strokes a cutter: equal steel on both sides.
    SameStrokes,
    /// The top-plate angle on both sides.
    HoldAngle,
    /// Filing down to a length and not past it.
    StopAtLength,
    /// Lowering a raker to a gap and not past it.
    SetGap,
    /// Full sharpness along the whole edge.
    SeeEdge,
}

/// Cutters of most sets; half of them on each side.
pub(crate) const CUTTERS: usize = 12;
/// Cutters that are measured three times each.
pub(crate) const REPEATED: usize = 6;
/// Readings of each of those, and of each cutter before and after the strokes.
pub(crate) const TIMES: usize = 3;
/// Sides on which the shortest cutter is looked for.
pub(crate) const SIDES: usize = 5;
/// Strokes a cutter where strokes are to be the same.
pub const STROKES: u32 = 6;
/// Visits a cutter may take until it is at its length.
pub(crate) const VISITS: usize = 3;
/// Misses that a good set may have.
pub(crate) const FEW: usize = 2;

impl Drill {
    /// How many items a set has: cutters, readings or sides.
    pub const fn items(self) -> usize {
        match self {
            Self::MeasureTwice => REPEATED * TIMES,
            Self::FindShort => SIDES,
            _ => CUTTERS,
        }
    }

    /// How many good sets running pass the drill.
    pub const fn sets_to_pass(self) -> usize {
        match self {
            Self::MeasureTwice | Self::FindShort | Self::SeeEdge => 1,
            Self::SameStrokes | Self::HoldAngle | Self::StopAtLength | Self::SetGap => 2,
        }
    }

    /// True where steel comes off: the hand that measures must be proven first, or a reading error fails a good hand.
    pub const fn files(self) -> bool {
        matches!(self, Self::SameStrokes | Self::StopAtLength | Self::SetGap)
    }

    /// True where an item has an error with a sign, so that one can guess before being told.
    pub(crate) const fn is_guessed(self) -> bool {
        matches!(self, Self::HoldAngle | Self::StopAtLength | Self::SetGap)
    }

    /// True where what came of an item is only known from the whole set.
    pub(crate) const fn only_whole(self) -> bool {
        matches!(self, Self::MeasureTwice | Self::SameStrokes)
    }

    /// The side of an item, from 0; nothing where sides do not matter. The first half is worked from one side.
    pub(crate) fn side(self, item: usize) -> Option<Side> {
        match self {
            Self::MeasureTwice | Self::FindShort => None,
            _ if item * 2 < CUTTERS => Some(Side::Left),
            _ => Some(Side::Right),
        }
    }
}
