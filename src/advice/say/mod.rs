//! The words of what advice states, and of its numbers: the round's unit, probabilities and counts.
//!
//! What the room is for: every statement of advice is a value with its figures, and is put into words here and nowhere else.
//! It decides nothing: what is stated, and how sure it is, is settled by the time it gets here.

mod balance;
mod cautions;
mod changeover;
mod drift;
pub(crate) mod drill;
mod enough;
mod flags;
mod forecast;
mod gaps;
pub(crate) mod person;
mod plan;
pub(crate) mod reckoning;
mod redo;
mod rotation;
pub(crate) mod saw;
pub(crate) mod skill;
pub(crate) mod status;
mod tips;
pub(crate) mod visit;
mod wrist;

use crate::chain::CutterNumber;
use crate::units::{Millimetres, Unit};

/// A length with its unit: `0.31 mm`.
pub(super) fn length(unit: Unit, value: Millimetres) -> String {
    unit.show_named(value)
}

/// A length without its unit.
pub(super) fn bare(unit: Unit, value: Millimetres) -> String {
    unit.show(value)
}

/// A probability or share in whole percent; certainty is never claimed.
pub(super) fn percent(p: f64) -> String {
    if p > 0.99 {
        "over 99 %".into()
    } else if p < 0.01 {
        "under 1 %".into()
    } else {
        format!("{:.0} %", p * 100.0)
    }
}

/// `1 cutter`, `3 cutters`.
pub(crate) fn count(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}

/// `4, 9 and 12`.
pub(super) fn list(numbers: &[CutterNumber]) -> String {
    match numbers {
        [] => "none".into(),
        [one] => one.to_string(),
        [rest @ .., last] => {
            let rest: Vec<String> = rest.iter().map(CutterNumber::to_string).collect();
            format!("{} and {last}", rest.join(", "))
        }
    }
}

/// `cutter 4`, `cutters 4 and 9`.
pub(crate) fn cutters(numbers: &[CutterNumber]) -> String {
    let noun = if numbers.len() == 1 { "cutter" } else { "cutters" };
    format!("{noun} {}", list(numbers))
}

/// Cutters by number, and only counted where they are many.
fn few(numbers: &[CutterNumber]) -> String {
    if numbers.len() > 6 { count(numbers.len(), "cutter") } else { cutters(numbers) }
}

/// The whole part of a number that counts something, at least zero. A hair below a whole number counts as it:
/// 12 rounds of 0.3 mm in 3.6 mm must not become 11 by rounding in the last bit.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the range of u32 first")]
pub(crate) fn whole(x: f64) -> u32 {
    (x + 1e-9).clamp(0.0, f64::from(u32::MAX)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::nth;
    use crate::units::mm;

    #[test]
    fn words_for_numbers() {
        assert_eq!(length(Unit::Mm, mm(0.314)), "0.31 mm");
        assert_eq!(length(Unit::Inch, mm(0.314)), "0.0124 in");
        assert_eq!(
            (percent(0.999), percent(0.5), percent(0.0)),
            ("over 99 %".into(), "50 %".into(), "under 1 %".into())
        );
        assert_eq!(list(&[4, 9, 12].map(nth)), "4, 9 and 12");
        assert_eq!(count(1, "round"), "1 round");
        assert_eq!((whole(3.6 / 0.3), whole(0.9 / 0.1), whole(0.3 / 0.1), whole(2.999)), (12, 9, 3, 2));
        assert_eq!((whole(-2.0), whole(f64::NAN)), (0, 0));
    }
}
