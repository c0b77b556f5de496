//! Tips while a side is filed: from the lengths that its cutters ended at and the strokes they took, one at a time.
//!
//! What would save most is told: steel that the cutters still to come would lose, or how far they would come to stand apart, in mm of
//! length over all of them. Everything is derived from the round, so that a round taken up again tells the same.

use super::plan;
use crate::chain::{CutterNumber, Side};
use crate::round::{Event, Round, When};
use crate::stats::summary::{Summary, mean};
use crate::units::{Millimetres, mm};

/// Cutters of a side that a tip rests on, and that show whether it helped.
const WINDOW: usize = 4;
/// So many cutters go by before the next tip.
const QUIET: usize = 5;
/// Strokes of one side that take less than this share of the other's are lopsided.
const ALIKE: f64 = 0.8;
/// Less than this a tip does not save, mm over all cutters still to come: it is not worth the words.
const LEAST: f64 = 0.05;
/// A tip helped where its figure came down to this share.
const HELPED: f64 = 0.7;

/// What is to be done differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Habit {
    /// Cutters end under the length.
    Past,
    /// Cutters end apart from each other.
    Apart,
    /// Strokes take less than those of the other side.
    Light,
}

/// A tip for one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tip {
    /// What is to be done differently.
    pub habit: Habit,
    /// On which side.
    pub side: Side,
    /// What was found: length past, spread, or length that the strokes of a cutter take less.
    pub found: Millimetres,
    /// What doing it right saves over the cutters of that side still to come.
    pub saves: Millimetres,
}

/// What is said after a cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Hint {
    /// A tip.
    Do(Tip),
    /// What came of it: the same figure since.
    Came {
        /// The tip.
        of: Tip,
        /// Its figure since.
        now: Millimetres,
        /// It came down.
        helped: bool,
    },
}

/// A cutter after its file.
#[derive(Debug, Clone, Copy)]
struct End {
    side: Side,
    /// Length less the one chosen, mm.
    off: f64,
    /// Strokes and the length they took, where both are known.
    took: Option<(f64, f64)>,
}

/// What is to be said after this cutter's length was measured; nothing most of the time.
pub(crate) fn after(round: &Round, cutter: CutterNumber) -> Option<Hint> {
    let ends = ends(round)?;
    let (last, _) = ends.last()?;
    if *last != cutter {
        return None;
    }
    let ends: Vec<End> = ends.into_iter().map(|(_, end)| end).collect();
    let of = |side: Side| round.matched().filter(|cutter| cutter.side == side).count();
    let band = plan::band(&round.header.spec).get();
    told(&ends, [of(Side::Left), of(Side::Right)], band).pop().flatten()
}

/// Cutters in the order in which they were last measured.
fn ends(round: &Round) -> Option<Vec<(CutterNumber, End)>> {
    let target = round.target.as_ref()?.length;
    let mut order: Vec<CutterNumber> = Vec::new();
    for entry in round.standing() {
        if let Event::Length { cutter, when: When::After, .. } = entry.event {
            order.retain(|known| *known != cutter);
            order.push(cutter);
        }
    }
    let end = |number: CutterNumber| {
        let cutter = round.cutter(number).filter(|cutter| cutter.is_matched())?;
        let off = (cutter.after.mean()? - target).get();
        let (strokes, took) =
            cutter.filings.iter().fold((0, 0.0), |(n, sum), filed| (n + filed.strokes, sum + filed.took.get()));
        let took = (strokes > 0).then_some((f64::from(strokes), took));
        Some((number, End { side: cutter.side, off, took }))
    };
    Some(order.into_iter().filter_map(end).collect())
}

/// What is said after each cutter, in order: replayed from the first, as it was said then.
fn told(ends: &[End], of_side: [usize; 2], band: f64) -> Vec<Option<Hint>> {
    let mut said: Vec<Option<Hint>> = Vec::new();
    let mut last: Option<(usize, Tip, bool)> = None;
    for at in 0..ends.len() {
        let so_far = &ends[..=at];
        let mut hint = None;
        if let Some((told_at, tip, false)) = last {
            let since: Vec<End> = ends[told_at + 1..=at].iter().copied().filter(|end| end.side == tip.side).collect();
            if since.len() == WINDOW
                && let Some(now) = figure(tip.habit, tip.side, &since, so_far)
            {
                let helped = now <= HELPED * tip.found.get();
                hint = Some(Hint::Came { of: tip, now: mm(now), helped });
                last = Some((told_at, tip, true));
            }
        }
        let quiet = last.is_some_and(|(told_at, _, _)| at - told_at < QUIET);
        if hint.is_none() && !quiet {
            let tip = best(so_far, of_side, band);
            last = tip.map(|tip| (at, tip, false)).or(last);
            hint = tip.map(Hint::Do);
        }
        said.push(hint);
    }
    said
}

/// The tip that saves most, for the side that is being filed.
fn best(so_far: &[End], of_side: [usize; 2], band: f64) -> Option<Tip> {
    let side = so_far.last()?.side;
    let done: Vec<End> = so_far.iter().copied().filter(|end| end.side == side).collect();
    let to_come = of_side[usize::from(side == Side::Right)].saturating_sub(done.len()) as f64;
    let window = done.len().checked_sub(WINDOW).map(|from| &done[from..])?;
    let tip = |habit: Habit, allowed: f64| {
        let found = figure(habit, side, window, so_far)?;
        let saves = (found - allowed) * to_come;
        (saves >= LEAST).then_some(Tip { habit, side, found: mm(found), saves: mm(saves) })
    };
    // Within the band cutters may end where they like.
    let all = [tip(Habit::Past, 0.25 * band), tip(Habit::Apart, 0.5 * band), tip(Habit::Light, 0.0)];
    all.into_iter().flatten().max_by(|a, b| a.saves.total_cmp(&b.saves))
}

/// The figure of a habit over these cutters of a side; none where it is not there.
fn figure(habit: Habit, side: Side, of: &[End], so_far: &[End]) -> Option<f64> {
    let off: Vec<f64> = of.iter().map(|end| end.off).collect();
    match habit {
        Habit::Past => mean(&off).ok().map(|off| (-off).max(0.0)),
        Habit::Apart => Summary::of(&off).ok().map(|seen| seen.sd),
        Habit::Light => {
            let rate = |ends: &mut dyn Iterator<Item = &End>| {
                let took: Vec<(f64, f64)> = ends.filter_map(|end| end.took).collect();
                let (strokes, length) = took.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
                (took.len() >= WINDOW && strokes > 0.0).then_some((length / strokes, strokes / took.len() as f64))
            };
            let (own, strokes) = rate(&mut of.iter())?;
            let (other, _) = rate(&mut so_far.iter().filter(|end| end.side != side))?;
            (own < ALIKE * other).then_some((other - own) * strokes)
        }
    }
}

#[cfg(test)]
mod tests;
