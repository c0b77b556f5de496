//! How far one reading can be trusted, and a mean of several.

use chrono::NaiveDate;

use crate::round::Trust;
use crate::units::{Degrees, Millimetres, deg, mm};

/// The part of a length's standard uncertainty that repeats cannot average away: a caliper that is in error by at
/// most 0.02 mm (a usual limit for digital ones) has a standard uncertainty of 0.02 / sqrt(3).
const LENGTH_FLOOR: Millimetres = mm(0.012);
/// The same for a gap: half of a 0.04 mm step of gauge or scale, rectangular.
const GAP_FLOOR: Millimetres = mm(0.012);
/// The same for an angle: a protractor marked in whole degrees, 1 / sqrt(12).
const ANGLE_FLOOR: Degrees = deg(0.29);

/// Standard uncertainty of one reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skill {
    /// Of a length.
    pub length: Millimetres,
    /// Of a raker gap.
    pub gap: Millimetres,
    /// Of a top-plate angle.
    pub angle: Degrees,
    /// True where the sharpener's own repeats were studied; false for the proposed figures.
    pub own: bool,
    /// The day of the study that the figure of lengths is from; none where there was none.
    pub on: Option<NaiveDate>,
}

/// Proposals: a caliper on a cutter tip, which is no flat face, repeats to about 0.05 mm by hand, a gap gauge to 0.03 mm,
/// a hand protractor to 1 degree. Nobody publishes figures for saw chain.
impl Default for Skill {
    fn default() -> Self {
        Self { length: mm(0.05), gap: mm(0.03), angle: deg(1.0), own: false, on: None }
    }
}

impl Skill {
    /// What a round keeps of it.
    pub const fn trust(&self) -> Trust {
        Trust { length: self.length, gap: self.gap, angle: self.angle }
    }

    /// Standard uncertainty of the mean of `n` length readings.
    pub fn length_u(&self, n: usize) -> Millimetres {
        mm(averaged(self.length.get(), LENGTH_FLOOR.get(), n))
    }

    /// Standard uncertainty of the mean of `n` gap readings.
    pub fn gap_u(&self, n: usize) -> Millimetres {
        mm(averaged(self.gap.get(), GAP_FLOOR.get(), n))
    }

    /// Standard uncertainty of the mean of `n` angle readings.
    pub fn angle_u(&self, n: usize) -> Degrees {
        deg(averaged(self.angle.get(), ANGLE_FLOOR.get(), n))
    }

    /// The part of a length's uncertainty that all readings of one instrument share.
    pub(crate) fn length_shared(&self) -> Millimetres {
        LENGTH_FLOOR.min(self.length)
    }

    /// The part of a gap's uncertainty that all readings of one instrument share.
    pub(crate) fn gap_shared(&self) -> Millimetres {
        GAP_FLOOR.min(self.gap)
    }

    /// The part of an angle's uncertainty that all readings of one instrument share.
    pub(crate) fn angle_shared(&self) -> Degrees {
        ANGLE_FLOOR.min(self.angle)
    }
}

/// `sqrt(f^2 + (u^2 - f^2) / n)`: the scatter averages, the instrument's own part `f` stays.
fn averaged(u: f64, floor: f64, n: usize) -> f64 {
    let fixed = floor.min(u).powi(2);
    (fixed + (u * u - fixed) / n.max(1) as f64).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_reading_has_the_stated_uncertainty_and_many_reach_the_instruments() {
        let skill = Skill::default();
        assert!((skill.length_u(1).get() - 0.05).abs() < 1e-15);
        assert!((skill.length_u(4).get() - (0.012_f64.powi(2) + (0.0025 - 0.000_144) / 4.0).sqrt()).abs() < 1e-15);
        assert!((skill.length_u(1_000_000).get() - 0.012).abs() < 1e-6);
        assert!(skill.angle_u(2) < skill.angle_u(1) && skill.gap_u(2) < skill.gap_u(1));
        // An instrument better than the usual one has no more uncertainty than it was given.
        let fine = Skill { length: mm(0.005), own: true, ..skill };
        assert!((fine.length_u(1).get() - 0.005).abs() < 1e-15 && fine.length_u(9) <= mm(0.005));
    }
}
