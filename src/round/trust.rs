//! How far single readings are trusted: the part of a sharpener's skill that a round itself rests on.

use serde::{Deserialize, Serialize};

use crate::units::{Degrees, Millimetres, deg, mm};

/// Standard uncertainty of one reading, as it was when the round began.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trust {
    /// Of a length.
    #[serde(rename = "length_mm")]
    pub length: Millimetres,
    /// Of a raker gap.
    #[serde(rename = "gap_mm")]
    pub gap: Millimetres,
    /// Of a top-plate angle.
    #[serde(rename = "angle_deg")]
    pub angle: Degrees,
}

/// The proposed figures: a caliper on a cutter tip repeats to about 0.05 mm by hand, a gap gauge to 0.03 mm, a hand protractor to
/// 1 degree. Nobody publishes figures for saw chain.
impl Default for Trust {
    fn default() -> Self {
        Self { length: mm(0.05), gap: mm(0.03), angle: deg(1.0) }
    }
}

impl Trust {
    /// True for the proposed figures.
    pub fn is_default(&self) -> bool {
        *self == Self::default()
    }
}
