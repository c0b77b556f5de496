//! Drills by keys: the group, a set, what is told, and the record that stands for it.

use crate::played::{Bench, COLOUR};
use evenbite::tui::theme::{Colours, Glyphs, Role, Theme};

/// A bench at the list of a new learner's drills.
fn list() -> Bench {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run("key Esc\nkey Esc\nkey d\n").sees("Who is at the bench?");
    bench.run("enter Ada Moos\n").sees("Which drill?");
    bench
}

#[test]
fn a_set_is_told_at_each_and_kept_when_it_is_left() {
    let mut bench = list();
    bench.run("enter 4\nkey Enter\nkey Enter\n").sees("Hold the angle, cutter 1 of 12, left side");
    bench.run("enter 35\n").sees("Cutter 1: miss, 5.0 degrees too large.");
    bench.run("enter 30\nenter 36\n").sees("Before you are told");
    bench.run("key /\n").sees("cutter 3 of 12");
    bench.run("type 99\nkey Enter\n").sees("Expected: 1 to 89 degrees.");
    bench.run("key / Esc\n").sees("Hold the angle, set 1, told at each: under way");
    bench.run("enter 1\n").sees("goes on where it was left").sees("cutter 3 of 12");
    bench.run("key *\n").sees("the set does not count").sees("Which drill?");
    let learner = bench.rack().learners().learners.remove(0);
    assert!(learner.sets[0].broken_off && learner.header.name == "Ada Moos");
}

#[test]
fn the_group_is_no_ranking_and_shows_nobody_in_red() {
    let dir = crate::scratch::folder();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop/learners");
    crate::rehearse::copy(&demo, &dir.path().join("data/learners"));
    let full = Theme::new(Colours::Full, Glyphs::Unicode);
    let mut bench = Bench::over(dir, (80, 24), full);
    bench.run("key Esc Esc d\n").sees("Who is at the bench?").sees("Needs a look");
    let screen = bench.screen().to_lowercase();
    for never in ["rank", "average", "fail", "competent", "best", "worst", "grade", "score", "probab", "seconds"] {
        assert!(!screen.contains(never), "{never}\n{screen}");
    }
    let order: Vec<usize> = ["runa", "osk", "pia", "lenn"].iter().filter_map(|name| screen.find(name)).collect();
    assert!(order.len() == 4 && order.is_sorted(), "{screen}");
    let bad = full.style(Role::Bad).fg.filter(|bad| Some(*bad) != full.style(Role::Text).fg);
    let cells = bench.play.terminal().backend().buffer().content().to_vec();
    assert!(bad.is_some() && cells.iter().all(|cell| Some(cell.fg) != bad), "{screen}");
    // In a small window the rest is scrolled to; blanked, nothing of anybody is left.
    bench.run("key F5");
    let blank = bench.screen();
    assert!(["Runa", "Osk", "Pia", "Lenn", "Ina", "set "].iter().all(|word| !blank.contains(word)), "{blank}");
    bench.run("key F5\nenter RUNA\n").sees("This goes on with the drills of Runa");
}

#[test]
fn filing_stops_at_the_mark_and_what_is_refused_is_typed_anew() {
    let bench = Bench::new((80, 24), COLOUR);
    let lines = format!("drills\nAda\n1\n\n0\n{}0\n", "7.51\n".repeat(18));
    let care = evenbite::care::Workshop::from(bench.rack());
    evenbite::plain::run(&care, lines.as_bytes(), Vec::new(), crate::played::start, "", false).unwrap();
    let mut bench = bench;
    bench.run("key Esc\nkey d\nenter 1\nenter 5\nenter 0.01\nenter 6\nenter 6.2\n").sees("past the witness mark");
    // The whole of why fits the window, and the next figure takes the refused one's place.
    bench.sees("6.00 mm");
    bench.run("enter 6.6\nenter 2\nenter 5.99\n").sees("STOP");
    bench.run("key *\n").sees("the set does not count");
    assert!(!bench.screen().contains("goes on with the drills"), "{}", bench.screen());
    assert_eq!(bench.rack().learners().learners[0].sets.iter().filter(|set| set.broken_off).count(), 1);
}

#[test]
fn two_numbers_hold_two_people_against_each_other() {
    let bench = Bench::new((80, 24), COLOUR);
    for (name, off) in [("Ada", 0), ("Ben", 6)] {
        let lengths: String = (0..18).map(|n| format!("7.{}\n", 50 + off + n * 7 % 4)).collect();
        let lines = format!("drills\n{name}\n1\n\n0\n{lengths}0\n");
        let care = evenbite::care::Workshop::from(bench.rack());
        evenbite::plain::run(&care, lines.as_bytes(), Vec::new(), crate::played::start, "", false).unwrap();
    }
    let mut bench = bench;
    bench.run("key Esc\nkey d\nenter 1+2\n").sees("Practice, not for a saw: Ada and Ben on one loop");
    bench.sees("reads 0.060 mm more on average.");
    bench.run("key Esc\nenter 1+\n").sees("Type two numbers or names with + between them.");
}

#[test]
fn filing_waits_and_the_instructor_chooses_how_soon_is_told() {
    let mut bench = list();
    bench.run("enter 5\n").sees("pass Measure twice first");
    bench.run("enter 4\nkey *\nkey t\n").sees("told only where it is a miss: chosen by the instructor");
    bench.run("enter 9\n").sees("a number from 1 to 7");
    bench.run("key Esc\nenter 7\n").sees("Expected: a number from 1 to 1, or a name.");
}
