//! The usual fault that a set shows, and so the one tip that helps.

use super::ask::Slot;
use super::event::Given;
use super::fold::Set;
use super::kind::{Drill, REPEATED};
use super::score::{ONE_ANGLE, REPEATS, SIDE_ANGLE, SIDES_APART, Score, TOO_SHORT, ZERO};
use crate::chain::Side;
use crate::stats::summary::Summary;

/// A fault that the answers show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tip {
    /// The closed jaws did not read zero.
    Zero,
    /// One cutter scatters more than the others: its number.
    OneScatters(usize),
    /// Readings scatter as a whole.
    Scatter,
    /// Cutters named as the shortest were not.
    Named,
    /// One side gets less steel.
    LessSteel(Side),
    /// One side's angle is off: which, and whether it is larger than wanted.
    SideAngle(Side, bool),
    /// Angles scatter.
    AngleScatter,
    /// Filed past the length.
    Past,
    /// Stays too long after all its visits.
    Long,
    /// Rakers too low.
    Low,
    /// Rakers too high.
    High,
    /// A mark was left.
    Mark,
}

impl Set {
    /// The tip that a whole set calls for; nothing where no fault shows.
    pub fn tip(&self, score: &Score) -> Option<Tip> {
        let over = |limit: f64| score.items.iter().filter(|i| i.missed && i.error.is_some_and(|e| e > limit)).count();
        let under = |limit: f64| score.items.iter().filter(|i| i.missed && i.error.is_some_and(|e| e < limit)).count();
        let of_side = |side: Side| score.sides.get(&side).copied();
        match self.up.drill {
            Drill::MeasureTwice => self.scatter(score),
            Drill::FindShort => (score.misses > 0).then_some(Tip::Named),
            Drill::SameStrokes => {
                let apart = score.apart.filter(|apart| apart.abs() > SIDES_APART)?;
                Some(Tip::LessSteel(if apart < 0.0 { Side::Right } else { Side::Left }))
            }
            Drill::HoldAngle => {
                let worst = [Side::Left, Side::Right]
                    .into_iter()
                    .filter_map(|side| of_side(side).map(|mean| (side, mean)))
                    .filter(|(_, mean)| mean.abs() > SIDE_ANGLE)
                    .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
                match worst {
                    Some((side, mean)) => Some(Tip::SideAngle(side, mean > 0.0)),
                    None => (over(ONE_ANGLE) + under(-ONE_ANGLE) > 0).then_some(Tip::AngleScatter),
                }
            }
            Drill::StopAtLength => match (under(-TOO_SHORT), over(0.0)) {
                (0, 0) => None,
                (past, long) => Some(if past >= long { Tip::Past } else { Tip::Long }),
            },
            Drill::SetGap => match (over(0.0), under(0.0)) {
                (0, 0) => None,
                // A raker that is too low cannot be raised: it comes first.
                (low, _) if low > 0 => Some(Tip::Low),
                _ => Some(Tip::High),
            },
            Drill::SeeEdge => (score.misses > 0).then_some(Tip::Mark),
        }
    }

    fn scatter(&self, score: &Score) -> Option<Tip> {
        let answered = self.answered();
        let lengths = |number: usize| -> Vec<f64> {
            let of_it = answered.iter().filter(|(ask, _)| ask.slot == Slot::Length && ask.number == number);
            of_it.filter_map(|(_, given)| if let Given::Mm(mm) = given { Some(mm.get()) } else { None }).collect()
        };
        let zero = |(ask, given): &(super::Ask, Given)| matches!(given, Given::Mm(mm) if ask.slot == Slot::Zero && mm.get().abs() > ZERO);
        if answered.iter().any(zero) {
            return Some(Tip::Zero);
        }
        if score.spread.is_none_or(|sd| sd <= REPEATS) {
            return None;
        }
        let spreads: Vec<f64> = (1..=REPEATED).map(|n| Summary::of(&lengths(n)).map_or(0.0, |s| s.sd)).collect();
        let worst = (0..REPEATED).max_by(|a, b| spreads[*a].total_cmp(&spreads[*b]))?;
        let rest = spreads.iter().enumerate().filter(|(at, _)| *at != worst).map(|(_, sd)| sd * sd).sum::<f64>();
        let others = (rest / (REPEATED - 1) as f64).sqrt();
        Some(if others <= REPEATS { Tip::OneScatters(worst + 1) } else { Tip::Scatter })
    }
}
