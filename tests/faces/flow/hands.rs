//! Another hand: two windows over one folder, and a round that somebody else goes on with.

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::round::Event;
use evenbite::tui::rehearse::Rehearsal;

use super::super::played::{Bench, COLOUR, intake, rehearsal, start};
use super::limits::said;

/// Fields of the card after the owner.
const REST: usize = 22;

/// A bench with loop twelve in care, and a second window over the same folder.
fn two() -> (Bench, Rehearsal) {
    let mut bench = Bench::new((100, 32), COLOUR);
    bench.run(intake(20, 0, 0).split_once("key Enter\n").unwrap().0);
    let other = rehearsal(bench.rack(), (100, 32), COLOUR, start());
    (bench, other)
}

#[test]
fn what_another_window_did_to_a_card_is_kept_and_told() {
    let (mut bench, mut other) = two();
    bench.run("key e\nenter\nenter Tove\n");
    other.play("key x\nenter cracked\n").unwrap();
    bench.run(&"enter\n".repeat(REST)).sees("Another window changed: the loop is out of care: cracked. That is kept.");
    let card = bench.rack().card("twelve").unwrap();
    assert_eq!((card.owner.as_str(), card.scrapped.unwrap().reason.as_str()), ("Tove", "cracked"));
    // Two fields of one card, changed in two windows.
    let (mut bench, mut other) = two();
    bench.run("key e\nenter\nenter Tove\n");
    other.play(&format!("key e\nenter\nenter\nenter Big one\n{}", "enter\n".repeat(REST - 1))).unwrap();
    bench
        .run(&"enter\n".repeat(REST))
        .sees("Another window changed: saw is now Big one. That is kept. The card is kept.");
    let card = bench.rack().card("twelve").unwrap();
    assert_eq!((card.owner.as_str(), card.saw.as_str()), ("Tove", "Big one"));
}

#[test]
fn where_both_changed_the_same_field_theirs_stays_until_the_person_chooses() {
    for (keys, owner) in [("enter", "Uma"), ("enter Tove", "Tove")] {
        let (mut bench, mut other) = two();
        bench.run("key e\nenter\nenter Tove\nenter Big one\n");
        other.play(&format!("key e\nenter\nenter Uma\n{}", "enter\n".repeat(REST))).unwrap();
        bench.run(&"enter\n".repeat(REST - 1));
        bench.sees("Another window made this Uma meanwhile, and it stays; you had Tove. Change it, or Enter.");
        let card = bench.rack().card("twelve").unwrap();
        assert_eq!((card.owner.as_str(), card.saw.as_str()), ("Uma", "Big one"), "what nobody else changed is kept");
        bench.run(keys).run(&"enter\n".repeat(REST)).sees("The card is kept.");
        assert_eq!(bench.rack().card("twelve").unwrap().owner, owner);
    }
}

#[test]
fn cutters_measured_in_two_windows_are_all_kept() {
    let (mut bench, mut other) = two();
    bench.run("key g\n");
    other.play("key g\nenter 9.0\nenter 7.0\nenter\nenter\nenter\n").unwrap();
    bench.run("enter 6.0\nenter 9.4\nenter\nenter\nenter\n").sees("Another window changed: the cutters measured");
    assert_eq!(bench.rack().card("twelve").unwrap().own.measured.len(), 2);
}

#[test]
fn settings_of_two_windows_are_all_kept() {
    let (mut bench, mut other) = two();
    // High contrast in the one, the bell in the other.
    other.play(&format!("key ,\n{}key Right Ctrl-S\n", "enter\n".repeat(4))).unwrap();
    bench.run(&format!("key ,\n{}key Right Ctrl-S\n", "enter\n".repeat(7)));
    bench.sees("Another window changed: high contrast is now on. That is kept.");
    let text = std::fs::read_to_string(bench.rack().root().join("settings.toml")).unwrap();
    assert!(text.contains("contrast = true") && text.contains("bell = true"), "{text}");
}

/// Who made each reading, as the record tells.
fn hands(bench: &Bench) -> Vec<Option<String>> {
    let lengths = bench.round().entries;
    lengths.into_iter().filter(|entry| matches!(entry.event, Event::Length { .. })).map(|entry| entry.by).collect()
}

#[test]
fn an_open_round_is_handed_over_by_name_and_each_reading_keeps_who_took_it() {
    let mut bench = Bench::new((100, 32), COLOUR);
    bench.run(&intake(20, 0, 0)).run(&super::sound()).run("enter 8.00\nkey *");
    // Uma works at another loop, then at Ina's round.
    bench.run(
        &intake(20, 0, 0)
            .replace("Twelve", "Other")
            .replace("key Enter\nenter Ina", "key Down\nkey Up\nkey Enter\nenter Uma"),
    );
    bench.run("key *").sees("Rack").run("key Down\nkey Enter");
    bench.sees("Ina worked at this round. Who goes on with it? Enter alone: Uma.").run("enter").sees("Uma for Ina");
    bench.run("enter 8.01\nkey h\nenter Ina\n").sees("Ina goes on: each entry from now on keeps that name.");
    bench.run("enter 8.02");
    let uma = Some("Uma".to_owned());
    assert_eq!(hands(&bench), [None, uma.clone(), None]);
    // Paused by Uma, it is gone on with as hers by whoever does not say otherwise.
    bench.run("key h\nenter Uma\nkey *");
    let mut bench = Bench::over(bench.into_dir(), (100, 32), COLOUR);
    bench.run("key Down\nkey Enter").sees("Uma for Ina").run("enter 8.03").run("key s").sees("Also by");
    assert_eq!(hands(&bench), [None, uma.clone(), None, uma]);
}

#[test]
fn the_plain_face_hands_a_round_over_by_a_word() {
    let begin = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\n";
    let (dir, text) = said(&format!("{begin}{}\n8.00\nhand Uma\n8.01\n", "1\n".repeat(7)));
    assert!(text.contains("Uma goes on: each entry from now on keeps that name."), "{text}");
    let rack = evenbite::record::Rack::open(dir.path().join("data")).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    let lengths = round.entries.iter().filter(|entry| matches!(entry.event, Event::Length { .. }));
    assert_eq!(lengths.map(|entry| entry.by.as_deref()).collect::<Vec<_>>(), [None, Some("Uma")]);
}

#[test]
fn whoever_goes_on_with_a_round_and_gave_no_name_is_told_whose_it_is() {
    let begin = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\n";
    let (dir, text) = said(&format!("{begin}{}\n8.00\npause\n", "1\n".repeat(7)));
    assert!(!text.contains("This round is"), "{text}");
    let goes_on = |lines: &str| {
        let rack = evenbite::record::Rack::open(dir.path().join("data")).unwrap();
        let mut out = Vec::new();
        plain::run(&Workshop::from(rack), lines.as_bytes(), &mut out, start, "", false).unwrap();
        String::from_utf8(out).unwrap()
    };
    let text = goes_on("twelve\nhand Uma\n8.01\npause\n");
    assert!(text.contains("This round is Ina's: hand NAME if somebody else goes on."), "{text}");
    let text = goes_on("twelve\npause\n");
    assert!(
        text.contains("This round is Ina's, and Uma goes on with it: hand NAME if somebody else goes on."),
        "{text}"
    );
    // The full screen, begun afresh; once a name was given it asks by it.
    let mut bench = Bench::over(dir, (100, 32), COLOUR);
    bench.run("key Enter").sees("is Ina's, and Uma goes on with it: h").sees("if somebody else goes on.");
    bench.run("key h\nenter Ina\nkey *\nkey Enter");
    assert!(!bench.screen().contains("This round is"), "{}", bench.screen());
}
