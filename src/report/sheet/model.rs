//! What a sheet says, as plain values under the names of its JSON. Names are fixed: add, never rename.
//!
//! Lengths in mm, angles in degrees, shares and probabilities from 0 to 1; what is not known is `None` and `null`.

use serde::Serialize;

use crate::chain::{CutterNumber, Origin, Rule, Sequence, Side, Spec, Wood};
use crate::report::data::Number;
use crate::report::saw::FaultRow;
use crate::round::{Closing, CutterState, Finding, LookItem, Reading, Tool};
use crate::saw::Grade;
use crate::units::Unit;

/// The report of one round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    #[serde(rename = "loop")]
    pub(super) tag: String,
    pub(super) profile: String,
    pub(super) round: RoundPart,
    pub(super) sharpener: String,
    /// How lengths were typed and are shown; the numbers here are mm whatever it says.
    pub(super) units: Unit,
    pub(super) cutters: Vec<CutterPart>,
    pub(super) evenness: EvennessPart,
    pub(super) balance: BalancePart,
    pub(super) drift: DriftPart,
    pub(super) plan: PlanPart,
    pub(super) changeover: ChangeoverPart,
    pub(super) forecast: ForecastPart,
    pub(super) cautions: Vec<String>,
    pub(super) card: Option<CardPart>,
    pub(super) angles: AnglesPart,
    pub(super) rakers: RakersPart,
    pub(super) file: Option<FilePart>,
    pub(super) flags: Vec<FlagPart>,
    pub(super) not_measured: Vec<NotMeasured>,
    pub(super) worst: Option<Worst>,
    pub(super) geometry: GeometryPart,
    /// What is known of the saw; absent where nothing is.
    pub(super) saw: Option<SawPart>,
    /// How many of the cautions this round calls for; the others always stand.
    #[serde(skip)]
    pub(super) own_cautions: usize,
    #[serde(skip)]
    pub(super) spec: Spec,
}

/// The loop's card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct CardPart {
    pub name: String,
    pub owner: Option<String>,
    pub saw: Option<String>,
    pub start_mark: Option<String>,
    pub scrapped: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct RoundPart {
    pub started: String,
    /// When it was closed.
    pub ended: Option<String>,
    pub how: Option<Closing>,
    /// Part of the round it stands at, while it is open.
    pub phase: Option<&'static str>,
    pub tool: Tool,
    pub wood: Wood,
    pub rule: Option<Rule>,
    pub target_mm: Option<Number>,
    /// The target is the one that was recommended.
    pub target_recommended: Option<bool>,
    /// Minutes at the bench, pauses left out.
    pub minutes: Option<Number>,
    pub strokes: Option<u32>,
    pub links: u16,
    pub sequence: Sequence,
    pub median_before_mm: Option<Number>,
    pub median_after_mm: Option<Number>,
    pub spread_before_mm: Option<Number>,
    pub spread_after_mm: Option<Number>,
    pub removed: Option<RemovedPart>,
    pub looks: Vec<LookPart>,
    pub notes: Vec<String>,
    /// What the closed caliper showed.
    pub zeros_mm: Vec<Number>,
    /// Readings left out on purpose.
    pub left_out: Vec<LeftOut>,
}

/// Length taken off, by cause, over the cutters measured before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct RemovedPart {
    pub cutters: usize,
    pub all_mm: Number,
    pub wear_mm: Number,
    pub damage_mm: Number,
    pub evening_mm: Number,
    /// Mean of a cutter as a share of the usable length.
    pub life_share: Number,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct LookPart {
    pub item: LookItem,
    /// `None`: not looked at.
    pub finding: Option<Finding>,
    pub note: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct LeftOut {
    pub cutter: CutterNumber,
    pub reading: Reading,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct CutterPart {
    pub number: CutterNumber,
    pub side: Side,
    pub state: CutterState,
    pub before_mm: Option<Number>,
    pub after_mm: Option<Number>,
    pub wear_mm: Option<Number>,
    pub target_mm: Option<Number>,
    pub angle_deg: Option<Number>,
    pub gap_before_mm: Option<Number>,
    /// As last measured.
    pub gap_mm: Option<Number>,
    pub target_gap_mm: Option<Number>,
    /// At the gap measured.
    pub bite_deg: Option<Number>,
    pub verdicts: Verdicts,
    /// Probability that the length is within tolerance.
    pub conformity: Option<Number>,
    pub probabilities: Three,
    /// Reading less target: length and gap in mm, angle in degrees.
    pub off_by: Three,
    /// Length now: measured, or taken for granted where it was filed and not measured.
    pub length_mm: Option<Number>,
    /// The tooth was filed after its gap was measured.
    pub gap_stale: bool,
    /// Gap now where it is not measured but follows from an earlier one.
    pub predicted_gap_mm: Option<Number>,
    pub stage: Option<&'static str>,
    pub past_worth: Option<Number>,
    pub past_due: Option<Number>,
    /// Length that must go, where entered for this cutter.
    pub need_mm: Option<Number>,
    pub removed_mm: Option<Number>,
    pub strokes: Option<u32>,
    pub notes: Vec<String>,
    /// First of the drive links it stands on, from 0 at the start mark.
    pub link: u16,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Verdicts {
    pub length: &'static str,
    pub angle: &'static str,
    pub gap: &'static str,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Three {
    pub length: Option<Number>,
    pub angle: Option<Number>,
    pub gap: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct EvennessPart {
    pub reference_mm: Option<Number>,
    pub tolerance_mm: Number,
    pub spread_mm: Option<Number>,
    pub uneven: Vec<CutterNumber>,
    pub again: Vec<CutterNumber>,
    /// `target` or `shortest`.
    pub reference: Option<&'static str>,
    pub reference_cutter: Option<CutterNumber>,
    pub tolerance_height_mm: Number,
    /// Came shorter than their side by more than chance.
    pub struck: Vec<CutterNumber>,
    pub left: Option<SidePart>,
    pub right: Option<SidePart>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct SidePart {
    pub cutters: usize,
    pub mean_mm: Number,
    pub spread_mm: Number,
    pub sd_mm: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct BalancePart {
    pub difference_mm: Option<Number>,
    pub low_mm: Option<Number>,
    pub high_mm: Option<Number>,
    pub verdict: &'static str,
    pub margin_mm: Number,
    /// Side toward which the cut will pull.
    pub pulls: Option<Side>,
    pub line: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub(super) struct DriftPart {
    pub slope_mm_per_cutter: Option<Number>,
    pub low: Option<Number>,
    pub high: Option<Number>,
    pub line: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct PlanPart {
    /// Length chosen to file to.
    pub target_mm: Option<Number>,
    /// Cutters left short.
    pub left_short: Vec<CutterNumber>,
    pub options: Vec<OptionPart>,
    /// Place of the recommended option.
    pub recommended: Option<usize>,
    pub reason: Option<String>,
    pub band_mm: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct OptionPart {
    pub left_short: Vec<CutterNumber>,
    pub target_mm: Number,
    pub removed_mm: Number,
    pub life_share: Number,
    pub rounds: Number,
    pub retires: Vec<CutterNumber>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct ChangeoverPart {
    pub worth_mm: Number,
    pub due_mm: Number,
    pub median_wear_mm: Option<Number>,
    /// Cutters past it; `None` where none is measured.
    pub past_worth: Option<usize>,
    pub past_due: Option<usize>,
    pub probability: Option<Number>,
    pub stage: Option<&'static str>,
    pub low_mm: Option<Number>,
    pub high_mm: Option<Number>,
    pub cutters: usize,
    pub at_mark: Vec<CutterNumber>,
    pub rounds_away: Option<u32>,
    pub statement: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct ForecastPart {
    pub per_round_mm: Number,
    pub rounds_to_changeover: Option<u32>,
    /// Rounds to the witness mark; `None` where no wear is visible yet.
    pub rounds_left: Option<u32>,
    pub low: Option<u32>,
    pub high: Option<u32>,
    /// Day of the witness mark.
    pub date: Option<String>,
    pub date_low: Option<String>,
    pub date_high: Option<String>,
    pub per_round_low_mm: Number,
    pub per_round_high_mm: Number,
    /// Rounds of this loop behind it; 0 for the profile's figure alone.
    pub rounds_seen: usize,
    pub visible: bool,
    pub changeover_low: Option<u32>,
    pub changeover_high: Option<u32>,
    pub changeover_date: Option<String>,
    /// Day of the next round, if they go on coming as they did.
    pub next_date: Option<String>,
    pub cost_per_round: Option<Number>,
    pub cost_per_hour: Option<Number>,
    pub worth_left: Option<Number>,
    pub line: String,
    pub early: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct AnglesPart {
    pub target_deg: Number,
    pub tolerance_deg: Number,
    pub left_bias_deg: Option<Number>,
    pub right_bias_deg: Option<Number>,
    pub line: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct RakersPart {
    pub rule: Option<Rule>,
    pub tolerance_mm: Number,
    pub recommended: Rule,
    pub why: String,
    /// Smallest and largest target, over the cutters that have one.
    pub target_low_mm: Option<Number>,
    pub target_high_mm: Option<Number>,
    pub good: usize,
    pub high: usize,
    pub low: usize,
    pub again: usize,
    pub unmeasured: usize,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct FilePart {
    pub diameter_mm: Number,
    pub instead_of_mm: Option<Number>,
    pub above_mm: Number,
    pub wedge_deg: Number,
}

/// A figure of the chain, with its standard uncertainty and its origin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Known {
    pub value: Number,
    pub u: Number,
    pub from: Origin,
}

/// What the round counts wear and gaps with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct GeometryPart {
    pub new_length_mm: Known,
    pub reach_new_mm: Known,
    /// Reach gained per mm of wear.
    pub reach_growth: Number,
    pub back_slope_deg: Known,
    /// What the loop's gaps say of its back slope, this round's included.
    pub seen_slope: Option<SeenSlope>,
    pub lines: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct SeenSlope {
    pub value_deg: Number,
    pub low_deg: Number,
    pub high_deg: Number,
    pub pairs: u32,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct FlagPart {
    pub cutter: CutterNumber,
    pub dangerous: bool,
    pub line: String,
}

/// The readings that a sheet says are lacking, with the round's name where it has one.
pub(super) const READINGS: [(&str, Option<Reading>); 5] = [
    ("length before filing", Some(Reading::LengthBefore)),
    ("length after filing", Some(Reading::LengthAfter)),
    ("top-plate angle", Some(Reading::Angle)),
    ("raker gap", Some(Reading::GapBefore)),
    ("raker gap since the tooth was filed", None),
];

/// A reading that some cutters lack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct NotMeasured {
    pub reading: &'static str,
    pub of: usize,
    pub cutters: Vec<CutterNumber>,
}

/// What is known of the saw at the end of the round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct SawPart {
    pub name: String,
    /// Looked at in this round.
    pub looked_at: bool,
    /// When it was last looked at.
    pub last: Option<String>,
    pub bar: Option<Grade>,
    pub sprocket: Option<Grade>,
    pub tension: Option<Grade>,
    /// The tension is to be looked at again after 5 to 10 minutes of cutting.
    pub warm_tension_due: bool,
    pub faults: Vec<FaultRow>,
}

/// The cutter that wants attention most.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Worst {
    pub cutter: CutterNumber,
    pub why: String,
}

impl Sheet {
    /// The cautions that this round calls for.
    pub(super) fn urgent_cautions(&self) -> &[String] {
        self.cautions.split_at(self.own_cautions).0
    }

    /// The cautions that always stand.
    pub(super) fn standing_cautions(&self) -> &[String] {
        self.cautions.split_at(self.own_cautions).1
    }

    /// Cutters that are there.
    pub(super) fn present(&self) -> impl Iterator<Item = &CutterPart> {
        self.cutters.iter().filter(|cutter| cutter.state != CutterState::Missing)
    }

    /// Numbers of the cutters in a state.
    pub(super) fn in_state(&self, state: CutterState) -> Vec<CutterNumber> {
        self.cutters.iter().filter(|cutter| cutter.state == state).map(|cutter| cutter.number).collect()
    }

    /// The cutters to be of one length.
    pub(super) fn matched(&self) -> impl Iterator<Item = &CutterPart> {
        let matched = |state| matches!(state, CutterState::Kept | CutterState::Damaged);
        self.cutters.iter().filter(move |cutter| matched(cutter.state))
    }

    /// True where the look-over rejects the loop.
    pub(super) fn is_rejected(&self) -> bool {
        self.round.looks.iter().any(|look| look.finding == Some(Finding::Reject))
    }
}
