//! A grinder is led by its own words, set on a cutter of the hand being ground, and checked before the rest is ground.

use super::asks;
use crate::played::{Bench, COLOUR, intake, measured, sound};

/// At the stop; cutter 4, a right one, is the shortest, and cutter 3 can be left short.
fn to_grind(readings: usize) -> Bench {
    let mut bench = Bench::new((100, 40), COLOUR);
    bench.run(&intake(20, 1, readings)).run(&sound()).run(&measured(10)).run("enter");
    bench
}

#[test]
fn the_stop_is_set_on_a_cutter_of_the_hand_that_is_ground() {
    let mut bench = to_grind(0);
    bench.sees("Set the stop on a cutter of this hand").sees("set it on: cutter 5, the shortest left one");
    bench.sees("top-plate angle").sees("head tilt: as the chain's maker states");
    assert!(!bench.screen().contains("round file"), "{}", bench.screen());
    bench.run("enter\nenter").sees("Swing the head").sees("cutter 10, the shortest right one");
}

#[test]
fn the_round_stops_at_a_trial_cutter_that_is_out() {
    let mut bench = to_grind(0);
    bench.run("enter\nenter\nenter").sees("Cutter 2, right");
    bench.run("enter 8.50\n");
    if bench.screen().contains("keeps it") {
        bench.run("key *");
    }
    bench.sees("LONG: cutter 2").sees("set the stop for it and grind it again now");
    assert!(!bench.screen().contains("Grind the rest"), "{}", bench.screen());
    bench.run("enter 3").sees("Grind it again to 7.90 mm");
    bench.run("enter 7.92\nenter 7.92").sees("Grind the rest");
}

#[test]
fn who_wants_all_readings_is_asked_for_all() {
    let mut bench = to_grind(3);
    bench.run("enter\nenter\nenter").sees("Cutter 2, right");
    bench.run("enter 7.92");
    assert_eq!(asks(&bench.round()), "2 top-plate angle");
    bench.run("enter 30\nenter 7.92\nenter 30").sees("Grind the rest").run("enter");
    // Every cutter, not a sample of them.
    for _ in 0..8 {
        assert!(asks(&bench.round()).ends_with("length after"), "{}", bench.screen());
        bench.run("enter 7.92\nenter 30");
    }
    assert_eq!(asks(&bench.round()), "rule");
}

#[test]
fn a_cutter_left_short_is_not_ground() {
    let mut bench = Bench::new((100, 40), COLOUR);
    bench.run(&intake(20, 1, 0)).run(&sound()).run("enter 8.00\nenter 8.01\nenter 7.20\n");
    if bench.screen().contains("keeps it") {
        bench.run("key *");
    }
    bench.run(&"enter 8.02\n".repeat(7));
    if bench.screen().contains("measure it again") {
        bench.run("enter 0");
    }
    bench
        .run("enter 7.90\nkey *")
        .sees("1 left short")
        .run("enter")
        .sees("Grind every cutter")
        .sees("Not cutter 3, left short");
}
