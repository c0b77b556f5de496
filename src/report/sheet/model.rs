//! What a sheet says, as plain values under the names of its JSON. Names are fixed: add, never rename.
//!
//! Lengths in mm, angles in degrees, shares and probabilities from 0 to 1; what is not known is `None` and `null`.

use serde::Serialize;

pub(super) use super::judged::{
    AnglesPart, BalancePart, ChangeoverPart, DriftPart, EvennessPart, FilePart, FlagPart, ForecastPart, GeometryPart,
    Known, Lack, NotMeasured, OptionPart, PlanPart, RakersPart, Reference, SawPart, SeenSlope, SidePart, WholePart,
    Worst,
};
use crate::advice::say::reckoning::Told;
use crate::advice::{AngleWord, GapWord, LengthWord};
use crate::chain::{CutterNumber, Rule, Sequence, Side, Spec, Stage, Wood};
use crate::report::data::Number;
use crate::report::release::ReleasePart;
use crate::report::status::StatusPart;
use crate::round::{Closing, Cut, CutterState, Finding, LookItem, Reading, Tool};
use crate::units::Unit;

/// The report of one round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    #[serde(rename = "loop")]
    pub(super) tag: String,
    pub(super) profile: String,
    pub(super) round: RoundPart,
    pub(super) sharpener: String,
    /// Who else made entries of the round.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) other_hands: Vec<String>,
    /// How lengths were typed and are shown; the numbers here are mm whatever it says.
    pub(super) units: Unit,
    pub(super) cutters: Vec<CutterPart>,
    /// The person's own figure that verdicts on lengths rest on; absent where the proposed one served.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) judged_with: Option<String>,
    pub(super) evenness: EvennessPart,
    pub(super) balance: BalancePart,
    pub(super) drift: DriftPart,
    pub(super) plan: PlanPart,
    pub(super) changeover: ChangeoverPart,
    pub(super) forecast: ForecastPart,
    pub(super) cautions: Vec<String>,
    /// What the readings prove about the cut; absent where they promise nothing.
    pub(super) promised: Option<Cut>,
    /// How the loop stands.
    pub(super) status: StatusPart,
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
    /// How its figures were reckoned, one after the other.
    pub(super) reckonings: Vec<WhyPart>,
    /// How many of the cautions this round calls for; the others always stand.
    #[serde(skip)]
    pub(super) own_cautions: usize,
    /// Files that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) not_read: Vec<String>,
    /// Of the invented workshop: what is printed of it says so.
    #[serde(skip)]
    pub(super) demo: bool,
    #[serde(skip)]
    pub(super) spec: Spec,
}

/// How a figure was reckoned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct WhyPart {
    /// What is reckoned, and the figure.
    pub line: String,
    /// Line by line, one operation each.
    pub steps: Vec<String>,
    /// Where the numbers come from.
    pub numbers: String,
    pub sure: String,
    pub changes_with: String,
    /// Title of the lesson that it belongs to.
    pub lesson: &'static str,
    #[serde(skip)]
    pub told: Told,
}

/// The loop's card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct CardPart {
    pub name: String,
    pub owner: Option<String>,
    pub saw: Option<String>,
    pub start_mark: Option<String>,
    pub scrapped: Option<String>,
    /// When it was given back after a rejection or from out of care.
    pub releases: Vec<ReleasePart>,
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
    /// How it cut since the round before, as its owner says.
    pub cut: Option<Cut>,
    pub looks: Vec<LookPart>,
    /// Why the loop must not go back on a saw; empty where nothing rejects it.
    pub stops: Vec<StopPart>,
    /// The edges against the light; absent where the round did not get that far.
    pub light: Option<LightPart>,
    pub notes: Vec<String>,
    /// What the closed caliper showed.
    pub zeros_mm: Vec<Number>,
    /// Readings skipped on purpose.
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
pub(super) struct LightPart {
    /// Somebody looked.
    pub looked: bool,
    /// Cutters whose edge shone and that were not filed since.
    pub dull: Vec<CutterNumber>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct StopPart {
    pub part: LookItem,
    pub cutter: Option<CutterNumber>,
    pub note: Option<String>,
    /// In words.
    pub line: String,
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
    pub stage: Option<Stage>,
    pub past_worth: Option<Number>,
    pub past_due: Option<Number>,
    /// Length that must go, where entered for this cutter.
    pub need_mm: Option<Number>,
    pub removed_mm: Option<Number>,
    /// Damage that was filed out.
    pub repaired: bool,
    pub strokes: Option<u32>,
    pub notes: Vec<String>,
    /// First of the drive links it stands on, from 0 at the start mark.
    pub link: u16,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Verdicts {
    pub length: LengthWord,
    pub angle: AngleWord,
    pub gap: GapWord,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Three {
    pub length: Option<Number>,
    pub angle: Option<Number>,
    pub gap: Option<Number>,
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

    /// Cutters that are there and whose gap was measured.
    pub(super) fn gaps_measured(&self) -> usize {
        self.present().filter(|cutter| cutter.gap_mm.is_some()).count()
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

    /// True where something rejects the loop.
    pub(super) fn is_rejected(&self) -> bool {
        !self.round.stops.is_empty()
    }

    /// Why the loop is rejected, in words.
    pub(super) fn rejected_for(&self) -> String {
        self.round.stops.iter().map(|stop| stop.line.as_str()).collect::<Vec<_>>().join(", ")
    }
}
