//! What is asked in a set, one thing after the other.

use super::event::{Given, SetUp};
use super::kind::{CUTTERS, Drill, REPEATED, TIMES, VISITS};
use super::score::{self, item_of};
use crate::units::{Millimetres, mm};

/// What one answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    /// What the closed jaws of the caliper read.
    Zero,
    /// A length, blind.
    Length,
    /// A length before filing.
    Before,
    /// A length after filing.
    After,
    /// How many strokes it will take.
    Say,
    /// An angle.
    Angle,
    /// A gap before filing.
    GapBefore,
    /// A gap after filing; asked twice.
    GapAfter,
    /// The number of the cutter that is named as the shortest.
    Named,
    /// Its length.
    NamedLength,
    /// The length of one that might be shorter.
    OtherLength,
    /// No mark left at the working corner.
    Corner,
    /// No mark left along the top plate.
    TopPlate,
    /// No mark left along the side plate.
    SidePlate,
    /// A guess at how the item came out, before being told.
    Guess,
}

/// The next thing asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// Which item, from 0.
    pub item: usize,
    /// The cutter, as numbered on the practice loop from 1; the item's number where it is no cutter.
    pub number: usize,
    /// What.
    pub slot: Slot,
    /// Which answer of this slot at this item it is, from 1.
    pub time: usize,
}

/// Draws a whole number below `n`, the same everywhere for a given seed and place.
pub(super) fn draw(seed: u32, place: usize, n: usize) -> usize {
    // SplitMix64, Steele and others (2014), from memory: no crate, because a record must ask the same in every later version.
    let mut x = u64::from(seed).wrapping_add((place as u64).wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    usize::try_from((x ^ (x >> 31)) % n.max(1) as u64).unwrap_or_default()
}

/// Cutters from 1 in the order in which they are measured blind: each three times, in three shuffled rounds.
pub(super) fn blind_order(seed: u32) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(REPEATED * TIMES);
    for time in 0..TIMES {
        let mut cutters: Vec<usize> = (1..=REPEATED).collect();
        for at in (1..cutters.len()).rev() {
            cutters.swap(at, draw(seed, time * REPEATED + at, at + 1));
        }
        // Never the same cutter twice running: its first figure would still be in mind.
        if order.last() == cutters.first() {
            cutters.swap(0, 1);
        }
        order.extend(cutters);
    }
    order
}

/// How much is to come off an item, 0.20 to 0.40 mm in steps of 0.01.
pub(super) fn to_go(seed: u32, item: usize) -> Millimetres {
    mm(0.20 + 0.01 * draw(seed, item, 21) as f64)
}

/// True where the learner guesses before being told: at the third and the ninth.
fn is_guessed(drill: Drill, item: usize) -> bool {
    drill.is_guessed() && (item == 2 || item == 8)
}

/// The slots of an item where all its visits are taken.
fn slots(drill: Drill, item: usize) -> Vec<Slot> {
    let mut slots = match drill {
        Drill::MeasureTwice => vec![Slot::Length],
        Drill::FindShort => vec![Slot::Named, Slot::NamedLength, Slot::OtherLength, Slot::OtherLength],
        Drill::SameStrokes => vec![],
        Drill::HoldAngle => vec![Slot::Angle],
        Drill::StopAtLength => {
            let mut slots = vec![Slot::Before, Slot::Say];
            slots.extend([Slot::After; VISITS]);
            slots
        }
        Drill::SetGap => vec![Slot::GapBefore, Slot::GapAfter, Slot::GapAfter],
        Drill::SeeEdge => vec![Slot::Corner, Slot::TopPlate, Slot::SidePlate],
    };
    if is_guessed(drill, item) {
        slots.push(Slot::Guess);
    }
    slots
}

/// Everything that a set may ask, in order; items and slots alone.
fn plan(set: &SetUp) -> Vec<(usize, usize, Slot)> {
    let drill = set.drill;
    match drill {
        Drill::MeasureTwice => {
            let order = blind_order(set.seed);
            let lengths = order.into_iter().enumerate().map(|(item, number)| (item, number, Slot::Length));
            std::iter::once((0, 0, Slot::Zero)).chain(lengths).chain([(REPEATED * TIMES, 0, Slot::Zero)]).collect()
        }
        Drill::SameStrokes => {
            let phase = |slot| (0..CUTTERS).flat_map(move |item| [(item, item + 1, slot); TIMES]);
            phase(Slot::Before).chain(phase(Slot::After)).collect()
        }
        _ => (0..drill.items())
            .flat_map(|item| slots(drill, item).into_iter().map(move |slot| (item, item + 1, slot)))
            .collect(),
    }
}

/// Which slot each answer went to, in order, and what is asked next; nothing where the set is whole.
///
/// A cutter that is at its length is not asked for further visits, so what is asked follows from the answers.
pub(super) fn follow(set: &SetUp, given: &[Given]) -> (Vec<(Ask, Given)>, Option<Ask>) {
    let mut answered: Vec<(Ask, Given)> = Vec::with_capacity(given.len());
    let mut left = given.iter();
    for (item, number, slot) in plan(set) {
        let before = answered.last().filter(|(ask, _)| ask.item == item && ask.slot == slot);
        let time = 1 + before.map_or(0, |(ask, _)| ask.time);
        if slot == Slot::After && set.drill == Drill::StopAtLength && time > 1 {
            let from = answered.iter().rposition(|(ask, _)| ask.item != item).map_or(0, |before| before + 1);
            let so_far = item_of(set, item, &answered[from..]);
            if !so_far.error.is_some_and(score::is_still_long) {
                continue;
            }
        }
        let ask = Ask { item, number, slot, time };
        match left.next() {
            Some(given) => answered.push((ask, *given)),
            None => return (answered, Some(ask)),
        }
    }
    (answered, None)
}
