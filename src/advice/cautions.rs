//! Cautions: the ones that always stand, and the ones that this round calls for.

use super::changeover::ChangeoverReport;
use super::gaps::{Gaps, Way};
use super::{say, status};
use crate::chain::{CutterNumber, Rule, Wood};
use crate::round::{Finding, LookItem, Round, Stop};
use crate::units::{Millimetres, Unit, mm};

/// What stands on every sheet and at the start of every round.
pub const ALWAYS: [&str; 6] = [
    "The chain and saw maker's limits, local rules and trained practice come first.",
    "Wear gloves and eye protection.",
    "Power off: battery out or plug lead off before a hand touches the chain.",
    "A raker filed too low raises kickback and cannot be undone.",
    "Never file lower-kickback links away.",
    "A cracked, bent or loose part retires the loop.",
];

/// A closed caliper that shows more than this is not at zero: the usual limit of error of a digital one.
pub const ZERO: Millimetres = mm(0.02);
/// Loss of kerf from which the bar may bind (proposal).
const KERF: Millimetres = mm(0.2);

/// Something that this round calls for.
#[derive(Debug, Clone, PartialEq)]
pub enum Caution {
    /// It is rejected.
    Rejected(Vec<Stop>),
    /// Cutters at their witness mark.
    AtMark(Vec<CutterNumber>),
    /// So many rakers are too low.
    LowRakers(usize),
    /// Most rakers are too low: the verdict on the whole loop.
    LowLoop(String),
    /// Loose, and rakers too low.
    Bounce,
    /// Its gaps are for unfrozen softwood; elsewhere no more than this.
    Softwood(Millimetres),
    /// Gaps up to the second are a proposal above the published first.
    Proposal(Millimetres, Millimetres),
    /// A maker's limit, where there is one, comes first.
    MakersLimit,
    /// The kerf is narrower by this.
    Kerf(Millimetres),
    /// What the closed caliper showed.
    NotZero(Millimetres),
}

impl Caution {
    /// In a sentence.
    pub fn line(&self, unit: Unit) -> String {
        match self {
            Self::Rejected(stops) => {
                format!("Rejected: {}. The loop must not go back on a saw.", status::stops(stops))
            }
            Self::AtMark(numbers) => {
                format!("At the witness mark: {}. The loop must not go back on a saw.", cutters(numbers))
            }
            Self::LowRakers(low) => {
                let rakers = say::count(*low, "raker");
                format!("{rakers} too low: the saw kicks back harder until that is put right.")
            }
            Self::LowLoop(line) => line.clone(),
            Self::Bounce => "A loose loop with rakers too low makes the saw bounce.".to_owned(),
            Self::Softwood(base) => {
                format!("This gap is for unfrozen softwood only; else no more than {}.", say::length(unit, *base))
            }
            Self::Proposal(setting, largest) => {
                let [setting, largest] = [setting, largest].map(|gap| say::length(unit, *gap));
                format!(
                    "Gaps up to {largest} are this program's proposal, above the published {setting}: the maker's limit comes first."
                )
            }
            Self::MakersLimit => "Where the maker states a limit for the raker gap, that limit comes first.".to_owned(),
            Self::Kerf(lost) => {
                format!("Worn cutters cut a kerf {} narrower: see that the bar runs free.", say::length(unit, *lost))
            }
            Self::NotZero(zero) => {
                format!("The closed caliper showed {}: set it to zero and measure anew.", say::length(unit, *zero))
            }
        }
    }

    /// True where the loop must not go back on a saw.
    pub const fn is_stop(&self) -> bool {
        matches!(self, Self::Rejected(_) | Self::AtMark(_))
    }

    /// In a few words, for the loop's status; `None` for what changes nothing about how it stands.
    pub fn short(&self, unit: Unit) -> Option<String> {
        match self {
            Self::Rejected(stops) => Some(format!("rejected, {}", status::stops(stops))),
            Self::AtMark(numbers) => Some(format!("{} at the witness mark", cutters(numbers))),
            Self::LowRakers(low) => Some(format!("{} too low, kicks back harder", say::count(*low, "raker"))),
            Self::LowLoop(_) => Some("most rakers too low, kicks back harder".to_owned()),
            Self::Bounce => Some("loose, bounces".to_owned()),
            Self::Softwood(_) => Some("unfrozen softwood only".to_owned()),
            Self::Kerf(_) => Some("does the bar run free?".to_owned()),
            Self::NotZero(zero) => Some(format!("caliper was off by {}", say::length(unit, zero.abs()))),
            Self::Proposal(..) | Self::MakersLimit => None,
        }
    }
}

/// What this round calls for. `low` is the number of rakers that are too low.
pub fn of_round(round: &Round, changeover: &ChangeoverReport, gaps: &Gaps, low: usize) -> Vec<Caution> {
    let spec = &round.header.spec;
    let mut found = Vec::new();
    if round.is_rejected() {
        found.push(Caution::Rejected(round.stops()));
    }
    if !changeover.at_mark.is_empty() {
        found.push(Caution::AtMark(changeover.at_mark.clone()));
    }
    if let Some(whole) = gaps.whole.as_ref().filter(|whole| whole.way == Way::Low) {
        found.push(Caution::LowLoop(whole.line.clone()));
    } else if low > 0 {
        found.push(Caution::LowRakers(low));
    }
    let loose = [LookItem::Rivets, LookItem::DriveLinks, LookItem::TieStraps];
    let worn = loose.iter().any(|item| round.looks.get(item).is_some_and(|(found, _)| *found == Finding::Worn));
    if low > 0 && worn {
        found.push(Caution::Bounce);
    }
    let softwood = round.header.wood == Wood::SoftwoodNoFrost && round.rule != Some(Rule::Setting);
    if softwood && spec.softwood_gap > spec.base_gap {
        found.push(Caution::Softwood(spec.base_gap));
    }
    if let Some(accepted) = round.accepted {
        found.push(Caution::Proposal(accepted.setting, accepted.largest));
    } else if round.rule == Some(Rule::Scaled) && spec.limits.largest.is_none() {
        found.push(Caution::MakersLimit);
    }
    let kerf = |wear: Millimetres| Some((spec.half_kerf? - spec.half_kerf_worn(wear)?) * 2.0);
    found.extend(changeover.median_wear.and_then(kerf).filter(|lost| *lost > KERF).map(Caution::Kerf));
    found.extend(round.zeros.last().filter(|zero| zero.abs() > ZERO).copied().map(Caution::NotZero));
    found
}

fn cutters(numbers: &[CutterNumber]) -> String {
    let noun = if numbers.len() == 1 { "cutter" } else { "cutters" };
    format!("{noun} {}", say::list(numbers))
}
