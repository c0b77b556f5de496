//! Which readings are asked about before they are taken.
//!
//! Every reading has a band in which it is plainly possible at this cutter now. Outside it the likeliest slip is
//! named (inches for millimetres, a lost point, two digits swapped) and the sharpener decides; nothing is changed silently.

use crate::chain::Wood;
use crate::round::{Cutter, Event, Past, Reading, Round, When};
use crate::stats::summary;
use crate::units::plausible::{self, Band, Scale};
use crate::units::{Millimetres, Unit};

/// A length may seem to grow by this much between two readings of the same cutter before it is asked about, mm.
const LENGTH_SLACK: f64 = 0.10;
/// A cutter that differs from the others by more than this is asked about, mm.
const NEIGHBOUR_SLACK: f64 = 1.5;
/// A cutter this far below the witness mark is asked about, mm.
const MARK_SLACK: f64 = 0.3;
/// One filing takes at most this much off a cutter before it is asked about, mm.
const MOST_FILED: f64 = 1.5;
/// A gap this far from the predicted one is asked about, mm.
const GAP_SLACK: f64 = 0.35;
/// An angle this far from its target is asked about, degrees.
const ANGLE_SLACK: f64 = 12.0;

/// A reading that is doubtful.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Doubtful {
    /// Why, as a sentence that ends in a question.
    pub text: String,
    /// What was likely meant, in mm or degrees.
    pub meant: Option<f64>,
}

/// Why a reading is doubtful, and what was likely meant; `None` where it is plainly possible.
pub(crate) fn doubt(
    round: &Round,
    past: &Past,
    cutter: &Cutter,
    reading: Reading,
    value: f64,
    decimals: u8,
) -> Option<Doubtful> {
    let unit = round.header.units;
    let (band, expect) = band(round, past, cutter, reading)?;
    let (scale, show): (Scale, Box<dyn Fn(f64) -> String>) = if reading == Reading::Angle {
        (Scale::Angle, Box::new(|x: f64| format!("{x:.1}")))
    } else {
        (Scale::Length(unit), Box::new(move |x: f64| unit.show(crate::units::mm(x))))
    };
    let doubt = plausible::doubt_on(value, decimals, band, expect, scale);
    if let Some(sentence) = longer_than_before(cutter, reading, value, unit)
        && doubt.as_ref().is_none_or(|doubt| doubt.meant().is_none())
    {
        return Some(Doubtful { text: sentence, meant: None });
    }
    doubt.map(|doubt| Doubtful { meant: doubt.meant(), text: doubt.sentence(show) })
}

/// What a hand meant that typed the digits of a caliper with two decimals without the point: 738 for 7.38. Nothing where
/// another explanation fits as well, or where lengths are read otherwise here.
pub(crate) fn point_left_out(
    round: &Round,
    past: &Past,
    cutter: &Cutter,
    reading: Reading,
    typed: &str,
) -> Option<Millimetres> {
    let is_length = !matches!(reading, Reading::Strokes | Reading::Angle);
    let digits = typed.len() >= 2 && typed.bytes().all(|b| b.is_ascii_digit());
    if !(is_length && digits && round.header.units == Unit::Mm && shows_hundredths(round)) {
        return None;
    }
    let (band, expect) = band(round, past, cutter, reading)?;
    plausible::point_left_out(typed.parse().ok()?, band, expect, Scale::Length(Unit::Mm)).map(Millimetres::new)
}

/// False once a length was typed with more than two decimals.
fn shows_hundredths(round: &Round) -> bool {
    let lengths = round.entries.iter().filter(|entry| matches!(entry.event, Event::Length { .. } | Event::Gap { .. }));
    let decimals = |typed: &str| typed.split_once(['.', ',']).map_or(0, |(_, rest)| leading_digits(rest));
    lengths.filter_map(|entry| entry.typed.as_deref()).all(|typed| decimals(typed) <= 2)
}

fn leading_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// A tooth does not grow under the file.
fn longer_than_before(cutter: &Cutter, reading: Reading, value: f64, unit: Unit) -> Option<String> {
    let before = cutter.length().map(Millimetres::get).filter(|_| reading == Reading::LengthAfter)?;
    (value > before + LENGTH_SLACK).then(|| {
        let [value, before] = [value, before].map(|x| unit.show(crate::units::mm(x)));
        format!("{value} is longer than the {before} measured before filing. Right?")
    })
}

/// Band and expected value of a reading, mm or degrees; `None` for strokes, which any count may be.
pub(crate) fn band(round: &Round, past: &Past, cutter: &Cutter, reading: Reading) -> Option<(Band, Option<f64>)> {
    let spec = &round.header.spec;
    let last = past.last_of(cutter.number);
    let (new, mark) = (spec.new_length.get(), spec.mark_length.get());
    let (low, high, expect) = match reading {
        Reading::Strokes => return None,
        Reading::LengthBefore => {
            let others = others(round, cutter, When::Before);
            let last = last.and_then(|last| last.length.map(Millimetres::get));
            let high = last.map_or(new + 0.3, |last| last + LENGTH_SLACK);
            let low = others.map_or(mark - MARK_SLACK, |x| (x - NEIGHBOUR_SLACK).max(mark - MARK_SLACK));
            let high = others.map_or(high, |x| high.min(x + NEIGHBOUR_SLACK));
            (low, high.max(low), last.or(others))
        }
        Reading::LengthAfter => {
            let from = cutter.length().map_or(new, Millimetres::get);
            let most = MOST_FILED.max(round.need(cutter).get() + 0.5);
            let others = others(round, cutter, When::After);
            let target = round.target.as_ref().map(|target| target.length.get());
            ((from - most).max(mark - MARK_SLACK), from + LENGTH_SLACK, target.or(others))
        }
        Reading::Angle => {
            let target = spec.top_plate_for(round.header.wood).get();
            ((target - ANGLE_SLACK).max(0.0), target + ANGLE_SLACK, Some(target))
        }
        Reading::GapBefore | Reading::GapAfter => {
            let most = spec.gap_max.get().max(spec.fixed_gap(Wood::SoftwoodNoFrost).get());
            match (reading, predicted_gap(round, past, cutter).map(Millimetres::get)) {
                (Reading::GapBefore, Some(gap)) => (gap - GAP_SLACK, gap + GAP_SLACK, Some(gap)),
                // Filing the tooth made the gap smaller.
                (Reading::GapAfter, _) if cutter.gap_stale => (-0.3, most + 0.2, target_gap(round, cutter)),
                (Reading::GapAfter, _) => {
                    (cutter.gap().map_or(0.0, Millimetres::get) - 0.05, most + 0.2, target_gap(round, cutter))
                }
                _ => (-0.3, most + 0.2, target_gap(round, cutter)),
            }
        }
    };
    Some((Band { low, high }, expect))
}

fn target_gap(round: &Round, cutter: &Cutter) -> Option<f64> {
    round.target_gap(cutter).map(Millimetres::get)
}

/// Gap to expect before the raker is touched: the last known one less what filing the tooth cost.
pub(crate) fn predicted_gap(round: &Round, past: &Past, cutter: &Cutter) -> Option<Millimetres> {
    let last = past.last_of(cutter.number)?;
    let (gap, from, to) = (last.gap?, last.length?, cutter.length()?);
    Some(gap - (from - to) * round.header.spec.fall())
}

/// Median of the other cutters, once there are three.
fn others(round: &Round, cutter: &Cutter, when: When) -> Option<f64> {
    let values: Vec<f64> = round
        .cutters
        .iter()
        .filter(|other| other.number != cutter.number)
        .filter_map(|other| other.lengths(when).mean().map(Millimetres::get))
        .collect();
    if values.len() < 3 { None } else { summary::median(&values).ok() }
}
