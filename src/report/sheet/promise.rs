//! What may be promised of a loop: only what every reading that it rests on exists for and proves.

use super::model::{CutterPart, Sheet};
use crate::advice::{BalanceWord, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::report::data::Number;
use crate::report::words::{cutters, length};
use crate::round::CutterState;

/// The greatest difference of two cutters in length, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Greatest {
    /// Of any two.
    pub all: Number,
    /// Of two left ones; none with fewer than two measured.
    pub left: Option<Number>,
    /// Of two right ones.
    pub right: Option<Number>,
    /// How many were measured.
    pub measured: usize,
    /// Of how many.
    pub of: usize,
}

impl Greatest {
    fn of<'a>(
        cutters: impl Iterator<Item = &'a CutterPart>,
        at: impl Fn(&CutterPart) -> Option<Number>,
    ) -> Option<Self> {
        let cutters: Vec<&CutterPart> = cutters.collect();
        let apart = |side: Option<Side>| {
            let of_side = cutters.iter().filter(|cutter| side.is_none_or(|side| cutter.side == side));
            let lengths: Vec<f64> = of_side.filter_map(|cutter| at(cutter)).map(|length| length.0).collect();
            let longest = lengths.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let shortest = lengths.iter().copied().fold(f64::INFINITY, f64::min);
            (lengths.len() > 1).then_some(Number(longest - shortest))
        };
        let measured = cutters.iter().filter(|cutter| at(cutter).is_some()).count();
        let (left, right) = (apart(Some(Side::Left)), apart(Some(Side::Right)));
        Some(Self { all: apart(None)?, left, right, measured, of: cutters.len() })
    }

    /// `all 28` or `6 of 28`.
    pub(super) fn seen(&self) -> String {
        if self.is_of_all() { format!("all {}", self.of) } else { format!("{} of {}", self.measured, self.of) }
    }

    /// True where no cutter was left unmeasured.
    pub(super) const fn is_of_all(&self) -> bool {
        self.measured == self.of
    }
}

impl Sheet {
    /// The damaged cutters whose damage was filed out, and those that still have it, left short or not.
    pub(super) fn damaged(&self) -> (Vec<CutterNumber>, Vec<CutterNumber>) {
        let is_damaged = |cutter: &&CutterPart| match cutter.state {
            CutterState::Damaged => true,
            // It was left short with a damage of that depth.
            CutterState::LeftShort => cutter.need_mm.is_some(),
            CutterState::Kept | CutterState::Missing => false,
        };
        let damaged = self.cutters.iter().filter(is_damaged);
        let (gone, left): (Vec<_>, Vec<_>) = damaged.partition(|cutter| cutter.repaired);
        let numbers = |of: Vec<&CutterPart>| of.into_iter().map(|cutter| cutter.number).collect();
        (numbers(gone), numbers(left))
    }

    /// `0.14 mm (left 0.10 mm, right 0.12 mm)`.
    pub(super) fn apart(&self, found: Greatest) -> String {
        let unit = self.units;
        let all = length(unit, found.all);
        match (found.left, found.right) {
            (Some(left), Some(right)) => format!("{all} (left {}, right {})", length(unit, left), length(unit, right)),
            _ => all,
        }
    }

    /// What a spread leaves out: ` without cutter 12, left short`.
    pub(super) fn aside(&self) -> String {
        let short = &self.plan.left_short;
        if short.is_empty() { String::new() } else { format!(" without {}, left short", cutters(short)) }
    }

    /// As the cutters came.
    pub(super) fn greatest_before(&self) -> Option<Greatest> {
        Greatest::of(self.present(), |cutter| cutter.before_mm)
    }

    /// Of the cutters brought to one length, as measured after.
    pub(super) fn greatest_after(&self) -> Option<Greatest> {
        Greatest::of(self.matched(), |cutter| cutter.after_mm)
    }

    /// Every cutter that is to be of one length was measured after and is proven right, and no two differ by more than the
    /// tolerance.
    pub(super) fn is_of_one_length(&self) -> bool {
        let proven = |cutter: &CutterPart| cutter.after_mm.is_some() && cutter.verdicts.length == LengthWord::Even;
        self.matched().all(proven)
            && self
                .greatest_after()
                .is_some_and(|found| found.is_of_all() && found.all.0 <= self.evenness.tolerance_mm.0)
    }

    /// Left and right are proven to match, by readings of every cutter that counts.
    pub(super) fn is_balanced(&self) -> bool {
        self.balance.verdict == BalanceWord::Balanced && self.greatest_after().is_some_and(|found| found.is_of_all())
    }

    /// Every raker that is there was measured and is proven right.
    pub(super) fn are_rakers_right(&self) -> bool {
        let present = self.present().count();
        present > 0 && self.rakers.good == present
    }
}
