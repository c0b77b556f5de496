//! One sample in a few numbers: mean, spread, quantiles, and the spread within groups.

use super::quantile::{chi_squared_quantile, t_two_sided, two_sided};
use super::{Estimate, Interval, StatsError, finite, index, sorted, usable};

/// Number, mean and standard deviation of a sample; may also be built from published figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Number of values.
    pub n: usize,
    /// Arithmetic mean, in the unit of the values.
    pub mean: f64,
    /// Standard deviation with divisor n - 1, in the unit of the values.
    pub sd: f64,
}

impl Summary {
    /// Of a sample, in two passes so that a large offset costs no digits.
    ///
    /// # Errors
    /// [`StatsError::TooFew`] below two values, [`StatsError::NotFinite`].
    pub fn of(values: &[f64]) -> Result<Self, StatsError> {
        usable(values, 2)?;
        let mean = mean(values)?;
        let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
        Ok(Self { n: values.len(), mean, sd: finite((squares / (values.len() - 1) as f64).sqrt())? })
    }

    /// Degrees of freedom of the standard deviation, n - 1.
    pub fn df(&self) -> f64 {
        self.n.saturating_sub(1) as f64
    }

    /// Standard error of the mean.
    pub fn se(&self) -> f64 {
        self.sd / (self.n as f64).sqrt()
    }

    /// The mean with its confidence interval, mean -/+ t s/sqrt(n).
    ///
    /// Source: NIST/SEMATECH e-Handbook 1.3.5.2.
    ///
    /// # Errors
    /// [`StatsError::TooFew`] below two values, [`StatsError::Probability`].
    pub fn mean_interval(&self, level: f64) -> Result<Estimate, StatsError> {
        self.at_least_two()?;
        Estimate::new(self.mean, self.se(), t_two_sided(level, self.df())?)
    }

    /// Refuses a summary built by hand from fewer than two values.
    pub(super) fn at_least_two(&self) -> Result<(), StatsError> {
        if self.n < 2 { Err(StatsError::TooFew { needed: 2, got: self.n }) } else { Ok(()) }
    }
}

/// Arithmetic mean, corrected once by the mean of what is left over.
///
/// # Errors
/// [`StatsError::TooFew`] without values, [`StatsError::NotFinite`].
pub fn mean(values: &[f64]) -> Result<f64, StatsError> {
    usable(values, 1)?;
    let n = values.len() as f64;
    let rough = finite(values.iter().sum::<f64>() / n)?;
    let better = rough + values.iter().map(|v| v - rough).sum::<f64>() / n;
    // Rounding must not push the mean of equal values off them: their spread is then exactly zero.
    let (low, high) = values.iter().fold((values[0], values[0]), |(low, high), v| (v.min(low), v.max(high)));
    finite(better.clamp(low, high))
}

/// Median.
///
/// # Errors
/// [`StatsError::TooFew`] without values, [`StatsError::NotFinite`].
pub fn median(values: &[f64]) -> Result<f64, StatsError> {
    quantile(values, 0.5)
}

/// The value below which the share `p` of the sample lies, linear between neighbours.
///
/// Source: type 7 of Hyndman and Fan (1996), the default of R and `NumPy`.
///
/// # Errors
/// [`StatsError::TooFew`] without values, [`StatsError::NotFinite`], [`StatsError::Probability`] unless
/// `p` is 0 to 1.
pub fn quantile(values: &[f64], p: f64) -> Result<f64, StatsError> {
    usable(values, 1)?;
    if !(0.0..=1.0).contains(&p) {
        return Err(StatsError::Probability { p });
    }
    Ok(quantile_of_sorted(&sorted(values), p))
}

/// As [`quantile`], for a list known to be in rising order and not empty.
pub(super) fn quantile_of_sorted(sorted: &[f64], p: f64) -> f64 {
    let last = sorted.len() - 1;
    let position = last as f64 * p;
    let below = index(position, last);
    let above = (below + 1).min(last);
    sorted[below] + (position - below as f64) * (sorted[above] - sorted[below])
}

/// A standard deviation from several groups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    /// Standard deviation within the groups, in the unit of the values.
    pub sd: f64,
    /// Degrees of freedom it rests on.
    pub df: f64,
}

impl Pooled {
    /// Confidence interval of the standard deviation of a normal population, from chi-square.
    ///
    /// Source: NIST/SEMATECH e-Handbook 1.3.5.8.
    ///
    /// # Errors
    /// [`StatsError::Probability`], [`StatsError::NotFinite`].
    pub fn interval(&self, level: f64) -> Result<Interval, StatsError> {
        let upper = two_sided(level)?;
        let end = |p| chi_squared_quantile(p, self.df).and_then(|chi| finite(self.sd * (self.df / chi).sqrt()));
        Ok(Interval { low: end(upper)?, high: end(1.0 - upper)? })
    }
}

/// Standard deviation within groups whose means may differ: root of sum of `df s^2` over sum of `df`.
///
/// Source: NIST/SEMATECH e-Handbook 2.4.5 (level-1 standard deviations pooled).
///
/// # Errors
/// [`StatsError::TooFew`] when no group has two values, [`StatsError::NotFinite`].
pub fn pooled_sd(groups: &[Summary]) -> Result<Pooled, StatsError> {
    let df: f64 = groups.iter().map(Summary::df).sum();
    if df < 1.0 {
        return Err(StatsError::TooFew { needed: 2, got: groups.iter().map(|g| g.n).max().unwrap_or(0) });
    }
    let squares: f64 = groups.iter().filter(|g| g.n > 1).map(|g| g.df() * g.sd * g.sd).sum();
    Ok(Pooled { sd: finite((squares / df).sqrt())?, df })
}
