//! The parts of a round.

use serde::{Deserialize, Serialize};

/// Part of a round, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Look the loop over.
    Look,
    /// Measure the cutters as they came.
    Measure,
    /// Choose the length to file to.
    Plan,
    /// File or grind the first side.
    First,
    /// Turn, and the other side.
    Second,
    /// Set the rakers.
    Rakers,
    /// Prove the loop even.
    Prove,
    /// Sign off.
    Sign,
}

impl Phase {
    /// All parts in order.
    pub const ALL: [Self; 8] =
        [Self::Look, Self::Measure, Self::Plan, Self::First, Self::Second, Self::Rakers, Self::Prove, Self::Sign];

    /// Name on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Look => "look over",
            Self::Measure => "measure",
            Self::Plan => "choose length",
            Self::First => "first side",
            Self::Second => "second side",
            Self::Rakers => "rakers",
            Self::Prove => "prove",
            Self::Sign => "sign off",
        }
    }

    /// Its name where room is short.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Plan => "choose",
            Self::First => "first",
            Self::Second => "second",
            Self::Sign => "sign",
            other => other.word(),
        }
    }

    /// The part whose name begins so; sign-off is never gone to by name.
    pub fn named(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let goable = |phase: &Self| !matches!(phase, Self::Sign);
        Self::ALL.into_iter().filter(goable).find(|phase| !text.is_empty() && phase.word().starts_with(&text))
    }

    /// The one after it; sign-off is the last.
    pub(super) fn next(self) -> Self {
        Self::ALL.into_iter().find(|phase| *phase > self).unwrap_or(Self::Sign)
    }
}
