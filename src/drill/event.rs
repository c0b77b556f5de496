//! What can happen to a learner, as it is written down.
//!
//! Names and fields are the record's format: add, never rename.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use strum::Display;

use super::kind::Drill;
use super::schedule::Stage;
use crate::units::{Degrees, Millimetres};

/// The start of a learner's record: written once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LearnerHeader {
    /// The name made fit for a file: what the record is called.
    #[serde(rename = "learner")]
    pub tag: String,
    /// Name as the learner gave it.
    pub name: String,
    /// When the record was begun.
    pub started: DateTime<FixedOffset>,
}

/// What a set is worked with.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetUp {
    /// Which drill.
    pub drill: Drill,
    /// How soon the learner is told.
    pub stage: Stage,
    /// What orders and amounts are drawn from, so that a replay asks the same.
    pub seed: u32,
    /// Step of the instrument, where lengths, gaps or angles are read: mm or degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resolution: Option<f64>,
    /// The angle to hold.
    #[serde(rename = "angle_deg", default, skip_serializing_if = "Option::is_none")]
    pub angle: Option<Degrees>,
    /// The gap to set.
    #[serde(rename = "gap_mm", default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<Millimetres>,
    /// Length at the witness mark of the practice loop, where its cutters are filed: no cutter goes below it.
    #[serde(rename = "mark_mm", default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<Millimetres>,
    /// The largest gap that the practice loop may have, where its rakers are filed.
    #[serde(rename = "cap_mm", default, skip_serializing_if = "Option::is_none")]
    pub cap: Option<Millimetres>,
}

/// How a learner thinks that an item came out, before being told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Display)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Mistake {
    /// Below what was aimed at.
    Under,
    /// Right.
    Right,
    /// Above what was aimed at.
    Over,
}

/// One answer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Given {
    /// A length or a gap.
    Mm(Millimetres),
    /// An angle.
    Deg(Degrees),
    /// Strokes, or the number of a cutter.
    Count(u32),
    /// Whether no mark is left.
    Done(bool),
    /// A guess.
    Guess(Mistake),
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum DrillEvent {
    /// A set was begun.
    Began {
        /// With what.
        set: SetUp,
    },
    /// The next thing asked was answered.
    Answer {
        /// With what.
        given: Given,
    },
    /// The set was broken off: it does not count.
    BrokenOff,
    /// The instructor chose how soon the learner is told in the next set of a drill.
    Stage {
        /// Of which drill.
        drill: Drill,
        /// How soon.
        stage: Stage,
    },
    /// An earlier answer was taken back, and all of the set after it. It stays on record and counts no more.
    Void {
        /// Its sequence number.
        #[serde(rename = "voids")]
        target: u32,
    },
}

/// An event as recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillEntry {
    /// Place in the record, from 1.
    pub seq: u32,
    /// When it was recorded.
    pub at: DateTime<FixedOffset>,
    /// What happened.
    pub event: DrillEvent,
}
