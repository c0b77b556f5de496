//! The numbers of a chain type that a round works with, without where they came from.
//!
//! A [`crate::chain::Profile`] carries each number's source; a round keeps only this copy, so that an old
//! record still means the same after somebody edits the profile.

use serde::{Deserialize, Serialize};

use super::known::Known;
use super::limits::Limits;
use super::plate::Plate;
use crate::units::{Degrees, Millimetres};

/// A file diameter and the share of usable life from which it serves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FileStep {
    /// Share of the usable length already spent, 0 (new) to 1 (at the witness mark).
    pub from_life: f64,
    /// Diameter of the round file.
    #[serde(rename = "diameter_mm")]
    pub diameter: Millimetres,
}

/// Everything the arithmetic needs to know of a chain type.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spec {
    /// Cutter length when new.
    #[serde(rename = "new_length_mm")]
    pub new_length: Millimetres,
    /// Cutter length at the witness mark: the end of its life.
    #[serde(rename = "mark_length_mm")]
    pub mark_length: Millimetres,
    /// Reach (raker top to working corner, along the chain) when new.
    #[serde(rename = "reach_new_mm")]
    pub reach_new: Millimetres,
    /// Reach at the witness mark, where known; the raker's highest point moves as it is filed.
    #[serde(rename = "reach_mark_mm", default, skip_serializing_if = "Option::is_none")]
    pub reach_mark: Option<Millimetres>,
    /// Fall of the top plate toward the heel.
    #[serde(rename = "back_slope_deg")]
    pub back_slope: Degrees,
    /// Raker gap for any wood, by the fixed rule.
    #[serde(rename = "base_gap_mm")]
    pub base_gap: Millimetres,
    /// Raker gap allowed only in softwood that is not frozen.
    #[serde(rename = "softwood_gap_mm")]
    pub softwood_gap: Millimetres,
    /// No rule sets a gap above this.
    #[serde(rename = "gap_max_mm")]
    pub gap_max: Millimetres,
    /// Bite angle to hold, where the chain's maker states it; else that of the new cutter.
    #[serde(rename = "bite_deg", default, skip_serializing_if = "Option::is_none")]
    pub bite: Option<Degrees>,
    /// Top-plate (filing) angle.
    #[serde(rename = "top_plate_deg")]
    pub top_plate: Degrees,
    /// Top-plate angle for hardwood, where it differs.
    #[serde(rename = "top_plate_hardwood_deg", default, skip_serializing_if = "Option::is_none")]
    pub top_plate_hardwood: Option<Degrees>,
    /// Top-plate cutting angle: the wedge under the top-plate edge.
    #[serde(rename = "cutting_deg")]
    pub cutting: Degrees,
    /// Side-plate angle.
    #[serde(rename = "side_plate_deg")]
    pub side_plate: Degrees,
    /// How far the file handle is tilted from level.
    #[serde(rename = "file_tilt_deg")]
    pub file_tilt: Degrees,
    /// How far a grinder's head is tilted from upright, where it is stated.
    #[serde(rename = "head_tilt_deg", default, skip_serializing_if = "Option::is_none")]
    pub head_tilt: Option<Degrees>,
    /// Round files over the cutter's life, the first from 0.
    pub files: Vec<FileStep>,
    /// How far apart cutter lengths may be.
    #[serde(rename = "length_tolerance_mm")]
    pub length_tolerance: Millimetres,
    /// How far a raker gap may be from its target.
    #[serde(rename = "gap_tolerance_mm")]
    pub gap_tolerance: Millimetres,
    /// How far a top-plate angle may be from its target.
    #[serde(rename = "angle_tolerance_deg")]
    pub angle_tolerance: Degrees,
    /// Wear-scaled gap is worth it once the fixed gap keeps less than this share of the new bite angle.
    pub worth_share: f64,
    /// Wear-scaled gap is due from this share of the usable length,
    pub due_life: f64,
    /// or once the fixed gap keeps less than this share of the new bite angle, whichever comes first.
    pub due_share: f64,
    /// Length that a merely dull cutter must lose to be sharp.
    #[serde(rename = "need_mm")]
    pub need: Millimetres,
    /// Wear of a usual round, before the loop's own history is known.
    #[serde(rename = "wear_per_round_mm")]
    pub wear_per_round: Millimetres,
    /// Length that one file stroke takes, before the sharpener's own strokes are known.
    #[serde(rename = "stroke_mm")]
    pub stroke: Millimetres,
    /// Half the kerf a new cutter cuts.
    #[serde(rename = "half_kerf_mm", default, skip_serializing_if = "Option::is_none")]
    pub half_kerf: Option<Millimetres>,
    /// Side taper: how fast the half kerf narrows with wear.
    #[serde(rename = "side_taper_deg", default, skip_serializing_if = "Option::is_none")]
    pub side_taper: Option<Degrees>,
    /// A plate gauge known for this chain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate: Option<Plate>,
    /// How well the geometry is known for the loop in hand.
    #[serde(default, skip_serializing_if = "Known::is_default")]
    pub known: Known,
    /// The loop's own limits; the gaps above obey them already.
    #[serde(default, skip_serializing_if = "Limits::is_unknown")]
    pub limits: Limits,
}
