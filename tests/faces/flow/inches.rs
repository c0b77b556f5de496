//! A workshop whose setting is inch: nobody there meets a millimetre, at any stage, on any screen.

use evenbite::units::Unit;

use super::super::played::{Bench, intake, measured, sound};

/// Lines of a screen that speak of millimetres.
fn metric(screen: &str) -> Vec<&str> {
    let is_word = |line: &&str| line.split(|c: char| !c.is_ascii_alphabetic()).any(|word| word == "mm");
    screen.lines().filter(is_word).collect()
}

#[test]
fn nobody_in_an_inch_workshop_meets_a_millimetre() {
    let mut bench = Bench::in_inches(crate::scratch::folder(), (140, 45));
    let look = |bench: &mut Bench, what: &str, keys: &str| {
        bench.run(keys);
        let screen = bench.screen();
        assert_eq!(metric(&screen), Vec::<&str>::new(), "{what}\n{screen}");
        screen
    };
    let (taken_in, begin) = intake(20, 0, 0).split_once("key Esc\nkey Enter\n").map(owned).unwrap();
    look(&mut bench, "the form of a new loop", &taken_in);
    look(&mut bench, "a new loop on the rack", "key Esc");
    assert!(look(&mut bench, "the intake", "key Enter").contains("Caliper shows           < inch >"));
    look(&mut bench, "the look-over", &begin);
    look(&mut bench, "measuring", &(sound() + "enter 309\n"));
    look(&mut bench, "a doubt settled", "key y");
    look(&mut bench, "a reading with a comma", "enter 0,311\nenter 0.315\n");
    look(&mut bench, "a figure out of range", "enter 9\nkey Esc");
    assert!(look(&mut bench, "a damaged cutter", "key d\nenter 1").contains("such as 0.02 in"));
    look(&mut bench, "enough measured", "key Esc\nkey e");
    look(&mut bench, "the first side", "enter");
    assert!(look(&mut bench, "filed", "enter 0.309").contains("round file: 13/64 in"));
    for (what, keys) in [
        ("how it was reckoned", "key =\n"),
        ("the cutter's top", "key Esc\nkey v"),
        ("the curve", "key v"),
        ("the wear model of the round", "key F3"),
        ("the sheet so far", "key Esc\nkey s"),
        ("the rack", "key Esc\nkey *"),
        ("the life", "key h"),
        ("the gap table", "key Esc\nkey t"),
        ("the card", "key Esc\nkey e"),
        ("the gauge", "key Esc\nkey g"),
        ("the causes", "key Esc\nkey c\nenter 2"),
        ("the model", "key Esc\nkey Esc\nkey m"),
        ("the tags", "key Esc\nkey p"),
        ("the form of a profile", "key Esc\nkey a"),
    ] {
        look(&mut bench, what, keys);
    }
    assert_eq!(bench.round().header.units, Unit::Inch);
    bench.run("key Esc\nkey k").sees("Written in < inch >");
}

/// A loop whose rounds were read in mm: what is told of the loop follows the setting, what is told of one round its own unit,
/// and every table says which it is.
#[test]
fn a_loop_read_in_mm_is_told_in_inches_and_its_round_in_its_own_unit() {
    let mut bench = Bench::looked();
    bench.run(&measured(3)).run("key *");
    let mut bench = Bench::in_inches(bench.into_dir(), (140, 45));
    let rack = bench.run("key Down Up").screen();
    assert!(metric(&rack).is_empty() && rack.contains("length, in"), "{rack}");
    for keys in ["key m", "key Esc\nkey c\nenter 2", "key Esc\nkey h", "key Esc\nkey t"] {
        assert_eq!(metric(&bench.run(keys).screen()), Vec::<&str>::new(), "{keys}\n{}", bench.screen());
    }
    let sheet = bench.run("key Esc\nkey s").screen();
    assert!(sheet.contains("Sheet: Twelve") && !metric(&sheet).is_empty() && !sheet.contains(" in)"), "{sheet}");
    bench.run("key Esc\nkey Enter").sees("length before, mm");
}

fn owned((a, b): (&str, &str)) -> (String, String) {
    (a.to_owned(), b.to_owned())
}
