use super::*;
use crate::advice::tests::readings::Bench;

#[test]
fn the_shortest_is_the_reference_with_its_own_uncertainty() {
    let mut bench = Bench::measured(20, &[9.0, 9.15, 9.3]);
    let found = bench.findings();
    assert_eq!(
        found.evenness.reference,
        Some(Reference { from: From::Shortest(CutterNumber::FIRST), length: mm(9.0), u: mm(0.05) })
    );
    // A difference of two readings: u = 0.05 sqrt(2).
    let p = Off { by: 9.15 - 9.0, u: 0.05 * 2.0_f64.sqrt(), u_next: 0.05, shift: 0.0 }.judge(0.2).1;
    assert!((found.cutters[1].length.conformity.unwrap() - p).abs() < 1e-12);
    // However coarse the readings, it is even with itself.
    bench.skill.length = mm(0.5);
    let shortest = bench.findings().cutters[0].length;
    assert_eq!((shortest.word, shortest.conformity), (LengthWord::Even, Some(1.0)));
}

#[test]
fn a_cutter_that_stands_out_long_was_not_struck() {
    let mut lengths = [9.0; 36];
    lengths[4] = 9.6;
    let found = Bench::measured(72, &lengths).findings();
    assert!(found.evenness.struck.is_empty(), "{:?}", found.evenness.struck);
    assert_eq!(found.evenness.uneven, [5]);
    assert_eq!(found.evenness.spread.map(|spread| (spread.get() * 100.0).round()), Some(60.0));
}

#[test]
fn sides_are_described_apart() {
    let found = Bench::measured(20, &[9.0, 8.8, 9.2, 8.9, 9.1]).findings().evenness;
    let (left, right) = (found.left.unwrap(), found.right.unwrap());
    assert_eq!((left.count, right.count), (3, 2));
    assert!(
        (left.mean.get() - 9.1).abs() < 1e-9
            && (left.spread.get() - 0.2).abs() < 1e-9
            && (left.sd.unwrap().get() - 0.1).abs() < 1e-9
    );
    assert!((right.mean.get() - 8.85).abs() < 1e-9);
}
