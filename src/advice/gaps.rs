//! The raker gaps of the loop as a whole: by which rule they are judged, and one verdict where most of them are low or high.
//!
//! Twenty rakers that are all off by the same are seldom twenty faults: they were set by another rule. No fit excuses a gap
//! above the loop's limits.

use serde::Serialize;

use super::CutterFinding;
use super::rakers::{Act, Basis};
use super::say;
use super::verdict::GapWord;
use crate::chain::{Rule, Wood};
use crate::round::rule::{Fit, RuleFrom};
use crate::round::{CutterState, Round};
use crate::units::{Millimetres, mm};

/// Fewer rakers than this are cutters, not a loop.
const LEAST: usize = 5;

/// Which way most rakers are off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Way {
    /// Too low: gaps too large, the dangerous way.
    Low,
    /// Too high: gaps too small.
    High,
}

/// The verdict on a loop most of whose rakers are off the same way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whole {
    /// Which way.
    pub way: Way,
    /// How many.
    pub off: usize,
    /// Of how many that were measured.
    pub of: usize,
    /// The rule that they are judged by.
    pub rule: Rule,
    /// The wood that the loop is set for.
    pub wood: Wood,
    /// Gap that it sets, the median of those that are off; none while lengths are unknown.
    pub wanted: Option<Millimetres>,
    /// Another rule that most of them fit, within the loop's limits.
    pub fit: Option<OtherRule>,
    /// What helps, and what it costs.
    pub help: Help,
}

/// A rule that most rakers fit but are not judged by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherRule {
    /// The rule and how many fit it.
    pub fit: Fit,
    /// Gap that it sets at the median length, where that is known.
    pub gap: Option<Millimetres>,
}

/// What helps where most rakers are off, and what it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Help {
    /// Too low: steel cannot be put back, so another rule, the tooth, or time.
    Low {
        /// What the tooth costs, where that is known.
        tooth: Option<Tooth>,
        /// How many gaps are proven over the largest that the loop may have.
        over: usize,
        /// How many read over it, proven or not: no waiting is advised for those.
        read_over: usize,
        /// That gap.
        limit: Millimetres,
    },
    /// Too high: the file.
    High {
        /// Steel to take off a raker, the median.
        steel: Millimetres,
    },
}

/// What it costs to file the teeth until rakers that are too low are right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tooth {
    /// Length off each, the median.
    pub length: Millimetres,
    /// The same as a share of the usable length, at most 1.
    pub life: f64,
    /// Usual rounds that take as much.
    pub rounds: u32,
}

impl Whole {
    /// Another rule that most of them fit, within the loop's limits.
    pub fn fits(&self) -> Option<Rule> {
        self.fit.map(|other| other.fit.rule)
    }
}

/// The loop's gaps.
#[derive(Debug, Clone, PartialEq)]
pub struct Gaps {
    /// Rule that they are judged by.
    pub rule: Rule,
    /// Why by that one.
    pub from: RuleFrom,
    /// How many gaps fit it.
    pub fit: Fit,
    /// Gaps measured that stand.
    pub measured: usize,
    /// One verdict, where most are off.
    pub whole: Option<Whole>,
}

/// Looks at all gaps; `per_round` is the wear of a usual round.
pub(crate) fn gaps(round: &Round, cutters: &[CutterFinding], per_round: Millimetres) -> Gaps {
    let (rule, from) = round.rule_and_source();
    let measured = measured(cutters);
    let whole = whole(round, rule, &measured, per_round);
    Gaps { rule, from, fit: round.fit_of(rule), measured: measured.len(), whole }
}

fn measured(cutters: &[CutterFinding]) -> Vec<&CutterFinding> {
    let there = cutters.iter().filter(|found| found.state != CutterState::Missing);
    there.filter(|found| found.raker.gap.is_some_and(|gap| gap.basis == Basis::Measured)).collect()
}

fn whole(round: &Round, rule: Rule, measured: &[&CutterFinding], per_round: Millimetres) -> Option<Whole> {
    let of = measured.len();
    let low: Vec<&CutterFinding> = measured.iter().copied().filter(|found| found.raker.act == Act::TooLow).collect();
    let high: Vec<&CutterFinding> = measured.iter().copied().filter(|found| found.gap.word == GapWord::High).collect();
    let most = |n: usize| of >= LEAST && 2 * n > of;
    let (way, off) = match (most(low.len()), most(high.len())) {
        (true, _) => (Way::Low, low),
        (_, true) => (Way::High, high),
        _ => return None,
    };
    let fit = round.fitting_rule().filter(|fit| fit.rule != rule);
    let help = match way {
        Way::Low => help_low(round, &off, per_round),
        Way::High => Help::High { steel: median(off.iter().map(|found| found.raker.steel)).unwrap_or_default() },
    };
    Some(Whole {
        way,
        off: off.len(),
        of,
        rule,
        wood: round.header.wood,
        wanted: median(off.iter().filter_map(|found| found.raker.target)),
        fit: fit.map(|fit| OtherRule { fit, gap: gap_by(round, fit.rule) }),
        help,
    })
}

/// What a rule sets at the median length.
fn gap_by(round: &Round, rule: Rule) -> Option<Millimetres> {
    let spec = &round.header.spec;
    let length = median(round.matched().filter_map(crate::round::Cutter::length))?;
    spec.target_gap(rule, round.header.wood, spec.wear(length))
}

fn help_low(round: &Round, off: &[&CutterFinding], per_round: Millimetres) -> Help {
    let spec = &round.header.spec;
    let over = off.iter().filter(|found| found.raker.over).count();
    let read_over = off.iter().filter(|found| found.gap_now.is_some_and(|gap| spec.is_over(gap))).count();
    let length = median(off.iter().filter_map(|found| Some(found.raker.recovery?.tooth)));
    let tooth = length.map(|length| Tooth {
        length,
        life: (length / spec.usable()).min(1.0),
        rounds: say::whole((length / per_round).ceil()).max(1),
    });
    Help::Low { tooth, over, read_over, limit: spec.gap_max }
}

fn median(values: impl Iterator<Item = Millimetres>) -> Option<Millimetres> {
    crate::stats::summary::median(&values.map(Millimetres::get).collect::<Vec<_>>()).ok().map(mm)
}

#[cfg(test)]
mod tests;
