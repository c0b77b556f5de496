//! The length of a new cutter is asked for once, where the changeover is told and only the profile tells it: in both faces.

use evenbite::care::Workshop;
use evenbite::chain::{Origin, Profile};
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::round::{Closing, Event, NewLength};
use evenbite::units::mm;

use super::super::played::{Bench, start};
use super::filed;
use super::limits::{BEGIN, said, to_the_rakers};

/// Lines that take a loop into care.
const TAKEN_IN: &str = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n";
const QUESTION: &str = "Length of a new cutter, mm: measured on a new one, or printed with the chain.";

/// A loop that was proven, at the sign-off of its first round.
fn proven() -> Bench {
    let mut bench = filed();
    bench.run("enter 1\n").run(&"enter 0.65\n".repeat(10)).run("enter 0\nenter\n");
    bench
}

/// To the sign-off of a round like the one before it.
fn once_more(bench: &mut Bench) -> String {
    bench.run("key Enter\nkey Enter\n").run(&"enter\n".repeat(7)).run("enter 1\n").run(&super::sound());
    bench.run(&"enter 7.90\n".repeat(10)).run("enter\n").run(&"enter 7.82\n".repeat(5)).run("enter\n");
    bench.run(&"enter 7.82\n".repeat(5)).run("enter 1\n").run(&"enter 0.65\n".repeat(10)).run("enter 0\nenter\n");
    assert_eq!(super::asks(&bench.round()), "sign", "{}", bench.screen());
    bench.screen()
}

#[test]
fn a_length_told_at_sign_off_is_counted_with_from_the_next_round_on() {
    let mut bench = proven();
    bench.sees(QUESTION).sees("Enter alone: not known");
    bench.run("enter 6.00").sees("cannot be a new cutter").run("enter 12.5").sees("Is it right?");
    assert_eq!(bench.round().new_length, None);
    bench.run("enter 10.10").sees("A new cutter is 10.10 mm: the next round counts wear from it.");
    assert!(!bench.screen().contains(QUESTION), "{}", bench.screen());
    assert_eq!(bench.round().new_length, Some(NewLength::Told(mm(10.10))));
    // Taken back it is asked again.
    bench.run("key /").sees(QUESTION).run("enter 10.10").run("enter 1").sees("SIGNED OFF");
    let screen = once_more(&mut bench);
    assert!(!screen.contains("Length of a new cutter"), "{screen}");
    let spec = bench.round().header.spec;
    assert_eq!((spec.new_length, spec.known.new_length.from), (mm(10.10), Origin::Told));
    let sheet = Workshop::from(bench.rack()).sheet("twelve", None).unwrap().text(true);
    assert!(!sheet.contains("new length by the profile"), "{sheet}");
}

#[test]
fn not_known_is_an_answer_and_so_is_signing_past_it() {
    for keys in ["enter\nenter 1", "enter 1"] {
        let mut bench = proven();
        bench.sees(QUESTION).run(keys).sees("SIGNED OFF");
        let round = bench.round();
        assert_eq!((round.new_length, round.closed), (Some(NewLength::NotKnown), Some(Closing::Signed)), "{keys}");
        let screen = once_more(&mut bench);
        assert!(!screen.contains("Length of a new cutter"), "{screen}");
        assert_eq!(bench.round().header.spec.known.new_length.from, Origin::Profile);
    }
}

/// What the plain face says in a whole round of a loop that was in care before, once its workshop was changed.
fn said_after(change: impl Fn(&Rack)) -> String {
    let (dir, _) = said(TAKEN_IN);
    let rack = Rack::open(dir.path().join("data")).unwrap();
    change(&rack);
    let lines = format!("twelve\n{BEGIN}{}1\n{}0\n\n", to_the_rakers(), "0.65\n".repeat(10));
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack), lines.as_bytes(), &mut out, start, "", false).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn a_figure_measured_for_the_card_or_the_profile_is_not_asked_for() {
    let told = |said: String| (said.contains("sign this round off"), said.contains(QUESTION));
    assert_eq!(told(said_after(|_| {})), (true, true));
    let on_the_card = |rack: &Rack| {
        let card = rack.card("twelve").unwrap();
        let mut known = card.clone();
        known.own.new_length = Some(mm(10.2));
        rack.change_card(&card, &known, card.created.to_utc()).unwrap();
    };
    assert_eq!(told(said_after(on_the_card)), (true, false));
    let in_the_profile = |rack: &Rack| {
        let base = rack.profile("three-eighths").unwrap();
        let own = Profile::measured(&base, "three-eighths", "ours", &[("new_length_mm", 10.2)], "bench").unwrap();
        rack.save_profile(&own).unwrap();
    };
    assert_eq!(told(said_after(in_the_profile)), (true, false));
}

#[test]
fn the_plain_face_asks_it_too() {
    let to_sign = format!("{TAKEN_IN}{BEGIN}{}1\n{}0\n\n", to_the_rakers(), "0.65\n".repeat(10));
    let (dir, said) = said(&format!("{to_sign}10.1\n1\n"));
    assert!(
        said.contains(QUESTION) && said.contains("Enter alone: not known") && said.contains("A new cutter is 10.10 mm"),
        "{said}"
    );
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!((round.new_length, round.closed), (Some(NewLength::Told(mm(10.1))), Some(Closing::Signed)));
    assert!(round.entries.iter().any(|entry| matches!(entry.event, Event::NewLength { mm: Some(_) })));
    // The next intake counts with it.
    let mut out = Vec::new();
    let lines = format!("twelve\n{BEGIN}");
    plain::run(&Workshop::from(rack.clone()), lines.as_bytes(), &mut out, start, "", false).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!(round.header.spec.new_length, mm(10.1));
}
