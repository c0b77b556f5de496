//! What raker gaps lost while teeth were filed, in sums that add up over rounds.

use serde::{Deserialize, Serialize};

use crate::units::Millimetres;

/// Sums over pairs of `filed` (tooth filed) and `lost` (raker gap lost, the raker left alone): all that a line through the origin
/// needs.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GapLoss {
    /// Pairs.
    pub pairs: u32,
    /// Sum of `filed` squared, mm².
    pub filed_squared: f64,
    /// Sum of `filed` times `lost`, mm².
    pub filed_lost: f64,
    /// Sum of `lost` squared, mm².
    pub lost_squared: f64,
}

impl GapLoss {
    /// With one pair more.
    #[must_use]
    pub fn with(self, filed: Millimetres, lost: Millimetres) -> Self {
        let (filed, lost) = (filed.get(), lost.get());
        self.and(&Self { pairs: 1, filed_squared: filed * filed, filed_lost: filed * lost, lost_squared: lost * lost })
    }

    /// Two together.
    #[must_use]
    pub fn and(self, other: &Self) -> Self {
        Self {
            pairs: self.pairs.saturating_add(other.pairs),
            filed_squared: self.filed_squared + other.filed_squared,
            filed_lost: self.filed_lost + other.filed_lost,
            lost_squared: self.lost_squared + other.lost_squared,
        }
    }
}
