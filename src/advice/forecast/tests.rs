use chrono::{DateTime, Duration};

use super::*;
use crate::advice::tests::readings::{Bench, Dice};
use crate::round::{Closing, Past, Summary};

/// Signed rounds twelve days apart with these medians after filing; each came as the last one left it.
fn past(after: &[f64]) -> Past {
    let start = DateTime::parse_from_rfc3339("2026-01-01T08:00:00+01:00").unwrap();
    let blank = Summary::of(&Bench::measured(20, &[9.0; 10]).round);
    let mut came = 10.0;
    let round = |(i, after): (i64, &f64)| {
        let ended = start + Duration::days(12 * i);
        let summary = Summary {
            started: ended,
            ended,
            how: Some(Closing::Signed),
            median_before: Some(mm(came)),
            median_after: Some(mm(*after)),
            ..blank.clone()
        };
        came = *after;
        summary
    };
    Past { rounds: (0..).zip(after).map(round).collect(), ..Past::default() }
}

#[test]
fn a_loop_without_a_past_goes_by_its_profile_and_says_so() {
    let wear = Wear::learn(mm(0.3), &[]);
    assert!((wear.mean.get() - 0.3).abs() < 1e-12 && wear.is_visible());
    let rounds = wear.rounds_over(mm(6.0));
    assert_eq!(rounds.best, Some(20));
    assert!(rounds.low < 14 && rounds.high.unwrap() > 40, "a wide interval: {rounds:?}");
    let start = Start { to_changeover: mm(1.0), to_mark: mm(6.0), usable: mm(7.0) };
    let forecast = forecast(wear, Some(start), &[], &Prices::default(), None);
    assert!(forecast.words().contains("by the profile"), "{}", forecast.words());
    assert_eq!(forecast.to_mark.unwrap().date, None, "no day without rounds");
}

#[test]
fn its_own_rounds_take_over_and_give_dates() {
    let past = past(&[9.8, 9.61, 9.4, 9.19, 9.0, 8.81, 8.6, 8.4]);
    let wears = wears(&past.rounds);
    assert_eq!(wears.len(), 8);
    let wear = Wear::learn(mm(0.3), &wears);
    assert!((wear.mean.get() - 0.2).abs() < 0.02, "{wear:?}");
    let start = Start { to_changeover: mm(0.2), to_mark: mm(5.4), usable: mm(7.0) };
    let prices = Prices { new_loop: Some(30.0), round: Some(6.0), hours_between: Some(4.0) };
    let found = forecast(wear, Some(start), &past.rounds, &prices, None);
    let ahead = found.to_mark.unwrap();
    let best = ahead.rounds.best.unwrap();
    assert!((22..=28).contains(&best) && ahead.rounds.low <= best, "{ahead:?}");
    assert_eq!(found.to_changeover.unwrap().rounds.best, Some(1), "0.2 mm at 0.2 mm a round");
    let last = past.rounds.last().unwrap().ended;
    assert_eq!((ahead.date.unwrap() - last).num_days(), 12 * i64::from(best));
    assert!(ahead.from <= ahead.date && ahead.date < ahead.to);
    let cost = found.cost.unwrap();
    let share = 30.0 / (7.0 / found.wear.mean.get());
    assert!((cost.per_round - 6.0 - share).abs() < 1e-9);
    assert!((cost.per_hour.unwrap() - cost.per_round / 4.0).abs() < 1e-9);
    assert!(
        found.early.unwrap().words().starts_with(&format!("Scrapped now, about {best} rounds would be lost, worth "))
    );
}

#[test]
fn no_visible_wear_gives_no_date_and_says_so() {
    // Published nowhere; a loop that was measured six times and hardly filed.
    let past = past(&[9.98, 9.99, 9.97, 9.99, 9.98, 9.97]);
    let wear = Wear::learn(mm(0.3), &wears(&past.rounds));
    assert!(!wear.is_visible(), "{:?}", wear.interval());
    let start = Start { to_changeover: mm(1.8), to_mark: mm(6.9), usable: mm(7.0) };
    let found = forecast(wear, Some(start), &past.rounds, &Prices { new_loop: Some(30.0), ..Prices::default() }, None);
    let ahead = found.to_mark.unwrap();
    assert_eq!((ahead.rounds.best, ahead.rounds.high), (None, None));
    assert_eq!((ahead.date, ahead.from, ahead.to), (None, None, None));
    assert_eq!(found.words(), "No wear visible yet (by 6 rounds): no end can be told.");
    assert_eq!((found.cost, found.early), (None, None));
}

#[test]
fn uneven_wear_is_visible_where_the_rounds_together_took_far_more_than_readings_err() {
    // Their own interval reaches below zero; yet 1.1 mm are gone, and none of them left more than it found.
    let wear = Wear::learn(mm(0.3), &[0.06, 0.92, 0.12].map(mm));
    assert!(wear.interval().0 < mm(0.0) && wear.is_visible(), "{:?}", wear.interval());
    let rounds = wear.rounds_over(mm(5.0));
    assert!(rounds.best.is_some() && rounds.high.is_some_and(|high| high < 200), "{rounds:?}");
    // One that left 0.2 mm more than it found: readings went wrong, and the wear with them.
    assert!(!Wear::learn(mm(0.3), &[-0.2, 0.92, 0.38].map(mm)).is_visible());
}

#[test]
fn new_cutters_start_the_history_again_and_unsigned_rounds_do_not_count() {
    let mut p = past(&[9.0, 8.7, 8.4]);
    let mut fresh = past(&[9.7]).rounds.remove(0);
    fresh.median_before = Some(mm(10.0));
    p.rounds.push(fresh);
    let found = wears(&p.rounds);
    assert_eq!(found.len(), 1);
    assert!((found[0].get() - 0.3).abs() < 1e-9);
    p.rounds.iter_mut().for_each(|round| round.how = Some(Closing::Abandoned));
    assert!(wears(&p.rounds).is_empty());
}

#[test]
fn the_end_of_the_interval_solves_its_equation() {
    let wear = Wear::learn(mm(0.3), &[0.25, 0.31, 0.28, 0.4, 0.22].map(mm));
    let rounds = |sign: f64| wear.end(mm(4.0), sign);
    for sign in [1.0, -1.0] {
        let n = rounds(sign);
        let spread = ((wear.to_come / n).ln_1p() + wear.to_come / wear.weight).sqrt();
        let worn = n * wear.mean.get() * (sign * wear.t * spread).exp();
        assert!((worn - 4.0).abs() < 1e-4, "{n}: {worn}");
    }
    let whole = wear.rounds_over(mm(4.0));
    assert_eq!(f64::from(whole.low), rounds(1.0).round());
    assert_eq!(f64::from(whole.high.unwrap()), rounds(-1.0).round() - 1.0);
    let until = wear.rounds_until(mm(4.0));
    assert_eq!((until.low, until.high), (whole.low + 1, whole.high.map(|high| high + 1)));
}

#[test]
fn wears_of_any_spread_are_held_as_often_as_is_said() {
    let mut dice = Dice(5);
    for spread in [0.15_f64, 0.5, 0.8] {
        let (mut inside, mut loops) = (0, 0);
        let variance = (spread * spread).ln_1p();
        while loops < 1500 {
            let mean = 0.3 * (0.29 * dice.normal() - 0.043).exp();
            let mut one = || mean * (variance.sqrt() * dice.normal() - 0.5 * variance).exp();
            let seen: Vec<Millimetres> = (0..3 + loops % 6).map(|_| mm(one())).collect();
            let told = Wear::learn(mm(0.3), &seen).rounds_over(mm(5.0));
            let (mut left, mut count) = (5.0 - one(), 0);
            while left >= 0.0 && count < 1000 {
                (left, count) = (left - one(), count + 1);
            }
            inside += u32::from(told.low <= count && told.high.is_none_or(|high| count <= high));
            loops += 1;
        }
        let held = f64::from(inside) / 1500.0;
        assert!((0.87..0.95).contains(&held), "{spread}: {held}");
    }
}

/// Share of simulated loops whose true number of rounds to the mark lies in the 90 % interval.
fn coverage(dice: &mut Dice, history: usize, mean: impl Fn(&mut Dice) -> f64, spread: f64) -> f64 {
    const LOOPS: u32 = 2000;
    let mut inside = 0_u32;
    for _ in 0..LOOPS {
        let mean = mean(dice);
        let seen: Vec<Millimetres> = (0..history).map(|_| mm(mean + spread * dice.normal())).collect();
        let rounds = Wear::learn(mm(0.3), &seen).rounds_over(mm(4.0));
        let mut left = 4.0;
        let mut count = 0;
        while count < 1000 {
            left -= mean + spread * dice.normal();
            if left < 0.0 {
                break;
            }
            count += 1;
        }
        if rounds.low <= count && rounds.high.is_none_or(|high| count <= high) {
            inside += 1;
        }
    }
    f64::from(inside) / f64::from(LOOPS)
}

#[test]
fn the_interval_holds_the_truth_as_often_as_it_claims() {
    let mut dice = Dice(3);
    // Loops as the prior thinks of them: whole rounds make the interval a little wider than asked, never narrower.
    for history in [0, 3, 8, 20] {
        let held = coverage(&mut dice, history, |dice| (0.3 + 0.105 * dice.normal()).max(0.05), 0.12);
        assert!((0.86..=0.99).contains(&held), "{history} rounds: {held}");
    }
    // Loops unlike the profile, once they have a history of their own.
    for mean in [0.2, 0.45] {
        let held = coverage(&mut dice, 8, |_| mean, 0.1);
        assert!((0.85..=0.995).contains(&held), "{mean}: {held}");
    }
}

#[test]
fn worn_out_loops_have_no_rounds_left() {
    let wear = Wear::learn(mm(0.3), &[]);
    assert_eq!(wear.rounds_over(mm(-0.2)), Rounds { best: Some(0), low: 0, high: Some(0) });
    let start = Start { to_changeover: mm(-5.0), to_mark: mm(0.1), usable: mm(7.0) };
    assert_eq!(forecast(wear, Some(start), &[], &Prices::default(), None).early, None);
}

#[test]
fn the_shortest_cutter_to_be_of_one_length_ends_the_loops_life() {
    let spec = crate::advice::tests::readings::spec();
    let of = |bench: &Bench| of_loop(&[Summary::of(&bench.round)], &spec, &Prices::default());
    let even = of(&Bench::measured(20, &[8.0; 10]));
    let mut lengths = [8.0; 10];
    lengths[5] = 6.2;
    let mut bench = Bench::measured(20, &lengths);
    let short = of(&bench);
    let rounds = |found: &Forecast| found.to_mark.unwrap().rounds.best.unwrap();
    let by = f64::from(rounds(&even) - rounds(&short)) * even.wear.mean.get();
    assert!((by - 1.8).abs() <= even.wear.mean.get(), "{} {}", rounds(&even), rounds(&short));
    assert_eq!((even.ends(), short.ends()), (None, Some(crate::chain::nth(6))));
    assert!(short.words().contains("cutter 6 is the shortest and ends it"), "{}", short.words());
    assert!(short.place.unwrap().life_left < even.place.unwrap().life_left);
    // The middle still tells how worn the loop is: the rule for the rakers goes by it.
    assert_eq!(short.to_changeover.map(|ahead| ahead.rounds), even.to_changeover.map(|ahead| ahead.rounds));
    // Left short it waits until the others have come down to it.
    bench.put(crate::round::Event::Target { mm: mm(7.7), left_short: vec![crate::chain::nth(6)], recommended: true });
    assert_eq!(rounds(&of(&bench)), rounds(&even));
}
