use super::*;
use crate::advice::tests::readings::{Bench, Dice, header};
use crate::round::{Header, When};
use crate::units::mm;

#[test]
fn few_readings_say_little_of_a_further_one_and_equal_ones_keep_a_spread() {
    let skill = Skill::default();
    assert_eq!(Common::of(&[9.0; 4], &skill), None);
    let below = |n: usize| Common::of(&vec![9.0; n], &skill).unwrap().below(8.93);
    assert!(below(5) > below(15) && below(15) > 0.0, "{} {}", below(5), below(15));
    // Student's t with 4 degrees of freedom at -0.1 / (0.1 sqrt(6/5)) = -0.9129: 0.2065.
    let spread = [8.9, 9.0, 9.1, 9.0 + 0.1 * 1.5_f64.sqrt(), 9.0 - 0.1 * 1.5_f64.sqrt()];
    let exact = Skill { length: mm(0.0), ..skill };
    let told = Common::of(&spread, &exact).unwrap();
    assert!((told.sd - (0.0125_f64 * 1.2).sqrt()).abs() < 1e-9 && (told.below(9.0) - 0.5).abs() < 1e-9, "{told:?}");
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
    // Each loop has its own dice, so that a reading more in one does not change the others.
    let loops = |spread: f64| (1..).map(move |n| stop_early(&mut Dice(n * 7919), spread));
    let mut even = usize::MAX;
    for spread in [0.2, 0.1, 0.05, 0.02] {
        let stops: Vec<(usize, f64)> = loops(spread).take(150).collect();
        let share = |limit: f64| stops.iter().filter(|stop| stop.1 > limit).count() as f64 / stops.len() as f64;
        // Half the tolerance below the target a cutter still ends even; beyond the whole of it, it would be short.
        assert!(share(0.1) <= 0.10 && share(0.2) <= 0.01, "{spread}: {} {}", share(0.1), share(0.2));
        even = stops.iter().take(50).map(|stop| stop.0).sum();
    }
    assert!(even < 50 * 36, "even loops may stop early");
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
