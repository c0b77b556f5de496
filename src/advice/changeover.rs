//! The changeover: from which wear the wear-scaled gap is worth using, cutter by cutter and for the loop.

use super::forecast::Wear;
use super::now::Now;
use super::place;
use super::say;
use super::skill::Skill;
use crate::chain::{CutterNumber, Rule, Stage};
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
    /// Kept cutters with a known length.
    pub cutters: usize,
    /// How many of them are past `worth`.
    pub past_worth: usize,
    /// How many are past `due`.
    pub past_due: usize,
    /// Probability that the median is past `worth`.
    pub probability: Option<f64>,
    /// Stage of the median, `retire` where any cutter that is there has reached its witness mark.
    pub stage: Option<Stage>,
    /// Those cutters, by number.
    pub at_mark: Vec<CutterNumber>,
    /// Rounds until the median is past `worth`; 0 when past, none where no wear is visible.
    pub rounds_away: Option<u32>,
    /// The whole in plain words, for sign-off and sheet.
    pub statement: String,
}

/// Rule recommended for this round.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleAdvice {
    /// The rule.
    pub rule: Rule,
    /// Why, in a line.
    pub why: String,
    /// What the sharpener's own plate gauge would leave beside it, where one is known: a third way that is neither rule.
    pub plate: Option<String>,
}

/// Where one cutter stands. Lengths taken for granted are as uncertain as one reading.
pub(crate) fn of_cutter(round: &Round, now: Now, skill: &Skill) -> CutterStage {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let wear = spec.wear(now.length);
    let u = skill.length_u(now.readings).get().hypot(spec.worth_u(wood));
    let past = |limit: Millimetres| normal_cdf((wear - limit).get() / u);
    CutterStage {
        wear,
        stage: spec.stage(wood, now.length),
        past_worth: past(spec.worth_wear(wood)),
        past_due: past(spec.due_wear(wood)),
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
    let of_median = median_u(&wears, round.matched().count(), skill);
    let (u_wear, u_past) = (of_median.hypot(spec.known.new_length.u), of_median.hypot(spec.worth_u(wood)));
    let place = Lengths::of(round).map(|lengths| place::of(spec, wood, &lengths));
    let median_wear = place.map(|place| place.wear);
    let rounds_away = median_wear.and_then(|wear| expected.rounds_until(worth - wear).best);
    let past = |limit: Millimetres| wears.iter().filter(|wear| **wear >= limit.get()).count();
    let mut report = ChangeoverReport {
        worth,
        due,
        median_wear,
        low: median_wear.map(|wear| wear - mm(GUARD * u_wear)),
        high: median_wear.map(|wear| wear + mm(GUARD * u_wear)),
        cutters: wears.len(),
        past_worth: past(worth),
        past_due: past(due),
        probability: median_wear.map(|wear| normal_cdf((wear - worth).get() / u_past)),
        stage: place.map(|place| place.stage),
        at_mark,
        rounds_away,
        statement: String::new(),
    };
    report.statement = statement(&report, round);
    report
}

fn statement(report: &ChangeoverReport, round: &Round) -> String {
    let (Some(stage), Some(p)) = (report.stage, report.probability) else {
        return "Nothing measured yet: where the loop stands is not known.".into();
    };
    let unit = round.header.units;
    let counted = |n: usize, limit: Millimetres| {
        let are = if n == 1 { "is" } else { "are" };
        format!("{n} of {} {are} worn more than {}", say::count(report.cutters, "cutter"), say::length(unit, limit))
    };
    let p_words = say::percent(p);
    match stage {
        Stage::Retire if report.at_mark.len() == 1 => {
            format!("Retire the loop: cutter {} is at its witness mark.", report.at_mark[0])
        }
        Stage::Retire => format!("Retire the loop: {} cutters are at the witness mark.", report.at_mark.len()),
        Stage::Due => format!(
            "Well past the changeover: {}. A wear-scaled gap is due (probability of being past {p_words}).",
            counted(report.past_due, report.due)
        ),
        Stage::Worth => format!(
            "Past the changeover: {}. A wear-scaled gap is worth using (probability {p_words}).",
            counted(report.past_worth, report.worth)
        ),
        Stage::Fixed if round.header.spec.is_held(round.header.wood) => {
            "The limits of this loop leave no larger gap: it stays with the fixed one.".to_owned()
        }
        Stage::Fixed => {
            let away = report.rounds_away.map(|n| format!(", for about {}", say::count(n as usize, "more round")));
            let away = away.unwrap_or_default();
            format!(
                "Before the changeover: {}. The fixed gap still serves (probability {}){away}.",
                counted(report.past_worth, report.worth),
                say::percent(1.0 - p)
            )
        }
    }
}

/// Fixed before `worth`, wear-scaled from it on, with the bite that the fixed gap still gives as the reason. Rakers that are set by
/// the wear-scaled rule already stay with it: for the fixed one they are too low, and steel cannot be put back.
pub(crate) fn rule(round: &Round, report: &ChangeoverReport, past: &Past) -> RuleAdvice {
    let (spec, wood, unit) = (&round.header.spec, round.header.wood, round.header.units);
    let Some(wear) = report.median_wear else {
        let why = "No length is known yet: one fixed gap is the careful choice.".into();
        return RuleAdvice { rule: Rule::Fixed, why, plate: None };
    };
    let by_wear = spec.rule_at(wood, spec.new_length - wear);
    let last = past.rounds.iter().rev().find(|last| last.how == Some(Closing::Signed)).and_then(|last| last.rule);
    let is_set = round.fitting_rule().map_or(last, |fit| Some(fit.rule)) == Some(Rule::Scaled);
    if by_wear == Rule::Fixed && is_set && !spec.is_held(wood) {
        let gap = say::length(unit, spec.scaled_gap(wood, wear));
        let only = wood.only();
        let why = format!(
            "These rakers are set by the wear-scaled gap ({gap}{only} here): the fixed one finds them too low."
        );
        return RuleAdvice { rule: Rule::Scaled, why, plate: beside_plate(round, wear, Rule::Scaled) };
    }
    let rule = by_wear;
    let share = format!("{:.0} %", 100.0 * spec.share_kept(wood, wear));
    let why = if rule == Rule::Fixed {
        let gap = say::length(unit, spec.fixed_gap(wood));
        let only = wood.only();
        if spec.is_held(wood) {
            format!("The limits of this loop keep its gap at {gap}{only}: {share} of the new bite.")
        } else {
            format!("A fixed gap ({gap}{only}) still gives {share} of the new bite.")
        }
    } else {
        let cap = if spec.scaled_gap_uncapped(wood, wear) > spec.gap_max { ", the most allowed" } else { "" };
        let gap = say::length(unit, spec.scaled_gap(wood, wear));
        let only = wood.only();
        format!("A fixed gap gives only {share} of the new bite; {gap}{only} gives it back{cap}.")
    };
    RuleAdvice { rule, why, plate: beside_plate(round, wear, rule) }
}

fn beside_plate(round: &Round, wear: Millimetres, rule: Rule) -> Option<String> {
    let (spec, wood, unit) = (&round.header.spec, round.header.wood, round.header.units);
    let plate = spec.target_gap(Rule::Plate, wood, wear)?;
    let less = spec.target_gap(rule, wood, wear)? - plate;
    let way = if less < mm(0.0) { "more" } else { "less" };
    let (gap, by) = (say::length(unit, plate), say::length(unit, less.abs()));
    Some(format!("Your plate would leave {gap}: {by} {way} than the {}.", rule.word()))
}

#[cfg(test)]
mod tests;
