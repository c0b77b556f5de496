//! Lessons by keys: left, the program ended, taken up again.

use crate::played::{Bench, MONO};

#[test]
fn a_lesson_is_resumed_after_leaving_the_program() {
    let mut bench = Bench::new((80, 24), MONO);
    // The third lesson, two guesses that are too small; the program is left in the middle of it.
    bench.run("key F3 Enter Down Down Enter\nenter 0.2\nenter 0.2\n").sees("More than that. Guess again.");
    bench.run("key Ctrl-C");
    let mut again = Bench::over(bench.into_dir(), (80, 24), MONO);
    again.run("key F3 Enter Enter\n").sees("The rocking cutter");
    // The third guess, which tells by how much, is counted on from there.
    again.run("enter 0.2\n").sees("Not yet: ");
}

#[test]
fn over_the_drills_of_a_learner_they_are_the_learners() {
    let mut bench = Bench::new((80, 24), MONO);
    bench.run("key Esc Esc d\nenter Ada Moos\nkey F3 Enter Enter\nenter 3.69\nkey Esc Esc\n").sees("Which drill?");
    let kept = std::fs::read_to_string(bench.rack().root().join("lessons.toml")).unwrap();
    assert!(kept.contains("by = \"Ada Moos\"") && kept.contains("shrinks"), "{kept}");
}
