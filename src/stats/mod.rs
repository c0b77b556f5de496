//! Statistics that no crate does well: small samples of readings, and what they prove.
//!
//! What the room is for: plain numbers in, small structs out. It must not know what the numbers
//! mean (no lengths, no cutters, no rounds), nor terminals, files or clocks. Units are the caller's:
//! whatever unit goes in comes out. Quantiles come from `statrs`, see [`quantile`].
//!
//! Nothing here answers with NaN or infinity: what cannot be computed is a [`StatsError`]. Every
//! confidence `level` is a share such as 0.95, every `alpha` the share left over.

pub mod belief;
pub mod compare;
pub mod conformity;
pub mod crossed;
pub mod cusum;
pub mod line;
pub mod outlier;
pub mod quantile;
pub mod summary;
pub mod theil_sen;

#[cfg(test)]
mod tests;

/// Why a statistic cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StatsError {
    /// Fewer values than the method needs.
    #[error("{got} values where at least {needed} are needed")]
    TooFew {
        /// Smallest number the method can work with.
        needed: usize,
        /// How many there were.
        got: usize,
    },
    /// A value, or a result that follows from the values, is not a finite number.
    #[error("a value is not a finite number, or too large to work with")]
    NotFinite,
    /// All values are equal where the method divides by their spread.
    #[error("all values are equal, so their spread says nothing")]
    NoSpread,
    /// Two columns that belong together differ in length.
    #[error("{x} x values do not match {y} y values")]
    Unpaired {
        /// Number of x values.
        x: usize,
        /// Number of y values.
        y: usize,
    },
    /// A probability, level or share outside the range the method can answer for.
    #[error("{p} is not a usable probability")]
    Probability {
        /// The probability that the quantile was asked for.
        p: f64,
    },
    /// A standard uncertainty below zero, degrees of freedom not above zero, or limits that cross.
    #[error("{value} is not a usable {what}")]
    Unusable {
        /// What the number was meant as.
        what: &'static str,
        /// The number.
        value: f64,
    },
}

/// A range with both ends finite, in the unit of the values it came from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// The range `centre` less and plus `half`.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`] when an end is not finite.
    fn around(centre: f64, half: f64) -> Result<Self, StatsError> {
        Ok(Self { low: finite(centre - half)?, high: finite(centre + half)? })
    }
}

/// A value with its standard error and the interval at the level that was asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Standard error of the value.
    pub se: f64,
    /// Two-sided interval.
    pub interval: Interval,
}

impl Estimate {
    fn new(value: f64, se: f64, factor: f64) -> Result<Self, StatsError> {
        Ok(Self { value: finite(value)?, se: finite(se)?, interval: Interval::around(value, factor * se)? })
    }
}

/// Lets a finite number through.
fn finite(value: f64) -> Result<f64, StatsError> {
    if value.is_finite() { Ok(value) } else { Err(StatsError::NotFinite) }
}

/// Lets a sample through that has at least `needed` values, all finite.
fn usable(values: &[f64], needed: usize) -> Result<(), StatsError> {
    if values.len() < needed {
        return Err(StatsError::TooFew { needed, got: values.len() });
    }
    values.iter().try_for_each(|v| finite(*v).map(|_| ()))
}

/// Lets two columns through that pair up, with at least `needed` pairs, all finite.
fn paired(x: &[f64], y: &[f64], needed: usize) -> Result<(), StatsError> {
    if x.len() != y.len() {
        return Err(StatsError::Unpaired { x: x.len(), y: y.len() });
    }
    usable(x, needed)?;
    usable(y, needed)
}

/// The values in rising order.
fn sorted(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted
}

/// A computed position as an index into a list whose last index is `last`.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the position is clamped to 0..=last, which is a valid index"
)]
fn index(position: f64, last: usize) -> usize {
    position.clamp(0.0, last as f64) as usize
}
