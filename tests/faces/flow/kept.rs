//! What was asked for last time is asked for again: by loop and by person, in both faces.

use evenbite::care::Workshop;
use evenbite::chain::{Side, Wood};
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::round::{Header, Tool};
use evenbite::units::Unit;

use super::super::played::{Bench, COLOUR, intake, start};

#[test]
fn a_round_is_begun_as_the_last_one_of_that_loop_and_person_was() {
    let mut bench = Bench::new((80, 24), COLOUR);
    let new = intake(20, 0, 0);
    let (loop_keys, _) = new.split_once("enter Ina").unwrap();
    bench.run(loop_keys).run("enter Ina\nkey Right\nenter\nkey Right\nenter\nkey Right\nenter\n");
    bench.run("key Right Right Right\nenter\nkey Right\nenter\nkey Right\nenter");
    let first = bench.round().header;
    assert_eq!((first.wood, first.tool, first.units), (Wood::Hardwood, Tool::Grinder, Unit::Inch));
    assert_eq!((first.take_strokes, first.take_angles, first.begin, first.spread), (true, true, Side::Right, true));
    bench.run("key Ctrl-X\nenter yes\nkey Enter").sees("Rack");
    // Enter alone at every field, in a program that is started afresh.
    let mut bench = Bench::over(bench.into_dir(), (80, 24), COLOUR);
    bench.run("key Enter").sees("Measure at each cutter").run(&"enter\n".repeat(7));
    assert_eq!(bench.rack().rounds("twelve").unwrap().len(), 2);
    assert_eq!(Header { started: first.started, ..bench.round().header }, first);
}

#[test]
fn the_plain_face_offers_what_was_answered_last_time() {
    let dir = crate::scratch::folder();
    let care = Workshop::from(Rack::open(dir.path().join("data")).unwrap());
    let said = |lines: &str| {
        let mut out = Vec::new();
        plain::run(&care, lines.as_bytes(), &mut out, start, "", false).unwrap();
        String::from_utf8(out).unwrap()
    };
    let new = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n";
    said(&format!("{new}Ina\nhardwood\ngrinder\ninch\nall\nright\ngive up\n"));
    let again = said("twelve\n\n\n\n\n\n\n");
    for offered in ["Enter: Ina", "Enter: hardwood", "Enter: grinder", "Enter: inch", "Enter: all", "Enter: right"] {
        assert!(again.contains(&format!("({offered})> ")), "{offered}: {again}");
    }
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let header = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap().header;
    assert_eq!((header.wood, header.tool, header.units), (Wood::Hardwood, Tool::Grinder, Unit::Inch));
    assert_eq!((header.take_strokes, header.take_angles, header.begin), (true, true, Side::Right));
    // Somebody else is asked from the beginning, but for the wood, which is the loop's.
    said("twelve\ngive up\n");
    let other = said("twelve\nUma\n\n\n\n\n\n");
    assert!(other.contains("(Enter: hardwood)> ") && !other.contains("Enter: grinder"), "{other}");
}
