//! Laws that hold for any sample: its order does not matter, and a new zero or unit moves the answers along.

use proptest::prelude::*;

use super::compare::welch;
use super::outlier::generalized_esd;
use super::summary::{Summary, median, quantile};
use super::theil_sen::theil_sen;

/// Readings as an instrument gives them: hundredths, so that ties happen.
fn readings(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec((-2000_i32..2000).prop_map(|v| f64::from(v) / 100.0), count)
}

/// Readings with a second order of the same.
fn shuffled() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    readings(3..30).prop_flat_map(|v| (Just(v.clone()), Just(v).prop_shuffle()))
}

fn close(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-10 * scale.abs().max(1.0)
}

fn steps(n: usize) -> Vec<f64> {
    (0..n).map(|i| i as f64).collect()
}

proptest! {
    #[test]
    fn the_order_of_a_sample_does_not_matter((a, b) in shuffled()) {
        let (sa, sb) = (Summary::of(&a).unwrap(), Summary::of(&b).unwrap());
        prop_assert!(close(sa.mean, sb.mean, sa.mean) && close(sa.sd, sb.sd, sa.sd));
        prop_assert_eq!(median(&a), median(&b));
        prop_assert_eq!(quantile(&a, 0.2), quantile(&b, 0.2));
        let of = |v: &[f64]| {
            let esd = generalized_esd(v, 5, 0.05, 0.0).unwrap();
            let out: Vec<f64> = esd.indices().map(|i| v[i]).collect();
            (esd.rows.len(), esd.outliers, out)
        };
        prop_assert_eq!(of(&a), of(&b));
    }

    #[test]
    fn a_new_zero_and_unit_move_place_and_spread_along(
        a in readings(3..30), shift in -50.0..50.0_f64, scale in 0.1..40.0_f64,
    ) {
        let b: Vec<f64> = a.iter().map(|v| v * scale + shift).collect();
        let (sa, sb) = (Summary::of(&a).unwrap(), Summary::of(&b).unwrap());
        let size = 100.0 * scale + 100.0;
        prop_assert!(close(sa.mean * scale + shift, sb.mean, size));
        prop_assert!(close(sa.sd * scale, sb.sd, size));
        prop_assert!(close(median(&a).unwrap() * scale + shift, median(&b).unwrap(), size));
    }

    #[test]
    fn lines_follow_a_new_zero_and_unit_of_y(
        y in readings(4..20), shift in -50.0..50.0_f64, scale in 0.1..40.0_f64,
    ) {
        let x = steps(y.len());
        let moved: Vec<f64> = y.iter().map(|v| v * scale + shift).collect();
        let size = 100.0 * scale + 100.0;
        let (a, b) = (theil_sen(&x, &y, 0.95).unwrap(), theil_sen(&x, &moved, 0.95).unwrap());
        prop_assert!(close(a.slope * scale, b.slope, size));
        prop_assert!(a.interval.low <= a.slope && a.slope <= a.interval.high);
    }

    #[test]
    fn turning_a_line_upside_down_turns_its_interval(y in readings(4..20)) {
        let x = steps(y.len());
        let down: Vec<f64> = y.iter().map(|v| -v).collect();
        let (a, b) = (theil_sen(&x, &y, 0.95).unwrap(), theil_sen(&x, &down, 0.95).unwrap());
        prop_assert!(close(a.slope, -b.slope, 1.0));
    }

    #[test]
    fn swapping_two_samples_turns_their_difference(a in readings(3..20), b in readings(3..20)) {
        let (a, b) = (Summary::of(&a).unwrap(), Summary::of(&b).unwrap());
        if let (Ok(ab), Ok(ba)) = (welch(&a, &b, 0.9), welch(&b, &a, 0.9)) {
            prop_assert!(close(ab.estimate.value, -ba.estimate.value, 1.0));
            prop_assert!(close(ab.estimate.interval.low, -ba.estimate.interval.high, ab.estimate.interval.low));
            prop_assert!(close(ab.p_two_sided, ba.p_two_sided, 1.0) && ab.p_two_sided <= 1.0);
        }
    }
}
