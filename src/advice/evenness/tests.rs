use super::*;
use crate::advice::tests::readings::{Bench, header};

#[test]
fn the_shortest_is_the_reference_with_its_own_uncertainty() {
    let found = Bench::measured(20, &[9.0, 9.6, 9.3]).findings();
    // Three readings tell nothing of a side: the median of the smallest of three normal values, the others far above.
    let reference = found.evenness.reference.unwrap();
    assert_eq!(reference.from, From::Shortest(CutterNumber::FIRST));
    assert!((reference.length.get() - 9.0).abs() < 0.03 && (reference.u.get() - 0.05).abs() < 0.01, "{reference:?}");
    let shortest = found.cutters[0].length;
    assert_eq!((shortest.word, shortest.conformity), (LengthWord::Even, Some(1.0)));
    assert_eq!(found.cutters[1].length.word, LengthWord::Long);
}

#[test]
fn an_even_loop_read_with_scatter_is_even() {
    // One hand's cutters within 0.03 mm, read to 0.05 mm: the raw smallest lies 0.1 mm under the rest.
    let mut dice = crate::advice::tests::readings::Dice(3);
    let lengths: Vec<f64> = (0..36).map(|_| 9.0 + 0.03 * dice.normal() + 0.05 * dice.normal()).collect();
    let found = Bench::measured(72, &lengths).findings();
    let even = found.cutters.iter().filter(|cutter| cutter.length.word == LengthWord::Even).count();
    assert!(even >= 30, "{even} of 36");
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
