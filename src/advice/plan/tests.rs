use good_lp::{Expression, ProblemVariables, Solution, SolverModel, constraint, microlp, variable};

use super::*;
use crate::advice::tests::readings::{Bench, Dice, spec};
use crate::chain::Sequence;
use crate::chain::nth;
use crate::round::{Phase, When};
use crate::units::Unit;

fn layout(links: u16) -> Layout {
    Layout::new(links, &Sequence::Full, Side::Left).unwrap()
}

fn candidate(number: u16, length_mm: f64, need_mm: f64) -> Candidate {
    let side = if number % 2 == 1 { Side::Left } else { Side::Right };
    Candidate { number: nth(number), side, length: mm(length_mm), need: mm(need_mm), u: mm(0.0), readings: 1 }
}

/// Cutters of a 72-link loop, a few of them struck and some with damage to get rid of.
fn random_loop(dice: &mut Dice, count: u16) -> Vec<Candidate> {
    let of = |number, dice: &mut Dice| {
        let struck = if dice.share() < 0.15 { 1.5 * dice.share() } else { 0.0 };
        let need = if dice.share() < 0.1 { 0.6 * dice.share() } else { 0.1 };
        candidate(number, 8.8 + 0.1 * dice.normal() - struck, need)
    };
    (1..=count).map(|number| of(number, dice)).collect()
}

/// Least steel for a given set left short and a target, `None` where a kept cutter cannot reach the target: each loses
/// its need, and what stands above the band.
fn removal(cutters: &[Candidate], short: &[bool], target: f64, band: f64) -> Option<f64> {
    let mut sum = 0.0;
    for (c, short) in cutters.iter().zip(short) {
        let a = c.reach().get();
        if !short && a < target - 1e-12 {
            return None;
        }
        sum += c.need.get() + (a - target - band).max(0.0);
    }
    Some(sum)
}

/// To what an exact caliper leaves open.
fn near(length: Millimetres, value: f64) -> bool {
    (length.get() - value).abs() < 0.01
}

#[test]
fn options_take_as_little_steel_as_any_choice_of_cutters_and_target() {
    // Brute force over all subsets and all targets worth trying, 300 loops.
    let (spec, mut dice) = (spec(), Dice(7));
    for _ in 0..300 {
        let count = dice.whole(4, 10);
        let cutters = random_loop(&mut dice, count);
        // Enough unmeasured ones for one in twelve not to bind.
        let (found, _) = options(&cutters, &spec, &layout(240), 120, mm(0.3));
        for (k, option) in found.iter().enumerate() {
            let mut least = f64::INFINITY;
            for set in 0_u32..1 << count {
                if set.count_ones() as usize != k {
                    continue;
                }
                let short: Vec<bool> = (0..count).map(|i| set >> i & 1 == 1).collect();
                for c in &cutters {
                    let sum = removal(&cutters, &short, c.reach().get(), band(&spec).get());
                    least = least.min(sum.unwrap_or(f64::INFINITY));
                }
            }
            assert!(
                (option.removed.get() - least).abs() < 1e-9,
                "{k} of {cutters:?}: {} {least}",
                option.removed.get()
            );
        }
    }
}

/// The same question as a mixed integer programme: least steel with exactly `k` left short, the target free.
fn by_solver(cutters: &[Candidate], k: usize, band: f64) -> f64 {
    // No cutter need end below the shortest reach and no target lies above the longest: bounds a tenth beyond both keep the
    // search short.
    let low = cutters.iter().map(|c| c.reach().get()).fold(f64::INFINITY, f64::min) - 0.1;
    let high = cutters.iter().map(|c| c.reach().get()).fold(0.0, f64::max) + 0.1;
    let mut problem = ProblemVariables::new();
    let target = problem.add(variable().min(low).max(high));
    let of = |c: &Candidate| variable().min(c.need.get()).max(c.length.get() - low);
    let loss: Vec<_> = cutters.iter().map(|c| problem.add(of(c))).collect();
    let short = problem.add_vector(variable().binary(), cutters.len());
    let total: Expression = loss.iter().sum();
    let mut model = problem.minimise(&total).using(microlp);
    let number: Expression = short.iter().sum();
    model = model.with(constraint!(number == i32::try_from(k).unwrap()));
    for ((c, loss), short) in cutters.iter().zip(&loss).zip(&short) {
        model = model.with(constraint!(c.length.get() - *loss >= target - (high - low) * *short));
        model = model.with(constraint!(c.length.get() - *loss <= target + band));
    }
    model.solve().unwrap().eval(&total)
}

#[test]
fn options_agree_with_a_general_solver() {
    // good_lp 1.15.3 with microlp, a simplex and branch-and-bound solver.
    let (spec, mut dice) = (spec(), Dice(11));
    for _ in 0..40 {
        let count = dice.whole(5, 12);
        let cutters = random_loop(&mut dice, count);
        let (found, _) = options(&cutters, &spec, &layout(240), 120, mm(0.3));
        for (k, option) in found.iter().enumerate().take(4) {
            let solved = by_solver(&cutters, k, band(&spec).get());
            assert!(
                (option.removed.get() - solved).abs() < 1e-5,
                "{k} of {cutters:?}: {} {solved}",
                option.removed.get()
            );
        }
    }
}

#[test]
fn the_limits_hold_on_any_loop() {
    let (spec, mut dice) = (spec(), Dice(13));
    for _ in 0..300 {
        let count = dice.whole(1, 72);
        let cutters = random_loop(&mut dice, count);
        let layout = layout(2 * count.max(10));
        let (found, _) = options(&cutters, &spec, &layout, 0, mm(0.3));
        for (k, option) in found.iter().enumerate() {
            assert_eq!(option.left_short.len(), k);
            assert!(k * ONE_IN <= cutters.len());
            for a in &option.left_short {
                assert!(option.left_short.iter().all(|b| !layout.neighbours_on_side(*a, *b)), "{option:?}");
            }
            let kept = cutters.iter().filter(|c| !option.left_short.contains(&c.number));
            for c in kept {
                let end = c.end(option.target, band(&spec));
                assert!(end >= option.target - SLACK && end <= option.target + band(&spec) + SLACK);
                assert!(c.length - end >= c.need - SLACK);
            }
        }
        assert!(found.windows(2).all(|w| w[1].target >= w[0].target && w[1].removed <= w[0].removed + SLACK));
    }
}

#[test]
fn neighbours_of_one_side_are_never_both_left_short() {
    let mut cutters: Vec<Candidate> = (1..=36).map(|n| candidate(n, 9.0, 0.1)).collect();
    cutters[4].length = mm(8.0);
    cutters[6].length = mm(8.1);
    let (found, limit) = options(&cutters, &spec(), &layout(72), 0, mm(0.3));
    assert_eq!((found.len(), limit), (2, Limit::Neighbours(nth(5), nth(7))));
    // Across the start mark too: cutters 1 and 35 are left-hand neighbours in a loop of 36.
    cutters[4].length = mm(9.0);
    cutters[6].length = mm(9.0);
    cutters[0].length = mm(8.0);
    cutters[34].length = mm(8.1);
    assert_eq!(options(&cutters, &spec(), &layout(72), 0, mm(0.3)).1, Limit::Neighbours(nth(1), nth(35)));
}

#[test]
fn a_struck_cutter_is_left_short_and_a_slightly_short_one_is_not() {
    let mut lengths = [9.0; 36];
    lengths[6] = 8.0;
    let plan = Bench::measured_exactly(72, &lengths).findings().plan.unwrap();
    assert_eq!(plan.recommended, Some(1));
    assert_eq!(plan.best().unwrap().left_short, [7]);
    assert_eq!(plan.words(Unit::Mm), "1 left short saves 1.00 mm on each other cutter; one more saves nothing.");
    lengths[6] = 8.8;
    let plan = Bench::measured_exactly(72, &lengths).findings().plan.unwrap();
    assert!(plan.recommended == Some(0) && near(plan.best().unwrap().target, 8.7));
    assert_eq!(plan.words(Unit::Mm), "All to one length: leaving one short saves only 0.20 mm.");
    assert_eq!(plan.check, [7], "one reading sets the length for all");
}

#[test]
fn two_struck_cutters_that_hide_each_other_are_both_seen() {
    let mut lengths = [9.0; 36];
    (lengths[6], lengths[17]) = (8.0, 8.02);
    let plan = Bench::measured_exactly(72, &lengths).findings().plan.unwrap();
    assert_eq!(plan.recommended, Some(2));
    assert_eq!(plan.best().unwrap().left_short, [7, 18]);
}

#[test]
fn an_option_costs_what_its_mean_loss_is_worth() {
    let lengths = [9.0, 8.9, 9.1, 9.0, 9.0, 9.0, 9.0, 9.0, 9.0, 9.0];
    let plan = Bench::measured_exactly(20, &lengths).findings().plan.unwrap();
    let [only] = plan.options.as_slice() else { panic!("{plan:?}") };
    // Target 8.80, band to 8.90: eight cutters lose 0.10, the long one 0.20, the short one its need of 0.10.
    assert!(near(only.target, 8.8) && (only.removed.get() - 1.1).abs() < 0.03);
    assert!((only.life_share - 0.11 / 7.0).abs() < 1e-3 && (only.rounds - 0.11 / 0.3).abs() < 0.02);
    assert_eq!(plan.limit, Limit::OneInTwelve);
    assert_eq!(plan.words(Unit::Mm), "All to one length: none can be left short (no more than one in twelve may be).");
}

#[test]
fn no_option_below_the_witness_mark_is_recommended() {
    let mut lengths = [3.6; 36];
    lengths[6] = 3.05;
    let plan = Bench::measured_exactly(72, &lengths).findings().plan.unwrap();
    assert!(plan.options[0].retires.len() == 1 && plan.options[0].retires == [7], "{:?}", plan.options[0]);
    assert_eq!(plan.recommended, None);
    assert_eq!(plan.words(Unit::Mm), "Every choice has cutter 7 at its witness mark: retire the loop.");
    // Damage that reaches below the mark may stay in a cutter left short.
    lengths[6] = 3.6;
    let mut bench = Bench::measured_exactly(72, &lengths);
    bench.damaged(7, 0.8);
    let plan = bench.findings().plan.unwrap();
    assert!(!plan.options[0].retires.is_empty() && plan.options[1].retires.is_empty());
    assert_eq!(plan.recommended, Some(1));
}

#[test]
fn a_damaged_cutters_need_counts_and_a_partly_measured_loop_has_a_plan() {
    let mut bench = Bench::measured_exactly(72, &[9.0, 9.0, 9.0]);
    bench.damaged(2, 0.25);
    let plan = bench.findings().plan.unwrap();
    assert_eq!((plan.measured, plan.unmeasured), (3, 33));
    assert!(near(plan.options[0].target, 8.75));
    assert_eq!(Bench::measured_exactly(72, &[]).findings().plan, None);
}

#[test]
fn chosen_anew_after_filing_the_plan_starts_from_lengths_now() {
    let mut bench = Bench::measured_exactly(20, &[9.0; 10]);
    bench.target(8.8).strokes(1, 9).length(1, When::After, 8.5);
    assert!(near(bench.findings().plan.unwrap().options[0].target, 8.9), "the plan as it was made");
    bench.went(Phase::Plan, None);
    let plan = bench.findings().plan.unwrap();
    assert!(near(plan.options[0].target, 8.5), "filed too far, and sharp");
}

#[test]
fn a_rejected_loop_has_no_plan() {
    use crate::round::{Event, Finding, LookItem};
    let mut bench = Bench::measured_exactly(20, &[9.0; 10]);
    bench.put(Event::Looked { item: LookItem::Cracks, finding: Finding::Reject, note: None });
    assert_eq!(bench.findings().plan, None);
}

#[test]
fn an_option_that_ends_at_the_mark_is_passed_over_whatever_it_saves() {
    let option = |target_mm: f64, retires: &[u16]| PlanOption {
        left_short: vec![],
        target: mm(target_mm),
        shortest: mm(target_mm),
        u: mm(0.0),
        removed: mm(1.0),
        each: mm(0.1),
        life_share: 0.1,
        rounds: 1.0,
        retires: retires.iter().copied().map(nth).collect(),
    };
    assert_eq!(recommend(&[option(3.5, &[]), option(4.5, &[7])], mm(0.3)), Some(0));
    assert_eq!(recommend(&[option(3.5, &[]), option(4.5, &[7]), option(4.6, &[])], mm(0.3)), Some(2));
    assert_eq!(recommend(&[option(2.9, &[7]), option(4.5, &[])], mm(0.3)), Some(1));
    assert_eq!(recommend(&[], mm(0.3)), None);
}

#[test]
fn in_doubt_a_cutter_is_left_short_and_read_again() {
    let mut lengths = [9.0; 36];
    lengths[6] = 8.72;
    // 0.28 mm is 0.02 less than a round wears: known exactly it is too little, by one reading of 0.05 mm nobody can tell.
    let exact = Bench::measured_exactly(72, &lengths).findings().plan.unwrap();
    assert_eq!(exact.recommended, Some(0));
    let once = Bench::measured(72, &lengths).findings().plan.unwrap();
    assert_eq!((once.recommended, once.check.first()), (Some(1), Some(&nth(7))));
    lengths[6] = 8.8;
    assert_eq!(Bench::measured(72, &lengths).findings().plan.unwrap().recommended, Some(0), "far less than a round");
}
