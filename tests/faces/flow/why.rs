//! Why: the reckoning of what is advised, by a key in the full screen, by a word in the plain face, and on the sheet.

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::units::mm;

use super::super::played::{Bench, measured, start};

/// Lines of a reckoning as a screen shows them.
fn shown(screen: &str) -> Vec<String> {
    screen
        .lines()
        .filter(|line| line.contains(" = ") && line.starts_with("  "))
        .map(|line| line.trim().to_owned())
        .collect()
}

#[test]
fn a_key_opens_it_at_any_step_and_leaves_the_field_as_it_is() {
    let mut bench = Bench::looked();
    bench.run("key =").sees("Raker gap wanted at cutter 1, fixed gap: 0.65 mm").run("key Esc");
    bench.run(&measured(10)).sees("Choose the length");
    bench
        .run("key =")
        .sees("Why: 1 of")
        .sees("Length to file to:")
        .sees("lesson 6")
        .run("key Down")
        .sees("Leaving short");
    // Its lesson opens over it, and everything is there again behind it.
    bench.run("key Enter").sees("Lesson 6 of 10").run("key Esc Esc").sees("Leaving short");
    bench.run("key Esc").sees("Choose the length");
    bench.run("key m").sees("Wear model: Twelve").run("key Esc\nkey t").sees("Raker gap by cutter length");
    bench.run("key Esc\nkey w").sees("working corner").run("key Esc").sees("Choose the length");
    bench.run("key F3").sees("Wear model: Twelve").run("key Esc");
    // What stands in the field stays there: = belongs to it, F2 does not.
    bench.run("enter\ntype 7.8\nkey F2").sees("to give now").run("key F2").sees("Cutter 1");
    assert!(bench.screen().contains("7.8"), "{}", bench.screen());
    bench.run("type 5\nkey Enter");
    assert_eq!(bench.round().cutters[0].length(), Some(mm(7.85)));
}

#[test]
fn whatever_is_told_of_a_loop_opens_it_and_what_is_told_of_none_says_so() {
    let mut bench = Bench::looked();
    bench.run(&measured(10));
    // Over the round: its sheet, the table of gaps, what is behind a cut, the wear model.
    for key in ["s", "t", "c", "m"] {
        bench.run(&format!("key {key}\nkey F2")).sees("Why: 1 of").run("key Esc Esc").sees("Choose the length");
    }
    // Over the rack: card and gauge, which are forms, then pages.
    bench.run("key *");
    for key in ["e", "g", "t", "s", "c", "m"] {
        bench.run(&format!("key {key}\nkey F2")).sees("Why: 1 of").run("key Esc Esc").sees("Rack");
    }
    for key in ["d", "w", ",", "y", "b", "p"] {
        bench
            .run(&format!("key {key}\nkey F2"))
            .sees("No figure on this screen has a reckoning.")
            .run("key Esc")
            .sees("Rack");
    }
}

#[test]
fn the_rack_its_history_and_the_sheet_tell_the_same_as_the_round() {
    let mut bench = Bench::looked();
    bench.run(&measured(10));
    let in_round = shown(&bench.run("key =").screen());
    assert!(in_round.len() >= 4, "{in_round:?}");
    bench.run("key Esc\nkey *").sees("Rack");
    assert_eq!(shown(&bench.run("key =").screen()), in_round);
    assert_eq!(shown(&bench.run("key Esc\nkey h\nkey =").sees("Length to file to").screen()), in_round);
    let dir = bench.into_dir();
    let care = Workshop::from(Rack::open(dir.path().join("data")).unwrap());
    let mut out = Vec::new();
    plain::run(
        &care,
        "why twelve\nwhy twelve 2\nwhy nobody\ntwelve\nwhy\nwhy 2\nwhy 99\nlesson 6\n0.1\n0.088\nsheet\n".as_bytes(),
        &mut out,
        start,
        "",
        false,
    )
    .unwrap();
    let said = String::from_utf8(out).unwrap();
    let (before, said) = said.split_once("why 3: ").unwrap();
    assert_eq!(shown(before.split("why 2: ").next().unwrap()), in_round, "before the round is taken up: {before}");
    let (_, said) = said.split_once("There is no loop nobody.").unwrap_or_else(|| panic!("{said}"));
    let first = said.split("why 2: ").next().unwrap();
    assert_eq!(shown(first), in_round, "{said}");
    for words in
        ["There is no why 99: the last is why", "Less than that.", "Right. 0.50 mm of length make 0.09 mm of height"]
    {
        assert!(said.contains(words), "{words}: {said}");
    }
    let sheet = said.split("How it was reckoned").nth(1).unwrap();
    for line in &in_round {
        assert!(sheet.contains(line), "{line}: {sheet}");
    }
}
