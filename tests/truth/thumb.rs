//! The rule of thumb that people go by: by eye, at 0.1 mm, against the shortest; three strokes each; one gap for ever.

use evenbite::sim::Dice;
use statrs::distribution::{ContinuousCDF, Normal};

use super::play::{GAP_TOLERANCE, LENGTH_TOLERANCE, NEW_GAP, Shop};
use super::tally::Marks;

/// What an eye tells of a length beside another one, mm.
pub(crate) const EYE: f64 = 0.1;

/// Probability that a standard normal value is at most `x`.
pub(crate) fn normal(x: f64) -> f64 {
    Normal::standard().cdf(x)
}

/// What the largest of so many standard normal values stays below but with this risk.
pub(crate) fn largest_of(count: u16, risk: f64) -> f64 {
    Normal::standard().inverse_cdf((1.0 - risk).powf(1.0 / f64::from(count)))
}

/// The place of the smallest by eye.
pub(crate) fn shortest(lengths: &[f64], dice: &mut Dice) -> usize {
    let seen: Vec<f64> = lengths.iter().map(|length| length + EYE * dice.normal()).collect();
    (0..seen.len()).min_by(|a, b| seen[*a].total_cmp(&seen[*b])).unwrap_or(0)
}

/// A round by the rule of thumb on the same loop by the same hand: three strokes at each cutter, then as many more as the eye asks
/// for beside the shortest; the rakers to one gap by the gauge.
pub(crate) fn round(shop: &mut Shop, marks: &mut Marks, name: &'static str) {
    let mut dice = shop.dice.fork();
    let (mut truth, mut person) = (shop.truth.clone(), shop.person.clone());
    let lengths: Vec<f64> = truth.teeth().iter().map(|tooth| tooth.length).collect();
    let shortest = u16::try_from(shortest(&lengths, &mut dice)).expect("a cutter") + 1;
    truth.take_up(shortest, 30.0, &person, &mut dice);
    truth.strokes(shortest, 3, &mut person, &mut dice);
    let aim = truth.length(shortest);
    for number in 1..=u16::try_from(truth.count()).expect("few cutters") {
        if number != shortest {
            truth.take_up(number, 30.0, &person, &mut dice);
            truth.strokes(number, 3, &mut person, &mut dice);
            if name == "thumb true" {
                let over = truth.length(number) - aim;
                marks.case("thumb strokes", (0.0..=0.5 * LENGTH_TOLERANCE).contains(&over));
            }
            while truth.length(number) + EYE * dice.normal() > aim + EYE {
                truth.strokes(number, 1, &mut person, &mut dice);
            }
        }
        let reads = shop.tools.gauge.read(truth.gap(number), &mut dice);
        if reads < NEW_GAP {
            truth.file_raker(number, NEW_GAP - reads, &person, &mut dice);
        }
        marks.case(name, (truth.length(number) - aim).abs() <= LENGTH_TOLERANCE);
        if name == "thumb true" {
            // One gap for ever, whatever the wear: held against the bite of a new cutter.
            let off = truth.gap(number) - truth.gap_of_same_bite(number, NEW_GAP);
            let worn = truth.shape.new_length - truth.length(number);
            let off = if worn < 1.9 { truth.gap(number) - NEW_GAP } else { off };
            marks.case("thumb gap true", off.abs() <= GAP_TOLERANCE);
        }
    }
}
