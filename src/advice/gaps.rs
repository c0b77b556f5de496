//! The raker gaps of the loop as a whole: by which rule they are judged, and one verdict where most of them are low or high.
//!
//! Twenty rakers that are all off by the same are seldom twenty faults: they were set by another rule. No fit excuses a gap
//! above the loop's limits.

use serde::Serialize;

use super::CutterFinding;
use super::rakers::{Act, Basis};
use super::say;
use super::verdict::GapWord;
use crate::chain::Rule;
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
#[derive(Debug, Clone, PartialEq)]
pub struct Whole {
    /// Which way.
    pub way: Way,
    /// How many.
    pub off: usize,
    /// Of how many that were measured.
    pub of: usize,
    /// A rule that most of them fit, within the loop's limits.
    pub fits: Option<Rule>,
    /// The same in a few words.
    pub short: String,
    /// What they fit, what to do, what it costs, and whether waiting helps.
    pub line: String,
}

/// The loop's gaps.
#[derive(Debug, Clone, PartialEq)]
pub struct Gaps {
    /// Rule that they are judged by.
    pub rule: Rule,
    /// Why by that one.
    pub from: RuleFrom,
    /// Where no rule was chosen and gaps are measured: by which they are judged, in a sentence.
    pub judged_by: Option<String>,
    /// One verdict, where most are off.
    pub whole: Option<Whole>,
}

/// Looks at all gaps; `per_round` is the wear of a usual round.
pub(crate) fn gaps(round: &Round, cutters: &[CutterFinding], per_round: Millimetres) -> Gaps {
    let (rule, from) = round.rule_and_source();
    let measured = measured(cutters);
    let judged_by = (from != RuleFrom::Chosen && !measured.is_empty()).then(|| judged_by(round, rule, from));
    Gaps { rule, from, judged_by, whole: whole(round, rule, &measured, per_round) }
}

fn measured(cutters: &[CutterFinding]) -> Vec<&CutterFinding> {
    let there = cutters.iter().filter(|found| found.state != CutterState::Missing);
    there.filter(|found| found.raker.gap.is_some_and(|gap| gap.basis == Basis::Measured)).collect()
}

fn judged_by(round: &Round, rule: Rule, from: RuleFrom) -> String {
    let why = match from {
        RuleFrom::Fits => {
            let Fit { fitting, of, .. } = round.fit_of(rule);
            format!("which {fitting} of {of} fit")
        }
        RuleFrom::Chosen | RuleFrom::Wear => "which the wear calls for".to_owned(),
    };
    format!("No rule was chosen: the gaps are judged by the {}, {why}.", rule.word())
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
    let unit = round.header.units;
    let at = median(off.iter().filter_map(|found| found.raker.target));
    let at = at.map(|gap| format!(" ({})", say::length(unit, gap))).unwrap_or_default();
    let side = if way == Way::Low { "TOO LOW" } else { "high" };
    let head = format!("{} of {of} rakers are {side} for the {}{at}.", off.len(), rule.word());
    let fits = fit.map_or_else(
        || "They fit no other rule within the limits of this loop.".to_owned(),
        |fit| format!("{} of {} fit the {}{}.", fit.fitting, fit.of, fit.rule.word(), gap_by(round, fit.rule)),
    );
    let what = match way {
        Way::Low => low_words(round, &off, fit, per_round),
        Way::High => high_words(round, &off),
    };
    let short =
        fit.map_or_else(|| format!("most are {side}"), |fit| format!("{side}; most fit the {}", fit.rule.word()));
    Some(Whole { way, off: off.len(), of, fits: fit.map(|fit| fit.rule), short, line: format!("{head} {fits} {what}") })
}

/// ` (0.83 mm at this wear)`.
fn gap_by(round: &Round, rule: Rule) -> String {
    let spec = &round.header.spec;
    let lengths = median(round.matched().filter_map(crate::round::Cutter::length));
    let gap = lengths.and_then(|length| spec.target_gap(rule, round.header.wood, spec.wear(length)));
    gap.map(|gap| format!(" ({} at this wear)", say::length(round.header.units, gap))).unwrap_or_default()
}

/// Steel cannot be put back: another rule, the tooth, or time.
fn low_words(round: &Round, off: &[&CutterFinding], fit: Option<Fit>, per_round: Millimetres) -> String {
    let (spec, unit) = (&round.header.spec, round.header.units);
    let over = off.iter().filter(|found| found.gap_now.is_some_and(|gap| spec.is_over(gap))).count();
    let mut words = Vec::new();
    if let Some(fit) = fit {
        words.push(format!("Kept to the {}, they cost no steel.", fit.rule.word()));
    }
    if let Some(tooth) = median(off.iter().filter_map(|found| Some(found.raker.recovery?.tooth))) {
        let life = say::percent((tooth / spec.usable()).min(1.0));
        let tooth_words = say::length(unit, tooth);
        words.push(format!("To file them right now costs {tooth_words} of each tooth, {life} of its life."));
        if over == 0 {
            let rounds = say::whole((tooth / per_round).ceil()).max(1) as usize;
            words.push(format!(
                "To leave the rakers alone until the teeth have come down that far, about {}, is an answer too{}.",
                say::count(rounds, "round"),
                if fit.is_some() { "" } else { "; until then the saw kicks back harder" }
            ));
        }
    }
    if over > 0 {
        let limit = say::length(unit, spec.gap_max);
        words.push(format!("{over} are over the {limit} that this loop may have at most: not to go back on a saw so."));
    }
    words.join(" ")
}

fn high_words(round: &Round, off: &[&CutterFinding]) -> String {
    let steel = median(off.iter().map(|found| found.raker.steel)).unwrap_or_default();
    let steel = say::length(round.header.units, steel);
    format!(
        "File each down by about {steel}: that costs no tooth. Waiting makes it worse: the gap shrinks as teeth come down."
    )
}

fn median(values: impl Iterator<Item = Millimetres>) -> Option<Millimetres> {
    crate::stats::summary::median(&values.map(Millimetres::get).collect::<Vec<_>>()).ok().map(mm)
}

#[cfg(test)]
mod tests;
