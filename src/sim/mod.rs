//! A simulated bench: loops whose truth is known, people who file them, instruments that read them.
//!
//! What the room is for: a real loop never shows its true lengths, so nobody can say from the bench how far advice is right. Here
//! the truth is made first, by dice with a seed, and everything else is asked of it: what an instrument would read at a cutter, and
//! what so many strokes of a hand would leave. The same seed makes the same loop, strokes and readings.
//!
//! It must not know `chain`, `round`, `advice` or `coach`, nor terminals, files and clocks: truth is reckoned apart, as places of
//! corners and rakers in mm, with no copy of the arithmetic that is to be tried against it. Lengths are mm, angles degrees, shares 0
//! to 1; cutters count from 1.
//!
//! # Example
//!
//! ```
//! use evenbite::sim::{Dice, Instrument, Loop, Make, Person};
//!
//! let mut dice = Dice::new(7);
//! let mut bench = Loop::new(&Make { struck: vec![0.5], ..Make::default() }, &mut dice);
//! let (mut person, caliper) = (Person::default(), Instrument::CALIPER);
//! // What would this caliper read at cutter 3?
//! let read = caliper.read(bench.length(3), &mut dice);
//! assert!((read - bench.length(3)).abs() < 0.3);
//! // Three strokes at cutter 3: the tooth gets shorter, and its raker stands higher against the corner.
//! let (length, gap) = (bench.length(3), bench.gap(3));
//! bench.strokes(3, 3, &mut person, &mut dice);
//! assert!(bench.length(3) < length && bench.gap(3) < gap);
//! ```

mod dice;
mod instrument;
mod person;
mod slip;
#[cfg(test)]
mod tests;
mod truth;

pub use dice::Dice;
pub use instrument::Instrument;
pub use person::Person;
pub use slip::Slip;
pub use truth::{Hand, Loop, Make, Shape, Tooth};
