//! What to do next: the order of work, part by part.
//!
//! Each part of the round is a list of steps ([`super::list`]); the next one is the first that is still open, looking on from the
//! cutter the hand is at and then round again. Nothing is remembered beyond the folded round, so that a resumed
//! round stands at the same cutter.

use super::cutter::Cutter;
use super::event::{Reading, Task, Tool};
use super::fold::{Round, SawLook};
use super::list::{Ask, Step, steps};
use super::phase::Phase;
use crate::stats::belief::Belief;

/// A cutter that is above the tolerance with at most this probability needs no more strokes: where readings scatter as they are assumed
/// to, and where they scatter more (both chosen on simulated loops).
const SURELY_WITHIN: (f64, f64) = (0.045, 0.01);
/// Shares of the tolerance by which a raker may be too high without being filed: as it came, and once it was filed, when a gap that
/// reads so small is as likely the reading's doing (both chosen on simulated loops).
pub(crate) const LEFT_ON: (f64, f64) = (0.7, 0.85);
/// Readings whose variance is this many times what was assumed leave a length within the band in doubt.
const SCATTERS: f64 = 1.5;
/// Rounding in best values, mm.
const SLACK: f64 = 1e-9;

/// The next step of a round.
pub(super) fn next(round: &Round) -> Step {
    let step = |ask| Step { phase: round.phase, cutter: None, ask };
    if round.closed.is_some() {
        return step(Ask::Nothing);
    }
    if round.is_rejected() {
        return step(Ask::Reject);
    }
    match round.phase {
        Phase::Sign => step(Ask::Sign),
        phase => open_step(round, phase).unwrap_or_else(|| step(Ask::Nothing)),
    }
}

/// Goes on to the next part for as long as this one has nothing open.
pub(super) fn advance(round: &mut Round) {
    if let (Phase::Look, Some(back)) = (round.phase, round.back)
        && !round.is_rejected()
        && open_step(round, Phase::Look).is_none()
    {
        round.phase = back;
        round.back = None;
    }
    if let (Some(back), Some(at)) = (round.back, round.at) {
        let of_it = |step: &Step| step.cutter == Some(at) || step.ask == Ask::Target;
        if !steps(round, round.phase).iter().any(|step| of_it(step) && is_open(round, *step)) {
            // Nothing may be left open there either, such as where its last cutter is left short.
            round.phase = back;
            round.back = None;
        }
    }
    while round.phase < Phase::Prove && !round.is_rejected() && open_step(round, round.phase).is_none() {
        round.phase = round.phase.next();
        round.at = None;
    }
    if round.phase == Phase::Prove && round.done.contains(&Task::Proved) {
        round.phase = Phase::Sign;
    }
}

fn open_step(round: &Round, phase: Phase) -> Option<Step> {
    let all = steps(round, phase);
    // A grinder's tasks gate what follows, so its list is always read from the top.
    let gated = round.header.tool == Tool::Grinder && matches!(phase, Phase::First | Phase::Second);
    let from = if gated { 0 } else { all.iter().position(|step| step.cutter == round.at).unwrap_or(0) };
    let (before, after) = all.split_at(from);
    after.iter().chain(before).copied().find(|step| is_open(round, *step))
}

/// True for a step that is still to be answered.
pub(crate) fn is_open(round: &Round, step: Step) -> bool {
    match (step.ask, step.cutter.and_then(|number| round.cutter(number))) {
        (Ask::Look(item), _) => !round.looks.contains_key(&item) || round.look_again.contains(&item),
        (Ask::Saw, _) => round.saw == SawLook::Open,
        (Ask::Do(task), _) => !round.done.contains(&task),
        (Ask::Zero, _) => is_zero_open(round, step.phase),
        (Ask::Target, _) => round.target.is_none() || round.reopened.is_some(),
        (Ask::Rule, _) => round.rule.is_none(),
        (Ask::Read(reading), Some(cutter)) => is_reading_open(round, cutter, reading),
        (Ask::Read(_), None) | (Ask::Nothing | Ask::Reject, _) => false,
        (Ask::Light, _) => round.light.is_none(),
        (Ask::Prove | Ask::Sign, _) => true,
    }
}

/// The closed caliper is asked for before the first length, and at the end where it was read at the start: whoever left it out then
/// is not asked again.
fn is_zero_open(round: &Round, phase: Phase) -> bool {
    let asked = |task| round.done.contains(&task);
    match phase {
        Phase::Measure => !asked(Task::StartZero) && round.cutters.iter().all(|cutter| cutter.before.is_empty()),
        Phase::Prove => !asked(Task::EndZero) && !round.zeros.is_empty(),
        _ => false,
    }
}

fn is_reading_open(round: &Round, cutter: &Cutter, reading: Reading) -> bool {
    if !cutter.is_present() {
        return false;
    }
    if cutter.reopened.contains(&reading) {
        return true;
    }
    if cutter.left_out.contains(&reading) {
        return false;
    }
    match reading {
        Reading::Strokes => cutter.strokes.is_none() || (is_still_long(round, cutter) && cutter.pending_strokes == 0),
        Reading::LengthAfter => cutter.after.is_empty() || is_still_long(round, cutter),
        Reading::GapAfter => is_raker_high(round, cutter),
        // A filed cutter no longer has the length that it came with.
        Reading::LengthBefore => cutter.before.is_empty() && cutter.after.is_empty(),
        other => cutter.taken(other) == 0,
    }
}

/// Filed, and its best value is still above the band that the plan files to, unless it is all but sure to be within tolerance: more
/// strokes, then measure again.
pub(crate) fn is_still_long(round: &Round, cutter: &Cutter) -> bool {
    let (Some(aim), Some(target)) = (round.aim(), &round.target) else { return false };
    let limit = target.length + round.header.spec.length_tolerance;
    // Readings that turn out to scatter more leave more doubt: then filing goes on as far as the middle of the band.
    let scatters = round.hand.noise() > SCATTERS * round.header.trust.length.get().powi(2);
    let (done, risk) = if scatters {
        (f64::midpoint(aim.get(), target.length.get()), SURELY_WITHIN.1)
    } else {
        (aim.get(), SURELY_WITHIN.0)
    };
    let above = |best: Belief| best.mean() > done + SLACK && best.below(limit.get()) < 1.0 - risk;
    !cutter.left_out.contains(&Reading::LengthAfter)
        && cutter.is_matched()
        && round.header.tool == Tool::File
        && !cutter.after.is_empty()
        && cutter.best().is_some_and(above)
}

/// The gap is measured and smaller than its target by more than [`LEFT_ON`] of the tolerance: the raker wants filing. The rest is left
/// to the readings.
pub(crate) fn is_raker_high(round: &Round, cutter: &Cutter) -> bool {
    let left_on = if cutter.gap_after.is_empty() { LEFT_ON.0 } else { LEFT_ON.1 };
    match (cutter.gap(), round.target_gap(cutter)) {
        (Some(gap), Some(target)) => target - gap > round.header.spec.gap_tolerance * left_on,
        _ => false,
    }
}
