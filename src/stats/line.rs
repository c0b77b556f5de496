//! A straight line by least squares, for values that fall on few steps.

use super::quantile::t_two_sided;
use super::summary::{mean, median};
use super::{Estimate, StatsError, paired};

/// Values farther from the median than this many times their own spread are pulled in to it, so that no single one bends the line.
const FARTHEST: f64 = 3.0;
/// Median of the distances from the median of normal values, in standard deviations.
const MEDIAN_OFF: f64 = 0.6745;

/// Slope of `y` over `x`, in y units per x unit, where `y` was read in whole steps of `step`: where most values are equal, ranks tell
/// nothing between the steps, and means do.
///
/// Source: least squares and its t interval, NIST/SEMATECH e-Handbook 4.1.4.1; the variance of rounding, `step^2 / 12`, any text.
///
/// # Errors
/// [`StatsError::Unpaired`], [`StatsError::TooFew`] below three points, [`StatsError::NotFinite`], [`StatsError::NoSpread`] when all
/// x are equal, [`StatsError::Probability`].
pub fn slope(x: &[f64], y: &[f64], step: f64, level: f64) -> Result<Estimate, StatsError> {
    paired(x, y, 3)?;
    let middle = median(y)?;
    let off: Vec<f64> = y.iter().map(|y| (y - middle).abs()).collect();
    let far = FARTHEST * (median(&off)? / MEDIAN_OFF).max(step);
    let y: Vec<f64> = y.iter().map(|y| y.clamp(middle - far, middle + far)).collect();
    let (mean_x, mean_y) = (mean(x)?, mean(&y)?);
    let run: f64 = x.iter().map(|x| (x - mean_x).powi(2)).sum();
    if run <= 0.0 {
        return Err(StatsError::NoSpread);
    }
    let slope = x.iter().zip(&y).map(|(x, y)| (x - mean_x) * (y - mean_y)).sum::<f64>() / run;
    let left: f64 = x.iter().zip(&y).map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2)).sum();
    let df = (y.len() - 2) as f64;
    let variance = (left / df).max(step * step / 12.0);
    Estimate::new(slope, (variance / run).sqrt(), t_two_sided(level, df)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slope_and_its_interval_are_those_of_a_worked_example() {
        // x 1 to 5, y 2, 4, 5, 4, 5: slope 0.6, residual sum of squares 2.4, s^2 = 0.8, se = sqrt(0.8 / 10), t(0.975, 3) = 3.182446.
        let found = slope(&[1.0, 2.0, 3.0, 4.0, 5.0], &[2.0, 4.0, 5.0, 4.0, 5.0], 0.0, 0.95).unwrap();
        assert!((found.value - 0.6).abs() < 1e-12 && (found.se - 0.08_f64.sqrt()).abs() < 1e-12, "{found:?}");
        assert!((found.interval.high - 0.6 - 3.182_446 * 0.08_f64.sqrt()).abs() < 1e-5);
    }

    #[test]
    fn readings_that_agree_to_a_step_keep_the_uncertainty_of_the_step_and_one_far_off_bends_nothing() {
        let x: Vec<f64> = (0..12).map(f64::from).collect();
        let mut y = [8.8; 12];
        let flat = slope(&x, &y, 0.1, 0.95).unwrap();
        assert!(flat.value.abs() < 1e-12 && flat.interval.high > 0.003, "{flat:?}");
        y[11] = 4.0;
        assert!(slope(&x, &y, 0.1, 0.95).unwrap().value > -0.02);
        assert!(slope(&[1.0; 4], &y[..4], 0.1, 0.95).is_err() && slope(&x[..2], &y[..2], 0.1, 0.95).is_err());
    }
}
