use super::*;
use crate::advice::tests::readings::{Bench, header};

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

#[test]
fn a_cutter_signed_off_unfiled_is_uneven_where_strokes_tell_and_not_measured_where_they_do_not() {
    use crate::advice::{LengthWord, StatusWord};
    use crate::chain::nth;
    use crate::round::{Closing, Event, Header, When};
    for (strokes, uneven, word) in [(true, vec![nth(10)], LengthWord::Long), (false, vec![], LengthWord::Unmeasured)] {
        let mut bench = Bench::new(Header { take_strokes: strokes, ..header(20) });
        for cutter in 1..=10 {
            bench.length(cutter, When::Before, 9.1);
        }
        bench.target(8.8);
        for cutter in 1..=9 {
            bench.length(cutter, When::After, 8.8).gap(cutter, When::Before, 0.65);
        }
        assert!(bench.findings().evenness.uneven.is_empty(), "the tenth waits for the file");
        bench.put(Event::Closed { how: Closing::Signed });
        let found = bench.findings();
        assert_eq!((found.evenness.uneven, found.cutters[9].length.word), (uneven.clone(), word));
        let flagged: Vec<_> = found.flags.iter().map(|flag| flag.cutter).collect();
        assert_eq!(flagged, uneven);
        let watched = found.status.word == StatusWord::Watch && found.status.line().contains("10 uneven");
        assert_eq!(watched, strokes, "{:?}", found.status);
    }
}
