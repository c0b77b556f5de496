//! Left against right: are the two sides of one length, and if not, which way will the cut pull?

use serde::Serialize;
use strum::IntoStaticStr;

use super::now;
use super::skill::Skill;
use crate::chain::Side;
use crate::round::Round;
use crate::stats::compare::{against_margin, welch};
use crate::stats::conformity::Verdict;
use crate::stats::summary::Summary;
use crate::units::{Millimetres, mm};

/// Confidence level of the interval: inside the margin at 0.90 is the usual pair of one-sided tests at 0.05.
pub const LEVEL: f64 = 0.90;

/// Share of the variance seen that may be the readings' own, whatever is assumed of them: single readings cannot tell (chosen on
/// simulated loops whose readings scatter twice as much as is assumed).
const MAY_BE_READINGS: f64 = 0.6;

/// What left against right comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum BalanceWord {
    /// Proven equal within the margin.
    Balanced,
    /// Left proven longer by more than the margin.
    LeftLonger,
    /// Right proven longer by more than the margin.
    RightLonger,
    /// Not enough readings to say.
    Undecided,
}

impl BalanceWord {
    /// The side toward which the cut will pull: that of the longer cutters (common practice, from memory).
    pub const fn pulls(self) -> Option<Side> {
        match self {
            Self::LeftLonger => Some(Side::Left),
            Self::RightLonger => Some(Side::Right),
            Self::Balanced | Self::Undecided => None,
        }
    }

    pub(super) const fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Inside => Self::Balanced,
            Verdict::Above => Self::LeftLonger,
            Verdict::Below => Self::RightLonger,
            Verdict::Undecided => Self::Undecided,
        }
    }
}

/// Left less right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference<Q = Millimetres> {
    /// Best value.
    pub value: Q,
    /// Lower end of the interval at [`LEVEL`].
    pub low: Q,
    /// Upper end.
    pub high: Q,
}

impl Difference<f64> {
    /// The same as a quantity.
    pub(super) fn of<Q>(self, quantity: impl Fn(f64) -> Q) -> Difference<Q> {
        Difference { value: quantity(self.value), low: quantity(self.low), high: quantity(self.high) }
    }
}

/// Left against right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Mean left length less mean right length; none below two cutters a side.
    pub difference: Option<Difference>,
    /// Those means, left and right.
    pub means: Option<[Millimetres; 2]>,
    /// Equivalence margin: half the length tolerance.
    pub margin: Millimetres,
    /// The verdict.
    pub word: BalanceWord,
}

/// One side's readings, and how many cutters they are taken from.
#[derive(Debug, Clone, Copy)]
pub struct Sample<'a> {
    /// The readings.
    pub values: &'a [f64],
    /// How many cutters the side has.
    pub of: usize,
}

/// Welch's interval of the mean difference of two sides, whose readings have standard uncertainty `u` each.
///
/// The question is about the cutters of this loop, not about endlessly many like them. So the spread between cutters
/// counts only as far as cutters were left unmeasured, `(1 - n/N) (s^2 - u^2) + u^2`: with all measured nothing but the
/// readings is uncertain, and where nearly none are it is Welch's interval as published.
///
/// Source: Welch (1947), NIST/SEMATECH e-Handbook 7.3.1; finite population correction: any text on sampling, from memory.
pub fn difference(left: Sample<'_>, right: Sample<'_>, u: f64) -> Option<Difference<f64>> {
    let side = |sample: Sample<'_>| {
        let seen = Summary::of(sample.values).ok()?;
        let left_out = 1.0 - seen.n as f64 / sample.of.max(seen.n) as f64;
        let all = seen.sd * seen.sd;
        let between = (all - u * u).max(0.0);
        // What is assumed of the readings may be too little: more than half of what is seen may be theirs.
        let variance = (left_out * between + u * u).max(MAY_BE_READINGS * all);
        Some(Summary { sd: variance.sqrt(), ..seen })
    };
    let found = welch(&side(left)?, &side(right)?, LEVEL).ok()?.estimate;
    Some(Difference { value: found.value, low: found.interval.low, high: found.interval.high })
}

/// Verdict on a difference against a margin either way.
pub fn judge(difference: Option<Difference<f64>>, margin: f64) -> BalanceWord {
    let interval = difference.map(|d| crate::stats::Interval { low: d.low, high: d.high });
    interval.and_then(|i| against_margin(i, margin).ok()).map_or(BalanceWord::Undecided, BalanceWord::from)
}

/// Left against right in this round.
pub fn balance(round: &Round, skill: &Skill) -> Balance {
    let [left, right] = now::comparable(round).map(|side| side.into_iter().map(Millimetres::get).collect::<Vec<_>>());
    let of = |side: Side| round.matched().filter(|cutter| cutter.side == side).count();
    let margin = round.header.spec.length_tolerance * 0.5;
    let difference = difference(
        Sample { values: &left, of: of(Side::Left) },
        Sample { values: &right, of: of(Side::Right) },
        skill.length.get(),
    );
    let word = judge(difference, margin.get());
    let difference = difference.map(|found| found.of(mm));
    let mean = |values: &[f64]| Summary::of(values).map(|seen| mm(seen.mean)).ok();
    let means = mean(&left).zip(mean(&right)).filter(|_| difference.is_some());
    Balance { difference, means: means.map(|(left, right)| [left, right]), margin, word }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(values: &[f64], of: usize) -> Sample<'_> {
        Sample { values, of }
    }

    #[test]
    fn a_side_shorter_as_a_whole_is_seen_and_says_which_way_the_cut_pulls() {
        let (left, right) = ([9.4, 9.3, 9.4, 9.35], [9.0, 9.05, 9.0, 8.95]);
        let d = difference(sample(&left, 18), sample(&right, 18), 0.05);
        assert_eq!(judge(d, 0.1), BalanceWord::LeftLonger);
        assert_eq!(BalanceWord::LeftLonger.pulls(), Some(Side::Left));
        let d = difference(sample(&right, 18), sample(&left, 18), 0.05);
        assert_eq!(judge(d, 0.1), BalanceWord::RightLonger);
    }

    #[test]
    fn two_readings_a_side_leave_it_undecided_and_a_full_measure_decides() {
        let (left, right) = ([9.0, 9.3], [9.1, 9.25]);
        assert_eq!(judge(difference(sample(&left, 18), sample(&right, 18), 0.05), 0.1), BalanceWord::Undecided);
        let (left, right) = ([9.0, 9.3].repeat(9), [9.02, 9.3].repeat(9));
        assert_eq!(judge(difference(sample(&left, 18), sample(&right, 18), 0.05), 0.1), BalanceWord::Balanced);
    }

    #[test]
    fn equal_readings_keep_the_uncertainty_of_reading() {
        let same = [9.0; 5];
        let d = difference(sample(&same, 5), sample(&same, 5), 0.05).unwrap();
        assert!(d.high > 0.05 && d.low < -0.05, "{d:?}");
        assert_eq!(difference(sample(&[9.0], 5), sample(&same, 5), 0.05), None);
    }

    #[test]
    fn it_is_never_narrower_than_all_cutters_measured_and_wider_when_few_are() {
        let (left, right) = ([9.0, 9.2, 9.1, 9.3], [9.1, 9.0, 9.3, 9.2]);
        let width = |of| difference(sample(&left, of), sample(&right, of), 0.05).map(|d| d.high - d.low).unwrap();
        assert!(width(4) <= width(8) && width(8) < width(1000));
    }

    #[test]
    fn with_all_measured_only_the_readings_are_uncertain() {
        // Four a side, all measured: t(0.95, 6) = 1.943180 times 0.05 sqrt(2/4).
        let (left, right) = ([9.0, 9.06, 9.03, 9.09], [9.03, 9.0, 9.09, 9.06]);
        let d = difference(sample(&left, 4), sample(&right, 4), 0.05).unwrap();
        assert!((d.high - 1.943_180 * 0.05 * 0.5_f64.sqrt()).abs() < 1e-6, "{d:?}");
        // Where lengths differ more than readings are assumed to, 0.6 of what is seen may be the readings' own: sd 0.129099.
        let (left, right) = ([9.0, 9.2, 9.1, 9.3], [9.1, 9.0, 9.3, 9.2]);
        let d = difference(sample(&left, 4), sample(&right, 4), 0.05).unwrap();
        assert!((d.high - 1.943_180 * 0.129_099 * (0.6_f64 * 2.0 / 4.0).sqrt()).abs() < 1e-5, "{d:?}");
    }
}
