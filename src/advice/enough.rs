//! Have enough cutters been measured? The measured ones speak for the rest.

use super::plan::{self, Plan};
use super::skill::Skill;
use crate::chain::Side;
use crate::round::Round;
use crate::stats::quantile::t_cdf;
use crate::stats::summary::Summary;
use crate::units::Millimetres;

/// Probability with which the cutters left do not change the length.
const CONFIDENCE: f64 = 0.95;
/// No side's true lengths are believed to differ by less than this, mm.
const LEAST: f64 = 0.02;
/// Fewer readings a side say nothing about the rest.
const FEWEST: usize = 5;

/// What is known of one side's unmeasured cutters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideEnough {
    /// Measured cutters.
    pub measured: usize,
    /// Unmeasured cutters.
    pub unmeasured: usize,
    /// What the measured ones tell of them; none below five readings.
    pub common: Option<Common>,
}

/// What the measured cutters of a side tell of one that is not measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Common {
    mean: f64,
    /// Standard deviation of a further true length about it.
    sd: f64,
    df: f64,
}

impl Common {
    /// A further length of a normal sample lies about the mean like Student's t times `s sqrt(1 + 1/n)`. Readings scatter about the
    /// true lengths: that is taken off, down to what all readings of one instrument share, for readings that happen to agree do not
    /// prove cutters without spread.
    ///
    /// Source: prediction interval of one further value, any text on statistics.
    fn of(lengths: &[f64], skill: &Skill) -> Option<Self> {
        let seen = Summary::of(lengths).ok().filter(|seen| seen.n >= FEWEST)?;
        let n = seen.n as f64;
        let least = skill.length_shared().get().max(LEAST);
        let variance = (seen.sd.powi(2) - skill.length.get().powi(2)).max(least.powi(2));
        Some(Self { mean: seen.mean, sd: (variance * (1.0 + 1.0 / n)).sqrt(), df: n - 1.0 })
    }

    /// Probability that a further length is at most `limit`, mm.
    fn below(&self, limit: f64) -> f64 {
        t_cdf((limit - self.mean) / self.sd, self.df).unwrap_or(1.0)
    }
}

/// Whether more readings can change what is decided.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enough {
    /// Left side.
    pub left: SideEnough,
    /// Right side.
    pub right: SideEnough,
    /// What that comes to, and why.
    pub why: EnoughWhy,
}

/// Whether enough is measured, and why not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EnoughWhy {
    /// More readings can hardly change the length to file to.
    Enough,
    /// One cutter is struck: others may be.
    Struck,
    /// The cutters are not measured in the spread order, which alone is fair to those left out.
    NotSpread,
    /// The cutters left may still change the length.
    MayChange,
}

impl Enough {
    /// More readings can hardly change the length to file to.
    pub fn decided(&self) -> bool {
        self.why == EnoughWhy::Enough
    }
}

/// The statement while measuring; `None` once every cutter is measured.
///
/// Enough is measured when with 95 % none of the cutters left, less a dull edge's need, stays more than a band's width under the
/// recommended length: each then still ends even with the rest. It takes cutters measured in the spread order, and no struck one among
/// them, for a struck cutter says that lengths are not of one normal kind. No reading tells of a cutter that was hit and not measured:
/// those left are to be looked at.
pub(crate) fn enough(round: &Round, plan: Option<&Plan>, any_struck: bool, skill: &Skill) -> Option<Enough> {
    let spec = &round.header.spec;
    let side = |side: Side| {
        let of_side = || round.matched().filter(move |cutter| cutter.side == side);
        let lengths: Vec<f64> = of_side().filter_map(|cutter| cutter.before.mean()).map(Millimetres::get).collect();
        let unmeasured = of_side().count() - lengths.len();
        SideEnough { measured: lengths.len(), unmeasured, common: Common::of(&lengths, skill) }
    };
    let (left, right) = (side(Side::Left), side(Side::Right));
    if left.unmeasured + right.unmeasured == 0 {
        return None;
    }
    let target = plan.and_then(Plan::best).map(|best| best.target);
    let short = |side: &SideEnough, target: Millimetres| match (side.unmeasured, &side.common) {
        (0, _) => 0.0,
        (n, Some(common)) => n as f64 * common.below((target - plan::band(spec) + spec.need).get()),
        (_, None) => 1.0,
    };
    let decided = round.header.spread
        && !any_struck
        && target.is_some_and(|t| short(&left, t) + short(&right, t) <= 1.0 - CONFIDENCE);
    let why = if decided {
        EnoughWhy::Enough
    } else if any_struck {
        EnoughWhy::Struck
    } else if !round.header.spread {
        EnoughWhy::NotSpread
    } else {
        EnoughWhy::MayChange
    };
    Some(Enough { left, right, why })
}

#[cfg(test)]
mod tests;
