//! What bounds the raker gap of one loop, and how far a gap is published.
//!
//! A loop has limits of its own: the gap stamped on it, the largest gap that its maker allows, whether it is a lower-kickback
//! chain. [`Limits`] keeps what is known of them beside the numbers that already obey them, so that a round can say why.

use serde::{Deserialize, Serialize};

use super::gap::Wood;
use super::geometry::READING_STEP_MM;
use super::spec::Spec;
use crate::units::{Millimetres, Unit, mm};

/// Most that softwood without frost may add to a loop's gap.
///
/// Source: Bavarian State forest owners' school, article on saw chains for the plunge cut: 0.80 mm in place of 0.65 mm. It is
/// published for that setting only; on any other it is a proposal.
pub(crate) const SOFTWOOD_MORE_MM: f64 = 0.15;
/// The setting for which that is published.
const SOFTWOOD_PUBLISHED_MM: f64 = 0.65;
/// Gaps closer than this read the same on a caliper.
const SAME_MM: f64 = 0.005;

/// Is the loop a lower-kickback chain?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LowerKickback {
    /// Nobody said.
    #[default]
    Unknown,
    /// Yes: no rule goes above its setting.
    Yes,
    /// No.
    No,
}

/// Shape of the working corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Corner {
    /// Nobody said.
    #[default]
    Unknown,
    /// Rounded.
    Round,
    /// Square.
    Square,
}

/// What is known of a loop's own limits.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Gap stamped on the chain or stated in its manual.
    #[serde(rename = "stamped_mm", default, skip_serializing_if = "Option::is_none")]
    pub stamped: Option<Millimetres>,
    /// Largest gap that its maker allows.
    #[serde(rename = "largest_mm", default, skip_serializing_if = "Option::is_none")]
    pub largest: Option<Millimetres>,
    /// Lower-kickback chain.
    #[serde(default, skip_serializing_if = "LowerKickback::is_unknown")]
    pub lower_kickback: LowerKickback,
    /// Shape of the working corner.
    #[serde(default, skip_serializing_if = "Corner::is_unknown")]
    pub corner: Corner,
}

impl LowerKickback {
    /// Answers in the order in which forms offer them, and their words.
    pub const ALL: [(Self, &'static str); 3] = [(Self::Unknown, "not known"), (Self::Yes, "yes"), (Self::No, "no")];

    /// True where nobody said.
    pub const fn is_unknown(&self) -> bool {
        matches!(self, Self::Unknown)
    }
}

impl Corner {
    /// Answers in the order in which forms offer them, and their words.
    pub const ALL: [(Self, &'static str); 3] =
        [(Self::Unknown, "not known"), (Self::Round, "round"), (Self::Square, "square")];

    /// True where nobody said.
    pub const fn is_unknown(&self) -> bool {
        matches!(self, Self::Unknown)
    }
}

impl Limits {
    /// True where nothing is known.
    pub fn is_unknown(&self) -> bool {
        *self == Self::default()
    }

    /// What bounds the gap: name and value of each limit that is known.
    pub fn facts(&self, unit: Unit) -> Vec<(&'static str, String)> {
        let shown = |gap: Option<Millimetres>| gap.map(|gap| unit.show_named(gap));
        let lower = (self.lower_kickback == LowerKickback::Yes).then(|| "never above its setting".to_owned());
        let rows = [
            ("stamped gap", shown(self.stamped)),
            ("maker's largest gap", shown(self.largest)),
            ("lower-kickback chain", lower),
        ];
        rows.into_iter().filter_map(|(name, value)| Some((name, value?))).collect()
    }

    /// The same in a sentence; empty where nothing is known.
    pub fn line(&self, unit: Unit) -> String {
        let parts: Vec<String> = self.facts(unit).into_iter().map(|(name, value)| format!("{name} {value}")).collect();
        if parts.is_empty() { String::new() } else { format!("Limits of this loop: {}.", parts.join(", ")) }
    }
}

impl Spec {
    /// The gap for softwood without frost over a base gap: what more the profile allows, at most [`SOFTWOOD_MORE_MM`].
    pub fn softwood_over(base: Millimetres, allowed_more: Millimetres) -> Millimetres {
        base + allowed_more.max(mm(0.0)).min(mm(SOFTWOOD_MORE_MM))
    }

    /// The same numbers bound by a loop's limits: the maker's largest gap caps every rule, and a lower-kickback chain never
    /// goes above its setting, which is the stamped gap or else the published one.
    #[must_use]
    pub fn within(mut self, limits: Limits) -> Self {
        self.limits = limits;
        if let Some(largest) = limits.largest {
            self.gap_max = self.gap_max.min(largest);
        }
        self.base_gap = self.base_gap.min(self.gap_max);
        if limits.lower_kickback == LowerKickback::Yes {
            self.gap_max = self.base_gap;
        }
        self.softwood_gap = self.softwood_gap.min(self.gap_max);
        self
    }

    /// The largest gap for this wood that somebody publishes: the setting itself, and in unfrozen softwood 0.80 mm where the
    /// setting is 0.65 mm.
    pub fn published_gap(&self, wood: Wood) -> Millimetres {
        let has_more = (self.base_gap - mm(SOFTWOOD_PUBLISHED_MM)).abs().get() < SAME_MM;
        match wood {
            Wood::SoftwoodNoFrost if has_more => self.softwood_gap.min(self.base_gap + mm(SOFTWOOD_MORE_MM)),
            _ => self.base_gap,
        }
        .min(self.gap_max)
    }

    /// True for a gap above the published setting that no maker's limit covers: this program's proposal.
    pub fn is_proposal(&self, wood: Wood, gap: Millimetres) -> bool {
        self.limits.largest.is_none() && gap - self.published_gap(wood) > mm(SAME_MM)
    }

    /// True for a gap above the largest that any rule may set on this loop.
    pub fn is_over(&self, gap: Millimetres) -> bool {
        (gap - self.gap_max).get() > READING_STEP_MM
    }

    /// True where the limits leave the wear-scaled gap no room above the fixed one.
    pub fn is_held(&self, wood: Wood) -> bool {
        self.gap_max - self.fixed_gap(wood) < mm(SAME_MM)
    }
}

#[cfg(test)]
mod tests;
