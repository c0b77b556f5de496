//! Tips while a side is filed: from the lengths, angles and gaps that its cutters ended at and the strokes they took, one at a time.
//!
//! What would save most is told: steel that the cutters still to come would lose, or how far they would come to stand apart, in mm of
//! length over all of them. Everything is derived from the round, so that a round taken up again tells the same.

use super::plan;
use crate::chain::{CutterNumber, Side};
use crate::round::{Event, Reading, Round, Tool, When, script};
use crate::stats::summary::{Summary, mean};
use crate::units::{Millimetres, mm};

/// Cutters of a side that a tip rests on, and that show whether it helped.
const WINDOW: usize = 4;
/// This many of those have their angle read: that of the last one comes after its length.
const ANGLES: usize = 3;
/// This many cutters go by before the next tip.
const QUIET: usize = 5;
/// Strokes of one side that take less than this share of the other's are lopsided.
const ALIKE: f64 = 0.8;
/// A tip that saves less than this, mm over all cutters still to come, is not worth the words.
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
    /// Angles run large, or small: the wrist turns.
    Turned {
        /// Larger than wanted.
        large: bool,
    },
    /// Rakers end lower than wanted.
    Low,
}

/// A tip for one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tip {
    /// What is to be done differently.
    pub habit: Habit,
    /// On which side.
    pub side: Side,
    /// What was found: length past, spread, how much less the strokes of a cutter take or how much gap is too much, mm; degrees off.
    pub found: f64,
    /// Length that doing it right saves over the cutters of that side still to come.
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
        now: f64,
        /// It came down.
        helped: bool,
    },
}

/// A cutter after its filing.
#[derive(Debug, Clone, Copy)]
struct End {
    side: Side,
    /// Length less the one chosen, or gap less the one wanted, mm.
    off: f64,
    /// Angle less the one wanted, degrees, once it is read.
    angle: Option<f64>,
    /// Strokes and the length they took, where both are known.
    took: Option<(f64, f64)>,
    /// Who read it last: hands are not mixed.
    by: usize,
    /// Standard uncertainty of the reading, or of the mean of several, mm.
    noise: f64,
}

/// A habit that is looked for: this much of it is allowed, and each mm or degree beyond costs this much length per cutter.
#[derive(Debug, Clone, Copy)]
struct Watched {
    habit: Habit,
    allowed: f64,
    costs: f64,
}

impl Watched {
    /// What is looked for in the lengths and angles of a round. An angle that is off by its tolerance is sent back to the file, and
    /// that takes a stroke at least: so much a degree is what a turned wrist costs (a proposal).
    fn teeth(round: &Round) -> Vec<Self> {
        let spec = &round.header.spec;
        let band = plan::band(spec).get();
        let (stroke, tolerance) = (spec.stroke.get(), spec.angle_tolerance.get());
        let watched = |habit: Habit, allowed: f64, costs: f64| Self { habit, allowed, costs };
        let turned = |large: bool| watched(Habit::Turned { large }, 0.5 * tolerance, stroke / tolerance);
        // Within the band cutters may end where they like.
        vec![
            watched(Habit::Past, 0.25 * band, 1.0),
            watched(Habit::Apart, 0.5 * band, 1.0),
            watched(Habit::Light, 0.0, 1.0),
            turned(true),
            turned(false),
        ]
    }

    /// The same in its rakers: a gap that is too large comes right when the tooth has come down its back slope so far.
    fn rakers(round: &Round) -> Vec<Self> {
        let spec = &round.header.spec;
        let costs = 1.0 / spec.back_slope.get().to_radians().tan();
        vec![Self { habit: Habit::Low, allowed: 0.25 * spec.gap_tolerance.get(), costs }]
    }
}

/// What is to be said after this reading of a cutter: its length after the file, or its gap; nothing most of the time.
pub(crate) fn after(round: &Round, cutter: CutterNumber, reading: Reading) -> Option<Hint> {
    let gaps = reading == Reading::GapAfter;
    let ends = if gaps { rakers(round) } else { teeth(round)? };
    let (last, _) = ends.last()?;
    if *last != cutter {
        return None;
    }
    let ends: Vec<End> = ends.into_iter().map(|(_, end)| end).collect();
    let of = |side: Side| round.matched().filter(|cutter| cutter.side == side).count();
    let watched = if gaps { Watched::rakers(round) } else { Watched::teeth(round) };
    told(&ends, [of(Side::Left), of(Side::Right)], &watched).pop().flatten()
}

/// The cutters in the order in which this was last read on them, and by whom of those who worked here.
fn order(round: &Round, reading: Reading) -> Vec<(CutterNumber, usize)> {
    let mut order: Vec<(CutterNumber, usize)> = Vec::new();
    let mut people: Vec<Option<&str>> = Vec::new();
    for entry in round.standing() {
        let cutter = match entry.event {
            Event::Length { cutter, when: When::After, .. } if reading == Reading::LengthAfter => cutter,
            Event::Gap { cutter, when: When::After, .. } if reading == Reading::GapAfter => cutter,
            _ => continue,
        };
        let who = entry.by.as_deref();
        let by = people.iter().position(|known| *known == who).unwrap_or(people.len());
        if by == people.len() {
            people.push(who);
        }
        order.retain(|(known, _)| *known != cutter);
        order.push((cutter, by));
    }
    order
}

/// Teeth that were filed: what a grinder takes is set at its stop.
fn teeth(round: &Round) -> Option<Vec<(CutterNumber, End)>> {
    if round.header.tool != Tool::File {
        return None;
    }
    let target = round.target.as_ref()?.length;
    let wanted = round.header.spec.top_plate_for(round.header.wood);
    let trust = round.header.trust;
    let end = |(number, by): (CutterNumber, usize)| {
        let cutter = round.cutter(number).filter(|cutter| cutter.is_matched())?;
        // One that is filed on has not ended yet.
        if script::is_still_long(round, cutter) {
            return None;
        }
        let off = (cutter.after.mean()? - target).get();
        // A stroke that was given alone may have been a light one, as it was told.
        let full = cutter.filings.iter().filter(|filed| filed.strokes > 1);
        let (strokes, took) = full.fold((0, 0.0), |(n, sum), filed| (n + filed.strokes, sum + filed.took.get()));
        let took = (strokes > 0).then_some((f64::from(strokes), took));
        let angle = cutter.angle.mean().map(|angle| (angle - wanted).get());
        Some((
            number,
            End { side: cutter.side, off, angle, took, by, noise: noise(trust.length, cutter.after.count()) },
        ))
    };
    Some(order(round, Reading::LengthAfter).into_iter().filter_map(end).collect())
}

/// Standard uncertainty of the mean of so many readings.
fn noise(of_one: Millimetres, readings: usize) -> f64 {
    of_one.get() / (readings.max(1) as f64).sqrt()
}

fn rakers(round: &Round) -> Vec<(CutterNumber, End)> {
    let trust = round.header.trust;
    let end = |(number, by): (CutterNumber, usize)| {
        let cutter = round.cutter(number).filter(|cutter| cutter.is_matched() && !cutter.gap_stale)?;
        if script::is_raker_high(round, cutter) {
            return None;
        }
        let off = (cutter.gap_after.mean()? - round.target_gap(cutter)?).get();
        Some((
            number,
            End {
                side: cutter.side,
                off,
                angle: None,
                took: None,
                by,
                noise: noise(trust.gap, cutter.gap_after.count()),
            },
        ))
    };
    order(round, Reading::GapAfter).into_iter().filter_map(end).collect()
}

/// A tip that was told: after which cutter, and whether what came of it was told too.
#[derive(Debug, Clone, Copy)]
struct Told {
    at: usize,
    tip: Tip,
    came: bool,
}

/// What is said after each cutter, in order: replayed from the first, as it was said then.
fn told(ends: &[End], of_side: [usize; 2], watched: &[Watched]) -> Vec<Option<Hint>> {
    let mut said: Vec<Option<Hint>> = Vec::new();
    let mut tips: Vec<Told> = Vec::new();
    for at in 0..ends.len() {
        let so_far = &ends[..=at];
        let mut hint = tips.iter_mut().find_map(|told| told.outcome(so_far));
        let quiet = tips.last().is_some_and(|told| at - told.at < QUIET);
        let waits = tips.iter().any(|told| !told.came && told.is_for(&ends[at], ends));
        if hint.is_none() && !quiet && !waits {
            let tip = best(so_far, of_side, watched);
            tips.extend(tip.map(|tip| Told { at, tip, came: false }));
            hint = tip.map(Hint::Do);
        }
        said.push(hint);
    }
    said
}

impl Told {
    /// True where this cutter is of the side and the hand that were told.
    fn is_for(&self, end: &End, ends: &[End]) -> bool {
        end.side == self.tip.side && end.by == ends[self.at].by
    }

    /// What came of it, with the cutter that shows it: the last.
    fn outcome(&mut self, so_far: &[End]) -> Option<Hint> {
        let last = so_far.last().filter(|last| !self.came && self.is_for(last, so_far))?;
        let since: Vec<End> = alike(&so_far[self.at + 1..], last);
        self.came = since.len() >= WINDOW;
        let now = self.came.then(|| figure(self.tip.habit, last, &since, so_far))??;
        Some(Hint::Came { of: self.tip, now, helped: now <= HELPED * self.tip.found })
    }
}

/// Those of the side and the hand of this one.
fn alike(ends: &[End], of: &End) -> Vec<End> {
    ends.iter().copied().filter(|end| end.side == of.side && end.by == of.by).collect()
}

/// The tip that saves most, for the side that is being filed.
fn best(so_far: &[End], of_side: [usize; 2], watched: &[Watched]) -> Option<Tip> {
    let last = so_far.last()?;
    let side = last.side;
    let done = so_far.iter().filter(|end| end.side == side).count();
    let to_come = of_side[usize::from(side == Side::Right)].saturating_sub(done) as f64;
    let own = alike(so_far, last);
    let window = own.len().checked_sub(WINDOW).map(|from| &own[from..])?;
    let tip = |watched: &Watched| {
        let found = figure(watched.habit, last, window, so_far)?;
        let saves = (found - watched.allowed) * watched.costs * to_come;
        (saves >= LEAST).then_some(Tip { habit: watched.habit, side, found, saves: mm(saves) })
    };
    watched.iter().filter_map(tip).max_by(|a, b| a.saves.total_cmp(&b.saves))
}

/// The figure of a habit over these cutters, of the side and the hand of the last; none where it is not there.
fn figure(habit: Habit, last: &End, of: &[End], so_far: &[End]) -> Option<f64> {
    let off: Vec<f64> = of.iter().map(|end| end.off).collect();
    match habit {
        Habit::Past => mean(&off).ok().map(|off| (-off).max(0.0)),
        Habit::Low => mean(&off).ok().map(|off| off.max(0.0)),
        Habit::Turned { large } => {
            let angles: Vec<f64> = of.iter().filter_map(|end| end.angle).collect();
            let off = mean(&angles).ok().filter(|_| angles.len() >= ANGLES)?;
            Some(if large { off } else { -off }.max(0.0))
        }
        Habit::Apart => {
            // What the readings scatter by themselves is not the hand's.
            let read = mean(&of.iter().map(|end| end.noise.powi(2)).collect::<Vec<_>>()).ok()?;
            Summary::of(&off).ok().map(|seen| (seen.sd.powi(2) - read).max(0.0).sqrt())
        }
        Habit::Light => {
            let rate = |ends: &mut dyn Iterator<Item = &End>| {
                let took: Vec<(f64, f64)> = ends.filter_map(|end| end.took).collect();
                let (strokes, length) = took.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
                (took.len() >= WINDOW && strokes > 0.0).then_some((length / strokes, strokes / took.len() as f64))
            };
            let (own, strokes) = rate(&mut of.iter())?;
            let other_side = |end: &&End| end.side != last.side && end.by == last.by;
            let (other, _) = rate(&mut so_far.iter().filter(other_side))?;
            (own < ALIKE * other).then_some((other - own) * strokes)
        }
    }
}

#[cfg(test)]
mod tests;
