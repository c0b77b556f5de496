//! Cutters measured on a loop for its geometry: how long, how far from raker to corner, and what a plate gauge left there.

use serde::{Deserialize, Serialize};

use super::geometry::least_squares;
use super::known::REACH_U;
use super::plate::Plate;
use super::spec::Spec;
use crate::units::{Millimetres, mm};

/// Cutters further apart in length than this, mm, tell how the reach grows; nearer ones only how long it is.
pub(crate) const APART_MM: f64 = 1.0;

/// One cutter, measured for the geometry.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// Its length.
    #[serde(rename = "length_mm")]
    pub length: Millimetres,
    /// Its reach, where taken.
    #[serde(rename = "reach_mm", default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Millimetres>,
    /// Its raker gap just after the plate gauge was used, where taken.
    #[serde(rename = "plate_gap_mm", default, skip_serializing_if = "Option::is_none")]
    pub plate_gap: Option<Millimetres>,
}

/// A loop's own reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// When new, mm.
    pub new: Millimetres,
    /// At the witness mark, mm.
    pub at_mark: Millimetres,
    /// Standard uncertainty of the new one.
    pub u: Millimetres,
    /// True where readings far enough apart told how it grows; else it grows as the profile says.
    pub growth_seen: bool,
}

/// The loop's own reach from the readings, by least squares on `d = d_new + rho w`.
///
/// Readings within [`APART_MM`] keep the profile's growth. `None` without a reading, or where the readings make no sense:
/// a reach that shrinks with wear or that was nothing when new.
pub(crate) fn reach(spec: &Spec, measures: &[Measure]) -> Option<Reach> {
    let points: Vec<(f64, f64)> =
        measures.iter().filter_map(|m| Some((spec.wear(m.length).get(), m.reach?.get()))).collect();
    let n = points.len() as f64;
    let (low, high) =
        points.iter().fold((f64::MAX, f64::MIN), |(low, high), (wear, _)| (low.min(*wear), high.max(*wear)));
    let fitted = if high - low > APART_MM { least_squares(&points) } else { None };
    let (growth, new, u) = match fitted {
        Some((growth, new)) => {
            let mean = points.iter().map(|p| p.0).sum::<f64>() / n;
            let spread: f64 = points.iter().map(|p| (p.0 - mean).powi(2)).sum();
            (growth, new, REACH_U * (1.0 / n + mean * mean / spread).sqrt())
        }
        None => {
            let growth = spec.reach_growth();
            let sum: f64 = points.iter().map(|(wear, reach)| reach - growth * wear).sum();
            (growth, sum / n, REACH_U * n.sqrt().recip())
        }
    };
    let at_mark = new + growth * spec.usable().get();
    let sane = !points.is_empty() && new > 0.0 && growth > 0.0 && at_mark.is_finite();
    sane.then_some(Reach { new: mm(new), at_mark: mm(at_mark), u, growth_seen: fitted.is_some() })
}

/// The plate gauge that left the gaps measured, its foot `foot` ahead of the raker's top. See [`Plate::calibrate`].
pub(crate) fn plate(spec: &Spec, foot: Millimetres, measures: &[Measure]) -> Option<Plate> {
    let gaps: Vec<_> = measures.iter().filter_map(|m| Some((spec.wear(m.length), m.plate_gap?))).collect();
    Plate::calibrate(spec, foot, &gaps)
}

/// Largest difference between a gap that was measured after the plate and what its model says there, mm.
pub(crate) fn worst_miss(spec: &Spec, plate: Plate, measures: &[Measure]) -> Option<f64> {
    let miss = |m: &Measure| Some((plate.gap(spec, spec.wear(m.length)) - m.plate_gap?).get().abs());
    measures.iter().filter_map(miss).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;
    use crate::chain::{Origin, Wood};
    use proptest::prelude::*;

    fn spec() -> Spec {
        built_in::named("three-eighths").unwrap().spec().clone()
    }

    fn seen(length: f64, reach: f64) -> Measure {
        Measure { length: mm(length), reach: Some(mm(reach)), plate_gap: None }
    }

    #[test]
    fn one_reach_moves_the_line_and_two_turn_it() {
        let spec = spec();
        let wear = 1.0;
        let one = reach(&spec, &[seen(spec.new_length.get() - wear, 7.0)]).unwrap();
        assert!((one.new.get() - (7.0 - spec.reach_growth() * wear)).abs() < 1e-12);
        assert!(!one.growth_seen && (one.u - REACH_U).get().abs() < 1e-12);
        let new = spec.new_length.get();
        let two = reach(&spec, &[seen(new, 6.0), seen(new - 4.0, 9.0)]).unwrap();
        assert!((two.new.get() - 6.0).abs() < 1e-9 && two.growth_seen);
        assert!((two.at_mark.get() - (6.0 + 0.75 * spec.usable().get())).abs() < 1e-9);
        assert_eq!(reach(&spec, &[]), None);
        assert_eq!(reach(&spec, &[seen(new, 9.0), seen(new - 4.0, 6.0)]), None, "a reach does not shrink with wear");
    }

    #[test]
    fn a_learned_slope_is_weighted_by_how_well_it_is_known() {
        let spec = spec();
        let had = spec.back_slope.get();
        let learned = spec.clone().with_learned_slope(Degrees::new(had + 2.0), spec.known.back_slope.u);
        assert!((learned.back_slope.get() - (had + 1.0)).abs() < 1e-12, "equally sure: half way");
        assert!(
            (learned.known.back_slope.u.get() - spec.known.back_slope.u.get() / std::f64::consts::SQRT_2).abs() < 1e-12
        );
        assert_eq!(learned.known.back_slope.from, Origin::Learned);
        assert_eq!(spec.clone().with_learned_slope(Degrees::new(f64::NAN), Degrees::new(1.0)), spec);
    }

    use crate::units::Degrees;

    proptest! {
        #[test]
        fn a_plate_is_found_again_from_the_gaps_it_leaves(foot in 10.0..30.0f64, height in 1.8..3.0f64, slot in 0.0..0.6f64, apart in 0.6..4.0f64) {
            let spec = spec();
            let true_plate = Plate { foot: mm(foot), height: mm(height), slot: mm(slot) };
            let row = |wear: f64| {
                let length = spec.new_length - mm(wear);
                Measure { length, reach: None, plate_gap: Some(true_plate.gap(&spec, mm(wear))) }
            };
            let rows = [row(0.2), row(0.2 + apart)];
            let found = plate(&spec, mm(foot), &rows).unwrap();
            prop_assert!((found.height.get() - height).abs() < 1e-6 && (found.slot.get() - slot).abs() < 1e-6);
            prop_assert!(worst_miss(&spec, found, &rows).unwrap() < 1e-9);
        }

        #[test]
        fn the_changeover_moves_with_the_reach_as_its_slope_says(reach in 5.0..7.0f64, share in 0.7..0.9f64, bite in proptest::option::of(5.0..8.0f64)) {
            let base = Spec { worth_share: share, due_life: 0.9, due_share: 0.3, bite: bite.map(Degrees::new), ..spec() };
            // The growth of the reach stays while the reach itself moves.
            let at = |reach: f64| {
                let grown = base.reach_growth() * base.usable().get();
                Spec { reach_new: mm(reach), reach_mark: Some(mm(reach + grown)), ..base.clone() }
            };
            let mut here = at(reach);
            here.known.new_length.u = mm(0.0);
            here.known.reach.u = mm(1.0);
            let step = 1e-5;
            let worth = |reach: f64| at(reach).wear_at_share(Wood::Any, share).get();
            let slope = (worth(reach + step) - worth(reach - step)) / (2.0 * step);
            prop_assume!(at(reach).wear_at_share(Wood::Any, share) < at(reach).due_wear(Wood::Any));
            prop_assert!((here.worth_u(Wood::Any).get() - slope.abs()).abs() < 1e-5, "{:?} {slope}", here.worth_u(Wood::Any));
        }

        #[test]
        fn the_changeover_is_less_sure_the_less_the_geometry_is(u in 0.05..1.0f64) {
            let mut spec = spec();
            let before = spec.worth_u(Wood::Any);
            spec.known.reach.u = spec.known.reach.u + mm(u);
            prop_assert!(spec.worth_u(Wood::Any) > before);
            spec.known.reach.u = mm(0.0);
            prop_assert!((spec.worth_u(Wood::Any) - spec.known.new_length.u).get().abs() < 1e-12);
        }
    }
}
