//! Where a loop stands in its life: the one function that rack, tag, saw page, sheet and history show life left and stage by.

use crate::chain::{CutterNumber, Spec, Stage, Wood};
use crate::round::{Lengths, Summary};
use crate::units::Millimetres;

/// A loop's place between new and its witness mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Median length.
    pub length: Millimetres,
    /// Median wear.
    pub wear: Millimetres,
    /// Share of the usable length left, 0 to 1, of the cutter that ends the loop's life.
    pub life_left: f64,
    /// The cutter that ends the loop's life, the shortest of those that are to be of one length, and its length.
    pub ends: (CutterNumber, Millimetres),
    /// Stage of the median; `retire` where any cutter that is there has reached its witness mark.
    pub stage: Stage,
}

/// The place of a loop of these lengths.
pub(crate) fn of(spec: &Spec, wood: Wood, lengths: &Lengths) -> Place {
    let length = lengths.median;
    let spent = spec.at_mark(lengths.shortest);
    Place {
        length,
        wear: spec.wear(length),
        life_left: (1.0 - spec.life_spent(lengths.ends)).clamp(0.0, 1.0),
        ends: (lengths.ends_at, lengths.ends),
        stage: if spent { Stage::Retire } else { spec.stage(wood, length) },
    }
}

/// The latest round of a loop that tells its lengths, whether it is closed or not; `rounds` come oldest first.
pub(crate) fn told_by<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> Option<(&'a Summary, Lengths)> {
    rounds.into_iter().filter_map(|round| Some((round, round.lengths?))).last()
}
