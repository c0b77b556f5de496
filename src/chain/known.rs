//! How well a chain's geometry is known, and from where.
//!
//! A profile's figures belong to a chain type; the loop in hand may differ. What was measured on the loop, or learned from
//! its own rounds, replaces them and is known better. The standard uncertainties here are proposals: nobody publishes them.

use serde::{Deserialize, Serialize};

use super::gap::Wood;
use super::spec::Spec;
use crate::units::{Degrees, Millimetres, deg, mm};

/// Where a figure is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// The profile.
    #[default]
    Profile,
    /// Measured on this loop.
    Measured,
    /// Told once for this loop: measured on a new cutter, or printed with the chain.
    Told,
    /// Learned from the readings of this loop's rounds.
    Learned,
}

impl Origin {
    /// Name on screens and sheets.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Profile => "by the profile",
            Self::Measured => "measured on this loop",
            Self::Told => "measured on a new cutter or printed with the chain",
            Self::Learned => "learned from this loop's rounds",
        }
    }
}

/// A figure's standard uncertainty and its origin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure<Q> {
    /// Standard uncertainty.
    pub u: Q,
    /// Where the figure is from.
    pub from: Origin,
}

impl<Q: Copy> Figure<Q> {
    const fn profile(u: Q) -> Self {
        Self { u, from: Origin::Profile }
    }

    /// Told for the loop.
    pub const fn told(u: Q) -> Self {
        Self { u, from: Origin::Told }
    }

    /// Measured on the loop.
    pub const fn measured(u: Q) -> Self {
        Self { u, from: Origin::Measured }
    }
}

/// Standard uncertainty of a new length that was measured on this loop: cutters differ when new.
pub(crate) const NEW_LENGTH_U: Millimetres = mm(0.1);
/// Standard uncertainty of one reading of the reach: the raker's top is round.
pub(crate) const REACH_U: Millimetres = mm(0.2);
/// Standard uncertainty of a back slope that was measured on this loop.
pub(crate) const BACK_SLOPE_U: Degrees = deg(0.7);

/// How well the geometry is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Known {
    /// Cutter length when new.
    pub new_length: Figure<Millimetres>,
    /// Reach when new.
    pub reach: Figure<Millimetres>,
    /// Back slope.
    pub back_slope: Figure<Degrees>,
}

impl Default for Known {
    /// What a profile's figures are worth for a loop.
    fn default() -> Self {
        Self {
            new_length: Figure::profile(mm(0.2)),
            reach: Figure::profile(mm(0.4)),
            back_slope: Figure::profile(deg(2.0)),
        }
    }
}

impl Known {
    /// True where nothing but the profile is known.
    pub fn is_default(&self) -> bool {
        *self == Self::default()
    }
}

impl Spec {
    /// The same with the length of a new cutter as it was told, where only the profile tells one; a figure of the card stays.
    #[must_use]
    pub fn with_told_new_length(mut self, told: Millimetres) -> Self {
        if self.known.new_length.from == Origin::Profile && told > self.mark_length {
            self.new_length = told;
            self.known.new_length = Figure::told(NEW_LENGTH_U);
        }
        self
    }

    /// The same with a back slope learned from the loop's readings: `learned` and its standard error, and
    /// the figure so far, each weighted by the inverse of its variance.
    ///
    /// Source: weighted mean and its uncertainty, NIST/SEMATECH e-Handbook and any text on combining independent values.
    #[must_use]
    pub fn with_learned_slope(mut self, learned: Degrees, se: Degrees) -> Self {
        if !(se.get().is_finite() && se.get() > 0.0 && learned.get().is_finite()) {
            return self;
        }
        let (had, new) = (self.known.back_slope.u.get().powi(-2), se.get().powi(-2));
        let mean = (had * self.back_slope.get() + new * learned.get()) / (had + new);
        self.back_slope = Degrees::new(mean);
        self.known.back_slope = Figure { u: deg((had + new).sqrt().recip()), from: Origin::Learned };
        self
    }

    /// Standard uncertainty that the changeover inherits from the geometry, in wear: from the new length, which wear
    /// counts from, and from the reach. With `s` the share of the bite that is kept, `w = (g0 / tan(s alpha0) - d) / rho` and
    /// `alpha0 = atan(g0 / d)` give `dw/dd = (s sin^2(alpha0) / sin^2(s alpha0) - 1) / rho`; a stated bite angle does not move
    /// with the reach and leaves `-1 / rho`. Where a share of the life sets the wear, the reach plays no part.
    pub fn worth_u(&self, wood: Wood) -> Millimetres {
        let by_share = self.wear_at_share(wood, self.worth_share) <= self.due_wear(wood);
        let sines = |angle: f64| angle.sin().powi(2);
        let alpha = self.bite_new(wood).radians();
        let turned = match self.bite {
            Some(_) => 0.0,
            None => self.worth_share * sines(alpha) / sines(self.worth_share * alpha),
        };
        let slope = if by_share { (turned - 1.0) / self.reach_growth() } else { 0.0 };
        mm(self.known.new_length.u.get().hypot(slope * self.known.reach.u.get()))
    }

    /// Standard uncertainty that the wear-scaled gap of a cutter of that wear inherits from the geometry. With `G = d(w) tan(alpha0)`
    /// and `alpha0 = atan(g0 / d)` it rises with the new length, which wear counts from, by `rho tan(alpha0)`, and with the reach by
    /// `-tan(alpha0) rho w / d`, or by `tan(alpha0)` where a bite angle is stated.
    pub fn scaled_gap_u(&self, wood: Wood, wear: Millimetres) -> Millimetres {
        let tan = self.bite_new(wood).radians().tan();
        let of_reach = if self.bite.is_some() { 1.0 } else { self.reach_growth() * (wear / self.reach_new) };
        let of_length = self.reach_growth() * self.known.new_length.u.get();
        mm(tan * of_length.hypot(of_reach * self.known.reach.u.get()))
    }
}
