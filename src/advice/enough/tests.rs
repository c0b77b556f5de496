use super::*;
use crate::advice::tests::readings::{Bench, Dice, header};
use crate::round::{Header, When};

#[test]
fn the_range_is_wide_for_few_readings_and_never_without_width() {
    assert_eq!(range(&[9.0; 4], mm(0.05)), None);
    let five = range(&[9.0; 5], mm(0.05)).unwrap();
    let fifteen = range(&[9.0; 15], mm(0.05)).unwrap();
    assert!(five.high - five.low > fifteen.high - fifteen.low);
    assert!((fifteen.high - fifteen.low).get() > 2.0 * 1.96 * 0.05);
}

/// Measures a loop in the spread order until enough is measured. Gives how many readings that took and how far the shortest
/// unmeasured cutter then reaches below the recommended length, mm.
fn stop_early(dice: &mut Dice, spread: f64) -> (usize, f64) {
    let truth: Vec<f64> = (0..36).map(|_| 9.0 + spread * dice.normal()).collect();
    let mut bench = Bench::new(Header { spread: true, ..header(72) });
    let order = bench.round.layout.measuring_order(true);
    for (n, cutter) in (1..).zip(&order) {
        let read = truth[cutter.index()] + bench.skill.length.get() * dice.normal();
        bench.length(cutter.get(), When::Before, (read * 100.0).round() / 100.0);
        if n < 10 {
            continue;
        }
        let plan = plan::plan(&bench.round, mm(0.3)).unwrap();
        let struck = !crate::advice::evenness::struck(&bench.round, &bench.skill).is_empty();
        if enough(&bench.round, Some(&plan), struck, &bench.skill).is_some_and(|enough| enough.decided()) {
            let target = plan.best().unwrap().target.get();
            let rest = order[n..].iter().map(|n| truth[n.index()] - 0.1);
            return (n, target - rest.fold(f64::INFINITY, f64::min));
        }
    }
    (36, 0.0)
}

#[test]
fn stopping_early_when_told_hardly_ever_leaves_an_uneven_cutter() {
    let mut dice = Dice(23);
    for spread in [0.02, 0.05, 0.1, 0.2] {
        let stops: Vec<(usize, f64)> = (0..150).map(|_| stop_early(&mut dice, spread)).collect();
        let share = |limit: f64| stops.iter().filter(|stop| stop.1 > limit).count() as f64 / stops.len() as f64;
        // Half the tolerance below the target a cutter still ends even; beyond the whole of it, it would be short.
        assert!(share(0.1) <= 0.10 && share(0.2) <= 0.01, "{spread}: {} {}", share(0.1), share(0.2));
    }
    let even: Vec<usize> = (0..50).map(|_| stop_early(&mut dice, 0.02).0).collect();
    assert!(even.iter().sum::<usize>() < 50 * 36, "even loops may stop early");
}

#[test]
fn a_struck_cutter_or_another_order_forbids_stopping() {
    let mut bench = Bench::new(Header { spread: true, ..header(72) });
    let order = bench.round.layout.measuring_order(true);
    for cutter in order.iter().take(20) {
        bench.length(cutter.get(), When::Before, 9.0);
    }
    let plan = plan::plan(&bench.round, mm(0.3));
    let of = |bench: &Bench, struck: bool| enough(&bench.round, plan.as_ref(), struck, &bench.skill).unwrap().decided();
    assert!(of(&bench, false) && !of(&bench, true));
    bench.round.header.spread = false;
    assert!(!of(&bench, false));
}
