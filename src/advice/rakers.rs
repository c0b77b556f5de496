//! Rakers: what the gap will be after the tooth was filed, which rakers need a file at all, and what a raker filed too low
//! asks for.

use super::now::Now;
use super::skill::Skill;
use super::verdict::{self, GapWord, Judged, Off};
use crate::chain::{Rule, Spec, geometry};
use crate::round::{Cutter, Past, Round};
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

/// A gap with its standard uncertainty, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The gap.
    pub mm: f64,
    /// Standard uncertainty.
    pub u: f64,
    /// Where from.
    pub basis: Basis,
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
    /// Length to file off the tooth, mm.
    pub tooth_mm: f64,
    /// Length it would have then, mm.
    pub length_mm: f64,
    /// That length is above the witness mark.
    pub possible: bool,
    /// That length is still within tolerance of the target.
    pub stays_even: bool,
}

/// Advice for one raker. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RakerAdvice {
    /// Gap to set by the rule in force; none while the cutter's length is needed and unknown.
    pub target_mm: Option<f64>,
    /// Gap as measured or predicted.
    pub gap: Option<Gap>,
    /// What to do.
    pub act: Act,
    /// Steel to take off the raker.
    pub steel_mm: f64,
    /// Where the raker is too low.
    pub recovery: Option<Recovery>,
    /// Bite angle at that gap, degrees.
    pub bite_deg: Option<f64>,
}

/// The gap of a cutter now: measured, or predicted by `g - x tan(beta)` from the last gap known and the length `x` filed
/// since. `at_gap_mm` is the length at which it was last measured in this round.
pub fn gap_now(
    cutter: &Cutter,
    now: Option<Now>,
    at_gap_mm: Option<f64>,
    past: &Past,
    spec: &Spec,
    skill: &Skill,
) -> Option<Gap> {
    let count = if cutter.gap_after.is_empty() { cutter.gap_before.count() } else { cutter.gap_after.count() };
    match cutter.gap() {
        Some(mm) if !cutter.gap_stale => Some(Gap { mm, u: skill.gap_u(count), basis: Basis::Measured }),
        Some(mm) => predict((mm, skill.gap_u(count)), at_gap_mm?, now?, Basis::Earlier, spec, skill),
        None => {
            let last = past.last_of(cutter.number)?;
            predict((last.gap_mm?, skill.gap_u(1)), last.length_mm?, now?, Basis::LastRound, spec, skill)
        }
    }
}

fn predict((gap, u): (f64, f64), from_mm: f64, now: Now, basis: Basis, spec: &Spec, skill: &Skill) -> Option<Gap> {
    let filed = from_mm - now.mm;
    let fall = spec.fall();
    // d tan(beta) / d beta = 1 + tan^2(beta)
    let u_fall = (1.0 + fall * fall) * spec.known.back_slope.u.to_radians();
    let u_filed = skill.length_u(1).hypot(skill.length_u(now.readings));
    let mm = spec.gap_after_filing(mm(gap), mm(filed)).get();
    let longer = filed < -3.0 * u_filed;
    // A cutter longer than it was is another cutter: nothing can be predicted for it.
    (!longer).then(|| Gap { mm, u: u.hypot(filed * u_fall).hypot(fall * u_filed), basis })
}

/// Gap verdict. A gap measured before the tooth was filed again is to be measured again.
pub fn judge(
    cutter: &Cutter,
    gap: Option<Gap>,
    target_mm: Option<f64>,
    round: &Round,
    now: Option<Now>,
    skill: &Skill,
) -> Judged<GapWord> {
    let (Some(gap), Some(target)) = (gap, target_mm) else { return Judged::nothing(GapWord::Unmeasured) };
    let tolerance = round.header.spec.gap_tolerance.get();
    let u_target = target_u(round, now, skill);
    match gap.basis {
        Basis::LastRound => Judged::nothing(GapWord::Unmeasured),
        Basis::Earlier => {
            let off = Off { by: gap.mm - target, u: gap.u.hypot(u_target), u_next: gap.u, shift: 0.0 };
            let (_, conformity, _) = off.judge(tolerance);
            Judged { word: GapWord::Again, off_by: Some(off.by), conformity: Some(conformity), worth_again: true }
        }
        Basis::Measured => {
            let count = if cutter.gap_after.is_empty() { cutter.gap_before.count() } else { cutter.gap_after.count() };
            verdict::gap(Off::new(gap.mm - target, count, |n| skill.gap_u(n), u_target), tolerance)
        }
    }
}

/// Standard uncertainty of the target gap that comes with the cutter's length, mm.
fn target_u(round: &Round, now: Option<Now>, skill: &Skill) -> f64 {
    let spec = &round.header.spec;
    let rises = match round.rule_in_force() {
        Rule::Scaled => spec.reach_growth() * spec.bite_new(round.header.wood).radians().tan(),
        Rule::Fixed | Rule::Plate | Rule::Setting => 0.0,
    };
    now.map_or(0.0, |now| rises * skill.length_u(now.readings))
}

/// Advice for one raker.
pub fn advise(gap: Option<Gap>, target_mm: Option<f64>, now: Option<Now>, round: &Round) -> RakerAdvice {
    let spec = &round.header.spec;
    let reach = now.map(|now| spec.reach(spec.wear(mm(now.mm))));
    let bite_deg = gap.zip(reach).map(|(gap, reach)| geometry::bite_angle(mm(gap.mm), reach).get());
    let mut advice = RakerAdvice { target_mm, gap, act: Act::Measure, steel_mm: 0.0, recovery: None, bite_deg };
    let (Some(gap), Some(target)) = (gap, target_mm) else { return advice };
    let tolerance = spec.gap_tolerance.get();
    let excess = gap.mm - target;
    let (verdict, ..) = Off { by: excess, u: gap.u, u_next: gap.u, shift: 0.0 }.judge(tolerance);
    advice.act = match gap.basis {
        // What was measured is acted on as it reads; the verdict beside it says how sure that is.
        Basis::Measured if excess > tolerance => Act::TooLow,
        Basis::Measured if excess < -tolerance => Act::File,
        Basis::Measured => Act::Leave,
        // What is only predicted spares the measuring where it is proven right, and nothing else.
        Basis::Earlier | Basis::LastRound if verdict == crate::stats::conformity::Verdict::Inside => Act::Leave,
        Basis::Earlier | Basis::LastRound => Act::Measure,
    };
    if advice.act != Act::TooLow {
        advice.steel_mm = (-excess).max(0.0);
    }
    advice.recovery = (advice.act == Act::TooLow).then(|| recovery(excess, now, round)).flatten();
    advice
}

fn recovery(excess: f64, now: Option<Now>, round: &Round) -> Option<Recovery> {
    let spec = &round.header.spec;
    let length = now?.mm;
    let wear = spec.wear(mm(length));
    let tooth_mm = spec.tooth_to_restore(round.rule_in_force(), round.header.wood, wear, mm(excess)).get();
    let length_mm = length - tooth_mm;
    let target = round.target.as_ref().map_or(length, |target| target.length.get());
    Some(Recovery {
        tooth_mm,
        length_mm,
        possible: !spec.at_mark(mm(length_mm)),
        stays_even: target - length_mm <= spec.length_tolerance.get(),
    })
}

/// Which round file to take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FileAdvice {
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// How far its top stands above the top plate: one fifth of the diameter, mm.
    pub above_mm: f64,
    /// Wedge it leaves there along the chain, degrees.
    pub wedge_deg: f64,
    /// Share of its diameter that it would stand above the plate, were it held as deep in the gullet as when this size was
    /// first right: the cutter has got lower since.
    pub share_if_kept: f64,
    /// The size that the last round was filed with, where another is right now, mm.
    pub instead_of_mm: Option<f64>,
}

impl FileAdvice {
    /// Held as deep as at first it would stand above the plate by more than three tenths, which leaves a blunt wedge (66 deg).
    pub fn stands_too_high(&self) -> bool {
        self.share_if_kept > 0.3
    }
}

/// The file for cutters of this length; `last_mm` is the length at which the last round was filed.
///
/// Source: one fifth above the top plate, operator manuals; wedge `acos(1 - 2 e / D)`, plain geometry.
pub fn file_size(spec: &Spec, top_plate: Degrees, length_mm: f64, last_mm: Option<f64>) -> Option<FileAdvice> {
    let step = spec.file_for(mm(length_mm))?;
    let diameter = step.diameter;
    let above = diameter * 0.2;
    let wedge = geometry::wedge(diameter, above)?;
    let began = Millimetres::new(step.from_life * spec.usable().get());
    let sunk = spec.tip_drop(spec.wear(mm(length_mm)) - began).max(mm(0.0));
    let last = last_mm.and_then(|last| spec.file_for(mm(last))).map(|step| step.diameter.get());
    Some(FileAdvice {
        diameter_mm: diameter.get(),
        above_mm: above.get(),
        wedge_deg: geometry::wedge_along_chain(wedge, top_plate).get(),
        share_if_kept: (above + sunk).get() / diameter.get(),
        instead_of_mm: last.filter(|last| (last - diameter.get()).abs() > 1e-6),
    })
}

#[cfg(test)]
mod tests;
