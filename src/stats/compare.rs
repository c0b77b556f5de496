//! Two samples whose spreads may differ.

use super::conformity::{Limits, Verdict};
use super::quantile::{t_cdf, t_two_sided};
use super::summary::Summary;
use super::{Estimate, Interval, StatsError, finite};

/// The difference of two means, first less second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Difference, standard error and interval, in the unit of the values.
    pub estimate: Estimate,
    /// Difference over its standard error.
    pub t: f64,
    /// Welch-Satterthwaite degrees of freedom, not rounded.
    pub df: f64,
    /// Probability of a difference at least this large in either direction if there were none.
    pub p_two_sided: f64,
}

/// Welch's interval for the difference of two means. Takes summaries so that a caller may widen a
/// spread that is too small to believe (few digits, all readings equal) before asking.
///
/// Source: Welch (1947), NIST/SEMATECH e-Handbook 7.3.1.
///
/// # Errors
/// [`StatsError::TooFew`] when a sample has fewer than two values, [`StatsError::NoSpread`] when both
/// standard deviations are zero, [`StatsError::NotFinite`], [`StatsError::Probability`].
pub fn welch(first: &Summary, second: &Summary, level: f64) -> Result<Difference, StatsError> {
    first.at_least_two()?;
    second.at_least_two()?;
    let (of_first, of_second) = (first.se().powi(2), second.se().powi(2));
    let variance = finite(of_first + of_second)?;
    if variance <= 0.0 {
        return Err(StatsError::NoSpread);
    }
    let share = of_first / variance;
    let df = 1.0 / (share.powi(2) / first.df() + (1.0 - share).powi(2) / second.df());
    let estimate = Estimate::new(first.mean - second.mean, variance.sqrt(), t_two_sided(level, df)?)?;
    let t = finite(estimate.value / estimate.se)?;
    Ok(Difference { estimate, t, df, p_two_sided: 2.0 * t_cdf(-t.abs(), df)? })
}

/// Whether an interval of a difference lies within `margin` either way of zero, beyond it, or neither.
/// Within at a level of 0.90 is the usual pair of one-sided tests at 0.05.
///
/// Source: Schuirmann (1987), the two one-sided tests, from memory.
///
/// # Errors
/// [`StatsError::Unusable`] unless `margin` is at least zero.
pub fn against_margin(interval: Interval, margin: f64) -> Result<Verdict, StatsError> {
    Ok(Limits::between(-margin, margin)?.judge(interval))
}
