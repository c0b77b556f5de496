//! How near a cutter is to its witness mark, and how far one reading may say so.
//!
//! The mark is a limit on one side only. What reads close to it is measured once more before a cutter is called spent: by one reading
//! of a cutter 0.1 mm above its mark, one loop in fifteen would be retired wrongly.

use super::now::Now;
use super::skill::Skill;
use crate::chain::Spec;
use crate::stats::conformity::GUARD;
use crate::units::{Millimetres, mm};

/// A cutter no farther above its mark than this is warned of (proposal).
pub(crate) const NEAR: Millimetres = mm(0.5);

/// Readings in steps of this are coarse against what one reading may be off, mm.
const COARSE: f64 = 0.1;

/// How a cutter stands to its mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// Clear of it.
    Clear,
    /// Within [`NEAR`] of it.
    Near,
    /// One reading puts it at its mark, or does not prove it above: to be measured once more.
    Again,
    /// At or below it, by more than one reading.
    At,
}

/// Where this length stands, read in steps of `step` mm.
pub(crate) fn of(spec: &Spec, now: Now, skill: &Skill, step: f64) -> Mark {
    let above = now.length - spec.mark_length;
    let guard = skill.length_u(now.readings) * GUARD;
    // Three readings in tenths may all be rounded down to it.
    let enough = if step >= COARSE { 4 } else { 2 };
    if now.readings < enough && above <= guard {
        Mark::Again
    } else if spec.at_mark(now.length) {
        Mark::At
    } else if above <= NEAR {
        Mark::Near
    } else {
        Mark::Clear
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::tests::readings::{Dice, spec};

    fn mark(length: f64, readings: usize) -> Mark {
        of(&spec(), Now { length: mm(length), readings, filed: true }, &Skill::default(), 0.01)
    }

    #[test]
    fn one_reading_retires_nothing_and_half_a_millimetre_above_is_warned_of() {
        // The mark of the 3/8 inch profile is 3.00 mm; the guard band of one reading is 1.645 * 0.05 = 0.082 mm.
        let one = [2.5, 3.0, 3.08, 3.09, 3.5, 3.51].map(|length| mark(length, 1));
        assert_eq!(one, [Mark::Again, Mark::Again, Mark::Again, Mark::Near, Mark::Near, Mark::Clear]);
        let two = [2.5, 3.0, 3.01, 3.5, 3.51].map(|length| mark(length, 2));
        assert_eq!(two, [Mark::At, Mark::At, Mark::Near, Mark::Near, Mark::Clear]);
        assert_eq!(mark(3.0, 0), Mark::Again, "a length that is only taken for granted");
        let in_tenths = |readings| of(&spec(), Now { length: mm(3.0), readings, filed: true }, &Skill::default(), 0.1);
        assert_eq!([3, 4].map(in_tenths), [Mark::Again, Mark::At], "three may all be rounded down");
    }

    #[test]
    fn at_a_tenth_above_the_mark_next_to_no_loop_is_retired_wrongly() {
        // Three cutters 0.1 mm above their marks, each read to 0.05 mm: one reading puts one loop in 15 at its mark.
        let (mut dice, skill) = (Dice(11), Skill::default());
        let loops = 20_000;
        let (mut by_one, mut by_rule) = (0, 0);
        for _ in 0..loops {
            let read: Vec<(f64, f64)> =
                (0..3).map(|_| (dice.normal() * 0.05 + 3.1, dice.normal() * 0.05 + 3.1)).collect();
            by_one += u32::from(read.iter().any(|(first, _)| spec().at_mark(mm(*first))));
            by_rule += u32::from(read.iter().any(|(first, second)| {
                let now = |length: f64, readings| Now { length: mm(length), readings, filed: true };
                let first_says = of(&spec(), now(*first, 1), &skill, 0.01);
                first_says == Mark::Again
                    && of(&spec(), now(f64::midpoint(*first, *second), 2), &skill, 0.01) == Mark::At
            }));
        }
        let share = |n: u32| f64::from(n) / f64::from(loops);
        assert!((share(by_one) - 1.0 / 15.0).abs() < 0.01, "{}", share(by_one));
        assert!(share(by_rule) < 0.012, "{}", share(by_rule));
    }
}
