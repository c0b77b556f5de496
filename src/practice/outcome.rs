//! What was true, and how near the decisions came to it.

use super::Practice;
use crate::advice::forecast;
use crate::advice::plan::{self, Candidate, PlanOption};
use crate::chain::{CutterNumber, nth};
use crate::coach::Coach;
use crate::round::{Closing, CutterState};
use crate::units::{Millimetres, Unit, mm};

/// A cutter that was hit before it came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Struck {
    /// Which.
    pub cutter: CutterNumber,
    /// It was left short or marked damaged.
    pub found: bool,
}

/// How the decisions of a round of practice stand to the truth. Lengths are true ones, not readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Unit that it is told in.
    pub unit: Unit,
    /// The dice of this loop.
    pub seed: u32,
    /// Cutters of the loop.
    pub cutters: usize,
    /// It was signed off; else it was ended before.
    pub signed: bool,
    /// The length chosen, where one was.
    pub target: Option<Millimetres>,
    /// Cutters left short, by choice or later.
    pub left_short: Vec<CutterNumber>,
    /// What the plan would have been, had each length been known exactly.
    pub best: Option<PlanOption>,
    /// Cutters that had been hit.
    pub struck: Vec<Struck>,
    /// Cutters left short or marked damaged that had not been hit.
    pub blamed: Vec<CutterNumber>,
    /// Readings taken.
    pub readings: u32,
    /// Steel that came off all cutters together.
    pub lost: Millimetres,
    /// Cutters to be matched.
    pub matched: usize,
    /// Of them, truly within the length tolerance of the length chosen.
    pub in_tolerance: usize,
    /// The one that is farthest off, and by how much.
    pub worst: Option<(CutterNumber, Millimetres)>,
    /// The length tolerance.
    pub tolerance: Millimetres,
    /// Of them, with a raker gap truly within its tolerance of what the rule asks for there; none before a rule was chosen.
    pub rakers: Option<usize>,
    /// Of those that are not, too low: steel that does not come back.
    pub too_low: usize,
    /// The gap tolerance.
    pub gap_tolerance: Millimetres,
}

impl Outcome {
    pub(super) fn of(practice: &Practice, coach: &Coach) -> Self {
        let round = &coach.round;
        let spec = &round.header.spec;
        let (came, truth) = (&practice.came, &practice.shop.truth);
        let length = |number: CutterNumber| mm(truth.length(number.get()));
        let blamed = |number: CutterNumber| {
            let state = round.cutter(number).map(|cutter| cutter.state);
            state.is_some_and(|state| state != CutterState::Kept)
        };
        let numbers = || (1..).zip(came.teeth()).map(|(number, tooth)| (nth(number), tooth));
        let struck = numbers().filter(|(_, tooth)| tooth.struck);
        let target = round.target.as_ref().map(|target| target.length);
        let matched: Vec<CutterNumber> = round.matched().map(|cutter| cutter.number).collect();
        let off = |number: CutterNumber| target.map(|target| length(number) - target);
        let offs: Vec<(CutterNumber, Millimetres)> =
            matched.iter().filter_map(|one| Some((*one, off(*one)?))).collect();
        let gap_off = |number: CutterNumber| {
            let wanted = spec.target_gap(round.rule?, round.header.wood, spec.wear(length(number)))?;
            Some(mm(truth.gap(number.get())) - wanted)
        };
        let gaps: Vec<Millimetres> = matched.iter().filter_map(|number| gap_off(*number)).collect();
        Self {
            unit: round.header.units,
            seed: practice.set.seed,
            cutters: came.count(),
            signed: round.closed == Some(Closing::Signed),
            target,
            left_short: numbers().map(|(number, _)| number).filter(|number| blamed(*number)).collect(),
            best: best(practice, coach),
            struck: struck.map(|(cutter, _)| Struck { cutter, found: blamed(cutter) }).collect(),
            blamed: numbers().filter(|(number, tooth)| !tooth.struck && blamed(*number)).map(|(one, _)| one).collect(),
            readings: practice.readings,
            lost: numbers().map(|(number, tooth)| mm(tooth.length) - length(number)).sum(),
            in_tolerance: offs.iter().filter(|(_, off)| off.abs() <= spec.length_tolerance).count(),
            worst: offs.iter().copied().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())),
            tolerance: spec.length_tolerance,
            rakers: round.rule.map(|_| gaps.iter().filter(|off| off.abs() <= spec.gap_tolerance).count()),
            too_low: gaps.iter().filter(|off| **off > spec.gap_tolerance).count(),
            gap_tolerance: spec.gap_tolerance,
            matched: matched.len(),
        }
    }
}

/// The plan over exact lengths, as the loop came.
fn best(practice: &Practice, coach: &Coach) -> Option<PlanOption> {
    let round = &coach.round;
    let spec = &round.header.spec;
    let exact = |(cutter, tooth): (&crate::round::Cutter, &crate::sim::Tooth)| Candidate {
        number: cutter.number,
        side: cutter.side,
        length: mm(tooth.length),
        need: spec.need,
        u: mm(0.0),
        readings: 1,
    };
    let candidates: Vec<Candidate> = round.cutters.iter().zip(practice.came.teeth()).map(exact).collect();
    let typical = forecast::typical(&coach.findings().forecast.wear, spec.need);
    let (mut options, _) = plan::options(&candidates, spec, &round.layout, 0, typical);
    let at = plan::recommend(&options, typical)?;
    Some(options.swap_remove(at))
}
