//! A whole round in the window of a telephone held upright.

use evenbite::round::{Closing, Phase};

use crate::played::{Bench, COLOUR, intake, measured, sound};

/// The stage that the round stands at is on the screen, and so is the loop.
fn stands(bench: &Bench) {
    let (screen, stage) = (bench.screen(), bench.round().step().phase.short().to_uppercase());
    assert!(screen.contains(&format!("[{stage}]")) && screen.contains("Twelve"), "{stage}\n{screen}");
}

#[test]
fn a_whole_round_is_led_and_the_stage_always_shown() {
    let mut bench = Bench::new((40, 20), COLOUR);
    bench.run(&intake(20, 0, 0)).run(&sound());
    stands(&bench);
    bench.run(&measured(10));
    stands(&bench);
    bench.run("key Enter\n");
    stands(&bench);
    let filed = "enter 7.92\n".repeat(5);
    bench.run(&filed);
    stands(&bench);
    bench.run("key Enter\n").run(&filed);
    stands(&bench);
    bench.run("enter 1\n").run(&"enter 0.66\n".repeat(10));
    stands(&bench);
    assert_eq!(bench.round().step().phase, Phase::Prove);
    bench.run("key Enter\nenter 0\nkey Enter\nkey Enter\nenter 1\n");
    assert_eq!(bench.round().closed, Some(Closing::Signed), "{}", bench.screen());
}

#[test]
fn the_rack_keeps_every_name() {
    let mut bench = Bench::new((40, 20), COLOUR);
    bench.run(&intake(20, 0, 0)).run("key *\n");
    bench.sees("> Twelve").sees("goes on with the open round");
}
