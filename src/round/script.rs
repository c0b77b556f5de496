//! What to do next: the order of work, part by part.
//!
//! Each part of the round is a list of steps; the next one is the first that is still open, looking on from the
//! cutter the hand is at and then round again. Nothing is remembered beyond the folded round, so that a resumed
//! round stands at the same cutter.

use crate::chain::CutterNumber;
use crate::stats::belief::Belief;
use serde::{Deserialize, Serialize};

use super::cutter::Cutter;
use super::event::{Header, Reading, Task, Tool};
use super::fold::{Round, SawLook};
use super::look::LookItem;

/// Part of a round, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Look the loop over.
    Look,
    /// Measure the cutters as they came.
    Measure,
    /// Choose the length to file to.
    Plan,
    /// File or grind the first side.
    First,
    /// Turn, and the other side.
    Second,
    /// Set the rakers.
    Rakers,
    /// Prove the loop even.
    Prove,
    /// Sign off.
    Sign,
}

impl Phase {
    /// All parts in order.
    pub const ALL: [Self; 8] =
        [Self::Look, Self::Measure, Self::Plan, Self::First, Self::Second, Self::Rakers, Self::Prove, Self::Sign];

    /// Name on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Look => "look over",
            Self::Measure => "measure",
            Self::Plan => "choose length",
            Self::First => "first side",
            Self::Second => "second side",
            Self::Rakers => "rakers",
            Self::Prove => "prove",
            Self::Sign => "sign off",
        }
    }

    /// Its name where room is short.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Plan => "choose",
            Self::First => "first",
            Self::Second => "second",
            Self::Sign => "sign",
            other => other.word(),
        }
    }

    /// The part whose name begins so; sign-off is never gone to by name.
    pub fn named(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let goable = |phase: &Self| !matches!(phase, Self::Sign);
        Self::ALL.into_iter().filter(goable).find(|phase| !text.is_empty() && phase.word().starts_with(&text))
    }

    fn next(self) -> Self {
        Self::ALL.into_iter().find(|phase| *phase > self).unwrap_or(Self::Sign)
    }
}

/// What is asked of the sharpener.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// Look at this and say what was found.
    Look(LookItem),
    /// Close the caliper's jaws and read it: before the first cutter and after the last.
    Zero,
    /// Look at the saw, or leave it out.
    Saw,
    /// Take this reading.
    Read(Reading),
    /// Do this and confirm.
    Do(Task),
    /// Choose the length to file to.
    Target,
    /// Choose the rule for the raker gap.
    Rule,
    /// Look along the edges against the light.
    Light,
    /// Read the proof; redo or go on.
    Prove,
    /// Sign off.
    Sign,
    /// The loop is rejected: record it.
    Reject,
    /// Nothing: the round has ended.
    Nothing,
}

/// One thing to do, at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// Part of the round.
    pub phase: Phase,
    /// Cutter, where it is about one.
    pub cutter: Option<CutterNumber>,
    /// What is asked.
    pub ask: Ask,
}

/// A cutter that is above the tolerance with at most this probability needs no more strokes.
const SURELY_WITHIN: f64 = 0.01;
/// Rounding in best values, mm.
const SLACK: f64 = 1e-9;

/// How many cutters a grinder's work is checked on: of the second hand before going on, and of each hand at the end.
const GRINDER_CHECK: usize = 2;
const GRINDER_SAMPLE: usize = 3;

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
        let here = script(round, round.phase).into_iter().filter(of_it);
        if !here.into_iter().any(|step| is_open(round, step)) {
            round.phase = back;
            round.back = None;
            return;
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
    let script = script(round, phase);
    // A grinder's tasks gate what follows, so its list is always read from the top.
    let gated = round.header.tool == Tool::Grinder && matches!(phase, Phase::First | Phase::Second);
    let from = if gated { 0 } else { script.iter().position(|step| step.cutter == round.at).unwrap_or(0) };
    let (before, after) = script.split_at(from);
    after.iter().chain(before).copied().find(|step| is_open(round, *step))
}

/// All steps of a part, open or not.
pub(crate) fn script(round: &Round, phase: Phase) -> Vec<Step> {
    let plain = |ask| Step { phase, cutter: None, ask };
    let read = |number: CutterNumber, reading| Step { phase, cutter: Some(number), ask: Ask::Read(reading) };
    let header = &round.header;
    match phase {
        Phase::Look => {
            let saw = (!header.saw.is_empty()).then(|| plain(Ask::Saw));
            header.looks().map(|item| plain(Ask::Look(item))).chain(saw).collect()
        }
        Phase::Measure => {
            let order = round.layout.measuring_order(header.spread);
            let lengths = order.into_iter().map(|number| read(number, Reading::LengthBefore));
            std::iter::once(plain(Ask::Zero)).chain(lengths).collect()
        }
        Phase::Plan => vec![plain(Ask::Target)],
        Phase::First | Phase::Second if header.tool == Tool::Grinder => grinder_script(round, phase),
        Phase::First | Phase::Second => {
            let side = if phase == Phase::First { header.begin } else { header.begin.other() };
            let turn = (phase == Phase::Second).then(|| plain(Ask::Do(Task::SawTurned)));
            let cutters = round.layout.of_side(side);
            let steps = cutters
                .flat_map(|number| readings_of(phase, header).into_iter().map(move |reading| read(number, reading)));
            turn.into_iter().chain(steps).collect()
        }
        Phase::Rakers => {
            let numbers = CutterNumber::up_to(round.layout.count());
            let gaps = numbers.flat_map(|number| [read(number, Reading::GapBefore), read(number, Reading::GapAfter)]);
            std::iter::once(plain(Ask::Rule)).chain(gaps).collect()
        }
        Phase::Prove => {
            let light = header.edges.then(|| plain(Ask::Light));
            [Some(plain(Ask::Zero)), light, Some(plain(Ask::Prove))].into_iter().flatten().collect()
        }
        Phase::Sign => vec![plain(Ask::Sign)],
    }
}

fn grinder_script(round: &Round, phase: Phase) -> Vec<Step> {
    let plain = |ask| Step { phase, cutter: None, ask };
    let readings = readings_of(phase, &round.header);
    let lengths = |numbers: Vec<CutterNumber>| {
        let steps = numbers.into_iter().flat_map(|number| {
            readings.iter().map(move |reading| Step { phase, cutter: Some(number), ask: Ask::Read(*reading) })
        });
        steps.collect::<Vec<_>>()
    };
    // The stop does not reach a cutter that was left short.
    let present = |side| -> Vec<CutterNumber> {
        let there = |n: &CutterNumber| round.cutter(*n).is_some_and(Cutter::is_matched);
        round.layout.of_side(side).filter(there).collect()
    };
    let (first, second) = (present(round.header.begin), present(round.header.begin.other()));
    if phase == Phase::First {
        return vec![plain(Ask::Do(Task::StopSet)), plain(Ask::Do(Task::FirstGround))];
    }
    let check = second.iter().copied().take(GRINDER_CHECK).collect();
    let mut steps = vec![plain(Ask::Do(Task::HeadSwung))];
    steps.extend(lengths(check));
    steps.push(plain(Ask::Do(Task::SecondGround)));
    let checked = |all: &[CutterNumber]| if checks_all(&round.header) { all.to_vec() } else { spread_sample(all) };
    steps.extend(lengths(checked(&first)));
    steps.extend(lengths(checked(&second)));
    // A cutter that was sent back to be ground again is measured too, sampled or not.
    let again = round.cutters.iter().filter(|c| c.reopened.contains(&Reading::LengthAfter)).map(|c| c.number);
    steps.extend(lengths(again.collect()));
    steps
}

/// Who wants all readings has every ground cutter measured, not a sample of them: a grinder has no strokes to ask for.
const fn checks_all(header: &Header) -> bool {
    header.take_strokes && header.take_angles
}

/// A few numbers evenly spread over the list.
fn spread_sample(numbers: &[CutterNumber]) -> Vec<CutterNumber> {
    let take = GRINDER_SAMPLE.min(numbers.len());
    (0..take).filter_map(|i| numbers.get((2 * i + 1) * numbers.len() / (2 * take))).copied().collect()
}

/// The readings asked for at one cutter in a part, in order.
pub(crate) fn readings_of(phase: Phase, header: &Header) -> Vec<Reading> {
    match phase {
        Phase::Measure => vec![Reading::LengthBefore],
        Phase::First | Phase::Second => {
            let by_hand = header.tool == Tool::File;
            let strokes = (header.take_strokes && by_hand).then_some(Reading::Strokes);
            let angle = header.take_angles.then_some(Reading::Angle);
            strokes.into_iter().chain([Reading::LengthAfter]).chain(angle).collect()
        }
        Phase::Rakers => vec![Reading::GapBefore],
        Phase::Look | Phase::Plan | Phase::Prove | Phase::Sign => Vec::new(),
    }
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

/// The closed caliper is asked for before the first length, and at the end where it was read at the start: who left it out then
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
    let above = |best: Belief| best.mean() > aim.get() + SLACK && best.below(limit.get()) < 1.0 - SURELY_WITHIN;
    !cutter.left_out.contains(&Reading::LengthAfter)
        && cutter.is_matched()
        && round.header.tool == Tool::File
        && !cutter.after.is_empty()
        && cutter.best().is_some_and(above)
}

/// The gap is measured and smaller than its target by more than half the tolerance: the raker wants filing. The other half is left
/// to the readings.
pub(crate) fn is_raker_high(round: &Round, cutter: &Cutter) -> bool {
    match (cutter.gap(), round.target_gap(cutter)) {
        (Some(gap), Some(target)) => target - gap > round.header.spec.gap_tolerance * 0.5,
        _ => false,
    }
}
