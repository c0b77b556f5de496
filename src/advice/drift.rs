//! Drift along the filing order: strokes get lighter as hands tire, and lengths creep up.

use crate::chain::{CutterNumber, Side};
use crate::round::{Event, Round, Tool, When};
use crate::stats::theil_sen::{TheilSen, theil_sen};
use crate::stats::{line, summary};
use crate::units::{Millimetres, mm};

/// Level of the intervals.
const LEVEL: f64 = 0.95;
/// Level at which a creep is reported: left, right and both together are looked at, and where there is none, one loop in twenty is told of
/// one.
const SAID: f64 = 0.98;
/// Readings in steps of this are coarse against what hands leave, mm.
const COARSE: f64 = 0.1;
/// With fewer cutters no 95 % interval of the slope exists.
const FEWEST: usize = 5;

/// A slope with its 95 % interval, per cutter in filing order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// Theil-Sen slope: the median over all pairs.
    pub per_cutter: Millimetres,
    /// Lower end.
    pub low: Millimetres,
    /// Upper end.
    pub high: Millimetres,
    /// Cutters it rests on.
    pub count: usize,
}

impl Slope {
    /// The interval keeps clear of zero: a drift is visible.
    pub fn is_visible(&self) -> bool {
        self.low > mm(0.0) || self.high < mm(0.0)
    }

    /// Change from the first to the last cutter.
    pub fn over_all(&self) -> Millimetres {
        self.per_cutter * self.count.saturating_sub(1) as f64
    }
}

/// Drift of the lengths filed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// Both sides together: each cutter's place in its side's order, its length less the median of its side.
    pub both: Slope,
    /// Left side alone.
    pub left: Option<Slope>,
    /// Right side alone.
    pub right: Option<Slope>,
    /// What is to be said of it; none where no drift is visible or it stays within a quarter of the tolerance.
    pub creep: Option<Creep>,
}

/// Lengths that creep up or down along the filing order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Creep {
    /// The side that they are of; none for both together.
    pub side: Option<Side>,
    /// Change from the first to the last cutter: above zero where strokes get lighter.
    pub over_all: Millimetres,
}

/// Lengths in the order in which they were filed.
struct Filed {
    places: Vec<f64>,
    lengths: Vec<f64>,
    /// What matters is the run along one side, not the number of points.
    along: usize,
}

impl Filed {
    fn along(side: &[f64]) -> Self {
        let places = (0..side.len()).map(|i| i as f64).collect();
        Self { places, lengths: side.to_vec(), along: side.len() }
    }

    /// Both sides together, each about its own median.
    fn both(sides: &[Vec<f64>; 2]) -> Self {
        let mut both = Self { places: Vec::new(), lengths: Vec::new(), along: 0 };
        for side in sides {
            let Ok(median) = summary::median(side) else { continue };
            both.places.extend((0..side.len()).map(|i| i as f64));
            both.lengths.extend(side.iter().map(|length| length - median));
            both.along = both.along.max(side.len());
        }
        both
    }

    fn slope(&self, step: f64, level: f64) -> Option<Slope> {
        let slope = slope(&self.places, &self.lengths, step, level)?;
        Some(Slope { count: self.along, ..slope })
    }
}

/// Slope of lengths, mm, in order; `None` below five. Lengths read in steps of a tenth are mostly equal: the median of pairs then says
/// nothing between the steps, and a line by least squares does.
pub(crate) fn slope(places: &[f64], lengths: &[f64], step: f64, level: f64) -> Option<Slope> {
    if lengths.len() < FEWEST {
        return None;
    }
    let (slope, interval) = if step >= COARSE {
        let found = line::slope(places, lengths, step, level).ok()?;
        (found.value, found.interval)
    } else {
        let TheilSen { slope, interval, .. } = theil_sen(places, lengths, level).ok()?;
        (slope, interval)
    };
    Some(Slope { per_cutter: mm(slope), low: mm(interval.low), high: mm(interval.high), count: lengths.len() })
}

/// Drift of this round; `None` for a grinder, whose stop does not tire, and below five filed cutters.
pub(crate) fn drift(round: &Round) -> Option<Drift> {
    if round.header.tool == Tool::Grinder {
        return None;
    }
    let sides = filing_order(round);
    let [left, right] = [0, 1].map(|side| Filed::along(&sides[side]));
    let both = Filed::both(&sides);
    let step = round.length_step();
    let [of_left, of_right, of_both] = [&left, &right, &both].map(|filed| filed.slope(step, LEVEL));
    let enough = round.header.spec.length_tolerance * 0.25;
    let creep = [(Some(Side::Left), &left, of_left), (Some(Side::Right), &right, of_right), (None, &both, of_both)]
        .into_iter()
        .filter_map(|(side, filed, slope)| Some((side, filed, slope?.over_all())))
        .filter(|(_, _, over_all)| over_all.abs() > enough)
        .find(|(_, filed, _)| filed.slope(step, SAID).is_some_and(|slope| slope.is_visible()))
        .map(|(side, _, over_all)| Creep { side, over_all });
    Some(Drift { both: of_both?, left: of_left, right: of_right, creep })
}

/// Lengths after filing, by side, in the order in which the cutters were first measured after the file.
fn filing_order(round: &Round) -> [Vec<f64>; 2] {
    let mut seen: Vec<CutterNumber> = Vec::new();
    for entry in round.standing() {
        if let Event::Length { cutter, when: When::After, .. } = entry.event
            && !seen.contains(&cutter)
        {
            seen.push(cutter);
        }
    }
    [Side::Left, Side::Right].map(|side| {
        let cutters = seen.iter().filter_map(|number| round.cutter(*number));
        cutters
            .filter(|c| c.side == side && c.is_matched())
            .filter_map(|c| c.after.mean())
            .map(Millimetres::get)
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::tests::readings::Bench;
    use crate::chain::nth;
    use crate::round::CutterState;

    #[test]
    fn a_creep_is_seen_through_one_bad_cutter() {
        let places: Vec<f64> = (0..18).map(f64::from).collect();
        let mut lengths: Vec<f64> = places.iter().map(|x| 8.8 + 0.01 * x + 0.01 * (x * 2.4).sin()).collect();
        lengths[4] = 8.2;
        let found = slope(&places, &lengths, 0.01, LEVEL).unwrap();
        assert!(found.is_visible() && (found.per_cutter.get() - 0.01).abs() < 0.002, "{found:?}");
        assert!((found.over_all().get() - 0.17).abs() < 0.04);
    }

    #[test]
    fn a_level_order_shows_none_and_few_cutters_say_nothing() {
        let places: Vec<f64> = (0..12).map(f64::from).collect();
        let lengths: Vec<f64> = places.iter().map(|x| 8.8 + 0.02 * (x * 1.7).sin()).collect();
        assert!(!slope(&places, &lengths, 0.01, LEVEL).unwrap().is_visible());
        assert!(!slope(&places, &[8.8; 12], 0.01, LEVEL).unwrap().is_visible());
        assert_eq!(slope(&places[..4], &lengths[..4], 0.01, LEVEL), None);
    }

    #[test]
    fn sides_of_different_length_are_no_drift_and_repeats_count_once() {
        let mut bench = Bench::measured(40, &[9.4; 20]);
        bench.target(8.8);
        for cutter in (1..=20).step_by(2).chain((2..=20).step_by(2)) {
            let side = if cutter % 2 == 1 { 8.8 } else { 9.1 };
            let length = side + 0.01 * f64::from(cutter % 5);
            bench.length(cutter, When::After, length).repeat(cutter, When::After, length);
        }
        let found = bench.findings().drift.unwrap();
        assert!(!found.both.is_visible() && found.creep.is_none(), "{found:?}");
        assert!(found.both.high - found.both.low < mm(0.01), "the step between the sides would widen it: {found:?}");
        assert_eq!((found.left.unwrap().count, found.both.count), (10, 10));
        bench.put(Event::State { cutter: nth(3), state: CutterState::LeftShort, need_mm: None });
        assert_eq!(bench.findings().drift.unwrap().left.unwrap().count, 9);
    }

    #[test]
    fn lengths_read_in_tenths_leave_room_for_a_creep_between_the_steps() {
        let places: Vec<f64> = (0..18).map(f64::from).collect();
        // A creep of 0.005 mm a cutter, and hands that differ by 0.05 mm, under readings in tenths.
        let truth = |x: f64| 8.82 + 0.005 * x + 0.05 * (x * 2.4).sin();
        let lengths: Vec<f64> = places.iter().map(|x| (truth(*x) * 10.0).round() / 10.0).collect();
        let found = slope(&places, &lengths, 0.1, LEVEL).unwrap();
        assert!((found.low..found.high).contains(&mm(0.005)), "{found:?}");
        let level = slope(&places, &[8.8; 18], 0.1, LEVEL).unwrap();
        assert!(!level.is_visible() && level.high > mm(0.002), "{level:?}");
    }

    #[test]
    fn tired_hands_are_told_to_rest() {
        let mut bench = Bench::measured(40, &[9.4; 20]);
        bench.target(8.8);
        for cutter in (1..=20).step_by(2) {
            bench.length(cutter, When::After, 8.8 + 0.02 * f64::from(cutter / 2));
        }
        let words = bench.findings().drift.unwrap().words(crate::units::Unit::Mm).unwrap();
        assert_eq!(words, "Left lengths creep up by 0.18 mm along the order: strokes get lighter. Rest.");
    }
}
