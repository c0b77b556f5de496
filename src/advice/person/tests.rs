use super::*;
use crate::advice::tests::readings::Bench;
use crate::chain::Rule;
use crate::round::When;
use crate::units::{Unit, mm};

/// A round of ten cutters brought to 8.80: left cutters end at `left` plus a pattern, right ones at `right`; five strokes each.
fn round(left: f64, right: f64, scatter: f64) -> Bench {
    let mut bench = Bench::measured(20, &[9.2; 10]);
    bench.target(8.8);
    for cutter in 1..=10_u16 {
        let off = if cutter % 2 == 1 { left } else { right };
        let pattern = [-1.0, 1.0, 0.0, 1.0, -1.0][usize::from((cutter - 1) / 2)];
        bench.strokes(cutter, 5).length(cutter, When::After, 8.8 + off + scatter * pattern);
        bench.angle(cutter, if cutter % 2 == 1 { 31.0 } else { 29.5 });
    }
    bench
}

fn of(benches: &[Bench], who: &str) -> Person {
    Person::of(benches.iter().filter_map(|bench| OfRound::of(&bench.round, who)).collect(), mm(0.05))
}

fn figure(person: &Person, quantity: Quantity, side: Side) -> Figures {
    *person.figures.iter().find(|figure| (figure.quantity, figure.side) == (quantity, side)).unwrap()
}

#[test]
fn each_side_has_its_mean_its_scatter_and_its_rate() {
    let rounds: Vec<Bench> = [0.03, 0.05, 0.04, 0.06].map(|left| round(left, -0.02, 0.02)).into();
    let person = of(&rounds, "Ina");
    assert_eq!((person.rounds, person.step), (4, Some(0.01)));
    let left = figure(&person, Quantity::Length, Side::Left);
    let off = left.off.unwrap();
    // 0.045 with t(0.95, 3) = 2.353363 times 0.012910 / 2 either way.
    assert!((off.value - 0.045).abs() < 1e-9 && (off.high - off.value - 2.353_363 * 0.012_909_944 / 2.0).abs() < 1e-6);
    assert_eq!((left.rounds, left.cutters), (4, 20));
    // Within each round -1, 1, 0, 1, -1 times 0.02: a standard deviation of 0.02.
    assert!((left.scatter.unwrap().value - 0.02).abs() < 1e-9, "{left:?}");
    let right = figure(&person, Quantity::Length, Side::Right);
    assert!((right.off.unwrap().value + 0.02).abs() < 1e-9);
    let angle = |side| figure(&person, Quantity::Angle, side).off.unwrap().value;
    assert!((angle(Side::Left) - 1.0).abs() < 1e-9 && (angle(Side::Right) + 0.5).abs() < 1e-9);
    assert!(person.figures.iter().all(|figure| figure.quantity != Quantity::Gap), "no gap was measured");
    // The rate is that of the advice on strokes for the next round of the same hand.
    let mut next = Bench::measured(20, &[9.2; 10]);
    next.past.rounds = rounds.iter().map(|bench| crate::round::Summary::of(&bench.round)).collect();
    let advised = strokes::rate(&next.round, &next.past, Side::Left, &next.skill);
    let rate = person.rates.iter().find(|rate| rate.side == Side::Left).unwrap();
    assert_eq!((rate.filings, advised.filings), (20, 20));
    assert!((rate.rate.unwrap().value - advised.mean.get()).abs() < 1e-12);
}

#[test]
fn few_rounds_are_told_with_their_counts_and_not_judged() {
    let rounds = [round(0.3, 0.3, 0.0), round(0.3, 0.3, 0.0)];
    let person = of(&rounds, "Ina");
    assert!(person.figures.iter().all(|figure| figure.off.is_none() && figure.scatter.is_none()));
    let said = person.figure_lines(Unit::Mm);
    assert_eq!(said[0], "Left lengths: too few to judge: 2 rounds, 10 cutters; at least 3 rounds are needed.");
    assert!(person.trend_lines(Unit::Mm).is_empty() && of(&rounds, "Nobody").figures.is_empty());
    let three = of(&[round(0.3, 0.3, 0.0), round(0.3, 0.2, 0.0), round(0.3, 0.3, 0.0)], "Ina");
    assert!(three.trend_lines(Unit::Mm)[0].contains("too few rounds to tell a trend: 3 rounds of at least 6"));
}

#[test]
fn a_hand_that_becomes_steadier_is_told_and_one_that_stays_is_not() {
    let steadier: Vec<Bench> = (0..8).map(|n| round(0.04, 0.04, 0.10 - 0.01 * f64::from(n))).collect();
    let person = of(&steadier, "Ina");
    let left = figure(&person, Quantity::Length, Side::Left);
    let Trend::Changes(change) = left.scatter_trend else { panic!("{left:?}") };
    assert!((change.value + 0.01).abs() < 1e-9 && left.off_trend == Trend::NotProven);
    assert_eq!(
        left.trend(Unit::Mm).unwrap(),
        "Left lengths: the scatter changes by -0.010 mm a round (-0.010 to -0.010), over 8 rounds."
    );
    let same: Vec<Bench> = (0..8).map(|n| round(0.04, 0.04, 0.05 + 0.01 * f64::from(n % 2))).collect();
    assert_eq!(figure(&of(&same, "Ina"), Quantity::Length, Side::Left).scatter_trend, Trend::NotProven);
}

#[test]
fn after_a_hand_over_every_reading_is_whose_it_is() {
    let mut bench = Bench::measured(20, &[9.2; 10]);
    bench.target(8.8);
    for cutter in 1..=10_u16 {
        bench.by = (cutter > 6).then(|| "Ben".to_owned());
        bench.strokes(cutter, 5).length(cutter, When::After, if cutter > 6 { 8.7 } else { 8.8 });
    }
    bench.rule(Rule::Fixed).gap(9, When::After, 0.70);
    let cutters = |who: &str| {
        let person = of(std::slice::from_ref(&bench), who);
        let of = |side| figure(&person, Quantity::Length, side).cutters;
        let filings: Vec<usize> = person.rates.iter().map(|rate| rate.filings).collect();
        (of(Side::Left), of(Side::Right), filings, person.creeps.len())
    };
    // Of a round that two hands shared no drift is told: it would be the step from one hand to the other.
    assert_eq!(cutters("Ina"), (3, 3, vec![3, 3], 0));
    assert_eq!(cutters("Ben"), (2, 2, vec![2, 2], 0));
    let ben = of(std::slice::from_ref(&bench), "Ben");
    assert_eq!(figure(&ben, Quantity::Gap, Side::Left).cutters, 1);
    // What strokes take is learned from a hand's own ones alone: Ben's took a tenth more, and he works at it now.
    let of_hand = |bench: &Bench| strokes::rate(&bench.round, &bench.past, Side::Left, &bench.skill);
    assert_eq!((of_hand(&bench).filings, crate::round::Summary::of(&bench.round).filings.len()), (2, 6));
    let takes_back = bench.round.last_voidable().unwrap().seq;
    bench.put(crate::round::Event::Void { target: takes_back });
    assert_eq!(of(std::slice::from_ref(&bench), "Ben").figures.len(), 2, "taken back, it is nobody's");
}

#[test]
fn what_a_grinder_did_is_nobodys_hand() {
    let mut bench = round(0.0, 0.0, 0.0);
    bench.round.header.tool = Tool::Grinder;
    assert_eq!(OfRound::of(&bench.round, "Ina"), None);
}
