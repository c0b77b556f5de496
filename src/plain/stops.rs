//! Taking a loop out of care and giving one back, line by line.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::Workshop;
use crate::units::clean::clean;

/// Gives a loop back to the bench: what holds it is said first, then it asks who does so and what was put right.
pub(super) fn release<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    match care.before_releasing(tag) {
        Err(error) => return talk.say(&error.to_string()),
        Ok(why) => talk.say(&why)?,
    }
    let Some(by) = words(talk, "Who releases it (Enter: leave it)")? else { return Ok(()) };
    let Some(replaced) = words(talk, "What was replaced or put right (Enter: leave it)")? else { return Ok(()) };
    let done = care.release(tag, &by, &replaced, talk.now());
    talk.say(&done.unwrap_or_else(|error| error.to_string()))
}

/// Takes a loop out of care: what that would lose is said before the reason is asked.
pub(super) fn scrap<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    match care.before_scrapping(tag) {
        Err(error) => return talk.say(&error.to_string()),
        Ok(lost) => talk.say(&lost)?,
    }
    let Some(reason) = words(talk, "Why (Enter: leave it in care)")? else { return Ok(()) };
    let done = care.scrap(tag, &reason, talk.now());
    talk.say(&done.unwrap_or_else(|error| error.to_string()))
}

/// Some words; `None` for Enter alone and at the end of input.
fn words<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
) -> Result<Option<String>> {
    Ok(talk.ask(question)?.map(|line| clean(&line)).filter(|line| !line.is_empty()))
}
