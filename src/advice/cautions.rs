//! Cautions: the ones that always stand, and the ones that this round calls for.

use serde::{Deserialize, Serialize};

use super::CutterFinding;
use super::changeover::ChangeoverReport;
use super::gaps::{Gaps, Way, Whole};
use super::verdict::GapWord;
use crate::chain::{CutterNumber, Origin, Rule, Wood};
use crate::round::{Finding, LookItem, Round, Stop};
use crate::saw::Grade;
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

/// Something that this round calls for.
#[derive(Debug, Clone, PartialEq)]
pub enum Caution {
    /// It is rejected.
    Rejected(Vec<Stop>),
    /// Cutters at their witness mark.
    AtMark(Vec<CutterNumber>),
    /// Cutters at it by one reading.
    AtMarkOnce(Vec<CutterNumber>),
    /// Cutters that one reading does not prove to be above it.
    CloseToMark(Vec<CutterNumber>),
    /// Cutters that near it.
    NearMark(Vec<CutterNumber>),
    /// Rakers so low that their gaps are proven larger than the loop may have at most, and that gap.
    OverLimit(Vec<CutterNumber>, Millimetres),
    /// This many rakers are too low.
    LowRakers(usize),
    /// Most rakers are too low: the verdict on the whole loop.
    LowLoop(Whole),
    /// Cutters whose edge still shines.
    Dull(Vec<CutterNumber>),
    /// Loose, and rakers too low.
    Bounce(Loose),
    /// Its gaps are for unfrozen softwood; elsewhere no more than this.
    Softwood(Millimetres),
    /// Gaps up to the second are a proposal above the published first.
    Proposal(Millimetres, Millimetres),
    /// A maker's limit, where there is one, comes first.
    MakersLimit,
    /// The wear-scaled gap rests on a reach or new length that nobody measured here: rakers may be off by this (95 %).
    Geometry(Millimetres),
    /// The kerf is narrower by this.
    Kerf(Millimetres),
    /// What the closed caliper showed.
    NotZero(Millimetres),
}

/// What is loose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Loose {
    /// Parts of the loop, at the look-over.
    Parts,
    /// The tension, by the record of the saw: not right, whichever way.
    Tension,
}

impl Caution {
    /// True where the loop must not go back on a saw.
    pub const fn is_stop(&self) -> bool {
        matches!(self, Self::Rejected(_) | Self::AtMark(_) | Self::AtMarkOnce(_) | Self::OverLimit(..))
    }
}

/// What a round's cautions rest on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Grounds<'a> {
    /// The round.
    pub round: &'a Round,
    /// Cutter by cutter.
    pub cutters: &'a [CutterFinding],
    /// Where the loop stands in its life.
    pub changeover: &'a ChangeoverReport,
    /// Its raker gaps.
    pub gaps: &'a Gaps,
    /// The latest word on the tension of its saw.
    pub tension: Option<Grade>,
}

/// What this round calls for.
pub(crate) fn of_round(of: &Grounds<'_>) -> Vec<Caution> {
    let Grounds { round, cutters, changeover, .. } = *of;
    let spec = &round.header.spec;
    let mut found = Vec::new();
    if round.is_rejected() {
        found.push(Caution::Rejected(round.stops()));
    }
    let (spent, again) = (changeover.spent(), &changeover.mark_again);
    let (once, close): (Vec<_>, Vec<_>) = again.iter().copied().partition(|number| changeover.at_mark.contains(number));
    let lists = [
        (spent, Caution::AtMark as fn(Vec<CutterNumber>) -> Caution),
        (once, Caution::AtMarkOnce),
        (close, Caution::CloseToMark),
        (changeover.near_mark.clone(), Caution::NearMark),
    ];
    found.extend(
        lists.into_iter().filter(|(numbers, _)| !numbers.is_empty()).map(|(numbers, caution)| caution(numbers)),
    );
    let low = cutters.iter().filter(|found| found.gap.word == GapWord::Low || found.raker.over).count();
    found.extend(low_rakers(low, of));
    let loose = [LookItem::Rivets, LookItem::DriveLinks, LookItem::TieStraps];
    let parts = loose.iter().any(|item| round.looks.get(item).is_some_and(|(found, _)| *found == Finding::Worn));
    let tension = of.tension >= Some(Grade::Watch);
    let loose = [(parts, Loose::Parts), (tension, Loose::Tension)].into_iter().filter(|(found, _)| low > 0 && *found);
    found.extend(loose.map(|(_, loose)| Caution::Bounce(loose)));
    if let Some(light) = round.light.as_ref().filter(|light| !light.dull.is_empty()) {
        found.push(Caution::Dull(light.dull.iter().copied().collect()));
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
    found.extend(changeover.median_wear.and_then(|wear| geometry(round, wear)));
    let kerf = |wear: Millimetres| Some((spec.half_kerf? - spec.half_kerf_worn(wear)?) * 2.0);
    found.extend(changeover.median_wear.and_then(kerf).filter(|lost| *lost > KERF).map(Caution::Kerf));
    found.extend(round.zeros.last().filter(|zero| zero.abs() > ZERO).copied().map(Caution::NotZero));
    found
}

/// Where the geometry's own doubt is more than a quarter of the tolerance, at a standard deviation, the card wants figures.
fn geometry(round: &Round, wear: Millimetres) -> Option<Caution> {
    let spec = &round.header.spec;
    let by_profile = [spec.known.reach.from, spec.known.new_length.from].contains(&Origin::Profile);
    let off = spec.scaled_gap_u(round.header.wood, wear) * 2.0;
    let matters = round.rule == Some(Rule::Scaled) && by_profile && off > spec.gap_tolerance * 0.5;
    matters.then_some(Caution::Geometry(off))
}

/// What is said of rakers that are too low: first those over the loop's limit, then the others.
fn low_rakers(low: usize, of: &Grounds<'_>) -> Vec<Caution> {
    let over: Vec<_> = of.cutters.iter().filter(|found| found.raker.over).map(|found| found.number).collect();
    let others = low - over.len();
    let mut found = Vec::new();
    if !over.is_empty() {
        found.push(Caution::OverLimit(over, of.round.header.spec.gap_max));
    }
    if let Some(whole) = of.gaps.whole.filter(|whole| whole.way == Way::Low) {
        found.push(Caution::LowLoop(whole));
    } else if others > 0 {
        found.push(Caution::LowRakers(others));
    }
    found
}
