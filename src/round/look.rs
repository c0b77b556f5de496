//! The look over the loop before anything is measured: what is looked at, what was found, and what stops a loop.
//!
//! Names and fields are the record's format: add, never rename.

use serde::{Deserialize, Serialize};

use crate::chain::CutterNumber;

/// What is looked at before anything is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LookItem {
    /// Cracks in cutters, straps or at rivet holes.
    Cracks,
    /// Loose or worn rivets.
    Rivets,
    /// Drive links: battered, burred, bent.
    DriveLinks,
    /// Tie straps: cracked, broken, worn notches.
    TieStraps,
    /// Bent, broken or missing cutters.
    Cutters,
    /// Witness mark still ahead of the edge on every cutter.
    WitnessMark,
    /// Edges worn round, or hit.
    Edges,
}

impl LookItem {
    /// All of them, in the order they are asked.
    pub const ALL: [Self; 7] =
        [Self::Cracks, Self::Rivets, Self::DriveLinks, Self::TieStraps, Self::Cutters, Self::WitnessMark, Self::Edges];

    /// True where something may reject the loop: a dull edge is filed.
    pub const fn may_be_rejected(self) -> bool {
        !matches!(self, Self::Edges)
    }

    /// True where something may be worn and the loop still go on: a crack or a passed witness mark never may.
    pub const fn may_be_worn(self) -> bool {
        !matches!(self, Self::Cracks | Self::WitnessMark)
    }

    /// What a finding at this item means: where nothing may be worn, "worn" is a stop. Older versions offered that answer.
    pub const fn read(self, finding: Finding) -> Finding {
        if matches!(finding, Finding::Worn) && !self.may_be_worn() { Finding::Reject } else { finding }
    }
}

/// Why a loop must not go back on a saw.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// What is at fault.
    pub part: LookItem,
    /// The cutter that it is at, where one was named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutter: Option<CutterNumber>,
    /// What exactly, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// What the look found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Finding {
    /// Sound.
    Sound,
    /// Worn or repaired; the round may go on.
    Worn,
    /// The loop must not go back on a saw.
    Reject,
}
