//! Slips of the hand: the point left out, the value that was meant, and what stays on record of what was typed.

use evenbite::chain::nth;
use evenbite::round::{Event, Round};
use evenbite::units::mm;

use super::super::played::{Bench, COLOUR, intake, sound};
use super::limits::said;
use super::{asks, filed, to_file};

/// The last length of cutter 1 before filing, with what was typed for it.
fn first(round: &Round) -> Option<(f64, Option<String>)> {
    let entry = round
        .entries
        .iter()
        .rev()
        .find(|entry| matches!(entry.event, Event::Length { cutter, .. } if cutter == nth(1)))?;
    let Event::Length { mm, .. } = entry.event else { return None };
    Some((mm.get(), entry.typed.clone()))
}

#[test]
fn a_point_left_out_by_a_hand_is_put_in_said_and_stays_as_typed_on_record() {
    let mut bench = Bench::looked();
    bench.run("enter 738").sees("738 was taken as 7.38 mm.");
    let round = bench.round();
    assert_eq!((first(&round), asks(&round).as_str()), (Some((7.38, Some("738".into()))), "2 length before"));
    // Where another slip fits as well, it is asked.
    bench.run("key /\nenter 80").sees("80.00 is outside").sees("y takes 8.00 mm. Anything");
    assert_eq!(asks(&bench.round()), "1 length before");
}

#[test]
fn an_instrument_leaves_no_point_out() {
    let mut bench = Bench::looked();
    bench.run("line 738").sees("Did you mean 7.38?");
    assert_eq!(first(&bench.round()), None);
    // A keyboard adapter types faster than a hand.
    let mut bench = Bench::looked();
    bench.run("burst 738").sees("Did you mean 7.38?").run("key y").sees("738 was taken as 7.38 mm.");
    assert_eq!(first(&bench.round()), Some((7.38, Some("738".into()))));
}

#[test]
fn an_inch_caliper_or_one_with_three_decimals_has_no_hundredths() {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, 0).replacen("enter Ina\nenter\n", "enter Ina\nenter\nenter\nkey Right\n", 1));
    bench.run(&sound()).run("enter 317");
    assert_eq!(first(&bench.round()), None, "{}", bench.screen());
    let mut bench = Bench::looked();
    bench.run("enter 8.051\nkey g\nenter 2\nenter 738").sees("Did you mean 7.38?");
}

#[test]
fn what_was_meant_is_taken_with_a_key_of_its_own_and_never_with_enter() {
    let mut bench = Bench::looked();
    bench.run("enter 76.2").sees("Did you mean 7.62?").sees("y takes 7.62 mm").sees("y as meant");
    bench.run("key Enter").sees("Not taken");
    assert_eq!(first(&bench.round()), None);
    bench.run("enter 76.2\nkey y").sees("76.2 was taken as 7.62 mm.");
    assert_eq!(first(&bench.round()), Some((7.62, Some("76.2".into()))));
    // What cannot be at all can only be taken as meant.
    let mut bench = Bench::looked();
    bench.run("enter 762.0").sees("Did you mean 7.62?");
    assert!(!bench.screen().contains("keeps it"), "{}", bench.screen());
    bench.run("key *").sees("That is impossible: measure again.");
    assert_eq!(first(&bench.round()), None);
    bench.run("enter 762.0\nkey y");
    assert_eq!(first(&bench.round()), Some((7.62, Some("762.0".into()))));
    // Without anything meant there is no such key.
    let mut bench = Bench::looked();
    bench.run("enter 10.4\nkey y");
    assert_eq!(first(&bench.round()), None, "{}", bench.screen());
}

#[test]
fn the_plain_face_takes_what_was_meant_by_a_word() {
    let begin = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\n";
    let (dir, text) = said(&format!("{begin}{}\n738\nyes\nyes\n", "1\n".repeat(7)));
    assert!(text.contains("Did you mean 7.38? Type yes for 7.38 mm, "), "{text}");
    assert!(text.contains("738 was taken as 7.38 mm."), "{text}");
    assert!(text.contains("There is nothing to take in its place."), "{text}");
    let rack = evenbite::record::Rack::open(dir.path().join("data")).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!(round.cutter(nth(1)).unwrap().before.readings(), [mm(7.38)]);
}

#[test]
fn a_digit_of_the_strokes_that_was_sent_twice_is_asked_about() {
    let mut bench = to_file(1);
    bench.run("enter 33").sees("33 strokes take about").sees("Did you mean 3?").run("key y");
    assert_eq!(asks(&bench.round()), "1 length after");
    assert_eq!(bench.round().cutters[0].strokes, Some(3));
    let mut bench = to_file(1);
    bench.run("enter 4");
    assert_eq!(asks(&bench.round()), "1 length after", "{}", bench.screen());
}

#[test]
fn inches_for_a_gap_are_asked_about_in_a_first_round() {
    let mut bench = filed();
    bench.run("enter 1\nenter 0.026").sees("It looks like inches. Did you mean 0.66").run("key y");
    assert_eq!(asks(&bench.round()), "2 raker gap");
}
