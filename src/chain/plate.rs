//! A plate gauge: what it really does to the raker gap as the cutter wears.
//!
//! The plate rests with one end on the working corner and with its foot on the tie strap, `F` ahead of the raker top.
//! The raker is filed flush with the slot, whose face stands `t` above that resting line (the corner end higher by
//! `H`). At the raker top, `d` from the corner and `F` from the foot, the resting line stands `H F / (d + F)` above
//! the foot, so the corner stands `H - H F / (d + F) = H d / (d + F)` above it: `g = H(w) d / (d + F) - t`,
//! `H(w) = H0 - w tan(beta)`. It is a third way, neither the fixed gap nor the constant bite angle.

use serde::{Deserialize, Serialize};

use super::geometry::least_squares;
use super::spec::Spec;
use crate::units::{Degrees, Millimetres, mm};

/// A plate gauge's own measures, all in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// `F`: how far ahead of the raker top the foot rests.
    #[serde(rename = "foot_mm")]
    pub foot: Millimetres,
    /// `H0`: height of a new cutter's working corner above the foot's rest.
    #[serde(rename = "height_mm")]
    pub height: Millimetres,
    /// `t`: how far the slot's filing face stands above the resting line.
    #[serde(rename = "slot_mm")]
    pub slot: Millimetres,
}

impl Plate {
    /// Gap that this plate leaves on a cutter of that wear.
    pub fn gap(&self, spec: &Spec, wear: Millimetres) -> Millimetres {
        let reach = spec.reach(wear);
        let height = self.height - spec.tip_drop(wear);
        mm(height.get() * reach.get() / (reach + self.foot).get()) - self.slot
    }

    /// Angle of the line from the foot to the working corner against the chain.
    pub fn line(&self, spec: &Spec, wear: Millimetres) -> Degrees {
        let height = self.height - spec.tip_drop(wear);
        Degrees::from_radians(height.get().atan2((spec.reach(wear) + self.foot).get()))
    }

    /// Tooth length to file until this plate asks for just the gap that the filed tooth then has.
    ///
    /// With `D = d + F`, `b = tan(beta)` and `e` the gap above what the plate leaves, `g - x b` has to equal
    /// `(H - x b)(d + rho x) / (D + rho x) - t`. The squares of `x` cancel: `x = e D / (rho (H - t - g) + b F)`.
    /// `None` where the gap is so large that no filing meets the plate.
    pub fn tooth_to_restore(&self, spec: &Spec, wear: Millimetres, gap: Millimetres) -> Option<Millimetres> {
        let excess = gap - self.gap(spec, wear);
        let height = self.height - spec.tip_drop(wear);
        let pull = spec.reach_growth() * (height - self.slot - gap).get() + spec.fall() * self.foot.get();
        (pull > 0.0).then(|| excess * ((spec.reach(wear) + self.foot).get() / pull))
    }

    /// `H0` and `t` from gaps measured after the plate was used on cutters of different wear, by least squares.
    ///
    /// The model is linear in both: `g + w tan(beta) s = H0 s - t` with `s = d / (d + F)`. Two or more
    /// gaps on cutters at least half a millimetre apart are needed; `None` otherwise.
    pub fn calibrate(spec: &Spec, foot: Millimetres, gaps: &[(Millimetres, Millimetres)]) -> Option<Self> {
        let rows: Vec<(f64, f64)> = gaps
            .iter()
            .map(|&(wear, gap)| {
                let reach = spec.reach(wear);
                let share = reach.get() / (reach + foot).get();
                (share, gap.get() + spec.tip_drop(wear).get() * share)
            })
            .collect();
        let wears = || gaps.iter().map(|(wear, _)| wear.get());
        let spread = wears().fold(f64::MIN, f64::max) - wears().fold(f64::MAX, f64::min);
        if rows.len() < 2 || spread < 0.5 {
            return None;
        }
        let (height, offset) = least_squares(&rows)?;
        Some(Self { foot, height: mm(height), slot: mm(-offset) })
    }
}
