//! What a reading proves: even, uneven, or measure again.
//!
//! The rule is a guard band (ISO 14253-1, from memory): inside the limits only when proven inside, outside only when
//! proven outside, each with a risk of at most 5 %, and *measure again* between. Beside it stands the probability of
//! conformity (JCGM 106).

use serde::Serialize;
use strum::IntoStaticStr;

use crate::stats::belief::Belief;
use crate::stats::conformity::{GUARD, Limits, Verdict};
use crate::units::{Degrees, Millimetres, deg, mm};

/// A cutter's length against the length it should have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum LengthWord {
    /// Proven within tolerance.
    Even,
    /// Proven longer.
    Long,
    /// Proven shorter.
    Short,
    /// Not proven: measure again.
    Again,
    /// No reading.
    Unmeasured,
}

/// A raker gap against its target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum GapWord {
    /// Proven within tolerance.
    Good,
    /// Raker too high: the gap is proven too small.
    High,
    /// Raker too low, the dangerous kind: the gap is proven too large.
    Low,
    /// Not proven, or the tooth was filed since: measure again.
    Again,
    /// No reading, or no target.
    Unmeasured,
}

/// A top-plate angle against its target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum AngleWord {
    /// Proven within tolerance.
    True,
    /// Proven off.
    Off,
    /// Not proven: measure again.
    Again,
    /// No reading.
    Unmeasured,
}

/// A verdict with what it rests on: a length, unless stated otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged<W, Q = Millimetres> {
    /// The verdict.
    pub word: W,
    /// Reading less reference.
    pub off_by: Option<Q>,
    /// Probability that the true value is within tolerance.
    pub conformity: Option<f64>,
    /// One more reading may well change what is decided. A round's findings ask for a length only where the answer is
    /// acted on: before a length is chosen, at the cutters that set it.
    pub worth_again: bool,
}

impl<W, Q> Judged<W, Q> {
    /// Nothing to judge.
    pub const fn nothing(word: W) -> Self {
        Self { word, off_by: None, conformity: None, worth_again: false }
    }
}

/// A reading to be judged against zero, its figures all in the unit read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// Mean reading less reference.
    pub by: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// What the uncertainty would be with one reading more.
    pub u_next: f64,
    /// How far, one standard deviation, the mean may move with that reading.
    pub shift: f64,
}

impl Off {
    /// A mean of `n` readings less a reference that has the standard uncertainty `u_reference` of its own; `u` gives
    /// the uncertainty of a mean of so many readings.
    pub fn new(by: f64, n: usize, u: impl Fn(usize) -> f64, u_reference: f64) -> Self {
        let count = n.max(1) as f64;
        let shift = u(1) * (1.0 + 1.0 / count).sqrt() / (count + 1.0);
        Self { by, u: u(n).hypot(u_reference), u_next: u(n.max(1) + 1).hypot(u_reference), shift }
    }

    /// The verdict against `-tolerance..=tolerance`, the probability of lying inside, and whether one more reading is
    /// worth its time: it decides where the mean stays, or moves by as much as one reading in ten moves it.
    pub fn judge(&self, tolerance: f64) -> (Verdict, f64, bool) {
        let Ok(limits) = Limits::between(-tolerance, tolerance) else { return (Verdict::Undecided, 0.5, false) };
        let decide = |by: f64, u: f64| limits.decide(by, u).unwrap_or(Verdict::Undecided);
        let verdict = decide(self.by, self.u);
        let far = GUARD * self.shift;
        let may_decide =
            || [self.by, self.by - far, self.by + far].iter().any(|by| decide(*by, self.u_next) != Verdict::Undecided);
        let worth_again = verdict == Verdict::Undecided && may_decide();
        (verdict, limits.probability(self.by, self.u).unwrap_or(0.5), worth_again)
    }

    /// True where the value is proven to lie below a limit, with the same risk as a verdict.
    pub fn is_below(&self, limit: f64) -> bool {
        self.by + GUARD * self.u < limit
    }

    fn judged<W, Q>(&self, tolerance: f64, quantity: impl Fn(f64) -> Q, word: impl Fn(Verdict) -> W) -> Judged<W, Q> {
        let (verdict, conformity, worth_again) = self.judge(tolerance);
        Judged { word: word(verdict), off_by: Some(quantity(self.by)), conformity: Some(conformity), worth_again }
    }
}

/// Risk of a wrong verdict, at most.
pub const RISK: f64 = 0.05;

/// What is known of how far a value is off, and the variance of one reading more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    by: f64,
    off: Belief,
    noise: f64,
}

impl Known {
    /// A value that reads off by `by` and is known to be off so much; `noise` is the variance of one reading.
    pub const fn new(by: f64, off: Belief, noise: f64) -> Self {
        Self { by, off, noise }
    }

    /// The verdict against `-tolerance..=tolerance` by reading and process: inside, above or below where that is at least 95 % sure.
    ///
    /// Source: conformity with prior knowledge, JCGM 106:2012, clauses 6 to 8, numbers from memory.
    pub fn judge(&self, tolerance: f64) -> (Verdict, f64, bool) {
        let verdict = |off: &Belief| {
            let (below, above) = (off.below(-tolerance), 1.0 - off.below(tolerance));
            if 1.0 - below - above >= 1.0 - RISK {
                Verdict::Inside
            } else if above >= 1.0 - RISK {
                Verdict::Above
            } else if below >= 1.0 - RISK {
                Verdict::Below
            } else {
                Verdict::Undecided
            }
        };
        let word = verdict(&self.off);
        // One more reading decides where the value stays, or moves by as much as one reading in ten moves it.
        let variance = self.off.variance();
        let far = GUARD * (variance + self.noise).sqrt();
        let decides = |y: f64| verdict(&self.off.read(self.off.mean() + y, self.noise)) != Verdict::Undecided;
        let worth_again = word == Verdict::Undecided && [0.0, far, -far].into_iter().any(decides);
        (word, self.off.within(-tolerance, tolerance), worth_again)
    }

    fn judged<W, Q>(&self, tolerance: f64, quantity: impl Fn(f64) -> Q, word: impl Fn(Verdict) -> W) -> Judged<W, Q> {
        let (verdict, conformity, worth_again) = self.judge(tolerance);
        Judged { word: word(verdict), off_by: Some(quantity(self.by)), conformity: Some(conformity), worth_again }
    }
}

/// Length verdict by all that is known, mm.
pub fn length_known(known: Known, tolerance: Millimetres) -> Judged<LengthWord> {
    known.judged(tolerance.get(), mm, LengthWord::from)
}

/// Gap verdict by all that is known, mm. A gap above its target is a raker filed too low.
pub fn gap_known(known: Known, tolerance: Millimetres) -> Judged<GapWord> {
    known.judged(tolerance.get(), mm, GapWord::from)
}

/// Angle verdict by all that is known, degrees.
pub fn angle_known(known: Known, tolerance: Degrees) -> Judged<AngleWord, Degrees> {
    known.judged(tolerance.get(), deg, AngleWord::from)
}

impl From<Verdict> for LengthWord {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Inside => Self::Even,
            Verdict::Above => Self::Long,
            Verdict::Below => Self::Short,
            Verdict::Undecided => Self::Again,
        }
    }
}

impl From<Verdict> for GapWord {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Inside => Self::Good,
            Verdict::Above => Self::Low,
            Verdict::Below => Self::High,
            Verdict::Undecided => Self::Again,
        }
    }
}

impl From<Verdict> for AngleWord {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Inside => Self::True,
            Verdict::Above | Verdict::Below => Self::Off,
            Verdict::Undecided => Self::Again,
        }
    }
}

/// Length verdict; `off` in mm.
pub fn length(off: Off, tolerance: Millimetres) -> Judged<LengthWord> {
    off.judged(tolerance.get(), mm, LengthWord::from)
}

/// Gap verdict; `off` in mm. A gap above its target is a raker filed too low.
pub fn gap(off: Off, tolerance: Millimetres) -> Judged<GapWord> {
    off.judged(tolerance.get(), mm, GapWord::from)
}

/// Angle verdict; `off` in degrees.
pub fn angle(off: Off, tolerance: Degrees) -> Judged<AngleWord, Degrees> {
    off.judged(tolerance.get(), deg, AngleWord::from)
}

impl LengthWord {
    /// Proven long or short.
    pub const fn is_uneven(self) -> bool {
        matches!(self, Self::Long | Self::Short)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::Skill;
    use proptest::prelude::*;

    fn off(by: f64, n: usize) -> Off {
        Off::new(by, n, |n| Skill::default().length_u(n).get(), 0.0)
    }

    #[test]
    fn one_reading_decides_only_clear_of_the_guard_bands() {
        // 0.20 mm tolerance, 0.05 mm standard uncertainty: the band is 1.645 * 0.05 = 0.082 mm on each side of a limit.
        for (by, word) in [
            (0.0, LengthWord::Even),
            (0.117, LengthWord::Even),
            (-0.117, LengthWord::Even),
            (0.119, LengthWord::Again),
            (0.2, LengthWord::Again),
            (-0.28, LengthWord::Again),
            (0.283, LengthWord::Long),
            (-0.283, LengthWord::Short),
        ] {
            assert_eq!(length(off(by, 1), mm(0.2)).word, word, "{by}");
        }
        assert!((length(off(0.2, 1), mm(0.2)).conformity.unwrap() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_repeat_is_worth_it_only_where_it_can_decide() {
        assert!(length(off(0.125, 1), mm(0.2)).worth_again);
        assert!(!length(off(0.05, 1), mm(0.2)).worth_again, "already decided");
        assert!(!length(off(0.5, 1), mm(0.2)).worth_again, "already decided");
        // Exactly on the limit no number of readings decides.
        assert!(!length(off(0.2, 6), mm(0.2)).worth_again);
    }

    #[test]
    fn a_gap_too_large_is_a_raker_too_low() {
        let of = |by| gap(Off::new(by, 1, |n| Skill::default().gap_u(n).get(), 0.0), mm(0.1)).word;
        assert_eq!([of(0.2), of(-0.2), of(0.0), of(0.1)], [GapWord::Low, GapWord::High, GapWord::Good, GapWord::Again]);
        let of = |by| angle(Off::new(by, 1, |n| Skill::default().angle_u(n).get(), 0.0), deg(2.0)).word;
        assert_eq!(
            [of(5.0), of(-5.0), of(0.3), of(2.0)],
            [AngleWord::Off, AngleWord::Off, AngleWord::True, AngleWord::Again]
        );
    }

    proptest! {
        #[test]
        fn a_repeat_at_the_same_value_never_takes_a_decision_back(by in -1.0..1.0_f64, n in 1_usize..6) {
            let (one, more) = (length(off(by, n), mm(0.2)), length(off(by, n + 1), mm(0.2)));
            prop_assert!(one.word == LengthWord::Again || one.word == more.word);
        }

        #[test]
        fn mirrored_readings_have_mirrored_verdicts(by in -1.0..1.0_f64) {
            let (a, b) = (length(off(by, 1), mm(0.2)), length(off(-by, 1), mm(0.2)));
            prop_assert!((a.conformity.unwrap() - b.conformity.unwrap()).abs() < 1e-12);
            prop_assert_eq!(a.word == LengthWord::Long, b.word == LengthWord::Short);
            prop_assert_eq!(a.word == LengthWord::Even, b.word == LengthWord::Even);
        }

        #[test]
        fn the_word_agrees_with_the_probability(by in -1.0..1.0_f64) {
            let judged = length(off(by, 1), mm(0.2));
            let p = judged.conformity.unwrap();
            match judged.word {
                LengthWord::Even => prop_assert!(p > 0.94),
                LengthWord::Long | LengthWord::Short => prop_assert!(p < 0.051),
                _ => prop_assert!((0.049..0.951).contains(&p)),
            }
        }
    }
}
