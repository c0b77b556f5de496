//! How a loop cut: what its owner says when it comes back, and what a sheet lets one expect.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

/// How a loop cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Cut {
    /// Straight and well.
    Straight,
    /// To the left.
    PulledLeft,
    /// To the right.
    PulledRight,
    /// Dust in place of chips, or it had to be pushed.
    Dust,
    /// Rough: it grabbed or jumped.
    Rough,
    /// It has not cut since.
    NotYet,
    /// Nobody could say.
    NotKnown,
}

impl Cut {
    /// The answers with a key, in the order of their keys from 1.
    pub const ANSWERS: [Self; 6] =
        [Self::Straight, Self::PulledLeft, Self::PulledRight, Self::Dust, Self::Rough, Self::NotYet];

    /// In a few words that follow "it".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Straight => "cut straight",
            Self::PulledLeft => "pulled to the left",
            Self::PulledRight => "pulled to the right",
            Self::Dust => "made dust or had to be pushed",
            Self::Rough => "cut rough",
            Self::NotYet => "has not cut yet",
            Self::NotKnown => "is not known to have cut",
        }
    }

    /// True for an answer that says how it cut.
    pub const fn is_told(self) -> bool {
        !matches!(self, Self::NotYet | Self::NotKnown)
    }
}
