//! Does telling less help? Simulated learners at four sets of a drill, told by the program's schedule, at every item, or never;
//! then the first set of the next morning, of which nothing is told until its end.
//!
//! `TAUGHT_LEARNERS=4000 cargo test --release --lib drill::taught -- --nocapture` prints the table; without it a few learners
//! are played and the same is asserted.
//!
//! What is assumed, before anything was played, in units of what is allowed either way:
//!
//! - A hand begins with a bias of standard deviation 1.0 and a spread of 0.4 to 0.8 from item to item; the spread shrinks by
//!   0.2 % an item. Both are guesses: no source.
//! - Told of an item, it takes back a tenth of the error it was told of; not told, a fiftieth of the bias that it senses itself,
//!   with an error of 1.0. Slow learning, no source.
//! - Overnight it forgets 30 % of what it learned: no source.
//! - The effect that is published: for those told of every try, error had not fallen by the delayed test; for those told of
//!   half, or of less and less, it had (46 adults, 20 tries a day for 4 days, J Phys Ther Sci 2019;31:687). At its whole size whoever
//!   was told everything keeps nothing overnight, whoever was told half or less forgets as above, and between the two it runs in a
//!   straight line. Later work doubts the size, so half of it and none of it are played too.

use super::schedule::after;
use super::*;
use crate::sim::Dice;
use crate::stats::summary::Summary;

const ITEMS: usize = 12;
const SETS: usize = 4;
const TOLD: f64 = 0.10;
const SENSED: f64 = 0.02;
const STEADIER: f64 = 0.998;
const OVERNIGHT: f64 = 0.30;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Fading,
    Constant,
    Never,
}

/// Misses of twelve in the first set of the next morning.
fn next_morning(seed: u64, way: Way, effect: f64) -> f64 {
    let mut dice = Dice::new(seed);
    let begin = dice.normal();
    let (mut bias, mut spread) = (begin, dice.between(0.4, 0.8));
    let (mut last, mut before, mut told) = (None, None, 0);
    for _ in 0..SETS {
        let stage = if way == Way::Fading { after(last, before).stage } else { Stage::Each };
        let mut misses = 0;
        for item in 0..ITEMS {
            let error = bias + spread * dice.normal();
            let missed = error.abs() > 1.0;
            misses += usize::from(missed);
            let hears = match stage {
                Stage::Each => true,
                Stage::Outside => missed,
                Stage::Halves => item % 6 == 5,
                Stage::End => item == ITEMS - 1,
            };
            let own = dice.normal();
            if hears && way != Way::Never {
                bias -= TOLD * error;
                told += 1;
            } else {
                bias -= SENSED * (bias + own);
            }
            spread *= STEADIER;
        }
        before = last.map(|(_, misses)| misses);
        last = Some((stage, misses));
    }
    let share = f64::from(told) / (ITEMS * SETS) as f64;
    let loss = OVERNIGHT + effect * (1.0 - OVERNIGHT) * (2.0 * share - 1.0).max(0.0);
    bias += loss * (begin - bias);
    (0..ITEMS).filter(|_| (bias + spread * dice.normal()).abs() > 1.0).count() as f64
}

/// Mean with its 95 % interval.
fn mean(values: &[f64]) -> (f64, f64) {
    let found = Summary::of(values).unwrap().mean_interval(0.95).unwrap();
    (found.value, found.interval.high - found.value)
}

#[test]
fn telling_less_does_no_harm_to_speak_of_and_gains_where_the_published_effect_holds() {
    let learners = std::env::var("TAUGHT_LEARNERS").ok().and_then(|n| n.parse().ok()).unwrap_or(120);
    let mut gains = Vec::new();
    println!("misses of 12 in the first set next morning, {learners} learners, 95 % intervals");
    println!("effect   fading        constant      never         fading less constant");
    for effect in [0.0, 0.5, 1.0] {
        let of = |way: Way| -> Vec<f64> { (0..learners).map(|seed| next_morning(seed, way, effect)).collect() };
        let [fading, constant, never] = [Way::Fading, Way::Constant, Way::Never].map(of);
        let gain: Vec<f64> = fading.iter().zip(&constant).map(|(fading, constant)| fading - constant).collect();
        let cell = |values: &[f64]| {
            let (value, half) = mean(values);
            format!("{value:>5.2} +-{half:.2}  ")
        };
        println!("{effect:<6} {} {} {} {}", cell(&fading), cell(&constant), cell(&never), cell(&gain));
        gains.push((mean(&gain), mean(&fading).0 - mean(&never).0));
    }
    // Without the effect less is told and so a little less is learned: a tenth of a miss of twelve, and never half of one.
    let ((none, half), against_never) = gains[0];
    assert!(none - half < 0.3 && none < 0.5 && against_never < 0.0, "{gains:?}");
    // With half of the published effect, and with all of it, fading gains.
    assert!(gains[1..].iter().all(|((gain, half), _)| gain + half < 0.0), "{gains:?}");
    assert!(gains[2].0.0 < gains[1].0.0, "{gains:?}");
}
