//! A straight line that one bad reading cannot bend: the median of all pairwise slopes.

use super::quantile::{normal_quantile, two_sided};
use super::summary::median;
use super::{Interval, StatsError, finite, index, paired, sorted};

/// Theil's line, with Sen's interval for its slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TheilSen {
    /// Median of the slopes of all pairs of points with different x, in y units per x unit.
    pub slope: f64,
    /// Median of y less `slope` times the median of x, in y units.
    pub intercept: f64,
    /// Interval of the slope. With fewer than five points no 95 % interval exists: its ends are then
    /// the smallest and the largest slope of any pair, which cover less than asked.
    pub interval: Interval,
}

/// Fits the line; `level` is the confidence of the interval.
///
/// Source: Sen (1968), in the convention of `scipy.stats.theilslopes` (`SciPy` 1.17.1): ranks from the
/// normal approximation to Kendall's S with ties taken off, rounded half to even.
///
/// # Errors
/// [`StatsError::Unpaired`], [`StatsError::TooFew`] below two points, [`StatsError::NotFinite`],
/// [`StatsError::NoSpread`] when all x are equal, [`StatsError::Probability`].
pub fn theil_sen(x: &[f64], y: &[f64], level: f64) -> Result<TheilSen, StatsError> {
    paired(x, y, 2)?;
    let z = normal_quantile(two_sided(level)?)?;
    let mut slopes = Vec::with_capacity(x.len() * (x.len() - 1) / 2);
    for (i, (xi, yi)) in x.iter().zip(y).enumerate() {
        for (run, rise) in x.iter().zip(y).skip(i + 1).map(|(xj, yj)| (xj - xi, yj - yi)) {
            if run != 0.0 {
                slopes.push(finite(rise / run)?);
            }
        }
    }
    if slopes.is_empty() {
        return Err(StatsError::NoSpread);
    }
    let (last, half) = (slopes.len() - 1, slopes.len() as f64 / 2.0);
    // Thousands of them, of which two in the middle and two towards the ends count.
    let mut at = |rank: f64| *slopes.select_nth_unstable_by(index(rank, last), f64::total_cmp).1;
    let middle = last as f64 / 2.0;
    let slope = f64::midpoint(at(middle.floor()), at(middle.ceil()));
    let variance = (pairing(x.len()) - ties(x) - ties(y)).max(0.0) / 18.0;
    let reach = z * variance.sqrt() / 2.0;
    let interval =
        Interval { low: at((half - reach).round_ties_even() - 1.0), high: at((half + reach).round_ties_even()) };
    Ok(TheilSen { slope, intercept: finite(median(y)? - slope * median(x)?)?, interval })
}

/// 18 times the variance of Kendall's S that `k` values contribute.
fn pairing(k: usize) -> f64 {
    let k = k as f64;
    k * (k - 1.0) * (2.0 * k + 5.0)
}

/// What groups of equal values take off.
fn ties(values: &[f64]) -> f64 {
    // In rising order, not less means equal.
    sorted(values).chunk_by(|a, b| a >= b).map(|group| pairing(group.len())).sum()
}
