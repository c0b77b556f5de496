//! What a measured value with an uncertainty proves about limits.

use super::quantile::normal_cdf;
use super::{Interval, StatsError, finite};

/// Guard band for a one-sided risk of 5 %, in standard uncertainties: the normal quantile at 0.95.
pub const GUARD: f64 = 1.644_853_626_951_472_2;

/// Limits of permissible values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    lower: f64,
    upper: f64,
}

/// What is proven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the limits.
    Inside,
    /// Above the upper limit.
    Above,
    /// Below the lower limit.
    Below,
    /// Nothing: measure again, or better.
    Undecided,
}

impl Limits {
    /// Both sides.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`], [`StatsError::Unusable`] when the lower limit is above the upper one.
    pub fn between(lower: f64, upper: f64) -> Result<Self, StatsError> {
        if finite(lower)? > finite(upper)? {
            return Err(StatsError::Unusable { what: "lower limit", value: lower });
        }
        Ok(Self { lower, upper })
    }

    /// What an interval that surely holds the value proves. Inside: all of it within the limits, ends
    /// included. Above or below: all of it outside, ends excluded.
    pub fn judge(&self, value: Interval) -> Verdict {
        if value.low > self.upper {
            Verdict::Above
        } else if value.high < self.lower {
            Verdict::Below
        } else if value.low >= self.lower && value.high <= self.upper {
            Verdict::Inside
        } else {
            Verdict::Undecided
        }
    }

    /// The verdict on a measured value `y` with standard uncertainty `u` when a wrong verdict may have
    /// a risk of at most 5 %: the value less and plus [`GUARD`] times `u` is judged.
    ///
    /// Source: the decision rule of ISO 14253-1 (edition of 2017), from memory.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`], [`StatsError::Unusable`] when `u` is below zero.
    pub fn decide(&self, y: f64, u: f64) -> Result<Verdict, StatsError> {
        Ok(self.judge(Interval::around(y, GUARD * uncertainty(u)?)?))
    }

    /// Probability that the true value lies within the limits, given the measured value `y` with
    /// standard uncertainty `u` and nothing else known. Without uncertainty it is 0 or 1.
    ///
    /// Source: JCGM 106:2012, 7.4 and 7.5, clause numbers from memory.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`], [`StatsError::Unusable`] when `u` is below zero.
    pub fn probability(&self, y: f64, u: f64) -> Result<f64, StatsError> {
        let (y, u) = (finite(y)?, uncertainty(u)?);
        if u <= 0.0 {
            return Ok(if (self.lower..=self.upper).contains(&y) { 1.0 } else { 0.0 });
        }
        let (low, high) = ((self.lower - y) / u, (self.upper - y) / u);
        // In the upper tail both terms are near 1 and their difference would lose its digits.
        let (low, high) = if low > 0.0 { (-high, -low) } else { (low, high) };
        Ok((normal_cdf(high) - normal_cdf(low)).clamp(0.0, 1.0))
    }
}

fn uncertainty(u: f64) -> Result<f64, StatsError> {
    if finite(u)? < 0.0 { Err(StatsError::Unusable { what: "standard uncertainty", value: u }) } else { Ok(u) }
}
