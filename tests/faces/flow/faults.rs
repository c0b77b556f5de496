//! A fault stays with its cutter, the length chosen stays chosen, and what is measured again is only measured: in both faces.

use chrono::DateTime;

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::round::{CutterState, Event, Round};
use evenbite::units::{Millimetres, mm};

use super::{asks, filed, to_file};
use crate::played::{Bench, measured};

fn target(round: &Round) -> Option<Millimetres> {
    round.target.as_ref().map(|target| target.length)
}

/// Filed, rakers right: at the proof.
fn to_prove() -> Bench {
    let mut bench = filed();
    bench.run("enter 1\n").run(&"enter 0.65\n".repeat(10)).run("enter 0\n");
    assert_eq!(asks(&bench.round()), "prove");
    bench
}

#[test]
fn a_cutter_too_short_is_held_and_left_short_or_all_go_lower() {
    let mut bench = to_file(0);
    bench.run("enter 7.60").sees("SHORT: cutter 1 is 0.30 mm under").sees("leave it short");
    bench.run("enter 7.95").sees("Cutter 1 first");
    bench.run("enter 4");
    assert_eq!((asks(&bench.round()).as_str(), target(&bench.round())), ("target", Some(mm(7.9))));
    bench.sees("Cutter 1 cannot reach 7.90 mm: the others lose 0.24 mm more").sees("leave 1 short");
    bench.run("enter 2");
    let round = bench.round();
    assert_eq!((round.cutters[0].state, target(&round)), (CutterState::LeftShort, Some(mm(7.9))));
    assert_eq!(asks(&round), "3 length after");
    let mut bench = to_file(0);
    bench.run("enter 7.60\nenter 4\nenter 1");
    assert_eq!((asks(&bench.round()).as_str(), target(&bench.round())), ("3 length after", Some(mm(7.66))));
    let mut bench = to_file(0);
    bench.run("enter 7.60\nenter 3").sees("is now left short");
    assert_eq!(bench.round().cutters[0].state, CutterState::LeftShort);
}

#[test]
fn damage_found_at_the_proof_opens_the_choice_and_keeps_the_length() {
    let mut bench = to_prove();
    bench.run("key d\nenter 5\nenter 0.4");
    assert_eq!((asks(&bench.round()).as_str(), target(&bench.round())), ("target", Some(mm(7.9))));
    bench.sees("Cutter 5 cannot reach 7.90 mm");
    bench.run("key g\nenter prove").sees("damaged since it was filed").sees("One thing to redo");
    bench.run("enter\nenter 2");
    assert_eq!((asks(&bench.round()).as_str(), bench.round().cutters[4].state), ("prove", CutterState::LeftShort));
    bench.sees("Nothing to redo");
    // Found healthy after all: nothing is left of the damage.
    bench.run("key / /\nkey k\nenter 5");
    assert_eq!((bench.round().cutters[4].state, bench.round().cutters[4].need), (CutterState::Kept, None));
}

#[test]
fn measure_again_at_the_proof_adds_one_reading_and_asks_no_second_time() {
    let mut bench = filed();
    bench
        .run("enter 1\n")
        .run(&"enter 0.65\n".repeat(8))
        .run("enter 0.76\n")
        .sees("once more")
        .run("enter\nenter 0.65\nenter 0\n");
    assert_eq!(asks(&bench.round()), "prove");
    bench.sees("measure again").run("enter").sees("measure the raker gap once more").run("enter 0.76");
    let round = bench.round();
    assert_eq!(round.cutters[8].gap_before.readings(), [mm(0.76), mm(0.76)]);
    assert!(!round.cutters[8].gap_stale && !round.entries.iter().any(|e| matches!(e.event, Event::Went { .. })));
    bench.sees("Nothing to redo");
}

#[test]
fn a_repeat_refused_at_the_proof_is_not_asked_again() {
    let mut bench = filed();
    bench
        .run("enter 1\n")
        .run(&"enter 0.65\n".repeat(8))
        .run("enter 0.76\nenter\nenter 0.65\nenter 0\n")
        .sees("One thing to redo");
    bench
        .run("enter\nenter\n")
        .sees("Nothing to redo")
        .sees("not proven: gap of 9")
        .sees("raker gap not measured again");
}

#[test]
fn an_angle_that_is_off_is_filed_right_and_the_length_measured_after_it() {
    let mut bench = to_file(2);
    bench.run("enter 7.92\nenter 36").sees("OFF: cutter 1, 36.0 deg: 6.0 deg from the target.").run("enter 3");
    assert_eq!(asks(&bench.round()), "1 top-plate angle");
    bench.sees("6.0 too large").sees("File to 30.0 deg").run("enter 30");
    assert_eq!(asks(&bench.round()), "1 length after");
    bench.run("enter 7.88");
    assert_eq!(asks(&bench.round()), "3 length after");
    // Left as it is, the proof goes to the angle, not to the length.
    let mut bench = to_file(2);
    bench.run("enter 7.92\nenter 36\nenter 0\nkey g\nenter prove\nkey g\nenter 1");
    assert_eq!(asks(&bench.round()), "1 top-plate angle");
}

#[test]
fn a_length_typed_at_the_choice_is_never_silently_the_target() {
    let mut bench = Bench::looked();
    bench.run(&measured(10)).run("enter 8.04").sees("No kept cutter can reach 8.04 mm");
    bench.run("enter 7.91").sees("Is 7.91 mm the length to file to, and no reading?");
    assert_eq!(target(&bench.round()), None);
    bench.run("key *");
    assert_eq!(target(&bench.round()), Some(mm(7.91)));
    let mut bench = Bench::looked();
    bench.run("enter 8.00\nenter 8.01\nkey e").sees("not measured: 8 of 10 cutters");
    bench.run("enter").sees("Not measured: 8 of 10");
}

#[test]
fn longer_than_a_struck_cutter_is_no_fault_while_lengths_are_taken() {
    let mut bench = Bench::looked();
    bench.run(&measured(4)).run("enter 7.50\nenter 8.01").sees("Cutter 6: 8.01 mm.");
    assert!(!bench.screen().contains("LOOK"), "{}", bench.screen());
}

#[test]
fn the_aim_stands_beside_the_strokes() {
    let mut bench = to_file(1);
    bench.sees("It is to end at 7.90 to 8.00 mm");
}

#[test]
fn a_mark_never_goes_to_the_wrong_cutter() {
    let mut bench = Bench::looked();
    bench.run("enter 8.00\nkey d").sees("Cutter 1 was just read, 2 comes next").run("enter 1\nenter 0.3");
    let round = bench.round();
    assert_eq!((round.cutters[0].state, round.cutters[1].state), (CutterState::Damaged, CutterState::Kept));
    assert_eq!(asks(&round), "2 length before");
    // A fault holds its cutter: the mark goes there.
    let mut bench = Bench::looked();
    bench.run(&measured(9)).run("enter 7.00").sees("LOOK: Cutter 10").run("key d\nenter 0.5");
    assert_eq!(bench.round().cutters[9].state, CutterState::Damaged);
    bench.sees("Choose the length");
}

#[test]
fn a_remark_leaves_the_fault_where_it_is_and_taking_back_takes_it_away() {
    let mut bench = to_file(0);
    bench.run("enter 7.60\nkey n\nenter slipped").sees("Remark on cutter 1 noted").sees("leave it short");
    bench.run("key / /");
    assert_eq!(asks(&bench.round()), "1 length after");
    bench.sees("It is to end");
}

#[test]
fn a_fault_is_part_of_the_round_and_holds_whoever_goes_on_with_it() {
    let mut bench = to_file(0);
    bench.run("enter 7.60").sees("leave it short");
    let once = |bench: &Bench| bench.screen().matches("under the length").count();
    assert_eq!(once(&bench), 1, "{}", bench.screen());
    // Paused and taken up again: the same fault, the same choices, and the mark goes to its cutter.
    let resume = |bench: &mut Bench| {
        bench
            .run("key *\nkey Enter")
            .sees("Cutter 1, left")
            .sees("SHORT: cutter 1 is 0.30 mm under")
            .sees("leave it short");
        assert_eq!(once(bench), 1, "{}", bench.screen());
    };
    resume(&mut bench);
    let mut bench = Bench::over(bench.into_dir(), (80, 24), super::COLOUR);
    bench.run("key Enter").sees("SHORT: cutter 1 is 0.30 mm under").sees("leave it short");
    bench.run("key d\nenter 0.2");
    assert_eq!(bench.round().cutters[0].state, CutterState::Damaged);
    bench.run("key / / /\nenter 7.60\nenter 0").sees("Cutter 1: length after left as it is");
    assert!(bench.round().standing().any(|entry| matches!(entry.event, Event::LeftAsIs { .. })));
    bench.run("key *\nkey Enter").sees("Cutter 3, left");
    assert!(!bench.screen().contains("leave it short"), "{}", bench.screen());
    // The mark is asked for: two cutters could be meant.
    bench.run("key d").sees("Cutter 1 was just read, 3 comes next").run("key Esc");
    bench.run("key /").sees("leave it short");
}

#[test]
fn a_reading_too_close_to_call_is_asked_for_again_after_a_pause_too() {
    let mut bench = to_file(0);
    bench.run("enter 7.76").sees("once more");
    bench.run("key *\nkey Enter").sees("once more");
    bench.run("enter").run("key *\nkey Enter");
    assert!(!bench.screen().contains("once more"), "{}", bench.screen());
}

#[test]
fn the_plain_face_holds_a_fault_too() {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let at = || DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").unwrap();
    let begin = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\n";
    let measured = "1\n".repeat(7) + "\n" + &"8.00\n".repeat(10);
    let lines = format!("{begin}{measured}7.85\nkeep\n/\n\n7.60\n7.95\n4\n2\n");
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack.clone()), lines.as_bytes(), &mut out, at, "", false).unwrap();
    let said = String::from_utf8(out).unwrap();
    for words in [
        "and no reading? Type keep to keep it",
        "  3  leave it short",
        "Cutter 1 first",
        "Cutter 1 cannot reach 7.88 mm",
        "File to 7.88 mm. 1 left short.",
        "Cutter 3, left. ",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!((round.cutters[0].state, target(&round)), (CutterState::LeftShort, Some(mm(7.88))));
    // A fault that it was left at stands first when it is taken up again, once and with its choices.
    let go_on = |lines: &str| {
        let mut out = Vec::new();
        plain::run(&Workshop::from(rack.clone()), lines.as_bytes(), &mut out, at, "", false).unwrap();
        String::from_utf8(out).unwrap()
    };
    go_on("twelve\n7.50\n");
    let said = go_on("twelve\n0\n");
    assert_eq!(said.matches("SHORT: cutter 3").count(), 1, "{said}");
    assert!(said.contains("  3  leave it short") && said.contains("left as it is"), "{said}");
}

#[test]
fn a_raker_left_too_low_is_told_at_the_proof_and_not_sent_back() {
    let mut bench = filed();
    bench.run("enter 1\nenter 0.85").sees("TOO LOW").sees("leave it and go on").run("enter 0");
    bench.run(&"enter 0.65\n".repeat(9)).run("enter 0\n");
    assert_eq!(asks(&bench.round()), "prove", "{}", bench.screen());
    bench.sees("Nothing to redo").sees("left too low").sees("raker of 1");
    bench.run("enter");
    assert_eq!(asks(&bench.round()), "sign");
}

#[test]
fn a_tooth_filed_back_to_its_raker_is_told_how_far() {
    let mut bench = filed();
    bench.run("enter 1\nenter 1.10\nenter 3").sees("To bring its raker right").sees("must come off the tooth");
}
