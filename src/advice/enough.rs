//! Have enough cutters been measured? A tolerance interval speaks for those that were not.

use super::plan::{self, Plan};
use super::skill::Skill;
use crate::chain::Side;
use crate::round::Round;
use crate::stats::summary::Summary;
use crate::stats::tolerance;
use crate::units::{Millimetres, Span, mm};

/// Share of a side's cutters that the interval is to hold.
pub(crate) const COVERAGE: f64 = 0.95;
/// Confidence that it does.
pub(crate) const CONFIDENCE: f64 = 0.95;
/// Fewer readings a side say nothing about the rest.
const FEWEST: usize = 5;

/// What is known of one side's unmeasured cutters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideEnough {
    /// Measured cutters.
    pub measured: usize,
    /// Unmeasured cutters.
    pub unmeasured: usize,
    /// Range that holds 95 % of the side's lengths with 95 % confidence; none below five readings.
    pub range: Option<Span<Millimetres>>,
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

/// Two-sided normal tolerance interval of one side's lengths, in mm. `least` is the smallest spread believed: readings that
/// happen to agree do not prove cutters without spread.
///
/// Source: NIST/SEMATECH e-Handbook 7.2.6.3.
pub(crate) fn range(lengths: &[f64], least: Millimetres) -> Option<Span<Millimetres>> {
    let seen = Summary::of(lengths).ok().filter(|seen| seen.n >= FEWEST)?;
    let sample = Summary { sd: seen.sd.max(least.get()), ..seen };
    let range = tolerance::interval(&sample, COVERAGE, CONFIDENCE).ok()?;
    Some(Span { low: mm(range.low), high: mm(range.high) })
}

/// The statement while measuring; `None` once every cutter is measured.
///
/// Enough is measured when even the short end of the range, less a dull edge's need, stays within a band's width of the
/// recommended length: an unmeasured cutter that is there still ends even with the rest. It takes cutters measured in the
/// spread order, and no struck one among them, for a struck cutter says that lengths are not of one normal kind.
pub(crate) fn enough(round: &Round, plan: Option<&Plan>, any_struck: bool, skill: &Skill) -> Option<Enough> {
    let spec = &round.header.spec;
    let side = |side: Side| {
        let of_side = || round.matched().filter(move |cutter| cutter.side == side);
        let lengths: Vec<f64> = of_side().filter_map(|cutter| cutter.before.mean()).map(Millimetres::get).collect();
        let unmeasured = of_side().count() - lengths.len();
        SideEnough { measured: lengths.len(), unmeasured, range: range(&lengths, skill.length_shared()) }
    };
    let (left, right) = (side(Side::Left), side(Side::Right));
    if left.unmeasured + right.unmeasured == 0 {
        return None;
    }
    let target = plan.and_then(Plan::best).map(|best| best.target);
    let safe = |side: &SideEnough, target: Millimetres| {
        side.unmeasured == 0 || side.range.is_some_and(|range| range.low - spec.need >= target - plan::band(spec))
    };
    let decided = round.header.spread && !any_struck && target.is_some_and(|t| safe(&left, t) && safe(&right, t));
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
