//! How a loop cut is asked about when it comes back, and told beside what its sheet had said: in both faces.

use chrono::DateTime;

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::round::{Cut, Event};

use super::{asks, filed};
use crate::played::Bench;

/// A loop that was signed off once, in its second round.
fn again() -> Bench {
    let mut bench = filed();
    bench.run("enter 1\n").run(&"enter 0.65\n".repeat(10)).run("enter 0\nenter\nenter 1\n");
    bench.sees("SIGNED OFF").run("key Enter");
    bench.run("key Enter\n").run(&"enter\n".repeat(7));
    bench
}

#[test]
fn how_it_cut_is_asked_by_one_key_when_the_loop_comes_back() {
    let mut bench = again();
    bench.sees("How did it cut since it was last sharpened?").sees("2 it pulled to the left");
    bench.run("enter 9").sees("Type the number of a choice");
    bench.run("enter 2").sees("Noted: it pulled to the left");
    let round = bench.round();
    assert_eq!(round.cut, Some(Cut::PulledLeft));
    assert_eq!(asks(&round), "look Cracks");
    assert!(!bench.screen().contains("How did it cut"), "{}", bench.screen());
    // Taken back it is asked again; nobody knowing is an answer too.
    bench.run("key /").sees("How did it cut").run("enter");
    assert!(bench.round().standing().any(|entry| matches!(entry.event, Event::Cut { how: Cut::NotKnown })));
}

#[test]
fn the_history_sets_it_beside_what_the_sheet_had_said_and_counts_how_often_they_agree() {
    let mut bench = again();
    bench.run("enter 2\nkey *\n");
    let rack = bench.rack();
    let history = Workshop::from(rack.clone()).history("twelve").unwrap().text(evenbite::units::Unit::Mm, true);
    assert!(history.contains("after it: it pulled to the left"), "{history}");
    // The plain face asks the same.
    let mut out = Vec::new();
    let at = || DateTime::parse_from_rfc3339("2026-04-02T08:00:00+01:00").unwrap();
    plain::run(&Workshop::from(rack), "twelve\n/\n1\n".as_bytes(), &mut out, at, "", false).unwrap();
    let said = String::from_utf8(out).unwrap();
    assert!(
        said.contains("How did it cut since it was last sharpened?") && said.contains("  4  it made dust"),
        "{said}"
    );
    assert!(said.contains("Noted: it cut straight"), "{said}");
}
