//! Rakers: what the gap will be after the tooth was filed, which rakers need a file at all, and what a raker filed too low
//! asks for.

use super::CutterFinding;
use super::now::Now;
use super::skill::Skill;
use super::verdict::{self, GapWord, Judged, Known, Off};
use crate::chain::{Rule, Spec, geometry};
use crate::round::{Cutter, Past, Reading, Round, script};
use crate::stats::belief::{Belief, Expected, Kin, kin};
use crate::stats::conformity::{GUARD, Verdict};
use crate::stats::quantile::normal_cdf;
use crate::units::{Degrees, Millimetres, mm};

/// Where a gap is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Measured, and the tooth was not filed since.
    Measured,
    /// Measured in this round, before the tooth was filed again.
    Earlier,
    /// From the gap that the last round left.
    LastRound,
}

/// A gap with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The gap.
    pub gap: Millimetres,
    /// Standard uncertainty.
    pub u: Millimetres,
    /// Where from.
    pub basis: Basis,
}

impl Gap {
    /// How far it lies above the largest that the loop may have, in standard uncertainties.
    fn over(&self, spec: &Spec) -> f64 {
        (self.gap - spec.gap_max).get() / self.u.get()
    }

    /// Measured, and larger than the loop may have at most, with the same risk as a verdict: such a raker is no matter of a
    /// rule any more.
    pub(crate) fn is_proven_over(&self, spec: &Spec) -> bool {
        self.basis == Basis::Measured && spec.is_over(self.gap) && self.over(spec) > GUARD
    }
}

/// What to do at a raker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Nothing: its gap is right.
    Leave,
    /// File it down.
    File,
    /// It is too low. Steel cannot be put back: file the tooth, or mark the cutter.
    TooLow,
    /// Measure the gap.
    Measure,
}

/// How a raker filed too low can be brought right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recovery {
    /// Length to file off the tooth.
    pub tooth: Millimetres,
    /// Length it would have then.
    pub length: Millimetres,
    /// That length is above the witness mark.
    pub possible: bool,
    /// That length is still within tolerance of the target.
    pub stays_even: bool,
}

/// Advice for one raker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RakerAdvice {
    /// Gap to set by the rule in force; none while the cutter's length is needed and unknown.
    pub target: Option<Millimetres>,
    /// Gap as measured or predicted.
    pub gap: Option<Gap>,
    /// What to do.
    pub act: Act,
    /// Steel to take off the raker.
    pub steel: Millimetres,
    /// What to take at once: a little less.
    pub take: Millimetres,
    /// Where the raker is too low.
    pub recovery: Option<Recovery>,
    /// Where it is too low for the fixed gap past the changeover and right by the wear-scaled one: that gap.
    pub scaled_fits: Option<Millimetres>,
    /// Bite angle at that gap.
    pub bite: Option<Degrees>,
    /// The gap is measured, and proven larger than the loop may have at most.
    pub over: bool,
    /// It reads right, and may be too low all the same: the geometry that its target rests on is not measured.
    pub on_edge: bool,
}

/// The gap of a cutter now: measured, or predicted by `g - x tan(beta)` from the last gap known and the length `x` filed
/// since. `at_gap` is the length at which it was last measured in this round.
pub fn gap_now(
    cutter: &Cutter,
    now: Option<Now>,
    at_gap: Option<Millimetres>,
    past: &Past,
    spec: &Spec,
    skill: &Skill,
) -> Option<Gap> {
    let count = if cutter.gap_after.is_empty() { cutter.gap_before.count() } else { cutter.gap_after.count() };
    match cutter.gap() {
        Some(gap) if !cutter.gap_stale => Some(Gap { gap, u: skill.gap_u(count), basis: Basis::Measured }),
        Some(gap) => predict((gap, skill.gap_u(count)), at_gap?, now?, Basis::Earlier, spec, skill),
        None => {
            let last = past.last_of(cutter.number)?;
            predict((last.gap?, skill.gap_u(1)), last.length?, now?, Basis::LastRound, spec, skill)
        }
    }
}

fn predict(
    (gap, u): (Millimetres, Millimetres),
    from: Millimetres,
    now: Now,
    basis: Basis,
    spec: &Spec,
    skill: &Skill,
) -> Option<Gap> {
    let filed = from - now.length;
    let fall = spec.fall();
    // d tan(beta) / d beta = 1 + tan^2(beta)
    let u_fall = (1.0 + fall * fall) * spec.known.back_slope.u.radians();
    let u_filed = skill.length_u(1).get().hypot(skill.length_u(now.readings).get());
    let left = spec.gap_after_filing(gap, filed);
    let longer = filed.get() < -3.0 * u_filed;
    // A cutter longer than it was is another cutter: nothing can be predicted for it.
    (!longer).then(|| Gap { gap: left, u: mm(u.get().hypot(filed.get() * u_fall).hypot(fall * u_filed)), basis })
}

/// How far gaps that one hand set differ from each other, before they are read, mm.
const SET: Expected = Expected { sd: 0.04, values: 4.0, least: 0.02 };
/// Chance that a raker does not belong to the rest, and how far such a one may be off, mm (standard deviation).
const ODD: (f64, f64) = (0.05, 0.2);
/// Fewer gaps tell nothing of the others.
const FEWEST: usize = 5;
/// This much of the tolerance is left on a raker that is filed, and this much of what its target may be off through the geometry (both
/// chosen on simulated loops).
const CARE: (f64, f64) = (0.3, 0.3);
/// A raker that reads right is told of where it is too low with more than this probability, the geometry's own doubt counted in.
const RISK_EDGE: f64 = 0.05;
/// A raker is good only where it is too low with at most this probability: steel cannot be put back.
const RISK_LOW: f64 = 0.005;

/// What the rakers of the loop have in common: how far their gaps are off, as measured.
pub(super) fn process(round: &Round, rule: Rule, skill: &Skill) -> Option<Kin> {
    let known = round.cutters.iter().filter(|cutter| cutter.is_present() && !cutter.gap_stale);
    let off: Vec<f64> = known.filter_map(|cutter| Some((cutter.gap()? - round.gap_by(rule, cutter)?).get())).collect();
    kin(&off, skill.gap_u(1).get().powi(2), SET, FEWEST)
}

/// How far a gap is off, by reading and process.
fn off_target(gap: Gap, target: Millimetres, process: Option<Kin>) -> Belief {
    let (off, noise) = ((gap.gap - target).get(), gap.u.get().powi(2));
    match process {
        Some(kin) => Belief::new(kin.middle, kin.variance, ODD.0, ODD.1.powi(2)).read(off, noise),
        None => Belief::new(off, noise, 0.0, noise),
    }
}

/// Gap verdict, by reading and process. A gap measured before the tooth was filed again is judged as it is predicted from then on; one
/// of the last round is not.
pub(super) fn judge(
    cutter: &Cutter,
    gap: Option<Gap>,
    target: Option<Millimetres>,
    round: &Round,
    now: Option<Now>,
    (skill, rule, process): (&Skill, Rule, Option<Kin>),
) -> Judged<GapWord> {
    let (Some(gap), Some(target)) = (gap.filter(|gap| gap.basis != Basis::LastRound), target) else {
        return Judged::nothing(GapWord::Unmeasured);
    };
    let tolerance = round.header.spec.gap_tolerance;
    let off = (gap.gap - target).get();
    let known = off_target(gap, target, process).less(0.0, target_u(round, rule, now, skill).powi(2));
    let judged = verdict::gap_known(Known::new(off, known, skill.gap_u(1).get().powi(2)), tolerance);
    let low = 1.0 - known.below(tolerance.get());
    let judged = if judged.word == GapWord::Good && low > RISK_LOW {
        let worth_again = cutter.gap_after.count() + cutter.gap_before.count() > 0;
        Judged { word: GapWord::Again, worth_again, ..judged }
    } else {
        judged
    };
    let judged = under_cap(judged, gap, &round.header.spec);
    // Filing goes on: the next reading comes by itself.
    let goes_on = script::is_raker_high(round, cutter) && !cutter.was_left_out(Reading::GapAfter);
    Judged { worth_again: judged.worth_again && !goes_on, ..judged }
}

/// The largest gap allowed bounds one side only: one that reads above it is never good, and too low once that is proven. At the
/// limit itself a gap may stand, because that is the figure to be set.
fn under_cap(judged: Judged<GapWord>, gap: Gap, spec: &Spec) -> Judged<GapWord> {
    if !spec.is_over(gap.gap) || judged.word == GapWord::Low {
        return judged;
    }
    let word = if gap.is_proven_over(spec) { GapWord::Low } else { GapWord::Again };
    let within = normal_cdf(-gap.over(spec));
    let conformity = judged.conformity.map(|p| p.min(within));
    Judged { word, conformity, worth_again: word == GapWord::Again, ..judged }
}

/// Standard uncertainty of the target gap that comes with the cutter's length, mm.
pub(super) fn target_u(round: &Round, rule: Rule, now: Option<Now>, skill: &Skill) -> f64 {
    let spec = &round.header.spec;
    let rises = match rule {
        Rule::Scaled => spec.reach_growth() * spec.bite_new(round.header.wood).radians().tan(),
        Rule::Fixed | Rule::Plate | Rule::Setting => 0.0,
    };
    now.map_or(0.0, |now| rises * skill.length_u(now.readings).get())
}

/// Standard uncertainty of the target gap that comes with the geometry, mm.
fn geometry_u(round: &Round, rule: Rule, now: Option<Now>) -> f64 {
    let spec = &round.header.spec;
    match rule {
        Rule::Scaled => now.map_or(0.0, |now| spec.scaled_gap_u(round.header.wood, spec.wear(now.length)).get()),
        Rule::Fixed | Rule::Plate | Rule::Setting => 0.0,
    }
}

/// Advice for one raker.
pub fn advise(
    gap: Option<Gap>,
    target: Option<Millimetres>,
    now: Option<Now>,
    round: &Round,
    (rule, process): (Rule, Option<Kin>),
) -> RakerAdvice {
    let spec = &round.header.spec;
    let reach = now.map(|now| spec.reach(spec.wear(now.length)));
    let bite = gap.zip(reach).map(|(gap, reach)| geometry::bite_angle(gap.gap, reach));
    let over = gap.is_some_and(|gap| gap.is_proven_over(spec));
    let mut advice = RakerAdvice {
        target,
        gap,
        act: Act::Measure,
        steel: mm(0.0),
        take: mm(0.0),
        recovery: None,
        scaled_fits: None,
        bite,
        over,
        on_edge: false,
    };
    let (Some(gap), Some(target)) = (gap, target) else { return advice };
    let tolerance = spec.gap_tolerance;
    let excess = gap.gap - target;
    let geometry = geometry_u(round, rule, now);
    let off = Off { by: excess.get(), u: gap.u.get(), u_next: gap.u.get(), shift: 0.0 };
    let (verdict, ..) = off.judge(tolerance.get());
    advice.act = match gap.basis {
        // What was measured is acted on as it reads; the verdict beside it says how sure that is.
        Basis::Measured if excess > tolerance || spec.is_over(gap.gap) => Act::TooLow,
        Basis::Measured if excess < -tolerance * script::LEFT_ON.0 => Act::File,
        Basis::Measured => Act::Leave,
        // What is only predicted spares the measuring where it is proven right, and nothing else.
        Basis::Earlier | Basis::LastRound if verdict == Verdict::Inside && !spec.is_over(gap.gap) => Act::Leave,
        Basis::Earlier | Basis::LastRound => Act::Measure,
    };
    if advice.act != Act::TooLow {
        advice.steel = (-excess).max(mm(0.0));
        // A little less than it reads: what a file takes beyond that cannot be put back.
        advice.take = (-excess - tolerance * CARE.0 - mm(CARE.1 * geometry)).max(mm(0.0));
        let known = off_target(gap, target, process).less(0.0, geometry.powi(2));
        let reads_right = gap.basis == Basis::Measured && geometry > 0.0;
        advice.on_edge = reads_right && known.below(tolerance.get()) < 1.0 - RISK_EDGE;
    }
    if advice.act == Act::TooLow {
        advice.recovery = recovery(excess, now, round);
        advice.scaled_fits = now.and_then(|now| scaled_that_fits(gap.gap, now, round));
    }
    advice
}

/// The wear-scaled gap of a cutter past the changeover, where the fixed rule is in force and the gap is within tolerance of it.
fn scaled_that_fits(gap: Millimetres, now: Now, round: &Round) -> Option<Millimetres> {
    let (spec, wood) = (&round.header.spec, round.header.wood);
    let wear = spec.wear(now.length);
    let past = round.rule_in_force() == Rule::Fixed && wear >= spec.worth_wear(wood) && !spec.is_held(wood);
    let scaled = spec.scaled_gap(wood, wear);
    let fits = (gap - scaled).abs() <= spec.gap_tolerance && !spec.is_over(gap);
    (past && fits).then_some(scaled)
}

fn recovery(excess: Millimetres, now: Option<Now>, round: &Round) -> Option<Recovery> {
    let spec = &round.header.spec;
    let before = now?.length;
    let wear = spec.wear(before);
    let tooth = spec.tooth_to_restore(round.rule_in_force(), round.header.wood, wear, excess);
    let length = before - tooth;
    let target = round.target.as_ref().map_or(before, |target| target.length);
    Some(Recovery {
        tooth,
        length,
        possible: !spec.at_mark(length),
        stays_even: target - length <= spec.length_tolerance,
    })
}

/// Set while a tooth is being filed back to a raker that was filed too low.
pub(crate) fn tooth_back(cutter: &Cutter, found: &CutterFinding) -> Option<Recovery> {
    let filing = [Reading::Strokes, Reading::LengthAfter].into_iter().any(|reading| cutter.is_reopened(reading));
    let wanted =
        filing && !cutter.after.is_empty() && found.gap.word == GapWord::Low && found.raker.scaled_fits.is_none();
    found.raker.recovery.filter(|recovery| wanted && recovery.possible)
}

/// Which round file to take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FileAdvice {
    /// Diameter.
    pub diameter: Millimetres,
    /// How far its top stands above the top plate: one fifth of the diameter.
    pub above: Millimetres,
    /// Wedge it leaves there along the chain.
    pub wedge: Degrees,
    /// Share of its diameter that it would stand above the plate, were it held as deep in the gullet as when this size was
    /// first right: the cutter has got lower since.
    pub share_if_kept: f64,
    /// The size that the last round was filed with, where another is right now.
    pub instead_of: Option<Millimetres>,
}

impl FileAdvice {
    /// Held as deep as at first it would stand above the plate by more than three tenths, which leaves a blunt wedge (66 deg).
    pub fn stands_too_high(&self) -> bool {
        self.share_if_kept > 0.3
    }
}

/// The file for cutters of this length; `last` is the length at which the last round was filed.
///
/// Source: one fifth above the top plate, operator manuals; wedge `acos(1 - 2 e / D)`, plain geometry.
pub fn file_size(
    spec: &Spec,
    top_plate: Degrees,
    length: Millimetres,
    last: Option<Millimetres>,
) -> Option<FileAdvice> {
    let step = spec.file_for(length)?;
    let diameter = step.diameter;
    let above = diameter * 0.2;
    let wedge = geometry::wedge(diameter, above)?;
    let began = spec.usable() * step.from_life;
    let sunk = spec.tip_drop(spec.wear(length) - began).max(mm(0.0));
    let last = last.and_then(|last| spec.file_for(last)).map(|step| step.diameter);
    Some(FileAdvice {
        diameter,
        above,
        wedge: geometry::wedge_along_chain(wedge, top_plate),
        share_if_kept: (above + sunk) / diameter,
        instead_of: last.filter(|last| (*last - diameter).abs().get() > 1e-6),
    })
}

#[cfg(test)]
mod tests;
