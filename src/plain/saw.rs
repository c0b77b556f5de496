//! The checks of a saw, line by line.

use std::io::Write;

use anyhow::{Result, anyhow};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::{Workshop, not_stored};
use crate::coach::saw::Checklist;
use crate::saw::Saw;
use crate::units::Unit;

/// Asks check by check and stores what was found; nothing where nothing was looked at. The end of input stores what there is.
pub(super) fn look<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
    with: &str,
    unit: Unit,
) -> Result<Option<Saw>> {
    let known = match care.known_saw(name) {
        Ok(known) => known,
        Err(error) => {
            talk.say(&error.to_string())?;
            return Ok(None);
        }
    };
    let mut list = Checklist::new(name, Some(with.to_owned()), unit, known);
    talk.say("Instead of an answer: back, note TEXT, or enough to leave the rest.")?;
    while let Some(prompt) = list.prompt() {
        let facts = if prompt.facts.is_empty() { String::new() } else { format!(" ({})", prompt.facts.join(", ")) };
        talk.say(&format!("{}. {}{facts}", prompt.place, prompt.question))?;
        let choices: Vec<String> = prompt.choices.iter().map(|(key, meaning)| format!("{key} {meaning}")).collect();
        let choices = if choices.is_empty() { String::new() } else { format!(" ({})", choices.join(", ")) };
        let question = format!("{}{choices}; Enter: {}", prompt.field, prompt.enter);
        let Some(line) = talk.ask_by(&question, &|line| list.may_be_sent(line))? else { break };
        let (word, rest) = line.trim().split_once(char::is_whitespace).unwrap_or((line.trim(), ""));
        match word.to_lowercase().as_str() {
            "back" | "/" => list.back(),
            "enough" | "*" => break,
            "note" => list.note(rest),
            _ => {
                if let Err(why) = list.answer(&line) {
                    talk.say(&why)?;
                }
            }
        }
    }
    let events = list.events();
    if events.is_empty() {
        talk.say("Nothing was looked at: nothing is stored.")?;
        return Ok(None);
    }
    let stored = care.store_saw(name, Some(with), &events, talk.now());
    let (saw, more) = stored.map_err(|error| anyhow!(not_stored(&error)))?;
    for said in more {
        talk.say(&said)?;
    }
    for fault in crate::advice::saw::faults(&saw) {
        talk.say(&format!("{} {} {}", fault.words(unit), fault.effect(), fault.remedy()))?;
    }
    Ok(Some(saw))
}
