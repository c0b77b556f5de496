//! Values that do not belong to the rest: the generalized ESD test.
//!
//! It asks how many standard deviations the farthest value lies from the mean, and compares with what a
//! normal sample of that size would show. Readings with few digits break that assumption when almost all
//! of them are equal, so the test takes a `resolution` below which values count as equal.

use super::quantile::t_quantile;
use super::summary::Summary;
use super::{StatsError, usable};

/// Critical value of Grubbs' test for `n` values, either end suspected: [`critical`] at `1 - alpha/(2n)`.
///
/// # Errors
/// As [`critical`].
pub fn grubbs_critical(n: usize, alpha: f64) -> Result<f64, StatsError> {
    critical(n, 1.0 - alpha / (2 * n) as f64)
}

/// The distance from the mean, in standard deviations, that one given value of a normal sample of `n`
/// stays below with probability `p`: `(n-1) t / sqrt(n (n - 2 + t^2))`, t with n - 2 degrees of freedom.
///
/// Source: NIST/SEMATECH e-Handbook 1.3.5.17.1; 1.3.5.17.3 has the same formula for the values left.
///
/// # Errors
/// [`StatsError::TooFew`] below three values, [`StatsError::Probability`].
pub fn critical(n: usize, p: f64) -> Result<f64, StatsError> {
    if n < 3 {
        return Err(StatsError::TooFew { needed: 3, got: n });
    }
    let n = n as f64;
    let t = t_quantile(p, n - 2.0)?;
    Ok((n - 1.0) * t / (n * (n - 2.0 + t * t)).sqrt())
}

/// One step of the generalized ESD test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EsdRow {
    /// Index of the value taken out at this step, in the sample as given.
    pub index: usize,
    /// Distance of that value from the mean of what was left, in standard deviations.
    pub r: f64,
    /// Critical value for this step.
    pub lambda: f64,
}

/// Outcome of the generalized ESD test.
#[derive(Debug, Clone, PartialEq)]
pub struct Esd {
    /// One row for each value taken out, in that order; fewer than asked when what was left had no spread.
    pub rows: Vec<EsdRow>,
    /// How many of the first rows are outliers: the largest step whose `r` exceeds its `lambda`.
    pub outliers: usize,
}

impl Esd {
    /// Indices of the outliers in the sample as given, the first taken out first.
    pub fn indices(&self) -> impl Iterator<Item = usize> + '_ {
        self.rows.iter().take(self.outliers).map(|row| row.index)
    }
}

/// Generalized extreme Studentized deviate test for up to `most` outliers at either end.
///
/// Values are taken out one by one, the farthest from the mean of the rest first. The number of outliers is the
/// LARGEST step that exceeds its critical value, even when earlier steps did not: that is how the test sees
/// two outliers that hide each other. It stops early when fewer than three values are left, or when those
/// left span no more than `resolution` (the step of the readings; 0 for exact values), because they then
/// say nothing about spread.
///
/// With `m` values left, the critical value is [`critical`] at `1 - alpha/(2m)`. ISO 16269-4:2010 takes
/// `(1 - alpha/2)^(1/m)` instead, which gives slightly smaller values (2.7058 instead of 2.7082 for 20 values at
/// 5 %); this is not that variant. The test is accurate from about 25 values and fair from 15
/// (Rosner's own simulations, from memory).
///
/// Source: Rosner (1983), NIST/SEMATECH e-Handbook 1.3.5.17.3.
///
/// # Errors
/// [`StatsError::TooFew`] below three values, [`StatsError::NotFinite`], [`StatsError::Probability`].
pub fn generalized_esd(values: &[f64], most: usize, alpha: f64, resolution: f64) -> Result<Esd, StatsError> {
    usable(values, 3)?;
    let mut left = by_size(values);
    let mut esd = Esd { rows: Vec::new(), outliers: 0 };
    while esd.rows.len() < most && left.len() >= 3 {
        if values[left[left.len() - 1]] - values[left[0]] <= resolution {
            break;
        }
        let Some((at, r)) = farthest(values, &left)? else { break };
        let lambda = grubbs_critical(left.len(), alpha)?;
        esd.rows.push(EsdRow { index: left.remove(at), r, lambda });
        if r > lambda {
            esd.outliers = esd.rows.len();
        }
    }
    Ok(esd)
}

/// Indices in rising order of value, so that the answer does not depend on the order of the sample.
fn by_size(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    order
}

/// Position in `order` of the value farthest from the mean and that distance in standard deviations, a tie going to the
/// smallest; none without spread.
fn farthest(values: &[f64], order: &[usize]) -> Result<Option<(usize, f64)>, StatsError> {
    let rest: Vec<f64> = order.iter().map(|i| values[*i]).collect();
    let Summary { mean, sd, .. } = Summary::of(&rest)?;
    if sd <= 0.0 {
        return Ok(None);
    }
    let last = rest.len() - 1;
    let (lowest, highest) = ((mean - rest[0]) / sd, (rest[last] - mean) / sd);
    Ok(Some(if lowest >= highest { (0, lowest) } else { (last, highest) }))
}
