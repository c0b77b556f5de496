//! Forms that are stored as they stand, before their last field: a card, and a bench sheet that was filled in on paper.

use chrono::NaiveDate;

use super::super::played::Bench;

#[test]
fn one_field_of_a_card_is_changed_and_stored_with_one_key() {
    let mut bench = Bench::looked();
    bench.run("key Ctrl-X\nenter yes\nkey Enter\nkey e").sees("Ctrl-S store");
    // Below the name stand owner, saw, mark, then what the customer was promised.
    bench.run(&"key Down\n".repeat(4)).sees("Promised for").run("type 2026-03-20\nkey Ctrl-S").sees("The card is kept");
    let visit = bench.rack().card("twelve").unwrap().visit;
    assert_eq!(visit.promised, NaiveDate::from_ymd_opt(2026, 3, 20));
    // What is not right is told where it stands, wherever the key was pressed.
    bench.run("key e").run(&"key Down\n".repeat(4)).run("type soon\nkey Up Ctrl-S").sees("soon").sees("Ctrl-S store");
    assert_eq!(bench.rack().card("twelve").unwrap().visit, visit);
}

#[test]
fn a_sheet_is_typed_in_and_stored_before_its_last_box() {
    let mut bench = Bench::looked();
    bench.run("key Ctrl-X\nenter yes\nkey Enter\nkey k").sees("Measured on");
    bench.run("enter 2026-02-20\nenter Ina\nenter\nenter\nenter\nenter 8,05\nenter\nenter\nenter 80,5\nkey Ctrl-S");
    bench.sees("Did you mean 8.05?").sees("2 of 10 cutters filled in; an empty box was not measured.");
    assert!(!bench.screen().contains("stored once more"), "{}", bench.screen());
    bench.run(&"key Backspace\n".repeat(4)).run("type 8,06\nkey Ctrl-S").sees("with the day that it was measured");
    let rack = bench.rack();
    let rounds = rack.rounds("twelve").unwrap();
    let round = rack.read_round(&rounds[0]).unwrap();
    assert_eq!(round.header.started.date_naive(), NaiveDate::from_ymd_opt(2026, 2, 20).unwrap());
    assert_eq!(round.cutters.iter().filter(|cutter| !cutter.before.is_empty()).count(), 2);
}
