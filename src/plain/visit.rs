//! A customer's loop, line by line: when it is promised, who brought it, who fetched it.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset, NaiveDate};

use super::dialogue::{Dialogue, Hear};
use crate::care::{self, Workshop};
use crate::round::{Card, Visit};
use crate::units::clean::clean;
use crate::units::day::day;

/// What empties an earlier answer.
const NONE: &str = "-";

/// Asks for the stay of a loop, each question with its earlier answer; the card is written at the end, or not at all.
pub(super) fn visit<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    let card = match care.card(tag) {
        Err(error) => return talk.say(&error.to_string()),
        Ok(card) => card,
    };
    let was = &card.visit;
    talk.say(&format!("{}. Enter keeps an answer, {NONE} empties it.", clean(&card.name)))?;
    loop {
        let Some(promised) = ask_day(talk, "Promised for a day, such as 2026-12-05 or +7", was.promised)? else {
            return Ok(());
        };
        let Some(brought_by) = ask_name(talk, "Brought by", &was.brought_by)? else { return Ok(()) };
        let Some(brought) = ask_day(talk, "Brought on", was.brought)? else { return Ok(()) };
        let Some(fetched_by) = ask_name(talk, "Fetched by", &was.fetched_by)? else { return Ok(()) };
        let Some(fetched) = ask_day(talk, "Fetched on", was.fetched)? else { return Ok(()) };
        let typed = Visit { promised, brought_by, brought, fetched_by, fetched, before: Vec::new() };
        let visit = match was.typed_over(typed, talk.now().date_naive()) {
            Ok(visit) => visit,
            Err(error) => {
                talk.say(&error.to_string())?;
                continue;
            }
        };
        return match care.change_card(&card, &Card { visit, ..card.clone() }, talk.now()) {
            Err(error) => talk.say(&error.to_string()),
            Ok(kept) => {
                talk.say(format!("{} The card is kept.", care::changed(&kept.changed)).trim_start())?;
                talk.say_all(kept.unnoted)
            }
        };
    }
}

/// A question with its earlier answer.
fn with(question: &str, was: &str) -> String {
    if was.is_empty() { question.to_owned() } else { format!("{question} (Enter: {was})") }
}

/// Some words or none; `None` at the end of input.
fn ask_name<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
    was: &str,
) -> Result<Option<String>> {
    let Some(line) = talk.ask(&with(question, was))? else { return Ok(None) };
    Ok(Some(match clean(&line).as_str() {
        "" => was.to_owned(),
        NONE => String::new(),
        name => name.to_owned(),
    }))
}

/// A day or none; `None` at the end of input.
#[expect(clippy::option_option, reason = "no day is an answer, the end of input is none")]
fn ask_day<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
    was: Option<NaiveDate>,
) -> Result<Option<Option<NaiveDate>>> {
    let question = with(question, &was.map(|day| day.to_string()).unwrap_or_default());
    loop {
        let Some(line) = talk.ask(&question)? else { return Ok(None) };
        match line.trim() {
            "" => return Ok(Some(was)),
            NONE => return Ok(Some(None)),
            text => match day(text, talk.now().date_naive()) {
                Ok(day) => return Ok(Some(day)),
                Err(error) => talk.say(&error.to_string())?,
            },
        }
    }
}
