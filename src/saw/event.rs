//! What can happen to a saw, as it is written down.
//!
//! Names and fields are the record's format: add, never rename.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use strum::Display;

use crate::units::Millimetres;

/// The start of a saw's record: written once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SawHeader {
    /// The name made fit for a file: what the record is called.
    #[serde(rename = "saw")]
    pub tag: String,
    /// Name as loops' cards have it.
    pub name: String,
    /// When the record was begun.
    pub started: DateTime<FixedOffset>,
}

/// What is looked at on a saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The bar's rails: of one height, square, without a burr.
    Rails,
    /// The bar's groove: deep enough, and narrow enough that the chain stands upright.
    Groove,
    /// The bar as a whole: straight, not cracked.
    Straight,
    /// The nose, where it has a wheel.
    Nose,
    /// The drive sprocket.
    Sprocket,
    /// Oil: does enough of it reach bar and chain? Records from before this was asked have none.
    Oil,
    /// Tension with the chain cold.
    Tension,
    /// Tension again after five to ten minutes of cutting.
    TensionWarm,
}

impl Part {
    /// All of them, in the order they are asked.
    pub const ALL: [Self; 8] = [
        Self::Rails,
        Self::Groove,
        Self::Straight,
        Self::Nose,
        Self::Sprocket,
        Self::Oil,
        Self::Tension,
        Self::TensionWarm,
    ];

    /// The parts that belong to the bar.
    pub const BAR: [Self; 4] = [Self::Rails, Self::Groove, Self::Straight, Self::Nose];

    /// True for a part that steers the cut: where it is bad an even loop still cuts crooked.
    pub const fn steers(self) -> bool {
        matches!(self, Self::Rails | Self::Groove | Self::Straight)
    }

    /// What a figure taken here measures, with its lowest and highest believable value in mm; `None` where none is taken.
    pub const fn figure(self) -> Option<(&'static str, f64, f64)> {
        match self {
            Self::Rails => Some(("rail height difference", 0.0, 5.0)),
            Self::Groove => Some(("groove depth", 0.0, 15.0)),
            Self::Straight => Some(("out of straight", 0.0, 20.0)),
            Self::Sprocket => Some(("depth of the wear mark", 0.0, 5.0)),
            Self::Nose | Self::Oil | Self::Tension | Self::TensionWarm => None,
        }
    }
}

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Not looked at: says nothing, and takes nothing back that was known.
    NotLooked,
    /// Good.
    Good,
    /// Worn: to be watched.
    Watch,
    /// Bad: dress, set or renew it.
    Bad,
}

impl Grade {
    /// Name on screens and in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotLooked => "not looked at",
            Self::Good => "good",
            Self::Watch => "watch",
            Self::Bad => "bad",
        }
    }
}

/// What is renewed as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, Display)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Piece {
    /// The guide bar.
    Bar,
    /// The drive sprocket, or its rim.
    Sprocket,
}

impl Piece {
    /// The parts of which all that was known ends with the old piece.
    pub const fn parts(self) -> &'static [Part] {
        match self {
            Self::Bar => &Part::BAR,
            Self::Sprocket => &[Part::Sprocket],
        }
    }
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum SawEvent {
    /// One part was looked at, or left out.
    Checked {
        /// Which.
        part: Part,
        /// What was found.
        found: Grade,
        /// The figure measured, where one was.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mm: Option<Millimetres>,
        /// What exactly, in words.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
        /// The loop on the bench, where there was one.
        #[serde(rename = "loop", default, skip_serializing_if = "Option::is_none")]
        with: Option<String>,
    },
    /// What was last found at a part was put right: dressed, set, greased.
    Repaired {
        /// Which.
        part: Part,
    },
    /// The maker's wear limit of a part was entered; without a figure it is taken back.
    Limit {
        /// Which.
        part: Part,
        /// The limit.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mm: Option<Millimetres>,
    },
    /// A new bar or sprocket was fitted.
    Renewed {
        /// Which.
        piece: Piece,
    },
    /// A remark.
    Note {
        /// The words.
        text: String,
    },
    /// An earlier event was taken back. It stays on record and counts no more.
    Void {
        /// Its sequence number.
        #[serde(rename = "voids")]
        target: u32,
    },
}

/// An event as recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct SawEntry {
    /// Place in the record, from 1.
    pub seq: u32,
    /// When it was recorded. Events of one look have one time.
    pub at: DateTime<FixedOffset>,
    /// What happened.
    pub event: SawEvent,
}
