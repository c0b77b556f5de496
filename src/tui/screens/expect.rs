//! What coming rounds are expected to leave: the forecast of [`crate::advice::forecast`], read the other way round.
//!
//! The forecast says how many rounds fit into a length; a chart needs the length that so many rounds take. Both are
//! monotone, so the one is found from the other by halving.

use super::super::widgets::Forecast as Expected;
use crate::advice::forecast::Forecast;
use crate::units::{Millimetres, mm};

/// Most rounds that a chart looks ahead.
const MOST: u32 = 12;
/// Halvings: from a cutter's length down to less than a micrometre.
const HALVINGS: u32 = 24;

/// What each coming round leaves, until the mark is reached. Nothing where no wear can be seen yet.
pub(super) fn fan(forecast: &Forecast, median: Millimetres, mark: Millimetres) -> Vec<Expected> {
    let Some(fit) = forecast.to_mark.and_then(|ahead| ahead.rounds.best) else { return Vec::new() };
    let left = (median - mark).max(mm(0.0));
    // No cutter is used past its mark.
    let after = |worn: Millimetres| median - worn.min(left);
    let rounds = 1..=fit.saturating_add(1).min(MOST);
    let expected = rounds.map(|n| {
        let most = shortest_with(left, |length| forecast.wear.rounds_over(length).low >= n);
        let least = shortest_with(left, |length| forecast.wear.rounds_over(length).high.is_some_and(|high| high >= n));
        Expected { low: after(most), middle: after(forecast.wear.mean * f64::from(n)), high: after(least) }
    });
    expected.collect()
}

/// The smallest length up to `limit` of which `holds` is true; `limit` where it is true of none shorter.
fn shortest_with(limit: Millimetres, holds: impl Fn(Millimetres) -> bool) -> Millimetres {
    let (mut below, mut above) = (mm(0.0), limit);
    for _ in 0..HALVINGS {
        let middle = (below + above) / 2.0;
        if holds(middle) { above = middle } else { below = middle }
    }
    above
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::forecast::{Start, Wear, forecast};
    use crate::chain::Wood;
    use crate::chain::profile::built_in;
    use crate::round::card::Prices;

    fn found(observed: &[Millimetres], median: f64) -> (Forecast, Vec<Expected>) {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let wear = Wear::learn(spec.wear_per_round, observed);
        let worn = spec.wear(mm(median));
        let start = Start {
            to_changeover: spec.worth_wear(Wood::Any) - worn,
            to_mark: spec.usable() - worn,
            usable: spec.usable(),
        };
        let forecast = forecast(wear, Some(start), &[], &Prices::default(), None);
        let fan = fan(&forecast, mm(median), spec.mark_length);
        (forecast, fan)
    }

    #[test]
    fn the_fan_opens_and_its_middle_falls_by_the_mean_wear() {
        let (forecast, fan) = found(&[0.4, 0.3, 0.35, 0.3, 0.45].map(mm), 8.0);
        assert!(fan.len() >= 5);
        for (n, expected) in (1..).zip(&fan) {
            let middle = (8.0 - f64::from(n) * forecast.wear.mean.get()).max(3.0);
            assert!((expected.middle.get() - middle).abs() < 1e-9);
            assert!(expected.low <= expected.middle && expected.middle <= expected.high, "{n}: {expected:?}");
        }
        let open = |e: &Expected| (e.high - e.low).get();
        assert!(open(&fan[0]) < open(&fan[3]));
    }

    #[test]
    fn its_edges_are_where_the_forecast_counts_that_many_rounds() {
        let (forecast, fan) = found(&[0.4, 0.3, 0.35, 0.3, 0.45].map(mm), 8.0);
        let low = |worn: f64| forecast.wear.rounds_over(mm(worn)).low;
        let high = |worn: f64| forecast.wear.rounds_over(mm(worn)).high.unwrap();
        for (n, expected) in (1..).zip(fan.iter().take(4)) {
            let (most, least) = (8.0 - expected.low.get(), 8.0 - expected.high.get());
            assert_eq!((low(most + 1e-5), low(most - 1e-5)), (n, n - 1));
            assert!(high(least + 1e-5) >= n && (least < 1e-4 || high(least - 1e-5) < n), "{n}: {least}");
        }
    }

    #[test]
    fn without_visible_wear_nothing_is_expected() {
        let (forecast, fan) = found(&[0.0, 0.5, -0.4, 0.1, -0.1, 0.2, -0.3, 0.1].map(mm), 8.0);
        assert!(!forecast.visible && fan.is_empty());
    }

    #[test]
    fn nothing_is_expected_below_the_mark() {
        let (_, fan) = found(&[1.0, 1.2, 0.9, 1.1].map(mm), 4.5);
        assert!(fan.iter().all(|expected| expected.low >= mm(3.0)));
        assert_eq!(fan.last().map(|expected| expected.middle), Some(mm(3.0)));
        assert!(found(&[1.0, 1.2].map(mm), 3.0).1.len() <= 1);
    }
}
