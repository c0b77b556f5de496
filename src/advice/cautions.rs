//! Cautions: the ones that always stand, and the ones that this round calls for.

use super::changeover::ChangeoverReport;
use super::gaps::{Gaps, Way};
use super::{say, status};
use crate::chain::{CutterNumber, Rule, Wood};
use crate::round::{Finding, LookItem, Round};
use crate::units::{Millimetres, mm};

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

/// What this round calls for. `low` is the number of rakers that are too low.
pub fn of_round(round: &Round, changeover: &ChangeoverReport, gaps: &Gaps, low: usize) -> Vec<String> {
    let (spec, unit) = (&round.header.spec, round.header.units);
    let mut lines = Vec::new();
    if round.is_rejected() {
        lines.push(format!("Rejected: {}. The loop must not go back on a saw.", status::stops(&round.stops())));
    }
    if !changeover.at_mark.is_empty() {
        lines.push(format!(
            "At the witness mark: {}. The loop must not go back on a saw.",
            cutters(&changeover.at_mark)
        ));
    }
    if let Some(whole) = gaps.whole.as_ref().filter(|whole| whole.way == Way::Low) {
        lines.push(whole.line.clone());
    } else if low > 0 {
        let rakers = say::count(low, "raker");
        lines.push(format!("{rakers} too low: the saw kicks back harder until that is put right."));
    }
    let loose = [LookItem::Rivets, LookItem::DriveLinks, LookItem::TieStraps];
    let worn = loose.iter().any(|item| round.looks.get(item).is_some_and(|(found, _)| *found == Finding::Worn));
    if low > 0 && worn {
        lines.push("A loose loop with rakers too low makes the saw bounce.".to_owned());
    }
    let softwood = round.header.wood == Wood::SoftwoodNoFrost && round.rule != Some(Rule::Setting);
    if softwood && spec.softwood_gap > spec.base_gap {
        let base = say::length(unit, spec.base_gap);
        lines.push(format!("This gap is for unfrozen softwood only; else no more than {base}."));
    }
    if let Some(accepted) = round.accepted {
        let [setting, largest] = [accepted.setting, accepted.largest].map(|gap| say::length(unit, gap));
        lines.push(format!(
            "Gaps up to {largest} are this program's proposal, above the published {setting}: the maker's limit comes first."
        ));
    } else if round.rule == Some(Rule::Scaled) && spec.limits.largest.is_none() {
        lines.push("Where the maker states a limit for the raker gap, that limit comes first.".to_owned());
    }
    let kerf = |wear: Millimetres| Some((spec.half_kerf? - spec.half_kerf_worn(wear)?) * 2.0);
    if let Some(lost) = changeover.median_wear.and_then(kerf).filter(|lost| *lost > KERF) {
        lines
            .push(format!("Worn cutters cut a kerf {} narrower: see that the bar runs free.", say::length(unit, lost)));
    }
    if let Some(zero) = round.zeros.last().filter(|zero| zero.abs() > ZERO) {
        lines.push(format!("The closed caliper showed {}: set it to zero and measure anew.", say::length(unit, *zero)));
    }
    lines
}

fn cutters(numbers: &[CutterNumber]) -> String {
    let noun = if numbers.len() == 1 { "cutter" } else { "cutters" };
    format!("{noun} {}", say::list(numbers))
}
