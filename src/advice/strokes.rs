//! How many strokes to the target, learned from what this hand's strokes took before.
//!
//! A normal prior about the profile's figure is shrunk toward the sharpener's past filings of this side, then toward this round's, each
//! weighted by how well it tells: one filing tells the rate `r` with the variance `(0.15 r)^2 + (0.2 r)^2 / n + 2 u^2 / n^2`, `n` strokes
//! between two readings of standard uncertainty `u`, a filing differing from others (pressure, temper) by 0.15 and a stroke by 0.2.

use super::now;
use super::plan;
use super::say;
use super::skill::Skill;
use crate::chain::Side;
use crate::round::best;
use crate::round::summary::Filing;
use crate::round::{Cutter, CutterState, Past, Round, Tool, script};
use crate::stats::conformity::GUARD;
use crate::stats::quantile::normal_cdf;
use crate::stats::summary;
use crate::units::{Millimetres, mm};

/// How far the next filing's rate may be from the one expected, as a share of it (proposal).
const FROM_FILING_TO_FILING: f64 = 0.3;
/// How far the profile's figure may be from a sharpener's own, as a share of it (proposal).
const PRIOR_SPREAD: f64 = 0.5;
/// How much a round's rate differs from other rounds' (another file, other wood), as a share of it (proposal).
const FROM_ROUND_TO_ROUND: f64 = 0.2;
/// A filing whose rate is further from the profile's than by this factor was typed wrong and is not learned from.
const BELIEVABLE: f64 = 8.0;
/// This many filings of one side tell by their median what a stroke takes: one that does not fit it at all was typed wrong too.
const TELLING: usize = 4;

/// No stroke is taken to remove less than this: it divides.
const LEAST_STROKE: Millimetres = mm(0.001);
/// Rounding in differences of readings.
const SLACK: Millimetres = mm(1e-9);

/// Length that a stroke takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rate {
    /// Expected.
    pub mean: Millimetres,
    /// Lower end of the 90 % interval for the next filing.
    pub low: Millimetres,
    /// Upper end.
    pub high: Millimetres,
    /// Standard uncertainty of the expected one.
    pub u: Millimetres,
    /// Filings learned from.
    pub filings: usize,
}

/// What to do now at one cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrokeAdvice {
    /// Strokes to give; 0 when the cutter is there.
    pub strokes: u32,
    /// The best value of the length that they begin at.
    pub from: Millimetres,
    /// Length to end at, or above by no more than the band.
    pub to: Millimetres,
    /// That band.
    pub band: Millimetres,
    /// Strokes that most likely end in its middle: more than are told where so many might pass the target.
    pub wished: u32,
    /// Length still to take.
    pub to_take: Millimetres,
    /// Expected length a stroke takes.
    pub per_stroke: Millimetres,
    /// Lower end of its 90 % interval.
    pub low: Millimetres,
    /// Upper end.
    pub high: Millimetres,
    /// Less than a stroke is to be taken: give a light one.
    pub light: bool,
    /// The cutter may still be above the band after these strokes: measure before going on.
    pub then_measure: bool,
}

/// A normal belief about the rate.
#[derive(Debug, Clone, Copy)]
struct Belief {
    mean: f64,
    variance: f64,
}

impl Belief {
    fn learn(self, filings: &[(u32, f64)], u_mm: f64) -> Self {
        let mut weight = 1.0 / self.variance;
        let mut sum = self.mean * weight;
        for &(strokes, mm) in filings {
            let n = f64::from(strokes);
            let own = (best::FILING_SPREAD.powi(2) + best::STROKE_SPREAD.powi(2) / n) * self.mean.powi(2);
            let variance = own + 2.0 * (u_mm / n).powi(2);
            weight += 1.0 / variance;
            sum += mm / n / variance;
        }
        Self { mean: sum / weight, variance: 1.0 / weight }
    }

    fn widened(self, share: f64) -> Self {
        Self { variance: self.variance + (share * self.mean).powi(2), ..self }
    }
}

/// Rate for the next filing. `stroke` is the profile's figure, `past` and `here` are strokes and the length they
/// took, in other rounds and in this one; `u` is the standard uncertainty of one length reading.
pub(crate) fn learn(
    stroke: Millimetres,
    past: &[(u32, Millimetres)],
    here: &[(u32, Millimetres)],
    u: Millimetres,
) -> Rate {
    let (stroke_mm, u_mm) = (stroke.max(LEAST_STROKE).get(), u.get());
    let believable = |filings: &[(u32, Millimetres)]| -> Vec<(u32, f64)> {
        let fits = |&(strokes, mm): &(u32, f64)| {
            strokes > 0 && (mm + 3.0 * u_mm > 0.0) && mm / f64::from(strokes) <= BELIEVABLE * stroke_mm
        };
        filings.iter().map(|&(strokes, took)| (strokes, took.get())).filter(fits).collect()
    };
    let (mut past, mut here) = (believable(past), believable(here));
    let rates: Vec<f64> = past.iter().chain(&here).map(|(strokes, mm)| mm / f64::from(*strokes)).collect();
    let usual =
        summary::median(&rates).ok().filter(|usual| rates.len() >= TELLING && *usual > 0.0).unwrap_or(stroke_mm);
    let counted = |(strokes, mm): &(u32, f64)| best::is_believable(f64::from(*strokes), *mm, usual, u_mm);
    past.retain(counted);
    here.retain(counted);
    let prior = Belief { mean: stroke_mm, variance: (PRIOR_SPREAD * stroke_mm).powi(2) };
    let from_past = prior.learn(&past, u_mm);
    let from_past = if past.is_empty() { from_past } else { from_past.widened(FROM_ROUND_TO_ROUND) };
    let mut now = from_past.learn(&here, u_mm);
    now.mean = now.mean.max(stroke_mm / BELIEVABLE);
    let next = now.widened(FROM_FILING_TO_FILING);
    let half = GUARD * next.variance.sqrt();
    Rate {
        mean: mm(next.mean),
        low: mm((next.mean - half).max(stroke_mm / (2.0 * BELIEVABLE))),
        high: mm(next.mean + half),
        u: mm(now.variance.sqrt()),
        filings: past.len() + here.len(),
    }
}

/// Rate of who works at this round, on one side.
pub(crate) fn rate(round: &Round, past: &Past, side: Side, skill: &Skill) -> Rate {
    let (header, hand) = (&round.header, round.hand());
    let of_side = |filing: &&Filing| filing.side == side;
    let own = past
        .rounds
        .iter()
        .filter(|summary| summary.sharpener == hand && summary.profile == header.profile && summary.tool == Tool::File);
    let own = own.flat_map(|summary| &summary.filings);
    // Those of other loops were looked for under the name of the round's sharpener.
    let elsewhere = past.filings.iter().filter(|_| hand == header.sharpener);
    let past: Vec<(u32, Millimetres)> = elsewhere.chain(own).filter(of_side).map(|f| (f.strokes, f.took)).collect();
    let here = round.filings_by(hand).filter(|(of, _)| *of == side);
    let here: Vec<(u32, Millimetres)> = here.map(|(_, filed)| (filed.strokes, filed.took)).collect();
    learn(header.spec.stroke, &past, &here, skill.length)
}

/// More than this past the target is steel wasted on every other cutter.
const PAST: f64 = 0.05;
/// With at most this probability do the strokes told take the cutter that far (chosen on simulated loops).
const RISK_PAST: f64 = 0.055;

/// How far a filing of so many strokes may end from what is expected, as variance, mm²: the rate's own, what differs from filing to
/// filing and from stroke to stroke.
fn spread(strokes: f64, rate: &Rate) -> f64 {
    let mean = rate.mean.get();
    (strokes * rate.u.get()).powi(2)
        + (best::FILING_SPREAD * mean * strokes).powi(2)
        + strokes * (best::STROKE_SPREAD * mean).powi(2)
}

/// Strokes from a best value of the length, known with variance `variance`, to the band `[target, target + band]`: as many as end most
/// likely near its middle, and no more than may be given without passing the target. One stroke is always needed where anything is to
/// be taken: a light one where less than a stroke is to be taken.
pub(crate) fn advise(
    length: Millimetres,
    variance: f64,
    target: Millimetres,
    band: Millimetres,
    rate: &Rate,
) -> StrokeAdvice {
    let to_take = length - target;
    let is_there = to_take <= band + SLACK;
    let end = |strokes: u32| {
        let n = f64::from(strokes);
        ((to_take - rate.mean * n).get(), (variance + spread(n, rate)).sqrt())
    };
    let is_safe = |strokes: u32| {
        let (left, sd) = end(strokes);
        normal_cdf((-PAST - left) / sd) <= RISK_PAST
    };
    let aim = say::whole(((to_take - band * 0.5) / rate.mean).round());
    let strokes = if is_there { 0 } else { (1..=aim).rev().find(|strokes| is_safe(*strokes)).unwrap_or(1) };
    let (left, sd) = end(strokes);
    let surely_there = left + GUARD * sd <= band.get();
    StrokeAdvice {
        strokes,
        from: length,
        to: target,
        band,
        wished: if is_there { 0 } else { aim },
        to_take: to_take.max(mm(0.0)),
        per_stroke: rate.mean,
        low: rate.low,
        high: rate.high,
        light: !is_there && rate.mean > to_take,
        then_measure: !is_there && !surely_there,
    }
}

/// Advice for one cutter of a round that is filed by hand. `None` for a grinder, before a length is chosen and for one never
/// measured. A cutter not filed yet gets at least the one stroke that sharpens it. One that was left short is only sharpened,
/// unless it stands above the others: its damage need not go.
pub(crate) fn for_cutter(round: &Round, cutter: &Cutter, rate: &Rate) -> Option<StrokeAdvice> {
    let target = round.target.as_ref()?.length;
    if round.header.tool == Tool::Grinder {
        return None;
    }
    let now = now::length(round, cutter).filter(now::Now::is_measured)?;
    let best = cutter.best();
    let length = best.map_or(now.length, |best| mm(best.mean()));
    let variance = best.map_or(0.0, |best| best.variance());
    let band = plan::band(&round.header.spec);
    let mut advice = match cutter.state {
        CutterState::Missing => return None,
        CutterState::LeftShort if now.filed && length <= target + band => return None,
        CutterState::LeftShort if !now.filed => {
            let sharp = length - round.need(cutter).min(round.header.spec.need);
            advise(length, variance, sharp.min(target + band), mm(0.0), rate)
        }
        CutterState::Kept | CutterState::Damaged | CutterState::LeftShort => {
            advise(length, variance, target, band, rate)
        }
    };
    if advice.strokes == 0 && (!now.filed || script::is_still_long(round, cutter)) {
        advice.strokes = 1;
        advice.light = advice.to_take < rate.mean;
        advice.then_measure = true;
    }
    Some(advice)
}

/// Strokes that take a tooth back to this length, so that its raker comes right.
pub(crate) fn back_to(round: &Round, cutter: &Cutter, length: Millimetres, rate: &Rate) -> Option<StrokeAdvice> {
    let best = cutter.best().filter(|_| round.header.tool == Tool::File)?;
    Some(advise(mm(best.mean()), best.variance(), length, mm(0.0), rate))
}

#[cfg(test)]
mod tests;
