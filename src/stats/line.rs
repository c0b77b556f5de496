//! Least squares lines, what they say between and beyond the points, and where they cross a value.

use super::quantile::t_two_sided;
use super::summary::mean;
use super::{Estimate, Interval, StatsError, finite, paired};

/// A straight line fitted by least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Number of points.
    pub n: usize,
    /// Slope, in y units per x unit.
    pub slope: f64,
    /// Standard error of the slope.
    pub slope_se: f64,
    /// Value at x = 0, in y units; 0 for a line through the origin.
    pub intercept: f64,
    /// Standard error of the intercept; 0 for a line through the origin.
    pub intercept_se: f64,
    /// Standard deviation of the points about the line, in y units.
    pub residual_sd: f64,
    /// Degrees of freedom of `residual_sd`: n - 2, or n - 1 through the origin.
    pub df: f64,
    /// Share of the spread of y that the line explains; spread about zero for a line through the origin.
    /// None when y has no spread.
    pub r_squared: Option<f64>,
    /// Mean of x, or 0 through the origin: where the line is known best.
    centre: f64,
    /// Sum of squares of x about `centre`.
    sxx: f64,
    /// 1/n, or 0 through the origin where the line is exact at its centre.
    share: f64,
}

/// What a value of y stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// The line itself: the mean of endlessly many readings.
    MeanLine,
    /// The mean of this many new readings that scatter as the points do.
    Readings(u32),
}

impl Of {
    /// 1/m of Fieller's formula.
    fn share(self) -> f64 {
        match self {
            Self::MeanLine => 0.0,
            Self::Readings(m) => 1.0 / f64::from(m.max(1)),
        }
    }
}

/// Where a line crosses a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Crossing {
    /// At `x`, and at the level asked for within `interval`, both in x units. `g` below 1 is the squared
    /// share of the slope that its own uncertainty takes up; the nearer to 1, the wider the interval.
    At {
        /// Best value.
        x: f64,
        /// Fieller's interval; not symmetric about `x`.
        interval: Interval,
        /// Fieller's g.
        g: f64,
    },
    /// The slope cannot be told from zero at the level asked for, so the line may never cross: no
    /// trend is visible yet.
    NoFiniteInterval {
        /// Fieller's g, at least 1; infinite when the slope is exactly zero.
        g: f64,
    },
}

impl Line {
    /// With intercept.
    ///
    /// Source: NIST/SEMATECH e-Handbook 2.3.6.7.3 and NIST `StRD` (linear regression).
    ///
    /// # Errors
    /// [`StatsError::Unpaired`], [`StatsError::TooFew`] below three points, [`StatsError::NotFinite`],
    /// [`StatsError::NoSpread`] when all x are equal.
    pub fn fit(x: &[f64], y: &[f64]) -> Result<Self, StatsError> {
        paired(x, y, 3)?;
        let n = x.len();
        Self::about((mean(x)?, mean(y)?), (n - 2) as f64, 1.0 / n as f64, x, y)
    }

    /// Through the origin.
    ///
    /// Source: NIST `StRD`, `NoInt1`.
    ///
    /// # Errors
    /// [`StatsError::Unpaired`], [`StatsError::TooFew`] below two points, [`StatsError::NotFinite`],
    /// [`StatsError::NoSpread`] when all x are zero.
    pub fn fit_through_origin(x: &[f64], y: &[f64]) -> Result<Self, StatsError> {
        paired(x, y, 2)?;
        Self::about((0.0, 0.0), (x.len() - 1) as f64, 0.0, x, y)
    }

    /// Through the point `centre`. A line through the origin is the same arithmetic with its centre
    /// there and known exactly.
    fn about(centre: (f64, f64), df: f64, share: f64, x: &[f64], y: &[f64]) -> Result<Self, StatsError> {
        let from_centre = || x.iter().zip(y).map(|(x, y)| (x - centre.0, y - centre.1));
        let sxx = finite(from_centre().map(|(x, _)| x * x).sum())?;
        if sxx <= 0.0 {
            return Err(StatsError::NoSpread);
        }
        let slope = finite(from_centre().map(|(x, y)| x * y).sum::<f64>() / sxx)?;
        let squares_left: f64 = from_centre().map(|(x, y)| (y - slope * x).powi(2)).sum();
        let squares: f64 = from_centre().map(|(_, y)| y * y).sum();
        let residual_sd = finite((squares_left / df).sqrt())?;
        Ok(Self {
            n: x.len(),
            slope,
            slope_se: finite(residual_sd / sxx.sqrt())?,
            intercept: finite(centre.1 - slope * centre.0)?,
            intercept_se: finite(residual_sd * (share + centre.0 * centre.0 / sxx).sqrt())?,
            residual_sd,
            df,
            r_squared: (squares > 0.0).then(|| 1.0 - squares_left / squares),
            centre: centre.0,
            sxx,
            share,
        })
    }

    /// Height of the line at `x`, with the confidence interval of the line itself
    /// ([`Of::MeanLine`]) or the prediction interval of new readings there.
    ///
    /// Source: `s sqrt(1/m + 1/n + (x - xbar)^2/Sxx)`, NIST/SEMATECH e-Handbook 4.5.1 and 4.5.2.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`], [`StatsError::Probability`].
    pub fn at(&self, x: f64, of: Of, level: f64) -> Result<Estimate, StatsError> {
        let away = x - self.centre;
        let se = self.residual_sd * (of.share() + self.share + away * away / self.sxx).sqrt();
        Estimate::new(self.intercept + self.slope * x, se, t_two_sided(level, self.df)?)
    }

    /// Where the line, or the mean of new readings, has the value `y`.
    ///
    /// Source: Fieller (1954). With `g = t^2 s^2/(b^2 Sxx)` and `d` the distance of the crossing from the mean
    /// of x, the ends are `xbar + (d -/+ t s/|b| sqrt((1-g)(1/m + 1/n) + d^2/Sxx))/(1-g)`.
    ///
    /// # Errors
    /// [`StatsError::NotFinite`], [`StatsError::Probability`].
    pub fn crossing(&self, y: f64, of: Of, level: f64) -> Result<Crossing, StatsError> {
        let factor = t_two_sided(level, self.df)?;
        if self.slope == 0.0 {
            return Ok(Crossing::NoFiniteInterval { g: f64::INFINITY });
        }
        let g = (factor * self.slope_se / self.slope).powi(2);
        if g >= 1.0 {
            return Ok(Crossing::NoFiniteInterval { g });
        }
        let x = finite((y - self.intercept) / self.slope)?;
        let away = x - self.centre;
        let under_root = (1.0 - g) * (of.share() + self.share) + away * away / self.sxx;
        let half = factor * self.residual_sd / self.slope.abs() * under_root.sqrt();
        let interval = Interval::around(self.centre + away / (1.0 - g), half / (1.0 - g))?;
        Ok(Crossing::At { x, interval, g })
    }
}
