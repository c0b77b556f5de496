//! Cautions that a round calls for, in words.

use super::status::stops;
use super::{count, cutters, few, length};
use crate::advice::cautions::{Caution, Loose};
use crate::advice::mark;
use crate::units::Unit;

impl Caution {
    /// In a sentence.
    pub fn words(&self, unit: Unit) -> String {
        match self {
            Self::Rejected(all) => format!("Rejected: {}. The loop must not go back on a saw.", stops(all)),
            Self::AtMark(numbers) => {
                format!("At the witness mark: {}. The loop must not go back on a saw.", cutters(numbers))
            }
            Self::AtMarkOnce(numbers) => {
                let numbers = cutters(numbers);
                format!(
                    "At the witness mark by one reading: {numbers}. Measure again: until then it must not go on a saw."
                )
            }
            Self::CloseToMark(numbers) => {
                format!("Too close to the witness mark to tell by one reading: {}. Measure again.", few(numbers))
            }
            Self::NearMark(numbers) => {
                format!("Within {} of the witness mark: {}.", length(unit, mark::NEAR), few(numbers))
            }
            Self::OverLimit(numbers, limit) => {
                let (at, limit) = (cutters(numbers), length(unit, *limit));
                format!(
                    "Rakers too low at {at}: over the {limit} that this loop may have at most. The loop must not go back on a saw."
                )
            }
            Self::LowRakers(low) => {
                let rakers = count(*low, "raker");
                format!("{rakers} too low: the saw kicks back harder until that is put right.")
            }
            Self::LowLoop(whole) => whole.words(unit),
            Self::Dull(numbers) => format!("The edge still shines at {}: it is dull.", cutters(numbers)),
            Self::Bounce(Loose::Parts) => "A loose loop with rakers too low makes the saw bounce.".to_owned(),
            Self::Bounce(Loose::Tension) => {
                "The tension on record is not right: slack, with rakers too low, the chain makes the saw bounce. Set it cold first."
                    .to_owned()
            }
            Self::Softwood(base) => {
                format!("This gap is for unfrozen softwood only; else no more than {}.", length(unit, *base))
            }
            Self::Proposal(setting, largest) => {
                let [setting, largest] = [setting, largest].map(|gap| length(unit, *gap));
                format!(
                    "Gaps up to {largest} are this program's proposal, above the published {setting}: the maker's limit comes first."
                )
            }
            Self::MakersLimit => "Where the maker states a limit for the raker gap, that limit comes first.".to_owned(),
            Self::Geometry(off) => {
                let off = length(unit, *off);
                format!(
                    "Reach or new length not measured on this loop: rakers set to its wear may stand {off} too low or too high."
                )
            }
            Self::Kerf(lost) => {
                format!("Worn cutters cut a kerf {} narrower: see that the bar runs free.", length(unit, *lost))
            }
            Self::NotZero(zero) => {
                format!("The closed caliper showed {}: set it to zero and measure again.", length(unit, *zero))
            }
        }
    }
}
