//! A loop's card: what stays the same from round to round.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::held::Release;
use super::visit::Visit;
use crate::chain::known::{self, Figure};
use crate::chain::{
    Corner, Layout, Limits, LowerKickback, Measure, Plate, Sequence, Side, Spec, layout::LayoutError, measures,
};
use crate::units::{Degrees, Millimetres};

/// One loop in care.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// Slug: the folder's name.
    pub tag: String,
    /// Name on screen.
    pub name: String,
    /// Whose it is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub owner: String,
    /// The saw it runs on; loops on one saw share a sprocket and a bar.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub saw: String,
    /// Profile name.
    pub profile: String,
    /// Drive links.
    pub links: u16,
    /// Order of cutters.
    pub sequence: Sequence,
    /// Hand of cutter 1.
    pub first: Side,
    /// How the start of the count is marked.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub start_mark: String,
    /// When it came into care.
    pub created: DateTime<FixedOffset>,
    /// The loop's own figures, where measured.
    #[serde(default, skip_serializing_if = "Own::is_empty")]
    pub own: Own,
    /// What rounds and loops cost, where the owner enters it.
    #[serde(default, skip_serializing_if = "Prices::is_empty")]
    pub prices: Prices,
    /// Set aside for practice: not for a saw, and no round is begun on it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub for_practice: bool,
    /// Set when the loop was taken out of care.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scrapped: Option<Scrapped>,
    /// When it was given back after a rejection or after being out of care, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub releases: Vec<Release>,
    /// For a customer's loop: who brought it, when it is promised for, who fetched it.
    #[serde(default, skip_serializing_if = "Visit::is_empty")]
    pub visit: Visit,
}

/// Figures measured on this very loop; each replaces the profile's.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Own {
    /// Cutter length when new.
    #[serde(rename = "new_length_mm", default, skip_serializing_if = "Option::is_none")]
    pub new_length: Option<Millimetres>,
    /// Reach when new.
    #[serde(rename = "reach_new_mm", default, skip_serializing_if = "Option::is_none")]
    pub reach_new: Option<Millimetres>,
    /// Reach at the witness mark.
    #[serde(rename = "reach_mark_mm", default, skip_serializing_if = "Option::is_none")]
    pub reach_mark: Option<Millimetres>,
    /// Back slope.
    #[serde(rename = "back_slope_deg", default, skip_serializing_if = "Option::is_none")]
    pub back_slope: Option<Degrees>,
    /// Base gap that the loop's maker asks for.
    #[serde(rename = "base_gap_mm", default, skip_serializing_if = "Option::is_none")]
    pub base_gap: Option<Millimetres>,
    /// Largest gap that the loop's maker allows.
    #[serde(rename = "largest_gap_mm", default, skip_serializing_if = "Option::is_none")]
    pub largest_gap: Option<Millimetres>,
    /// Is it a lower-kickback chain?
    #[serde(default, skip_serializing_if = "LowerKickback::is_unknown")]
    pub lower_kickback: LowerKickback,
    /// Shape of its working corners.
    #[serde(default, skip_serializing_if = "Corner::is_unknown")]
    pub corner: Corner,
    /// The sharpener's plate gauge on this chain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate: Option<Plate>,
    /// How far ahead of the raker's top the foot of that gauge rests, where its gaps were measured.
    #[serde(rename = "plate_foot_mm", default, skip_serializing_if = "Option::is_none")]
    pub plate_foot: Option<Millimetres>,
    /// Cutters measured for reach and plate gauge.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub measured: Vec<Measure>,
}

/// Prices in the owner's own money; no currency is assumed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// A new loop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_loop: Option<f64>,
    /// One round at the bench.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub round: Option<f64>,
    /// Hours the loop cuts between rounds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_between: Option<f64>,
}

/// Why and when a loop left care.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scrapped {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Why, in words.
    pub reason: String,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands the field over by reference")]
const fn is_false(value: &bool) -> bool {
    !*value
}

impl Card {
    /// The cutters in order.
    ///
    /// # Errors
    /// [`LayoutError`] where links and sequence do not fit.
    pub fn layout(&self) -> Result<Layout, LayoutError> {
        Layout::new(self.links, &self.sequence, self.first)
    }

    /// The profile's numbers with the loop's own in their place, each with how well it is known. What was entered comes
    /// before what the measured cutters tell.
    pub fn spec(&self, profile: &Spec) -> Spec {
        let own = &self.own;
        let mut spec = profile.clone();
        let growth = spec.reach_growth();
        if let Some(length) = own.new_length {
            spec.new_length = length;
            spec.known.new_length = Figure::measured(known::NEW_LENGTH_U);
        }
        // The reach grows as it did; a profile that states none at the mark means growth one for one.
        spec.reach_mark = spec.reach_mark.map(|_| spec.reach_new + spec.usable() * growth);
        if let Some(slope) = own.back_slope {
            spec.back_slope = slope;
            spec.known.back_slope = Figure::measured(known::BACK_SLOPE_U);
        }
        if let Some(seen) = measures::reach(&spec, &own.measured) {
            (spec.reach_new, spec.reach_mark) = (seen.new, Some(seen.at_mark));
            spec.known.reach = Figure::measured(seen.u);
        }
        if let Some(reach) = own.reach_new {
            let growth = spec.reach_growth();
            spec.reach_new = reach;
            spec.reach_mark = spec.reach_mark.map(|_| reach + spec.usable() * growth);
            spec.known.reach = Figure::measured(known::REACH_U);
        }
        spec.reach_mark = own.reach_mark.or(spec.reach_mark);
        let more = spec.softwood_gap - spec.base_gap;
        spec.base_gap = own.base_gap.unwrap_or(spec.base_gap);
        spec.softwood_gap = Spec::softwood_over(spec.base_gap, more);
        let calibrated = own.plate_foot.and_then(|foot| measures::plate(&spec, foot, &own.measured));
        spec.plate = own.plate.or(calibrated).or(spec.plate);
        spec.within(own.limits())
    }
}

impl Own {
    /// The loop's own limits.
    pub const fn limits(&self) -> Limits {
        Limits {
            stamped: self.base_gap,
            largest: self.largest_gap,
            lower_kickback: self.lower_kickback,
            corner: self.corner,
        }
    }

    /// True where nothing was measured.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

impl Prices {
    /// True where nothing was entered.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
