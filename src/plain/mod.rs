//! The plain face: the same round as a dialogue, one line asked, one line answered.
//!
//! What the room is for: pipes, scripts, screen readers and terminals without a cursor. It leads through the round with
//! the same coach and stores through the same record as the full-screen face. No escape sequence leaves it. The end of input
//! pauses the round.

mod dialogue;
mod intake;
mod saw;
mod stops;
mod wish;

use std::io::{BufRead, Write};

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use crate::care::Workshop;
use crate::record::RoundFile;
use crate::round::{Card, Event};
use dialogue::Dialogue;

/// How the dialogue ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ended {
    /// The round is closed.
    Closed,
    /// The round waits; this is how to go on.
    Paused(String),
    /// Nothing was begun.
    Nothing,
}

/// Leads through one round. `data` is the option that names the data folder again, for the line that says how to
/// resume; `by_hand` is false where the lines come from a script.
///
/// # Errors
/// Where the record cannot be read or written, or the output is gone.
pub fn run(
    care: &Workshop,
    input: impl BufRead,
    output: impl Write,
    clock: impl Fn() -> DateTime<FixedOffset>,
    data: &str,
    by_hand: bool,
) -> Result<Ended> {
    let mut talk = Dialogue::new(input, output, clock);
    let Some(card) = intake::choose_loop(care, &mut talk)? else { return Ok(Ended::Nothing) };
    let Some((file, round, opening)) = open_round(care, &card, &mut talk)? else { return Ok(Ended::Nothing) };
    let mut coach = care.coach(&card, round);
    coach.watch_doubles = by_hand;
    talk.say(&opening)?;
    dialogue::lead(care, &mut talk, coach, file, &how_to_resume(&card, data))
}

/// The command that goes on with a paused round.
fn how_to_resume(card: &Card, data: &str) -> String {
    format!("Go on with: evenbite{data} --plain, then loop {}", card.tag)
}

type Started = (RoundFile, crate::round::Round, String);

fn open_round(
    care: &Workshop,
    card: &Card,
    talk: &mut Dialogue<impl BufRead, impl Write, impl Fn() -> DateTime<FixedOffset>>,
) -> Result<Option<Started>> {
    let (history, _) = care.rack().history(&card.tag).context("cannot read the loop's history")?;
    if history.open().is_some() {
        let now = talk.now();
        let (mut file, mut round, recovered) =
            care.rack().resume(&card.tag, now.to_utc()).context("cannot resume the round")?;
        let ack = file.append(now, &Event::Resumed {}, None).context("cannot go on with the round")?;
        round.apply(ack.entry);
        let opening = recovered.map_or_else(
            || "Going on where you stopped.".to_owned(),
            |found| {
                format!("The last write was cut off: {} bytes set aside, every stored reading is here.", found.bytes)
            },
        );
        return Ok(Some((file, round, opening)));
    }
    let Some(header) = intake::intake(care, card, &history, talk)? else { return Ok(None) };
    let (file, round) = care.rack().begin_round(&header).context("cannot begin the round")?;
    Ok(Some((file, round, "The round is begun. Type help for what else can be typed.".to_owned())))
}
