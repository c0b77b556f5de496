//! What a set comes to.

use std::collections::BTreeMap;

use super::ask::{self, Ask, Slot};
use super::event::{Given, SetUp};
use super::kind::{Drill, FEW, REPEATED, SIDES};
use crate::chain::Side;
use crate::stats::Interval;
use crate::stats::summary::{Summary, mean, pooled_sd};
use crate::units::{Millimetres, mm};

/// Standard deviation of repeated readings that is good enough to file by, mm: a proposal, below the 0.05 that is assumed.
pub(crate) const REPEATS: f64 = 0.04;
/// The closed jaws may read this far from zero, mm: a usual limit of digital calipers, from memory.
pub(crate) const ZERO: f64 = 0.02;
/// A cutter named as the shortest may be longer by this, mm.
pub(crate) const NAMED: f64 = 0.10;
/// Sides may differ by this share of what came off.
pub(crate) const SIDES_APART: f64 = 0.10;
/// The mean angle of a side may be off by this, degrees.
pub(crate) const SIDE_ANGLE: f64 = 1.5;
/// A single angle may be off by this, degrees: whole-degree readings cannot judge 2.
pub(crate) const ONE_ANGLE: f64 = 4.0;
/// How far below its length a cutter may end, mm.
pub(crate) const TOO_SHORT: f64 = 0.05;
/// How far above its length a cutter may stay, mm.
pub(crate) const TOO_LONG: f64 = 0.10;
/// A raker may be too low by this, mm.
pub(crate) const TOO_LOW: f64 = 0.05;
/// A raker may be too high by this, mm.
pub(crate) const TOO_HIGH: f64 = 0.10;
/// Rounding of readings in hundredths must not decide at a limit, mm.
const HAIR: f64 = 5e-5;

/// What came of one item.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    /// Which, from 0.
    pub item: usize,
    /// Its side, where sides matter.
    pub side: Option<Side>,
    /// How far it is off, with its sign, in mm or degrees: above zero where too much steel, angle or gap is there. Nothing where
    /// it is not complete or has no such figure.
    pub error: Option<f64>,
    /// It is a miss.
    pub missed: bool,
    /// Every answer is there.
    pub whole: bool,
}

/// What came of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// The items, in order.
    pub items: Vec<Item>,
    /// How many are misses.
    pub misses: usize,
    /// Mean error, with its sign: mm or degrees.
    pub bias: Option<f64>,
    /// Standard deviation of the errors, or of repeated readings; mm or degrees.
    pub spread: Option<f64>,
    /// 90 % interval of the standard deviation of repeated readings.
    pub spread_interval: Option<Interval>,
    /// Mean of each side: error in mm or degrees, or steel taken in mm.
    pub sides: BTreeMap<Side, f64>,
    /// Right less left as a share of both, where steel is compared.
    pub apart: Option<f64>,
    /// Mean of the last third less that of the first: error or steel.
    pub drift: Option<f64>,
    /// The set meets the rule of its drill.
    pub good: bool,
}

/// True where a cutter is left longer than it may stay.
pub(super) fn is_still_long(error: f64) -> bool {
    error > TOO_LONG + HAIR
}

fn outside(error: f64, under: f64, over: f64) -> bool {
    error < -under - HAIR || error > over + HAIR
}

/// The length that a cutter is to be filed to.
pub(super) fn target(set: &SetUp, item: usize, before: Millimetres) -> Millimetres {
    before - ask::to_go(set.seed, item)
}

/// What was answered at an item.
struct Answers<'a>(Vec<&'a (Ask, Given)>);

impl Answers<'_> {
    fn mm(&self, slot: Slot) -> Vec<f64> {
        let length = |(ask, given): &&&(Ask, Given)| match given {
            Given::Mm(length) if ask.slot == slot => Some(length.get()),
            _ => None,
        };
        self.0.iter().filter_map(|answer| length(&answer)).collect()
    }

    fn deg(&self) -> Option<f64> {
        self.0.iter().find_map(|(_, given)| if let Given::Deg(angle) = given { Some(angle.get()) } else { None })
    }

    fn done(&self) -> Vec<bool> {
        self.0.iter().filter_map(|(_, given)| if let Given::Done(done) = given { Some(*done) } else { None }).collect()
    }
}

/// What came of one item so far.
pub(super) fn item_of(set: &SetUp, item: usize, answered: &[(Ask, Given)]) -> Item {
    let of_item = Answers(answered.iter().filter(|(ask, _)| ask.item == item).collect());
    let (error, missed, whole) = match set.drill {
        Drill::MeasureTwice => (None, false, !of_item.mm(Slot::Length).is_empty()),
        Drill::FindShort => {
            let (named, others) = (of_item.mm(Slot::NamedLength), of_item.mm(Slot::OtherLength));
            let all = named.iter().chain(&others).copied();
            let error = named.first().map(|named| named - all.fold(f64::INFINITY, f64::min));
            let whole = others.len() == 2;
            (error.filter(|_| whole), whole && error.is_some_and(|error| error > NAMED + HAIR), whole)
        }
        Drill::SameStrokes => {
            let (before, after) = (of_item.mm(Slot::Before), of_item.mm(Slot::After));
            (None, false, before.len() + after.len() == 2 * super::kind::TIMES)
        }
        Drill::HoldAngle => {
            let error = of_item.deg().zip(set.angle).map(|(angle, wanted)| angle - wanted.get());
            (error, error.is_some_and(|error| outside(error, ONE_ANGLE, ONE_ANGLE)), error.is_some())
        }
        Drill::StopAtLength => {
            let (before, after) = (of_item.mm(Slot::Before), of_item.mm(Slot::After));
            let error = before.first().zip(after.last()).map(|(b, a)| a - target(set, item, mm(*b)).get());
            let visited = after.len() >= super::kind::VISITS || error.is_some_and(|error| !is_still_long(error));
            (error, error.is_some_and(|error| outside(error, TOO_SHORT, TOO_LONG)), error.is_some() && visited)
        }
        Drill::SetGap => {
            let after = of_item.mm(Slot::GapAfter);
            let error = mean(&after).ok().zip(set.gap).map(|(gap, wanted)| gap - wanted.get());
            let whole = after.len() == 2;
            (error.filter(|_| whole), whole && error.is_some_and(|e| outside(e, TOO_HIGH, TOO_LOW)), whole)
        }
        Drill::SeeEdge => {
            let done = of_item.done();
            (None, done.contains(&false), done.len() == 3)
        }
    };
    Item { item, side: set.drill.side(item), error, missed, whole }
}

/// Steel taken from each cutter, mm, in the order of filing.
fn steel(answered: &[(Ask, Given)], items: usize) -> Vec<f64> {
    let taken = |item: usize| {
        let of_item = Answers(answered.iter().filter(|(ask, _)| ask.item == item).collect());
        Some(mean(&of_item.mm(Slot::Before)).ok()? - mean(&of_item.mm(Slot::After)).ok()?)
    };
    (0..items).filter_map(taken).collect()
}

/// Last third less first third; nothing below six figures.
fn drift(values: &[f64]) -> Option<f64> {
    let third = values.len() / 3;
    if third < 2 {
        return None;
    }
    Some(mean(&values[values.len() - third..]).ok()? - mean(&values[..third]).ok()?)
}

/// What a whole set comes to.
pub(super) fn score(set: &SetUp, answered: &[(Ask, Given)]) -> Score {
    let drill = set.drill;
    let items: Vec<Item> = (0..drill.items()).map(|item| item_of(set, item, answered)).collect();
    let misses = items.iter().filter(|item| item.missed).count();
    let mut score = Score {
        items,
        misses,
        bias: None,
        spread: None,
        spread_interval: None,
        sides: BTreeMap::new(),
        apart: None,
        drift: None,
        good: false,
    };
    match drill {
        Drill::MeasureTwice => repeats(&mut score, answered),
        Drill::SameStrokes => strokes(&mut score, answered),
        _ => errors(&mut score),
    }
    score.good = match drill {
        Drill::MeasureTwice => score.spread.is_some_and(|sd| sd <= REPEATS) && zero_kept(answered),
        Drill::FindShort => misses < SIDES && SIDES - misses >= 4,
        Drill::SameStrokes => score.apart.is_some_and(|apart| apart.abs() <= SIDES_APART),
        Drill::HoldAngle => misses <= FEW && score.sides.values().all(|mean| mean.abs() <= SIDE_ANGLE),
        Drill::StopAtLength => misses <= FEW,
        Drill::SetGap => {
            misses <= FEW && !score.items.iter().any(|item| item.error.is_some_and(|e| e > TOO_LOW + HAIR))
        }
        Drill::SeeEdge => misses == 0,
    };
    score
}

fn zero_kept(answered: &[(Ask, Given)]) -> bool {
    let zeros = Answers(answered.iter().collect()).mm(Slot::Zero);
    zeros.iter().all(|zero| zero.abs() <= ZERO + HAIR)
}

fn repeats(score: &mut Score, answered: &[(Ask, Given)]) {
    let of_cutter = |number: usize| {
        let of_it = Answers(answered.iter().filter(|(ask, _)| ask.number == number).collect());
        Summary::of(&of_it.mm(Slot::Length)).ok()
    };
    let cutters: Vec<Summary> = (1..=REPEATED).filter_map(of_cutter).collect();
    if let Ok(pooled) = pooled_sd(&cutters) {
        score.spread = Some(pooled.sd);
        score.spread_interval = pooled.interval(0.90).ok();
    }
}

fn strokes(score: &mut Score, answered: &[(Ask, Given)]) {
    let taken = steel(answered, Drill::SameStrokes.items());
    for side in [Side::Left, Side::Right] {
        let of_side: Vec<f64> = (0..taken.len())
            .filter(|item| Drill::SameStrokes.side(*item) == Some(side))
            .map(|item| taken[item])
            .collect();
        if let Ok(mean) = mean(&of_side) {
            score.sides.insert(side, mean);
        }
    }
    if let (Some(left), Some(right)) = (score.sides.get(&Side::Left), score.sides.get(&Side::Right)) {
        let both = 0.5 * (left + right);
        // Where nothing came off there is nothing to compare.
        score.apart = (both > 0.0).then(|| (right - left) / both);
    }
    score.spread = Summary::of(&taken).ok().map(|summary| summary.sd);
    score.drift = drift(&taken);
}

fn errors(score: &mut Score) {
    let errors: Vec<f64> = score.items.iter().filter_map(|item| item.error).collect();
    score.bias = mean(&errors).ok();
    score.spread = Summary::of(&errors).ok().map(|summary| summary.sd);
    score.drift = drift(&errors);
    for side in [Side::Left, Side::Right] {
        let of_side: Vec<f64> =
            score.items.iter().filter(|item| item.side == Some(side)).filter_map(|item| item.error).collect();
        if let Ok(mean) = mean(&of_side) {
            score.sides.insert(side, mean);
        }
    }
}
