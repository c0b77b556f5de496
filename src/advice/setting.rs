//! Gaps above the published setting: what a rule would set, and why that is this program's proposal.

use super::say;
use crate::chain::{Limits, LowerKickback, Rule};
use crate::round::fold::AboveSetting;
use crate::round::{Cutter, Round};
use crate::units::Millimetres;

/// What a rule would set above the published setting where no maker's limit covers it; nothing else is a proposal.
pub(crate) fn above(round: &Round, rule: Rule) -> Option<AboveSetting> {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let wears: Vec<_> = round.matched().filter_map(Cutter::length).map(|length| spec.wear(length)).collect();
    // With no length known the rule may go as far as it ever goes.
    let wears = if wears.is_empty() { vec![spec.usable()] } else { wears };
    let gaps = wears.into_iter().filter_map(|wear| spec.target_gap(rule, wood, wear));
    let largest = gaps.max_by(Millimetres::total_cmp)?;
    spec.is_proposal(wood, largest).then(|| AboveSetting { setting: spec.published_gap(wood), largest })
}

/// The same with its reason, to be accepted before a raker is filed; short, as it stands on two lines of a small window.
pub(crate) fn question(round: &Round, rule: Rule, above: AboveSetting) -> String {
    let unit = round.header.units;
    let [setting, largest] = [above.setting, above.largest].map(|gap| say::length(unit, gap));
    let why = match rule {
        Rule::Scaled => "for the bite lost to wear",
        Rule::Plate => "as your plate leaves it",
        Rule::Fixed | Rule::Setting => "for unfrozen softwood only",
    };
    format!("Above the published {setting}: a proposal, {why}; no maker's limit is known. Up to {largest}?")
}

/// What is not known of the loop that a larger gap rests on.
pub(crate) const fn unknown(limits: Limits) -> &'static str {
    match limits.lower_kickback {
        LowerKickback::Unknown => "maker's largest gap; is it a lower-kickback chain",
        LowerKickback::Yes | LowerKickback::No => "maker's largest gap",
    }
}

#[cfg(test)]
mod tests;
