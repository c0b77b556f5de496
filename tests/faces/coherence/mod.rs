//! One figure, one function: what several places say of one round in one state is the same in all of them.
//!
//! Random rounds are played by keys in the real application (seeded: jumps, take-backs, damage found early and late, repair,
//! cutters left short or missing, readings left out, rejection, pauses, an imported round, a grinder, inches). On the way every place that
//! speaks of the loop is read from a copy of its folder, and the figures that they share are held against each other.
//!
//! The short form is part of `cargo test`. The long form: `COHERENCE_ROUNDS=500 cargo test --release --test faces coherence -- --nocapture`;
//! `COHERENCE_FROM=20` begins with the loop of that seed, and `COHERENCE_AT="seed 20, round 1, step 140"` prints all that is
//! said at a moment that was found.

mod figures;
mod hand;
mod kinds;
mod pairs;
mod phrases;
mod places;
mod plot;
mod tables;

use std::env;

use hand::Hand;
use kinds::Kinds;
use plot::Plot;

use crate::phrases::Book;

/// Rounds of the short form, and at how many of the steps everything is read.
const SHORT: (u64, usize) = (7, 24);

fn rounds() -> (u64, usize) {
    let asked = env::var("COHERENCE_ROUNDS").ok().and_then(|text| text.parse().ok());
    asked.map_or(SHORT, |rounds| (rounds, 5))
}

/// Plays loops round after round; hands every place's words on to `book`.
fn play(rounds: u64, every: usize, book: &mut Book, kinds: &mut Kinds) -> Vec<String> {
    let mut faults = Vec::new();
    let mut played = 0;
    let from = env::var("COHERENCE_FROM").ok().and_then(|text| text.parse().ok()).unwrap_or(1);
    for seed in from.. {
        if played >= rounds {
            break;
        }
        let mut hand = Hand::at(Plot::of(seed));
        for round in 0..hand.plot.rounds {
            if !hand.begin(round) {
                break;
            }
            let mut step = 0;
            while hand.step() {
                step += 1;
                if step % every == 0 {
                    let read = places::read(&hand);
                    faults.extend(told(&read, &format!("seed {seed}, round {round}, step {step}")));
                    book.hear(&read);
                }
            }
            let read = places::read(&hand);
            faults.extend(told(&read, &format!("seed {seed}, round {round}, at its end")));
            book.hear(&read);
            book.hear_round(&hand);
            kinds.count(&hand.plot, &hand.round());
            played += 1;
        }
    }
    faults
}

fn told(read: &places::Read, at: &str) -> Vec<String> {
    if env::var("COHERENCE_AT").is_ok_and(|wanted| wanted == at) {
        for told in &read.told {
            println!("-- {}\n{}\n", told.place, told.words);
        }
        println!("{}", read.sheet);
    }
    figures::faults(read).into_iter().map(|fault| format!("{at}: {fault}")).collect()
}

#[test]
fn shared_figures_agree_everywhere() {
    let (rounds, every) = rounds();
    let mut book = Book::default();
    let mut kinds = Kinds::default();
    let faults = play(rounds, every, &mut book, &mut kinds);
    println!("{}", kinds.text());
    book.hear_lists();
    assert!(faults.is_empty(), "places disagree {} times:\n{}", faults.len(), faults.join("\n"));
    assert!(kinds.never().is_empty(), "never played: {}", kinds.never().join(", "));
    if env::var_os("COHERENCE_ROUNDS").is_none() {
        insta::assert_snapshot!("phrases", book.text());
    }
}
