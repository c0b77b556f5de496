//! What a sheet says of the round as a whole: evenness, balance, plan, rakers, forecast, what is lacking. Names are fixed: add,
//! never rename.
//!
//! Lengths in mm, angles in degrees, shares and probabilities from 0 to 1; what is not known is `None` and `null`.

use serde::Serialize;
use strum::{IntoStaticStr, VariantArray};

use crate::advice::BalanceWord;
use crate::advice::gaps::Way;
use crate::chain::{CutterNumber, Origin, Rule, Side, Stage};
use crate::report::data::Number;
use crate::report::saw::FaultRow;
use crate::round::{Reading, Tool};
use crate::saw::Grade;

/// What cutters are held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Reference {
    /// The length filed to.
    Target,
    /// The shortest cutter.
    Shortest,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct EvennessPart {
    pub reference_mm: Option<Number>,
    pub tolerance_mm: Number,
    pub spread_mm: Option<Number>,
    pub uneven: Vec<CutterNumber>,
    pub again: Vec<CutterNumber>,
    pub reference: Option<Reference>,
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
    pub verdict: BalanceWord,
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
    pub stage: Option<Stage>,
    pub low_mm: Option<Number>,
    pub high_mm: Option<Number>,
    pub cutters: usize,
    pub at_mark: Vec<CutterNumber>,
    /// Of them those by more than one reading.
    pub spent: Vec<CutterNumber>,
    /// By one reading at the mark or too close to tell.
    pub mark_again: Vec<CutterNumber>,
    pub near_mark: Vec<CutterNumber>,
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
    pub cost_line: Option<String>,
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
    /// Rule that the gaps are judged by: the one chosen, else the one that they fit, else the one that the wear calls for.
    pub judged_by: Rule,
    /// How that came to be, where none was chosen.
    pub judged_line: Option<String>,
    /// One verdict, where most rakers are off the same way.
    pub whole: Option<WholePart>,
    /// The loop's own limits, in a sentence.
    pub limits: Option<String>,
    /// The largest gap above the published setting that was accepted as a proposal.
    pub accepted_mm: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct WholePart {
    pub way: Way,
    pub off: usize,
    pub of: usize,
    /// A rule that most of them fit.
    pub fits: Option<Rule>,
    pub line: String,
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

/// What the round reckons wear and gaps with.
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

/// A reading that a sheet says is lacking, by its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr, VariantArray)]
pub(super) enum Lack {
    #[serde(rename = "length before filing")]
    #[strum(serialize = "length before filing")]
    LengthBefore,
    #[serde(rename = "length after filing")]
    #[strum(serialize = "length after filing")]
    LengthAfter,
    #[serde(rename = "top-plate angle")]
    #[strum(serialize = "top-plate angle")]
    Angle,
    #[serde(rename = "raker gap")]
    #[strum(serialize = "raker gap")]
    Gap,
    #[serde(rename = "raker gap since the tooth was filed")]
    #[strum(serialize = "raker gap since the tooth was filed")]
    FreshGap,
}

impl Lack {
    /// Its words where that tool works.
    pub(super) fn by(self, tool: Tool) -> &'static str {
        match (self, tool) {
            (Self::LengthBefore, Tool::Grinder) => "length before grinding",
            (Self::LengthAfter, Tool::Grinder) => "length after grinding",
            (Self::FreshGap, Tool::Grinder) => "raker gap since the tooth was ground",
            _ => self.into(),
        }
    }

    /// The round's name for it, where it has one.
    pub(super) const fn reading(self) -> Option<Reading> {
        match self {
            Self::LengthBefore => Some(Reading::LengthBefore),
            Self::LengthAfter => Some(Reading::LengthAfter),
            Self::Angle => Some(Reading::Angle),
            Self::Gap => Some(Reading::GapBefore),
            Self::FreshGap => None,
        }
    }
}

/// A reading that some cutters lack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct NotMeasured {
    pub reading: Lack,
    pub of: usize,
    pub cutters: Vec<CutterNumber>,
}

/// What is known of the saw at the end of the round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct SawPart {
    pub name: String,
    /// Looked at in this round.
    pub looked_at: bool,
    /// Whether enough oil reaches bar and chain.
    pub oil: Option<Grade>,
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
