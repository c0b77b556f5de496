//! What wear does to a cutter: reach, tip drop, file wedge, height, kerf.
//!
//! The cutter is a right-angled picture seen from the side. Filing moves the working corner straight back along
//! the top plate, which falls at the back slope `beta`: for a wear `w` along the chain the corner drops by
//! `w * tan(beta)` and stands `w` further from anything fixed on the link ahead of it.

use super::spec::{FileStep, Spec};
use crate::units::{Degrees, Millimetres, Unit, mm};

/// Slack when a length is held against the mark: a tenth of a micrometre, the finest reading kept.
pub(super) const READING_STEP_MM: f64 = 1e-4;

/// Where a cutter without a mark ends, as published.
///
/// Source: two operator manuals (4 mm, the longest part of the tooth) and a supplier's guide (3 mm), which disagree.
pub(crate) fn published_marks(unit: Unit) -> String {
    format!("two manuals end at {}, a supplier's guide at {}", unit.rough(mm(4.0)), unit.rough(mm(3.0)))
}

impl Spec {
    /// Width of the band that cutters filed to one length end in: half the length tolerance, which leaves the other half to the
    /// readings.
    pub fn band(&self) -> Millimetres {
        self.length_tolerance * 0.5
    }

    /// Wear `w = L_new - L` in mm. Negative for a cutter longer than new, which readings can show.
    pub fn wear(&self, length: Millimetres) -> Millimetres {
        self.new_length - length
    }

    /// Length that may be filed away over the whole life, in mm.
    pub fn usable(&self) -> Millimetres {
        self.new_length - self.mark_length
    }

    /// Share of the usable length spent: 0 new, 1 at the mark; outside that range for readings outside it.
    pub fn life_spent(&self, length: Millimetres) -> f64 {
        self.wear(length).get() / self.usable().get()
    }

    /// True at or below the witness mark.
    pub fn at_mark(&self, length: Millimetres) -> bool {
        length.get() <= self.mark_length.get() + READING_STEP_MM
    }

    /// Growth of the reach per mm of wear: `rho = (d_mark - d_new) / (L_new - L_mark)`, or 1 where the
    /// reach at the mark is unknown (the raker's top then stays where it is and only the corner moves back).
    pub fn reach_growth(&self) -> f64 {
        self.reach_mark.map_or(1.0, |at_mark| (at_mark - self.reach_new).get() / self.usable().get())
    }

    /// Reach `d(w) = d_new + rho * w` in mm.
    pub fn reach(&self, wear: Millimetres) -> Millimetres {
        self.reach_new + wear * self.reach_growth()
    }

    /// `tan(beta)`: height lost per mm of length.
    pub fn fall(&self) -> f64 {
        self.back_slope.radians().tan()
    }

    /// Height that the working corner has lost since new: `w * tan(beta)`, in mm.
    pub fn tip_drop(&self, wear: Millimetres) -> Millimetres {
        wear * self.fall()
    }

    /// Height between two cutters of different length: `(L1 - L2) * tan(beta)`, in mm.
    pub fn height_step(&self, longer: Millimetres, shorter: Millimetres) -> Millimetres {
        (longer - shorter) * self.fall()
    }

    /// Half kerf of a worn cutter: `k0 - w * tan(tau)`, where the profile knows both.
    pub fn half_kerf_worn(&self, wear: Millimetres) -> Option<Millimetres> {
        let (half, taper) = (self.half_kerf?, self.side_taper?);
        Some(half - wear * taper.radians().tan())
    }

    /// The round file for a cutter of this length: the last step whose share of life has been reached.
    pub fn file_for(&self, length: Millimetres) -> Option<FileStep> {
        let spent = self.life_spent(length).max(0.0);
        self.files.iter().rev().find(|step| step.from_life <= spent).copied()
    }
}

/// Bite angle `alpha = atan(g / d)` for a gap and a reach in the same unit.
pub fn bite_angle(gap: Millimetres, reach: Millimetres) -> Degrees {
    Degrees::from_radians(gap.get().atan2(reach.get()))
}

/// Bite left when the cutter rocks back by `phi` about its raker top: `g cos(phi) - d sin(phi)`, in mm.
///
/// The corner stands at `(d, g)` from the raker top; turning that vector by `-phi` gives this height, which is
/// `R sin(alpha - phi)` with `R = hypot(g, d)` and so is zero exactly at `phi = alpha`.
pub fn bite_left(gap: Millimetres, reach: Millimetres, rock: Degrees) -> Millimetres {
    let (sin, cos) = rock.radians().sin_cos();
    mm(gap.get() * cos - reach.get() * sin)
}

/// Wedge that a level round file of diameter `D` leaves when its top stands `e` above the top plate:
/// `acos(1 - 2 e / D)`, in the plane at right angles to the file.
///
/// The edge lies on the file's circle `e` below its top; the tangent there makes this angle with the level.
/// `None` where the file would stand clear of the plate (`e < 0`) or above it (`e > D`).
pub fn wedge(diameter: Millimetres, stands_above: Millimetres) -> Option<Degrees> {
    let share = stands_above.get() / diameter.get();
    (0.0..=1.0).contains(&share).then(|| Degrees::from_radians((1.0 - 2.0 * share).acos()))
}

/// The same wedge seen along the chain: `atan(tan(wedge) * cos(top-plate angle))`.
pub fn wedge_along_chain(wedge: Degrees, top_plate: Degrees) -> Degrees {
    let (sin, cos) = wedge.radians().sin_cos();
    Degrees::from_radians((sin * top_plate.radians().cos()).atan2(cos))
}

/// Back slope of a cutter whose gap was measured, whose tooth was then filed and whose gap was measured again with the
/// raker untouched: the gap lost is height lost, so `beta = atan(height lost / length lost)`.
///
/// `None` unless length was lost and the gap did not grow.
pub fn slope_from(height_lost: Millimetres, length_lost: Millimetres) -> Option<Degrees> {
    (length_lost.get() > 0.0 && height_lost.get() >= 0.0)
        .then(|| Degrees::from_radians(height_lost.get().atan2(length_lost.get())))
}

/// Slope and intercept of the least-squares line through points `(x, y)`; two points give the line through both. `None`
/// below two points, where all x are equal, and for what is not finite.
pub fn least_squares(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let n = points.len() as f64;
    let (mean_x, mean_y) = (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    let sxx: f64 = points.iter().map(|p| (p.0 - mean_x).powi(2)).sum();
    let sxy: f64 = points.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum();
    let slope = sxy / sxx;
    (points.len() > 1 && sxx > 0.0 && slope.is_finite()).then_some((slope, mean_y - slope * mean_x))
}

/// Growth of the reach per mm of wear from a newer and a more worn cutter: `(d2 - d1) / (L1 - L2)`.
///
/// `None` unless the second cutter is shorter and its reach longer.
pub fn reach_growth_from(newer: (Millimetres, Millimetres), worn: (Millimetres, Millimetres)) -> Option<f64> {
    let (length_lost, reach_gained) = ((newer.0 - worn.0).get(), (worn.1 - newer.1).get());
    (length_lost > 0.0 && reach_gained > 0.0).then(|| reach_gained / length_lost)
}
