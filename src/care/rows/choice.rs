//! Which rows of the rack are shown, and in what order.
//!
//! What the file is for: the choices that both faces and the commands offer, with their names. It must not know how a row came about, nor
//! what the choice is made with.

use std::cmp::Ordering;

use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

use super::Row;
use crate::chain::Stage;
use crate::record::Standing;

/// Which loops are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "kebab-case")]
pub enum Filter {
    /// All that are not scrapped.
    #[strum(message = "All that are not scrapped")]
    InCare,
    /// With an open round.
    #[strum(message = "With an open round")]
    Open,
    /// Past the changeover.
    #[strum(message = "Past the changeover")]
    Past,
    /// Less than a fifth of its life left.
    #[strum(message = "Near the witness mark")]
    NearMark,
    /// Whose next round is due.
    #[strum(message = "Whose next round is due")]
    Due,
    /// Promised for a day, and not fetched yet.
    #[strum(message = "Promised for a day, and not fetched yet")]
    Promised,
    /// Promised for a day that is past.
    #[strum(message = "Promised for a day that is past, and not fetched yet")]
    Overdue,
    /// To run next on their saw.
    #[strum(serialize = "next", message = "To run next on their saw")]
    NextOnSaw,
    /// Rejected and not released since.
    #[strum(message = "Rejected and not released since")]
    Rejected,
    /// Out of care.
    #[strum(message = "Out of care")]
    Scrapped,
}

/// How they are ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "kebab-case")]
pub enum Sort {
    /// By name.
    #[strum(message = "By name")]
    Name,
    /// Least life left first.
    #[strum(message = "Least life left first")]
    Left,
    /// Longest without a round first.
    #[strum(message = "Longest without a round first")]
    Last,
    /// By owner, then name.
    #[strum(message = "By owner, then name")]
    Owner,
    /// What is promised first, first; then those without a promise.
    #[strum(message = "What is promised for the earliest day first")]
    Promised,
}

impl Filter {
    /// The next one round.
    #[must_use]
    pub const fn next(self) -> Self {
        Self::VARIANTS[(self as usize + 1) % Self::VARIANTS.len()]
    }

    /// In the heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::InCare => "in care",
            Self::Open => "with an open round",
            Self::Past => "past changeover",
            Self::NearMark => "near the witness mark",
            Self::Due => "due for a round",
            Self::Promised => "promised",
            Self::Overdue => "overdue",
            Self::NextOnSaw => "to run next on their saw",
            Self::Rejected => "rejected",
            Self::Scrapped => "out of care",
        }
    }

    /// True for a row to show.
    pub fn takes(self, row: &Row) -> bool {
        match self {
            Self::InCare => row.state != Standing::Scrapped,
            Self::Open => row.is_open(),
            Self::Past => row.state != Standing::Scrapped && row.stage.is_some_and(|stage| stage >= Stage::Worth),
            Self::NearMark => row.state != Standing::Scrapped && row.left.is_some_and(|left| left < 0.2),
            Self::Due => row.state == Standing::Ready && row.due,
            Self::Promised => row.promise.is_some(),
            Self::Overdue => row.overdue,
            Self::NextOnSaw => row.saw_says.next,
            Self::Rejected => row.state == Standing::Rejected,
            Self::Scrapped => row.state == Standing::Scrapped,
        }
    }
}

impl Sort {
    /// The next one round.
    #[must_use]
    pub const fn next(self) -> Self {
        Self::VARIANTS[(self as usize + 1) % Self::VARIANTS.len()]
    }

    /// In the heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Left => "life left",
            Self::Last => "last round",
            Self::Owner => "owner",
            Self::Promised => "promised day",
        }
    }

    /// Order of two rows.
    pub fn order(self, a: &Row, b: &Row) -> Ordering {
        let by_name = || a.order.cmp(&b.order).then_with(|| a.tag.cmp(&b.tag));
        match self {
            Self::Name => by_name(),
            Self::Left => a.left.unwrap_or(2.0).total_cmp(&b.left.unwrap_or(2.0)).then_with(by_name),
            Self::Last => a.last.cmp(&b.last).then_with(by_name),
            Self::Promised => (a.waits_for().is_none(), a.waits_for())
                .cmp(&(b.waits_for().is_none(), b.waits_for()))
                .then_with(by_name),
            Self::Owner => a.owner.to_lowercase().cmp(&b.owner.to_lowercase()).then_with(by_name),
        }
    }
}
