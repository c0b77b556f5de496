//! Several sources of uncertainty in one figure.

use super::quantile::t_two_sided;
use super::{StatsError, finite};

/// One independent source of uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Change of the result per unit of this source.
    pub sensitivity: f64,
    /// Standard uncertainty, in the source's own unit.
    pub u: f64,
    /// Degrees of freedom behind `u`; infinite when `u` is taken as known.
    pub df: f64,
}

impl Source {
    /// A source in the result's own unit whose uncertainty is taken as known.
    pub const fn known(u: f64) -> Self {
        Self { sensitivity: 1.0, u, df: f64::INFINITY }
    }
}

/// The sources together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty, in the unit of the result.
    pub u: f64,
    /// Effective degrees of freedom; infinite when every source is taken as known.
    pub df: f64,
}

impl Combined {
    /// Factor that widens `u` to an interval at `level`. The degrees of freedom are cut to the whole
    /// number below first.
    ///
    /// Source: JCGM 100:2008 (GUM), G.4.1.
    ///
    /// # Errors
    /// [`StatsError::Probability`].
    pub fn coverage_factor(&self, level: f64) -> Result<f64, StatsError> {
        t_two_sided(level, self.df.floor().max(1.0))
    }
}

/// Combines independent sources: `u^2` is the sum of `(c u)^2`, and the effective degrees of freedom
/// (Welch-Satterthwaite) `u^4` over the sum of `(c u)^4 / df`.
///
/// Source: JCGM 100:2008 (GUM), 5.1.2 and G.4.1.
///
/// # Errors
/// [`StatsError::TooFew`] without sources, [`StatsError::NotFinite`], [`StatsError::Unusable`] when an
/// uncertainty is below zero or degrees of freedom are below one.
pub fn combine(sources: &[Source]) -> Result<Combined, StatsError> {
    if sources.is_empty() {
        return Err(StatsError::TooFew { needed: 1, got: 0 });
    }
    let mut square = 0.0;
    for source in sources {
        if source.u < 0.0 {
            return Err(StatsError::Unusable { what: "standard uncertainty", value: source.u });
        }
        if source.df.is_nan() || source.df < 1.0 {
            return Err(StatsError::Unusable { what: "number of degrees of freedom", value: source.df });
        }
        square += (source.sensitivity * source.u).powi(2);
    }
    let square = finite(square)?;
    let spent: f64 = sources.iter().map(|s| ((s.sensitivity * s.u).powi(2) / square).powi(2) / s.df).sum();
    // Nothing spent means that every source is taken as known, or that there is no uncertainty at all.
    Ok(Combined { u: square.sqrt(), df: if spent > 0.0 { 1.0 / spent } else { f64::INFINITY } })
}
