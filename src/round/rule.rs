//! Which rule the raker gaps are judged by: the one chosen in the round, else the one that they fit, else the one that the wear
//! calls for.
//!
//! A fit excuses nothing: every rule stays under the loop's limits, and a gap above the largest one allowed fits none.

use std::sync::OnceLock;

use super::cutter::Cutter;
use super::fold::Round;
use super::summary::median;
use crate::chain::Rule;
use crate::units::{Millimetres, mm};

/// Fewer gaps than this tell nothing of the rule they were set by (proposal).
const LEAST_GAPS: usize = 5;

/// How the rule came to be the one in force.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuleFrom {
    /// Chosen in the round.
    Chosen,
    /// None was chosen; most gaps fit it.
    Fits,
    /// None was chosen and no rule fits; the wear calls for it.
    Wear,
}

/// A rule and how many of the gaps measured are within tolerance of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    /// The rule.
    pub rule: Rule,
    /// Gaps that fit.
    pub fitting: usize,
    /// Gaps measured.
    pub of: usize,
}

impl Fit {
    /// True where at least three gaps of four fit (proposal): a few low rakers must not pass for a rule.
    pub const fn is_most(&self) -> bool {
        self.of >= LEAST_GAPS && 4 * self.fitting >= 3 * self.of
    }
}

/// The rule in force, once it was asked for: the same until the next event, and asked for at every cutter. No part of what a round is.
#[derive(Debug, Clone, Default)]
pub(super) struct InForce(OnceLock<(Rule, RuleFrom)>);

impl PartialEq for InForce {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Round {
    /// Rule in force, and why that one.
    pub fn rule_and_source(&self) -> (Rule, RuleFrom) {
        *self.in_force.0.get_or_init(|| self.find_rule())
    }

    fn find_rule(&self) -> (Rule, RuleFrom) {
        let chosen = self.rule.map(|rule| (rule, RuleFrom::Chosen));
        chosen
            .or_else(|| self.fitting_rule().map(|fit| (fit.rule, RuleFrom::Fits)))
            .unwrap_or_else(|| (self.rule_by_wear(), RuleFrom::Wear))
    }

    /// Rule in force: the one chosen, else the one that most gaps fit, else the one that the matched cutters' median length
    /// calls for.
    pub fn rule_in_force(&self) -> Rule {
        self.rule_and_source().0
    }

    /// The rule that the matched cutters' median length calls for.
    fn rule_by_wear(&self) -> Rule {
        median(self.matched().filter_map(Cutter::length))
            .map_or(Rule::Fixed, |length| self.header.spec.rule_at(self.header.wood, length))
    }

    /// The rule that most of the gaps measured fit, the one that the wear calls for where several fit as many; `None` for
    /// a few gaps or where none fits most.
    pub fn fitting_rule(&self) -> Option<Fit> {
        let by_wear = self.rule_by_wear();
        let others =
            [Rule::Fixed, Rule::Scaled, Rule::Plate, Rule::Setting].into_iter().filter(|rule| *rule != by_wear);
        let mut best = self.fit_of(by_wear);
        for fit in others.map(|rule| self.fit_of(rule)) {
            if fit.fitting > best.fitting {
                best = fit;
            }
        }
        Some(best).filter(Fit::is_most)
    }

    /// How many of the gaps measured since their tooth was filed fit a rule.
    pub fn fit_of(&self, rule: Rule) -> Fit {
        let spec = &self.header.spec;
        let known = self.cutters.iter().filter(|cutter| cutter.is_present() && !cutter.gap_stale);
        let gaps = known.filter_map(|cutter| Some((cutter, cutter.gap()?)));
        let mut fit = Fit { rule, fitting: 0, of: 0 };
        for (cutter, gap) in gaps {
            let Some(target) = self.gap_by(rule, cutter) else { continue };
            fit.of += 1;
            fit.fitting += usize::from(!spec.is_over(gap) && (gap - target).abs() <= spec.gap_tolerance);
        }
        fit
    }

    /// Raker gap to set on this cutter by the rule in force; `None` while its length is unknown and the rule needs it.
    pub fn target_gap(&self, cutter: &Cutter) -> Option<Millimetres> {
        self.gap_by(self.rule_in_force(), cutter)
    }

    pub(crate) fn gap_by(&self, rule: Rule, cutter: &Cutter) -> Option<Millimetres> {
        let spec = &self.header.spec;
        let wear = match (rule, cutter.length()) {
            (_, Some(length)) => spec.wear(length),
            (Rule::Fixed | Rule::Setting, None) => mm(0.0),
            (Rule::Scaled | Rule::Plate, None) => return None,
        };
        spec.target_gap(rule, self.header.wood, wear)
    }
}
