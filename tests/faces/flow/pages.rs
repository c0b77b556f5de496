//! Pages scroll alike, whatever stands on them.

use super::super::played::{Bench, COLOUR, intake, measured, sound};

/// Keys that lead to a page from a round on 20 links, in a window that none of them fits into.
const PAGES: [(&str, &str); 9] = [
    ("the keys", "key F1\n"),
    ("the sheet so far", "key s\n"),
    ("causes", "key c\nenter 4\n"),
    ("the sheet", "key * s\n"),
    ("the owner's sheet", "key * s v\n"),
    ("the gap table", "key * t\n"),
    ("the words", "key * w\n"),
    (
        "the saw",
        "key l\nenter Big saw\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nenter 1\nkey Enter\nkey * l\n",
    ),
    (
        "a file",
        "key * i\nenter tests/faces/screens/files/bad.csv\nenter\nenter Two\nenter\nenter 24\nenter Ina\nenter\nenter\n",
    ),
];

fn at(keys: &str) -> Bench {
    let mut bench = Bench::new((60, 24), COLOUR);
    bench.run(&(intake(20, 0, 0) + &sound() + &measured(4) + keys)).run("size 60x9\n");
    bench
}

/// What is on the screen once a key went down.
fn after(bench: &mut Bench, keys: &str) -> String {
    bench.run(&format!("key {keys}\n")).screen()
}

#[test]
fn the_end_is_an_end_and_up_leaves_it_at_once() {
    for (page, keys) in PAGES {
        let mut bench = at(keys);
        let start = bench.screen();
        let end = after(&mut bench, "End");
        assert_ne!(end, start, "{page} does not move:\n{start}");
        assert_eq!(after(&mut bench, "Down PgDn End Down"), end, "{page} goes past its end");
        assert_ne!(after(&mut bench, "Up"), end, "{page}: Up does not move at once:\n{end}");
        assert_eq!(after(&mut bench, "Down"), end, "{page}: Down does not lead back");
        assert_eq!(after(&mut bench, "Home"), start, "{page}: Home is not the start");
    }
}

#[test]
fn a_page_down_and_up_lead_back_and_overlap() {
    for (page, keys) in PAGES {
        let mut bench = at(keys);
        let start = bench.screen();
        let down = after(&mut bench, "PgDn");
        let shared = start.lines().filter(|line| !line.trim().is_empty() && down.lines().any(|other| other == *line));
        assert!(down != start && shared.count() > 0, "{page}:\n{start}\n{down}");
        assert_eq!(after(&mut bench, "PgUp"), start, "{page}: PgUp does not lead back");
    }
}

#[test]
fn the_gap_table_of_a_round_in_inches_is_in_inches() {
    let inches = intake(20, 0, 0).replacen("enter Ina\nenter\nenter\n", "enter Ina\nenter\nenter\nkey Right\n", 1);
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&(inches + &sound() + "key t\n")).sees("Lengths in inches").sees("New 0.3937 in");
    // At the rack tables are as set.
    bench.run("key Esc\nkey * t\n").sees("Lengths in mm");
}

#[test]
fn titles_and_lists_are_whole_on_a_telephone() {
    let mut bench = Bench::new((40, 20), COLOUR);
    bench.run(&(intake(20, 0, 0) + &sound() + "key t\n")).sees("v: where the numbers come from");
    bench.run("key Esc\nkey *\nkey c\nkey Down\n").sees("Type its number, then Enter.");
    bench.sees("It pulls to one side, the cut is curved.");
}
