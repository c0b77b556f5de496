//! Cautions that a round calls for, in words.

use super::{count, cutters, length};
use crate::advice::cautions::Caution;
use crate::advice::{mark, status};
use crate::chain::CutterNumber;
use crate::units::Unit;

impl Caution {
    /// In a sentence.
    pub fn words(&self, unit: Unit) -> String {
        match self {
            Self::Rejected(stops) => {
                format!("Rejected: {}. The loop must not go back on a saw.", status::stops(stops))
            }
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
            Self::Bounce => "A loose loop with rakers too low makes the saw bounce.".to_owned(),
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
            Self::Kerf(lost) => {
                format!("Worn cutters cut a kerf {} narrower: see that the bar runs free.", length(unit, *lost))
            }
            Self::NotZero(zero) => {
                format!("The closed caliper showed {}: set it to zero and measure anew.", length(unit, *zero))
            }
        }
    }

    /// In a few words, for the loop's status; `None` for what changes nothing about how it stands.
    pub fn short(&self, unit: Unit) -> Option<String> {
        match self {
            Self::Rejected(stops) => Some(format!("rejected, {}", status::stops(stops))),
            Self::AtMark(numbers) => Some(format!("{} at the witness mark", cutters(numbers))),
            Self::AtMarkOnce(numbers) => Some(format!("{} at the witness mark by one reading", few(numbers))),
            Self::CloseToMark(numbers) | Self::NearMark(numbers) => {
                Some(format!("{} near the witness mark", few(numbers)))
            }
            Self::OverLimit(numbers, limit) => {
                let (rakers, limit) = (count(numbers.len(), "raker"), length(unit, *limit));
                Some(format!("{rakers} too low, gap over the limit of {limit}"))
            }
            Self::LowRakers(low) => Some(format!("{} too low, kicks back harder", count(*low, "raker"))),
            Self::LowLoop(_) => Some("most rakers too low, kicks back harder".to_owned()),
            Self::Dull(numbers) => Some(format!("{} dull", cutters(numbers))),
            Self::Bounce => Some("loose, bounces".to_owned()),
            Self::Softwood(_) => Some("unfrozen softwood only".to_owned()),
            Self::Kerf(_) => Some("does the bar run free?".to_owned()),
            Self::NotZero(zero) => Some(format!("caliper was off by {}", length(unit, zero.abs()))),
            Self::Proposal(..) | Self::MakersLimit => None,
        }
    }
}

/// Cutters by number, and only counted where they are many.
fn few(numbers: &[CutterNumber]) -> String {
    if numbers.len() > 6 { count(numbers.len(), "cutter") } else { cutters(numbers) }
}
