//! The changeover: from which wear the wear-scaled gap is worth using, cutter by cutter and for the loop.

use super::forecast::Wear;
use super::mark::{self, Mark};
use super::now::Now;
use super::place;
use super::skill::Skill;
use crate::chain::{CutterNumber, Origin, Rule, Stage, Wood};
use crate::round::{Closing, Lengths, Past, Round};
use crate::stats::conformity::GUARD;
use crate::stats::quantile::normal_cdf;
use crate::stats::summary::Summary;
use crate::units::{Millimetres, mm};

/// One cutter's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterStage {
    /// Wear.
    pub wear: Millimetres,
    /// Where that is.
    pub stage: Stage,
    /// Probability that it is past `worth`.
    pub past_worth: f64,
    /// Probability that it is past `due`.
    pub past_due: f64,
}

/// The loop's place.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeoverReport {
    /// The new length that wear counts from is the profile's: nobody measured it on this loop.
    pub by_profile: bool,
    /// Wear from which the wear-scaled gap is worth using.
    pub worth: Millimetres,
    /// Wear from which it is due.
    pub due: Millimetres,
    /// Median wear of the kept cutters; none where nothing is measured.
    pub median_wear: Option<Millimetres>,
    /// Lower end of its 90 % interval.
    pub low: Option<Millimetres>,
    /// Upper end.
    pub high: Option<Millimetres>,
    /// Standard uncertainty of the median length; none where nothing is measured.
    pub u_median: Option<Millimetres>,
    /// Standard uncertainty of where the changeover lies, from the new length and the reach.
    pub u_worth: Millimetres,
    /// Kept cutters with a known length.
    pub cutters: usize,
    /// Kept cutters without one.
    pub unknown: usize,
    /// How many of them are past `worth`.
    pub past_worth: usize,
    /// How many are past `due`.
    pub past_due: usize,
    /// Probability that the median is past `worth`.
    pub probability: Option<f64>,
    /// Stage of the median, `retire` where any cutter that is there has reached its witness mark.
    pub stage: Option<Stage>,
    /// Those cutters, by number, as they read.
    pub at_mark: Vec<CutterNumber>,
    /// Cutters to be measured once more before they are called spent, or proven not to be.
    pub mark_again: Vec<CutterNumber>,
    /// Cutters that are near the mark and above it.
    pub near_mark: Vec<CutterNumber>,
    /// Rounds until the median is past `worth`; 0 when past, none where no wear is visible.
    pub rounds_away: Option<u32>,
    /// The limits of the loop leave no gap above the fixed one.
    pub held: bool,
}

/// Rule recommended for this round.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleAdvice {
    /// The rule.
    pub rule: Rule,
    /// Why.
    pub why: RuleWhy,
    /// What the sharpener's own plate gauge would leave beside it, where one is known: a third way that is neither rule.
    pub plate: Option<BesidePlate>,
}

/// Why a rule is recommended. `share` is the part of the new bite angle that the fixed gap still gives, 0 to 1; gaps stand for the wood
/// named with them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RuleWhy {
    /// No length is known: the careful choice.
    NothingMeasured,
    /// The rakers are set by the wear-scaled rule, and too low for the fixed one.
    SetAlready {
        /// The wear-scaled gap at this wear.
        scaled: Millimetres,
        /// Wood it is for.
        wood: Wood,
    },
    /// The limits of the loop leave no larger gap.
    Held {
        /// The fixed gap.
        fixed: Millimetres,
        /// Wood it is for.
        wood: Wood,
        /// Share of the new bite.
        share: f64,
    },
    /// The fixed gap still bites.
    StillBites {
        /// The fixed gap.
        fixed: Millimetres,
        /// Wood it is for.
        wood: Wood,
        /// Share of the new bite.
        share: f64,
    },
    /// The fixed gap bites too little by now.
    Fades {
        /// The wear-scaled gap at this wear.
        scaled: Millimetres,
        /// Wood it is for.
        wood: Wood,
        /// Share of the new bite.
        share: f64,
        /// It would be larger, were it allowed.
        capped: bool,
    },
}

/// What the sharpener's own plate gauge would leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BesidePlate {
    /// That gap.
    pub gap: Millimetres,
    /// What the rule would set, less that gap.
    pub less: Millimetres,
    /// The rule.
    pub rule: Rule,
}

/// Where one cutter stands. Lengths taken for granted are as uncertain as one reading.
pub(super) fn of_cutter(round: &Round, now: Now, skill: &Skill, ends: &Ends) -> CutterStage {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let wear = spec.wear(now.length);
    let u = skill.length_u(now.readings).get().hypot(ends.u.get());
    let past = |limit: Millimetres| normal_cdf((wear - limit).get() / u);
    CutterStage { wear, stage: spec.stage(wood, now.length), past_worth: past(ends.worth), past_due: past(ends.due) }
}

/// Wears at which a stage ends, the same for all cutters of a loop.
pub(super) struct Ends {
    worth: Millimetres,
    due: Millimetres,
    /// Standard uncertainty of the first.
    u: Millimetres,
}

impl Ends {
    pub(super) fn of(round: &Round) -> Self {
        let (spec, wood) = (&round.header.spec, round.header.wood);
        Self { worth: spec.worth_wear(wood), due: spec.due_wear(wood), u: spec.worth_u(wood) }
    }
}

/// Standard uncertainty of the median of `values` out of `of`, mm: between cutters only as far as some are unmeasured, the
/// readings' scatter, and the instrument's own part, which does not average.
///
/// The variance of a median is `pi / 2` times that of a mean, for large normal samples.
fn median_u(values: &[f64], of: usize, skill: &Skill) -> f64 {
    let n = values.len() as f64;
    let sd = Summary::of(values).map_or(0.0, |seen| seen.sd);
    let unseen = 1.0 - n / of.max(values.len()) as f64;
    let scatter = skill.length.get().powi(2) - skill.length_shared().get().powi(2);
    let mean = (unseen * sd * sd + scatter.max(0.0)) / n;
    (std::f64::consts::FRAC_PI_2 * mean).sqrt().hypot(skill.length_shared().get())
}

/// Where the loop stands. Wear counts from the profile's new length (or the loop's own, where measured); how well that and the reach
/// are known goes into the interval and the probability.
pub(crate) fn of_loop(round: &Round, lengths: &[Option<Now>], expected: &Wear, skill: &Skill) -> ChangeoverReport {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let (worth, due) = (spec.worth_wear(wood), spec.due_wear(wood));
    let known = || round.cutters.iter().zip(lengths).filter_map(|(cutter, now)| Some((cutter, (*now)?)));
    let wears: Vec<f64> = known().filter(|(c, _)| c.is_matched()).map(|(_, now)| spec.wear(now.length).get()).collect();
    let at_mark: Vec<CutterNumber> =
        known().filter(|(_, now)| spec.at_mark(now.length)).map(|(c, _)| c.number).collect();
    let mark_again = mark_again(round, lengths, skill);
    let near_mark = standing(Mark::Near, round, lengths, skill);
    let of_median = median_u(&wears, round.matched().count(), skill);
    let (u_wear, u_past) = (of_median.hypot(spec.known.new_length.u.get()), of_median.hypot(spec.worth_u(wood).get()));
    let place = Lengths::of(round).map(|lengths| place::of(spec, wood, &lengths));
    let median_wear = place.map(|place| place.wear);
    let rounds_away = median_wear.and_then(|wear| expected.rounds_until(worth - wear).best);
    let past = |limit: Millimetres| wears.iter().filter(|wear| **wear >= limit.get()).count();
    ChangeoverReport {
        by_profile: spec.known.new_length.from == Origin::Profile,
        worth,
        due,
        median_wear,
        low: median_wear.map(|wear| wear - mm(GUARD * u_wear)),
        high: median_wear.map(|wear| wear + mm(GUARD * u_wear)),
        u_median: median_wear.map(|_| mm(of_median)),
        u_worth: spec.worth_u(wood),
        cutters: wears.len(),
        unknown: round.matched().count().saturating_sub(wears.len()),
        past_worth: past(worth),
        past_due: past(due),
        probability: median_wear.map(|wear| normal_cdf((wear - worth).get() / u_past)),
        stage: place.map(|place| place.stage),
        at_mark,
        mark_again,
        near_mark,
        rounds_away,
        held: spec.is_held(wood),
    }
}

/// Cutters that may be at their mark: it takes a reading more to tell.
pub(super) fn mark_again(round: &Round, lengths: &[Option<Now>], skill: &Skill) -> Vec<CutterNumber> {
    standing(Mark::Again, round, lengths, skill)
}

fn standing(mark: Mark, round: &Round, lengths: &[Option<Now>], skill: &Skill) -> Vec<CutterNumber> {
    let step = round.length_step();
    let known = round.cutters.iter().zip(lengths).filter_map(|(cutter, now)| Some((cutter, (*now)?)));
    let there = known.filter(|(_, now)| mark::of(&round.header.spec, *now, skill, step) == mark);
    there.map(|(cutter, _)| cutter.number).collect()
}

impl ChangeoverReport {
    /// Cutters at their mark by more than one reading.
    pub fn spent(&self) -> Vec<CutterNumber> {
        self.at_mark.iter().copied().filter(|number| !self.mark_again.contains(number)).collect()
    }
}

/// Fixed before `worth`, wear-scaled from it on, with the bite that the fixed gap still gives as the reason. Rakers that are set by
/// the wear-scaled rule already stay with it: for the fixed one they are too low, and steel cannot be put back.
pub(crate) fn rule(round: &Round, report: &ChangeoverReport, past: &Past) -> RuleAdvice {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let Some(wear) = report.median_wear else {
        return RuleAdvice { rule: Rule::Fixed, why: RuleWhy::NothingMeasured, plate: None };
    };
    let (fixed, scaled) = (spec.fixed_gap(wood), spec.scaled_gap(wood, wear));
    let by_wear = spec.rule_at(wood, spec.new_length - wear);
    let last = past.rounds.iter().rev().find(|last| last.how == Some(Closing::Signed)).and_then(|last| last.rule);
    let is_set = round.fitting_rule().map_or(last, |fit| Some(fit.rule)) == Some(Rule::Scaled);
    if by_wear == Rule::Fixed && is_set && !spec.is_held(wood) {
        let why = RuleWhy::SetAlready { scaled, wood };
        return RuleAdvice { rule: Rule::Scaled, why, plate: beside_plate(round, wear, Rule::Scaled) };
    }
    let rule = by_wear;
    let share = spec.share_kept(wood, wear);
    let why = if rule != Rule::Fixed {
        RuleWhy::Fades { scaled, wood, share, capped: spec.scaled_gap_uncapped(wood, wear) > spec.gap_max }
    } else if spec.is_held(wood) {
        RuleWhy::Held { fixed, wood, share }
    } else {
        RuleWhy::StillBites { fixed, wood, share }
    };
    RuleAdvice { rule, why, plate: beside_plate(round, wear, rule) }
}

fn beside_plate(round: &Round, wear: Millimetres, rule: Rule) -> Option<BesidePlate> {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let gap = spec.target_gap(Rule::Plate, wood, wear)?;
    Some(BesidePlate { gap, less: spec.target_gap(rule, wood, wear)? - gap, rule })
}

#[cfg(test)]
mod tests;
