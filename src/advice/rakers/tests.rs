use super::*;
use crate::advice::tests::readings::{Bench, spec};
use crate::advice::{FlagKind, GapWord};
use crate::round::{LastCutter, When};

/// Ten cutters filed from 9.0 to 8.8 mm.
fn filed() -> Bench {
    let mut bench = Bench::measured(20, &[9.0; 10]);
    bench.target(8.8);
    for cutter in 1..=10 {
        bench.strokes(cutter, 2).length(cutter, When::After, 8.8);
    }
    bench
}

fn last(bench: &mut Bench, length: f64, gap: f64) {
    let of = |number| LastCutter {
        number,
        state: crate::round::CutterState::Kept,
        length: Some(mm(length)),
        gap: Some(mm(gap)),
    };
    bench.past.last = crate::chain::CutterNumber::up_to(10).map(of).collect();
}

#[test]
fn a_gap_left_right_by_the_last_round_spares_the_measuring() {
    let mut bench = filed();
    last(&mut bench, 9.0, 0.68);
    let found = bench.findings();
    let raker = &found.cutters[0].raker;
    let gap = raker.gap.unwrap();
    // 0.2 mm off the tooth lowers its corner by 0.2 tan 10 deg = 0.035 mm.
    assert!((gap.gap.get() - (0.68 - 0.2 * 10.0_f64.to_radians().tan())).abs() < 1e-9);
    assert_eq!((gap.basis, raker.act), (Basis::LastRound, Act::Leave));
    // Uncertain are the gap read, the length filed (two readings) and the back slope (2 deg).
    let fall = 10.0_f64.to_radians().tan();
    let (of_filed, of_slope) = (fall * 0.05 * 2.0_f64.sqrt(), 0.2 * (1.0 + fall * fall) * 2.0_f64.to_radians());
    assert!((gap.u.get() - 0.03_f64.hypot(of_filed).hypot(of_slope)).abs() < 1e-12, "{gap:?}");
    assert_eq!(found.cutters[0].gap.word, GapWord::Unmeasured, "a prediction is no reading");
    last(&mut bench, 9.8, 0.68);
    assert_eq!(bench.findings().cutters[0].raker.act, Act::Measure, "filed by 1 mm since");
    last(&mut bench, 8.0, 0.68);
    assert_eq!(bench.findings().cutters[0].raker.gap, None, "longer than it was: another cutter");
}

#[test]
fn a_measured_raker_is_left_filed_or_called_too_low() {
    let mut bench = filed();
    bench.gap(1, When::Before, 0.65).gap(2, When::Before, 0.40).gap(3, When::Before, 0.90);
    let found = bench.findings();
    let of = |i: usize| (found.cutters[i].gap.word, found.cutters[i].raker.act);
    assert_eq!(of(0), (GapWord::Good, Act::Leave));
    assert_eq!(of(1), (GapWord::High, Act::File));
    assert_eq!(of(2), (GapWord::Low, Act::TooLow));
    assert!((found.cutters[1].raker.steel.get() - 0.25).abs() < 1e-9, "T3: 0.40 to 0.65");
    // Three tenths of the tolerance, 0.03 mm, are left on it at once.
    assert!((found.cutters[1].raker.take.get() - 0.22).abs() < 1e-9);
    assert_eq!(found.cutters[2].raker.steel, mm(0.0), "T4: never add metal");
    let recovery = found.cutters[2].raker.recovery.unwrap();
    assert!((recovery.tooth.get() - 0.25 / 10.0_f64.to_radians().tan()).abs() < 1e-9);
    assert!(recovery.possible && !recovery.stays_even);
}

#[test]
fn a_gap_that_is_filed_next_is_not_asked_for_again() {
    // 0.07 mm too small: near the limit, and the raker wants a file whatever a second reading tells.
    let mut bench = filed();
    bench.gap(1, When::Before, 0.58).gap(2, When::Before, 0.71);
    let found = bench.findings();
    let of = |i: usize| (found.cutters[i].gap.word, found.cutters[i].gap.worth_again);
    assert_eq!(of(0), (GapWord::Again, false));
    assert_eq!(of(1), (GapWord::Again, true));
}

#[test]
fn a_tooth_filed_after_its_gap_makes_the_gap_stale_and_predicted() {
    let mut bench = filed();
    bench.gap(1, When::Before, 0.65).strokes(1, 2).length(1, When::After, 8.6);
    let found = bench.findings();
    let gap = found.cutters[0].raker.gap.unwrap();
    // 0.65 less 0.035 mm: still within 0.1 mm of its target, as it is predicted.
    assert_eq!((gap.basis, found.cutters[0].gap.word), (Basis::Earlier, GapWord::Good));
    assert!((gap.gap.get() - (0.65 - 0.2 * 10.0_f64.to_radians().tan())).abs() < 1e-9);
    let is_sent_back = |bench: &Bench| {
        bench.findings().redo.iter().any(|redo| redo.cutter == 1 && redo.phase == crate::round::Phase::Rakers)
    };
    assert!(!is_sent_back(&bench));
    bench.strokes(1, 5).length(1, When::After, 8.1);
    assert!(is_sent_back(&bench), "filed by half a millimetre more");
}

#[test]
fn the_recovered_tooth_has_the_right_gap() {
    // Both rules: after filing the tooth by what is advised, gap and target meet.
    let spec = spec();
    for rule in [Rule::Fixed, Rule::Scaled] {
        let mut bench = filed();
        bench.rule(rule).gap(1, When::Before, 1.1);
        let found = bench.findings();
        let (raker, length) = (found.cutters[0].raker, found.cutters[0].length_now.unwrap());
        let recovery = raker.recovery.unwrap();
        let gap = spec.gap_after_filing(mm(1.1), recovery.tooth);
        let target = spec.target_gap(rule, bench.round.header.wood, spec.wear(length - recovery.tooth)).unwrap();
        assert!((gap.get() - target.get()).abs() < 1e-9, "{rule:?}: {gap:?} {target:?}");
    }
}

#[test]
fn the_slope_comes_out_of_two_rounds() {
    let mut bench = filed();
    last(&mut bench, 9.3, 0.70);
    for cutter in 1..=10 {
        let lost = 0.5 * 12.0_f64.to_radians().tan();
        let noise = if cutter % 2 == 0 { 0.004 } else { -0.004 };
        bench.gap(cutter, When::Before, 0.70 - lost + noise);
    }
    let slope = bench.findings().slope.unwrap();
    assert!((slope.value.get() - 12.0).abs() < 0.3, "{slope:?}");
}

#[test]
fn the_file_stands_a_fifth_above_and_is_changed_as_the_profile_says() {
    let spec = spec();
    let top = spec.top_plate;
    let new = file_size(&spec, top, mm(9.9), None).unwrap();
    assert!((new.diameter.get() - 5.5).abs() < 1e-9 && (new.above.get() - 1.1).abs() < 1e-9);
    assert!(!new.stands_too_high());
    // Held as deep as on a new cutter the first file would stand too high before the mark: that is why it is changed.
    let one_file = Spec { files: vec![spec.files[0]], ..spec.clone() };
    assert!(file_size(&one_file, top, mm(5.0), None).unwrap().stands_too_high());
    let changed = file_size(&spec, top, mm(8.2), Some(mm(8.4))).unwrap();
    assert_eq!(changed.instead_of, Some(mm(5.5)));
    assert_eq!(file_size(&spec, top, mm(8.0), Some(mm(8.2))).unwrap().instead_of, None);
}

#[test]
fn under_the_scaled_rule_the_targets_own_uncertainty_counts() {
    let mut bench = filed();
    bench.gap(1, When::Before, 0.70);
    let of = |bench: &Bench| bench.findings().cutters[0].gap;
    let fixed = of(&bench);
    assert!((fixed.conformity.unwrap() - off(fixed.off_by.unwrap().get(), 0.03)).abs() < 1e-7);
    bench.rule(Rule::Scaled);
    let scaled = of(&bench);
    // The target rises by rho tan(alpha0) = 1.107 * 0.65 / 6 for a mm of wear.
    let rises = 7.75 / 7.0 * 0.65 / 6.0;
    assert!(
        (scaled.conformity.unwrap() - off(scaled.off_by.unwrap().get(), 0.03_f64.hypot(rises * 0.05))).abs() < 1e-7
    );
}

#[test]
fn where_the_geometry_is_not_measured_less_is_taken_and_a_raker_on_the_edge_is_named() {
    let mut bench = filed();
    bench.rule(Rule::Scaled).gap(1, When::Before, 0.6).gap(2, When::Before, 0.84);
    let of = |bench: &Bench| {
        let found = bench.findings();
        let named = found.flags.iter().any(|flag| flag.cutter == 2 && flag.kind == FlagKind::RakerOnEdge);
        (found.cutters[0].raker.steel - found.cutters[0].raker.take, found.cutters[1].gap.word, named)
    };
    // At 1.2 mm of wear the gap rises by 0.024 mm with a new length 0.2 mm off and by 0.0096 mm with a reach 0.4 mm off.
    let by_geometry = 0.3 * 0.024_f64.hypot(0.0096);
    let (left, word, named) = of(&bench);
    assert!((left.get() - 0.03 - by_geometry).abs() < 1e-4, "{left:?}");
    assert!(named && word != GapWord::Low, "{word:?}");
    bench.round.header.spec.known.new_length.u = mm(0.0);
    bench.round.header.spec.known.reach.u = mm(0.0);
    let (left, word, named) = of(&bench);
    assert!((left.get() - 0.03).abs() < 1e-9, "{left:?}");
    assert!(!named && word != GapWord::Low, "{word:?}");
}

/// Probability of conformity of a gap off by so much, tolerance 0.1.
fn off(by: f64, u: f64) -> f64 {
    Off { by, u, u_next: u, shift: 0.0 }.judge(0.1).1
}
