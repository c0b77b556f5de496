//! Another hand: two windows over one folder, and a round that somebody else goes on with.

use evenbite::tui::rehearse::Rehearsal;

use super::super::played::{Bench, COLOUR, intake, rehearsal, start};

/// Fields of the card after the owner.
const REST: usize = 16;

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
    other.play("key ,\nenter\nkey Right\nenter\nenter\nenter\nenter\nenter\n").unwrap();
    bench.run("key ,\nenter\nenter\nenter\nenter\nkey Right\nenter\nenter\n");
    bench.sees("Another window changed: high contrast is now on. That is kept.");
    let text = std::fs::read_to_string(bench.rack().root().join("settings.toml")).unwrap();
    assert!(text.contains("contrast = true") && text.contains("bell = true"), "{text}");
}
