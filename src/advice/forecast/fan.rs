//! What coming rounds are expected to leave, to draw the forecast: the median length round by round, until the loop ends.

use super::{Forecast, Wear};
use crate::units::{Millimetres, mm};

/// Most rounds that a chart looks ahead: beyond that, the lines tell nothing that the words do not.
const MOST: u32 = 60;

/// The median length that a coming round is expected to leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Shortest to reckon with.
    pub low: Millimetres,
    /// Most likely.
    pub middle: Millimetres,
    /// Longest to reckon with.
    pub high: Millimetres,
}

impl Wear {
    /// Wear of so many further rounds: least, mean and most at the level of the forecast.
    fn over(&self, rounds: u32) -> [Millimetres; 3] {
        let n = f64::from(rounds);
        let (mean, reach) = (n * self.mean.get(), self.reach(n));
        [mean * (-reach).exp(), mean, mean * reach.exp()].map(mm)
    }
}

impl Forecast {
    /// The median length when the first cutter is at its mark: there the loop ends.
    pub fn floor(&self, mark: Millimetres) -> Option<Millimetres> {
        let place = self.place?;
        Some(mark + (place.length - place.ends.1).max(mm(0.0)))
    }

    /// What each coming round leaves, the next first, until even the longest way is at its end. Nothing where no wear can be
    /// seen yet.
    pub fn fan(&self, mark: Millimetres) -> Vec<Expected> {
        let rounds = self.to_mark.filter(|_| self.visible).and_then(|ahead| ahead.rounds.high);
        let Some(((place, floor), rounds)) = self.place.zip(self.floor(mark)).zip(rounds) else { return Vec::new() };
        let left = (place.length - floor).max(mm(0.0));
        let after = |worn: Millimetres| place.length - worn.max(mm(0.0)).min(left);
        let expected = (1..=rounds.saturating_add(2).min(MOST)).map(|n| {
            let [least, mean, most] = self.wear.over(n).map(after);
            Expected { low: most, middle: mean, high: least }
        });
        if left > mm(0.0) { expected.collect() } else { Vec::new() }
    }
}

/// One way of the fan as rounds ahead and lengths, from the length now to where the loop ends, which may be within a round.
pub fn way(now: Millimetres, fan: &[Expected], pick: fn(&Expected) -> Millimetres) -> Vec<(f64, Millimetres)> {
    // The shortest way is at its end before the last round that is drawn.
    let Some(floor) = fan.iter().map(|round| round.low).min_by(Millimetres::total_cmp) else { return Vec::new() };
    let mut way = vec![(0.0, now)];
    for (round, rounds) in fan.iter().zip(1..) {
        let (length, before) = (pick(round), way[way.len() - 1].1);
        let rounds = f64::from(rounds);
        if length - floor > mm(1e-9) {
            way.push((rounds, length));
            continue;
        }
        // As fast as in the round before.
        let fall = way.len().checked_sub(2).map(|at| way[at].1 - before).filter(|fall| fall.get() > 0.0);
        let part = fall.map_or(1.0, |fall| ((before - floor) / fall).min(1.0));
        way.push((rounds - 1.0 + part, floor));
        break;
    }
    way
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::forecast::{Start, forecast};
    use crate::advice::place::Place;
    use crate::chain::profile::built_in;
    use crate::chain::{Stage, Wood, nth};
    use crate::round::card::Prices;

    /// A loop whose shortest cutter is 0.2 mm below the median.
    fn found(observed: &[Millimetres], median: f64) -> (Forecast, Vec<Expected>) {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let length = mm(median);
        let ends = (nth(7), mm(median - 0.2));
        let place = Place { length, wear: spec.wear(length), ends, life_left: 0.5, stage: Stage::Fixed };
        let start = Start::of(spec, Wood::Any, &place);
        let wear = Wear::learn(spec.wear_per_round, observed);
        let forecast = Forecast { place: Some(place), ..forecast(wear, Some(start), &[], &Prices::default(), None) };
        let fan = forecast.fan(spec.mark_length);
        (forecast, fan)
    }

    #[test]
    fn the_fan_opens_and_its_middle_falls_by_the_mean_wear() {
        let (forecast, fan) = found(&[0.4, 0.3, 0.35, 0.3, 0.45].map(mm), 8.0);
        for (n, expected) in (1..).zip(&fan) {
            let middle = (8.0 - f64::from(n) * forecast.wear.mean.get()).max(3.2);
            assert!((expected.middle.get() - middle).abs() < 1e-9);
            assert!(expected.low <= expected.middle && expected.middle <= expected.high, "{n}: {expected:?}");
        }
        let open = |e: &Expected| (e.high - e.low).get();
        assert!(open(&fan[0]) < open(&fan[3]));
    }

    #[test]
    fn each_way_reaches_the_end_in_the_round_that_the_forecast_counts() {
        let (forecast, fan) = found(&[0.4, 0.3, 0.35, 0.3, 0.45].map(mm), 8.0);
        let rounds = forecast.to_mark.unwrap().rounds;
        // Rounds that leave every cutter above its mark.
        let whole = |pick: fn(&Expected) -> Millimetres| fan.iter().filter(|e| pick(e).get() > 3.2 + 1e-9).count();
        let counted = [rounds.low, rounds.best.unwrap(), rounds.high.unwrap()].map(|n| n as usize);
        // The ends of an interval are told to the nearest whole round.
        assert_eq!(whole(|e| e.middle), counted[1]);
        assert!(
            whole(|e| e.low).abs_diff(counted[0]) <= 1 && whole(|e| e.high).abs_diff(counted[2]) <= 1,
            "{counted:?}"
        );
        assert!((fan.last().unwrap().high.get() - 3.2).abs() < 1e-9, "the longest way ends too");
    }

    #[test]
    fn a_way_ends_within_the_round_that_is_one_too_many() {
        let (forecast, fan) = found(&[0.4, 0.3, 0.35, 0.3, 0.45].map(mm), 8.0);
        let rounds = forecast.to_mark.unwrap().rounds;
        for (pick, counted) in [
            ((|e| e.low) as fn(&Expected) -> Millimetres, rounds.low),
            (|e| e.middle, rounds.best.unwrap()),
            (|e| e.high, rounds.high.unwrap()),
        ] {
            let way = way(mm(8.0), &fan, pick);
            let (first, last) = (way[0], way[way.len() - 1]);
            assert!(first == (0.0, mm(8.0)) && (last.1.get() - 3.2).abs() < 1e-9);
            // The ends of an interval are told to the nearest whole round.
            assert!((last.0 - f64::from(counted) - 0.5).abs() <= 1.01, "{last:?} {counted}");
        }
        assert!(way(mm(8.0), &[], |e| e.low).is_empty());
    }

    #[test]
    fn without_visible_wear_or_at_the_end_nothing_is_expected() {
        let (forecast, fan) = found(&[0.0, 0.5, -0.4, 0.1, -0.1, 0.2, -0.3, 0.1].map(mm), 8.0);
        assert!(!forecast.visible && fan.is_empty());
        assert!(found(&[0.4, 0.3, 0.35, 0.3].map(mm), 3.1).1.is_empty());
    }
}
