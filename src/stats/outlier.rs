//! Values that do not belong to the rest: Grubbs for one, generalized ESD for several.
//!
//! Both ask how many standard deviations the farthest value lies from the mean, and compare with what a
//! normal sample of that size would show. Readings with few digits break that assumption when almost all
//! of them are equal, so the multi-outlier test takes a `resolution` below which values count as equal.

use super::quantile::t_quantile;
use super::summary::Summary;
use super::{StatsError, usable};

/// Which end of the sample is suspected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspect {
    /// The smallest value.
    Lowest,
    /// The largest value.
    Highest,
    /// Whichever lies farther from the mean; a tie goes to the smallest.
    Either,
}

/// Outcome of Grubbs' test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grubbs {
    /// Index of the suspected value in the sample as given.
    pub index: usize,
    /// Its distance from the mean, in standard deviations.
    pub g: f64,
    /// What a normal sample exceeds with probability `alpha`.
    pub critical: f64,
}

impl Grubbs {
    /// Whether the suspected value is an outlier.
    pub fn is_outlier(&self) -> bool {
        self.g > self.critical
    }
}

/// Tests one suspected value.
///
/// Source: Grubbs (1969), NIST/SEMATECH e-Handbook 1.3.5.17.1.
///
/// # Errors
/// [`StatsError::TooFew`] below three values, [`StatsError::NotFinite`], [`StatsError::NoSpread`],
/// [`StatsError::Probability`].
pub fn grubbs(values: &[f64], suspect: Suspect, alpha: f64) -> Result<Grubbs, StatsError> {
    usable(values, 3)?;
    let order = by_size(values);
    let (at, g) = farthest(values, &order, suspect)?.ok_or(StatsError::NoSpread)?;
    Ok(Grubbs { index: order[at], g, critical: grubbs_critical(values.len(), suspect, alpha)? })
}

/// Critical value of Grubbs' test for `n` values: [`critical`] at `1 - alpha/n` when one end is suspected,
/// at `1 - alpha/(2n)` for either.
///
/// # Errors
/// As [`critical`].
pub fn grubbs_critical(n: usize, suspect: Suspect, alpha: f64) -> Result<f64, StatsError> {
    let chances = if suspect == Suspect::Either { 2 * n } else { n };
    critical(n, 1.0 - alpha / chances as f64)
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
        let Some((at, r)) = farthest(values, &left, Suspect::Either)? else { break };
        let lambda = grubbs_critical(left.len(), Suspect::Either, alpha)?;
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

/// Position in `order` of the suspected value and its distance from the mean in standard deviations; none
/// without spread.
fn farthest(values: &[f64], order: &[usize], suspect: Suspect) -> Result<Option<(usize, f64)>, StatsError> {
    let rest: Vec<f64> = order.iter().map(|i| values[*i]).collect();
    let Summary { mean, sd, .. } = Summary::of(&rest)?;
    if sd <= 0.0 {
        return Ok(None);
    }
    let last = rest.len() - 1;
    let (lowest, highest) = ((mean - rest[0]) / sd, (rest[last] - mean) / sd);
    let low = match suspect {
        Suspect::Lowest => true,
        Suspect::Highest => false,
        Suspect::Either => lowest >= highest,
    };
    Ok(Some(if low { (0, lowest) } else { (last, highest) }))
}
