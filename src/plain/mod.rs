//! The plain face: the same round as a dialogue, one line asked, one line answered.
//!
//! What the room is for: pipes, scripts, screen readers and terminals without a cursor. It leads through the round with
//! the same coach and stores through the same record as the full-screen face. No escape sequence leaves it. The end of input
//! pauses the round.

mod card;
mod dialogue;
mod drills;
mod intake;
mod join;
mod keeps;
mod learn;
mod pages;
mod paper;
mod rack;
mod readings;
mod saw;
mod stops;
mod visit;
mod wish;

use std::io::{Read, Write};

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use crate::care::{Opened, Started, Workshop};
use crate::devices::{Lines, Speaker};
use crate::practice::{MARKED, Practice, Set};
use crate::round::Card;
use crate::units::Unit;
use dialogue::Dialogue;
pub use dialogue::{Hear, Heard};
use keeps::Keeps;

/// How the dialogue ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ended {
    /// The round is closed.
    Closed,
    /// The round waits; this is how to go on.
    Paused(String),
    /// It was practice: nothing of it is kept.
    Practised,
    /// Nothing was begun.
    Nothing,
}

/// Longest line of a script kept; more is not an answer.
const MOST: usize = 4096;

/// Leads through one round by a script. `data` is the option that names the data folder again, for the line that says how to
/// resume; `by_hand` is false where the lines come from a script.
///
/// # Errors
/// Where the record cannot be read or written, or the output is gone.
pub fn run(
    care: &Workshop,
    input: impl Read,
    output: impl Write,
    clock: impl Fn() -> DateTime<FixedOffset>,
    data: &str,
    by_hand: bool,
) -> Result<Ended> {
    let bench = Bench { input: Lines::new(input, MOST), output, clock, speech: None, by_hand, unit: Unit::Mm };
    lead(care, bench, data)
}

/// What the dialogue is led with.
#[derive(Debug)]
pub struct Bench<I, O, C> {
    /// Where lines come from.
    pub input: I,
    /// Where it prints.
    pub output: O,
    /// Time of what is typed.
    pub clock: C,
    /// A program that speaks.
    pub speech: Option<Speaker>,
    /// A person types, and an instrument that sends twice is asked about.
    pub by_hand: bool,
    /// Unit of what belongs to no round with a unit of its own.
    pub unit: Unit,
}

/// As [`run`], with all that may stand at a bench.
///
/// # Errors
/// As [`run`].
pub fn lead<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    bench: Bench<I, O, C>,
    data: &str,
) -> Result<Ended> {
    let by_hand = bench.by_hand;
    let mut talk = Dialogue::new(bench);
    let Some(card) = rack::choose_loop(care, &mut talk)? else { return Ok(Ended::Nothing) };
    let Some(started) = open_round(care, &card, &mut talk)? else { return Ok(Ended::Nothing) };
    let Started { round, mut coach, opening, .. } = started;
    coach.watch_doubles = by_hand;
    talk.tell(&opening.to_string())?;
    if opening.goes_on {
        talk.say(&coach.whose("hand NAME"))?;
    } else {
        talk.say("The round is begun. Type help for what else can be typed.")?;
    }
    dialogue::lead(care, &mut talk, coach, Keeps::Record(Box::new(round)), &how_to_resume(&card, data))
}

/// Leads through practice on a made-up loop. Nothing of it is kept.
///
/// # Errors
/// There is no such loop; the input cannot be read, or the output is gone.
pub fn practise<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    bench: Bench<I, O, C>,
    set: &Set,
) -> Result<Ended> {
    practise_by(care, &mut Dialogue::new(bench), set)
}

fn practise_by<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    set: &Set,
) -> Result<Ended> {
    let (practice, coach) = Practice::begin(set, talk.now())?;
    talk.tell(&format!("{MARKED} Enter alone takes a reading; what is true is told at the end. Type help for more."))?;
    dialogue::lead(care, talk, coach, Keeps::Practice(Box::new(practice)), "")
}

/// The command that goes on with a paused round.
fn how_to_resume(card: &Card, data: &str) -> String {
    format!("Go on with: evenbite{data} --plain, then loop {}", card.tag)
}

fn open_round(
    care: &Workshop,
    card: &Card,
    talk: &mut Dialogue<impl Hear, impl Write, impl Fn() -> DateTime<FixedOffset>>,
) -> Result<Option<Started>> {
    match care.open_loop(&card.tag, talk.now()).context("cannot open the loop's round")? {
        Opened::GoesOn(started) => Ok(Some(*started)),
        Opened::Free(free) => {
            let Some(header) = intake::intake(care, *free, talk)? else { return Ok(None) };
            Ok(Some(care.begin(&header).context("cannot begin the round")?))
        }
    }
}
