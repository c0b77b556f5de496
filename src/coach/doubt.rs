//! Which readings are asked about before they are taken.
//!
//! Every reading has a band in which it is plainly possible at this cutter now. Outside it the likeliest slip is
//! named (inches for millimetres, a lost point, two digits swapped) and the sharpener decides; nothing is changed silently.

use crate::chain::Wood;
use crate::round::{Cutter, Event, Past, Reading, Round, When};
use crate::stats::summary;
use crate::units::plausible::{self, Band, Scale};
use crate::units::{Millimetres, Unit};

/// Two readings of the same length may differ by this many standard deviations before that is asked about: one pair in eighty does by
/// more, either way.
const FAR: f64 = 2.5;
/// A cutter that differs from the others by more than this is asked about, mm.
const NEIGHBOUR_SLACK: f64 = 1.5;
/// A cutter this far below the witness mark is asked about, mm.
const MARK_SLACK: f64 = 0.3;
/// One filing takes at most this much off a cutter before it is asked about, mm.
const MOST_FILED: f64 = 1.5;
/// A gap this far from what the other rakers lead one to expect is asked about, mm, or this many times their own spread.
const GAP_SLACK: (f64, f64) = (0.25, 4.0);
/// Where no other raker is measured yet, a gap this far from its target is asked about, mm.
const GAP_SLACK_FIRST: f64 = 0.35;
/// A gap below this is asked about wherever it is read: it is most likely in inches, mm.
const LEAST_GAP: f64 = 0.10;
/// This many cutters tell what happened to all of them.
const FEWEST: usize = 3;
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
    if reading == Reading::Strokes {
        return strokes(round, cutter, value);
    }
    let (band, expect) = band(round, past, cutter, reading)?;
    let (scale, show): (Scale, Box<dyn Fn(f64) -> String>) = if reading == Reading::Angle {
        (Scale::Angle, Box::new(|x: f64| format!("{x:.1}")))
    } else {
        (Scale::Length(unit), Box::new(move |x: f64| unit.show(crate::units::mm(x))))
    };
    let doubt = plausible::doubt_on(value, decimals, band, expect, scale);
    if let Some(sentence) = longer_than_before(round, cutter, reading, value)
        && doubt.as_ref().is_none_or(|doubt| doubt.meant().is_none())
    {
        return Some(Doubtful { text: sentence, meant: None });
    }
    doubt.map(|doubt| Doubtful { meant: doubt.meant(), text: doubt.sentence(show) })
}

/// What a hand meant that left out the point of a caliper with two decimals: 738 for 7.38. Nothing where
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

/// False once a length has been typed with more than two decimals.
fn shows_hundredths(round: &Round) -> bool {
    let lengths = round.entries.iter().filter(|entry| matches!(entry.event, Event::Length { .. } | Event::Gap { .. }));
    let decimals = |typed: &str| typed.split_once(['.', ',']).map_or(0, |(_, rest)| leading_digits(rest));
    lengths.filter_map(|entry| entry.typed.as_deref()).all(|typed| decimals(typed) <= 2)
}

fn leading_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// A tooth does not grow under the file.
fn longer_than_before(round: &Round, cutter: &Cutter, reading: Reading, value: f64) -> Option<String> {
    let unit = round.header.units;
    let before = cutter.length().map(Millimetres::get).filter(|_| reading == Reading::LengthAfter)?;
    (value > before + length_slack(round)).then(|| {
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
            if let Some(last) = last {
                let Since { changed, slack } = since_last(round, past, cutter);
                let (low, high) = (last + changed - slack, last + changed.min(0.0) + slack);
                return Some((Band { low, high: high.max(low) }, Some(last + changed)));
            }
            let low = others.map_or(mark - MARK_SLACK, |x| (x - NEIGHBOUR_SLACK).max(mark - MARK_SLACK));
            let high = others.map_or(new + 0.3, |x| (new + 0.3).min(x + NEIGHBOUR_SLACK));
            (low, high.max(low), others)
        }
        Reading::LengthAfter => {
            let from = cutter.length().map_or(new, Millimetres::get);
            let most = MOST_FILED.max(round.need(cutter).get() + 0.5);
            let others = others(round, cutter, When::After);
            let target = round.target.as_ref().map(|target| target.length.get());
            ((from - most).max(mark - MARK_SLACK), from + length_slack(round), target.or(others))
        }
        Reading::Angle => {
            let target = spec.top_plate_for(round.header.wood).get();
            ((target - ANGLE_SLACK).max(0.0), target + ANGLE_SLACK, Some(target))
        }
        Reading::GapBefore | Reading::GapAfter => {
            let most = spec.gap_max.get().max(spec.fixed_gap(Wood::SoftwoodNoFrost).get()) + 0.2;
            let target = target_gap(round, cutter);
            let first = (target.map_or(LEAST_GAP, |target| target - GAP_SLACK_FIRST), most, target);
            let (low, high, expect) = match (reading, expected_gap(round, past, cutter)) {
                (Reading::GapBefore, Some((gap, slack))) => (gap - slack, gap + slack, Some(gap)),
                (Reading::GapBefore, None) => first,
                // Filing the tooth made the gap smaller.
                _ if cutter.gap_stale => first,
                _ => (cutter.gap().map_or(LEAST_GAP, |gap| gap.get() - 0.10), most, target),
            };
            (low.max(LEAST_GAP), high.max(LEAST_GAP), expect)
        }
    };
    Some((Band { low, high }, expect))
}

/// How far two readings of one length may differ, mm.
fn length_slack(round: &Round) -> f64 {
    FAR * std::f64::consts::SQRT_2 * round.header.trust.length.get()
}

/// What happened to the lengths since the last round.
struct Since {
    /// How far the others came back longer (above zero) or shorter.
    changed: f64,
    /// How far this one may be off that.
    slack: f64,
}

/// A chain that was sharpened on the saw since then came back shorter on all cutters: the first few tell it, and the rest is not asked.
fn since_last(round: &Round, past: &Past, cutter: &Cutter) -> Since {
    let slack = length_slack(round);
    let changes = round
        .cutters
        .iter()
        .filter(|other| other.number != cutter.number)
        .filter_map(|other| Some((other.before.mean()? - past.last_of(other.number)?.length?).get()));
    match middle_and_spread(&changes.collect::<Vec<_>>()) {
        // Where lengths did not change, the readings tell nothing new.
        Some((changed, _)) if changed.abs() < slack => Since { changed: 0.0, slack },
        Some((changed, spread)) => Since { changed, slack: slack.max(3.0 * spread) },
        None => Since { changed: 0.0, slack },
    }
}

/// Gap to expect as it stands, and how far it may be off: by the last round, else by how far the other rakers are off.
fn expected_gap(round: &Round, past: &Past, cutter: &Cutter) -> Option<(f64, f64)> {
    let of = |other: &Cutter| match predicted_gap(round, past, other) {
        Some(gap) => Some(gap.get()),
        None => target_gap(round, other),
    };
    let here = of(cutter)?;
    let others = round.cutters.iter().filter(|other| other.number != cutter.number);
    let off: Vec<f64> = others.filter_map(|other| Some(other.gap_before.mean()?.get() - of(other)?)).collect();
    match middle_and_spread(&off) {
        Some((off, spread)) => Some((here + off, GAP_SLACK.0.max(GAP_SLACK.1 * spread))),
        None => predicted_gap(round, past, cutter).map(|gap| (gap.get(), GAP_SLACK_FIRST)),
    }
}

/// Median, and the spread about it as a standard deviation, of three values or more.
fn middle_and_spread(values: &[f64]) -> Option<(f64, f64)> {
    /// Median of the distances from the median of normal values, in standard deviations.
    const MEDIAN_OFF: f64 = 0.6745;
    if values.len() < FEWEST {
        return None;
    }
    let middle = summary::median(values).ok()?;
    let off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    Some((middle, summary::median(&off).ok()? / MEDIAN_OFF))
}

/// Fewest strokes that are asked about; and by how much half of what they should take must exceed what is to go, mm.
const MANY: (f64, f64) = (8.0, 0.4);

/// Strokes that cannot be what was given: a digit that was sent twice (33 for 3), a nought too many.
fn strokes(round: &Round, cutter: &Cutter, count: f64) -> Option<Doubtful> {
    let (target, best) = (round.target.as_ref()?.length, cutter.best().map(|best| best.mean()));
    let to_go = (best.or(cutter.length().map(Millimetres::get))? - target.get()).max(0.0);
    let rate = round.hand.rate(cutter.side);
    let off = |count: f64| (to_go - rate * count).abs();
    let fits = |by: f64| (count >= by && count % by == 0.0).then_some(count / by);
    let doubled = fits(11.0).filter(|meant| *meant < 10.0 && off(*meant) < off(count));
    if doubled.is_none() && (count < MANY.0 || 0.5 * rate * count <= to_go + MANY.1) {
        return None;
    }
    let meant = doubled.or_else(|| fits(10.0)).or_else(|| fits(100.0));
    let unit = round.header.units;
    let show = |length: f64| unit.show_named(crate::units::mm(length));
    let likely = meant.map_or_else(|| "Right?".to_owned(), |meant| format!("Did you mean {meant:.0}?"));
    let text = format!("{count:.0} strokes take about {}; {} is to go. {likely}", show(rate * count), show(to_go));
    Some(Doubtful { text, meant })
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
