//! The list of steps of each part.
//!
//! What is asked in a part rests on the intake alone, so the lists are made once per round; only a grinder's depend on what came
//! of its work. Which steps are still open is known to [`super::script`].

use std::borrow::Cow;
use std::sync::Arc;

use super::cutter::Cutter;
use super::event::{Header, Reading, Task, Tool};
use super::fold::Round;
use super::look::LookItem;
use super::phase::Phase;
use crate::chain::{CutterNumber, Layout, Side};

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

/// How many cutters a grinder's work is checked on: of the second hand before going on, and of each hand at the end.
const GRINDER_CHECK: usize = 2;
const GRINDER_SAMPLE: usize = 3;

/// The steps of every part, in the order of [`Phase::ALL`], open or not; those of a grinder's filing parts stand apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Lists(Arc<[Vec<Step>; Phase::ALL.len()]>);

impl Lists {
    /// Of a round with this intake.
    pub(super) fn new(header: &Header, layout: &Layout) -> Self {
        Self(Arc::new(Phase::ALL.map(|phase| of_intake(header, layout, phase))))
    }
}

/// All steps of a part, open or not.
pub(crate) fn steps(round: &Round, phase: Phase) -> Cow<'_, [Step]> {
    if round.header.tool == Tool::Grinder && matches!(phase, Phase::First | Phase::Second) {
        return Cow::Owned(ground(round, phase));
    }
    Cow::Borrowed(&round.lists.0[phase as usize])
}

fn of_intake(header: &Header, layout: &Layout, phase: Phase) -> Vec<Step> {
    let plain = |ask| Step { phase, cutter: None, ask };
    let read = |number: CutterNumber, reading| Step { phase, cutter: Some(number), ask: Ask::Read(reading) };
    match phase {
        Phase::Look => {
            let saw = (!header.saw.is_empty()).then(|| plain(Ask::Saw));
            header.looks().map(|item| plain(Ask::Look(item))).chain(saw).collect()
        }
        Phase::Measure => {
            let order = layout.measuring_order(header.spread);
            let lengths = order.into_iter().map(|number| read(number, Reading::LengthBefore));
            std::iter::once(plain(Ask::Zero)).chain(lengths).collect()
        }
        Phase::Plan => vec![plain(Ask::Target)],
        Phase::First | Phase::Second => {
            let side = if phase == Phase::First { header.begin } else { header.begin.other() };
            let turn = (phase == Phase::Second).then(|| plain(Ask::Do(Task::SawTurned)));
            let readings = readings_of(phase, header);
            let at = |number| readings.iter().map(move |reading| read(number, *reading));
            turn.into_iter().chain(layout.of_side(side).flat_map(at)).collect()
        }
        Phase::Rakers => {
            let numbers = CutterNumber::up_to(layout.count());
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

fn ground(round: &Round, phase: Phase) -> Vec<Step> {
    let plain = |ask| Step { phase, cutter: None, ask };
    let readings = readings_of(phase, &round.header);
    let lengths = |numbers: Vec<CutterNumber>| {
        let steps = numbers.into_iter().flat_map(|number| {
            readings.iter().map(move |reading| Step { phase, cutter: Some(number), ask: Ask::Read(*reading) })
        });
        steps.collect::<Vec<_>>()
    };
    // The stop does not reach a cutter that was left short.
    let present = |side: Side| -> Vec<CutterNumber> {
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

/// Whoever wants all readings has every ground cutter measured, not a sample of them: a grinder has no strokes to ask for.
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
