//! What can happen in a round, as it is written down.
//!
//! Names and fields are the record's format: add, never rename.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use strum::{Display, EnumMessage, EnumString, IntoStaticStr, VariantArray};

use super::cut::Cut;
use super::cutter::CutterState;
use super::look::{Finding, LookItem};
use super::phase::Phase;
use super::trust::Trust;
use crate::chain::{CutterNumber, Layout, Rule, Sequence, Side, Spec, Wood, layout::LayoutError};
use crate::units::{Degrees, Millimetres, Unit};

/// What the cutters are brought back with.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    Serialize,
    Deserialize,
    Display,
    EnumMessage,
    EnumString,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Tool {
    /// Round file by hand, cutter by cutter.
    #[default]
    #[strum(message = "Round file by hand")]
    File,
    /// Grinder with a stop: one hand, swing the head, the other.
    #[strum(message = "Grinder with a stop")]
    Grinder,
}

impl Tool {
    /// The words of a file, or those of a grinder.
    pub const fn words<'a>(self, file: &'a str, grinder: &'a str) -> &'a str {
        match self {
            Self::File => file,
            Self::Grinder => grinder,
        }
    }

    /// What it does to a cutter, in the past: `filed` or `ground`.
    pub const fn done(self) -> &'static str {
        match self {
            Self::File => "filed",
            Self::Grinder => "ground",
        }
    }
}

/// The intake of a round: written once, at its start.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(clippy::struct_excessive_bools, reason = "each is asked apart, and each is a key of its own in the file")]
#[serde(deny_unknown_fields)]
pub struct Header {
    /// Tag of the loop.
    #[serde(rename = "loop")]
    pub tag: String,
    /// When the round began.
    pub started: DateTime<FixedOffset>,
    /// Who files.
    pub sharpener: String,
    /// What the saw will cut.
    pub wood: Wood,
    /// File or grinder.
    pub tool: Tool,
    /// How lengths are typed and shown.
    pub units: Unit,
    /// The side filed first.
    pub begin: Side,
    /// Ask for the number of strokes at each cutter.
    pub take_strokes: bool,
    /// Ask for the top-plate angle at each cutter.
    pub take_angles: bool,
    /// Measure in an order spread round the loop, so that stopping early is fair.
    #[serde(default)]
    pub spread: bool,
    /// The edges are asked about: in the look-over, and against the light in the proof. Older versions did not ask.
    #[serde(default, skip_serializing_if = "is_false")]
    pub edges: bool,
    /// Drive links of the loop.
    pub links: u16,
    /// Order of its cutters.
    pub sequence: Sequence,
    /// Hand of cutter 1.
    pub first: Side,
    /// How the start of the count is marked on the loop.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub start_mark: String,
    /// The saw that the loop runs on; where one is named, it is asked for after the loop's own look-over.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub saw: String,
    /// How far single readings are trusted in this round.
    #[serde(default, skip_serializing_if = "Trust::is_default")]
    pub trust: Trust,
    /// Name of the profile that [`Header::spec`] was copied from.
    pub profile: String,
    /// The numbers this round works with.
    pub spec: Spec,
}

impl Header {
    /// What the look-over of this round asks, in order.
    pub fn looks(&self) -> impl Iterator<Item = LookItem> {
        let edges = self.edges;
        LookItem::ALL.into_iter().filter(move |item| edges || *item != LookItem::Edges)
    }

    /// The loop's cutters in order.
    ///
    /// # Errors
    /// [`LayoutError`] where links and sequence do not fit.
    pub fn layout(&self) -> Result<Layout, LayoutError> {
        Layout::new(self.links, &self.sequence, self.first)
    }
}

/// Before or after the cutter was filed; for a gap, before or after the raker was filed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Before.
    Before,
    /// After.
    After,
}

/// A reading that can be asked for at a cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reading {
    /// Length as it came.
    LengthBefore,
    /// File strokes given.
    Strokes,
    /// Length after filing.
    LengthAfter,
    /// Top-plate angle after filing.
    Angle,
    /// Raker gap with the raker as it stands.
    GapBefore,
    /// Raker gap after the raker was filed.
    GapAfter,
}

/// A piece of work confirmed as done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// The saw is turned to reach the other hand.
    SawTurned,
    /// The grinder's stop is set on the shortest healthy cutter.
    StopSet,
    /// All cutters of the first hand are ground.
    FirstGround,
    /// The grinder's head is swung over.
    HeadSwung,
    /// All cutters of the second hand are ground.
    SecondGround,
    /// The proof was read; nothing more is to be redone.
    Proved,
    /// The closed caliper was read, or left out, before the first cutter.
    StartZero,
    /// The same after the last one.
    EndZero,
}

/// How a round ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Closing {
    /// Finished and signed off.
    Signed,
    /// The loop must not go back on a saw.
    Rejected,
    /// Given up; the readings stay on record.
    Abandoned,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Event {
    /// One item of the look-over.
    Looked {
        /// What was looked at.
        item: LookItem,
        /// What was found.
        finding: Finding,
        /// What exactly, in words.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// The loop must not go back on a saw: found at any step, not asked for.
    Rejected {
        /// What is at fault.
        part: LookItem,
        /// The cutter that it is at, where one was named.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cutter: Option<CutterNumber>,
        /// What exactly, in words.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// How the loop cut since it was last sharpened, as its owner says.
    Cut {
        /// How.
        how: Cut,
    },
    /// The length of a new cutter was asked for: rounds after this one count wear from it.
    NewLength {
        /// Measured on a new cutter, or printed with the chain; absent where nobody knew.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mm: Option<Millimetres>,
    },
    /// The saw was looked at, or left out.
    Saw {
        /// Its name, where it was looked at; what was found stands in its own record.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        looked_at: Option<String>,
    },
    /// A length reading.
    Length {
        /// Cutter number.
        cutter: CutterNumber,
        /// Before or after filing.
        when: When,
        /// The reading.
        mm: Millimetres,
        /// A repeat to be averaged with the one before, not a new measurement.
        #[serde(default, skip_serializing_if = "is_false")]
        again: bool,
    },
    /// A top-plate angle after filing.
    Angle {
        /// Cutter number.
        cutter: CutterNumber,
        /// The reading.
        deg: Degrees,
        /// A repeat to be averaged.
        #[serde(default, skip_serializing_if = "is_false")]
        again: bool,
    },
    /// A raker gap; negative where the raker stands above the edge.
    Gap {
        /// Cutter number.
        cutter: CutterNumber,
        /// Before or after the raker was filed.
        when: When,
        /// The reading.
        mm: Millimetres,
        /// A repeat to be averaged.
        #[serde(default, skip_serializing_if = "is_false")]
        again: bool,
    },
    /// File strokes given to a cutter since its last length reading.
    Strokes {
        /// Cutter number.
        cutter: CutterNumber,
        /// How many.
        count: u32,
    },
    /// A cutter's state changed.
    State {
        /// Cutter number.
        cutter: CutterNumber,
        /// The new state.
        state: CutterState,
        /// Length that must go to get rid of the damage.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        need_mm: Option<Millimetres>,
    },
    /// The length to file to was chosen.
    Target {
        /// The length.
        mm: Millimetres,
        /// Cutters that are deliberately not matched.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        left_short: Vec<CutterNumber>,
        /// True when it is the one the program recommended.
        recommended: bool,
    },
    /// The rule for the raker gap was chosen.
    Rule {
        /// The rule.
        rule: Rule,
    },
    /// Gaps above the published setting were accepted for this round, as this program's proposal.
    AboveSetting {
        /// The published setting.
        setting_mm: Millimetres,
        /// The largest gap that was proposed.
        largest_mm: Millimetres,
    },
    /// The edges were looked along against the light, or that was left out.
    Light {
        /// Cutters whose edge shines: they are dull. Absent where nobody looked.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        dull: Option<Vec<CutterNumber>>,
    },
    /// A reading was skipped on purpose.
    LeftOut {
        /// Cutter number.
        cutter: CutterNumber,
        /// Which reading.
        reading: Reading,
    },
    /// A fault, or a reading too close to call, was seen and left as it is: the round goes on from it.
    LeftAsIs {
        /// Cutter number.
        cutter: CutterNumber,
        /// The reading that told it.
        reading: Reading,
    },
    /// A piece of work was done.
    Done {
        /// Which.
        task: Task,
    },
    /// The sharpener went to another part of the round or to a certain cutter, to do it (again).
    Went {
        /// Part of the round.
        phase: Phase,
        /// Cutter, where one was named.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cutter: Option<CutterNumber>,
        /// The one reading to begin with there; without it all of this part.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reading: Option<Reading>,
    },
    /// A remark.
    Note {
        /// About this cutter, or the loop.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cutter: Option<CutterNumber>,
        /// The words.
        text: String,
    },
    /// The caliper read with its jaws closed.
    Zero {
        /// What it showed.
        mm: Millimetres,
    },
    /// An earlier event was taken back. It stays on record and counts no more.
    Void {
        /// Its sequence number.
        #[serde(rename = "voids")]
        target: u32,
    },
    /// Work stopped for now. (Braces make the reader refuse stray fields here too.)
    Paused {},
    /// Work went on.
    Resumed {},
    /// The round ended.
    Closed {
        /// How.
        how: Closing,
    },
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands the field over by reference")]
const fn is_false(value: &bool) -> bool {
    !*value
}

/// An event as recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Place in the record, from 1.
    pub seq: u32,
    /// When it was recorded. Order goes by `seq`, never by this.
    pub at: DateTime<FixedOffset>,
    /// Who entered it, where that is not the round's sharpener.
    pub by: Option<String>,
    /// What was typed or sent, as it came.
    pub typed: Option<String>,
    /// What happened.
    pub event: Event,
}
