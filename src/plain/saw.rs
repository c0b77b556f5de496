//! The checks of a saw, line by line.

use std::io::Write;

use anyhow::{Result, anyhow};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::{Workshop, not_stored};
use crate::coach::saw::Checklist;
use crate::saw::{Part, Piece, Saw, SawEvent};
use crate::units::clean::clean;
use crate::units::{Unit, figure};

/// Asks check by check and stores what was found; nothing where nothing was looked at. The end of input stores what there is.
pub(super) fn look<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
    with: Option<&str>,
    unit: Unit,
) -> Result<Option<Saw>> {
    let known = match care.known_saw(name) {
        Ok(known) => known,
        Err(error) => {
            talk.say(&error.to_string())?;
            return Ok(None);
        }
    };
    ask_all(care, talk, name, with, Checklist::new(name, with.map(str::to_owned), unit, known))
}

/// Asks check by check.
fn ask_all<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
    with: Option<&str>,
    mut list: Checklist,
) -> Result<Option<Saw>> {
    talk.say("Instead of an answer: back, note TEXT, or enough to leave the rest.")?;
    while let Some(prompt) = list.prompt() {
        talk.tell(&format!("{}. {}", prompt.place, prompt.question))?;
        for fact in &prompt.facts {
            talk.say(&format!("  {fact}"))?;
        }
        talk.say_all(prompt.choices.iter().map(|(key, meaning)| format!("  {key}  {meaning}")))?;
        let question = format!("{}; Enter: {}", prompt.field, prompt.enter);
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
    store(care, talk, name, with, &list)
}

/// Stores what was found, and says what it means.
fn store<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
    with: Option<&str>,
    list: &Checklist,
) -> Result<Option<Saw>> {
    let events = list.events();
    if events.is_empty() {
        talk.say("Nothing was looked at: nothing is stored.")?;
        return Ok(None);
    }
    let stored = care.store_saw(name, with, &events, talk.now());
    let (saw, more) = stored.map_err(|error| anyhow!(not_stored(&error)))?;
    for said in more {
        talk.say(&said)?;
    }
    for fault in crate::advice::saw::faults(&saw) {
        talk.tell(&format!("{} {} {}", fault.words(list.unit()), fault.effect(), fault.remedy()))?;
    }
    Ok(Some(saw))
}

/// What can be typed on a saw's page.
const WAYS: &str = "look, warm, new bar, new sprocket, limit LENGTH, note TEXT, back";

/// Reads a saw's page out, of a name or of the loop that runs on it, and takes what is to be stored of it until Enter alone.
pub(super) fn page<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    named: &str,
) -> Result<()> {
    let of_loop = care.tag_of(named).ok().and_then(|tag| care.card(&tag).ok()).map(|card| card.saw);
    let name = match of_loop {
        Some(saw) if saw.is_empty() => return talk.tell("The loop's card names no saw. Type saw and the saw's name."),
        Some(saw) => saw,
        None => clean(named),
    };
    let unit = talk.unit;
    match care.saw_report(&name) {
        Ok(report) => talk.say_all(report.facts(unit))?,
        Err(error) => return talk.tell(&error.to_string()),
    }
    while let Some(line) = talk.ask(&format!("{WAYS} (Enter: leave the saw)"))? {
        let line = clean(&line);
        let (word, rest) = line.split_once(' ').unwrap_or((line.as_str(), ""));
        let event = match (word.to_lowercase().as_str(), rest.trim()) {
            ("", _) => break,
            ("look", _) => {
                look(care, talk, &name, None, unit)?;
                continue;
            }
            ("warm", _) => {
                let known = care.known_saw(&name).ok().flatten();
                ask_all(care, talk, &name, None, Checklist::warm(&name, unit, known))?;
                continue;
            }
            ("new", "bar") => SawEvent::Renewed { piece: Piece::Bar },
            ("new", "sprocket") => SawEvent::Renewed { piece: Piece::Sprocket },
            ("note", text) if !text.is_empty() => SawEvent::Note { text: text.to_owned() },
            ("limit", text) => {
                let (_, low, high) = Part::Sprocket.figure().unwrap_or_default();
                match figure::length(text, unit, (low, high)) {
                    Ok(mm) => SawEvent::Limit { part: Part::Sprocket, mm },
                    Err(why) => {
                        talk.tell(&why)?;
                        continue;
                    }
                }
            }
            ("back", _) => {
                match care.known_saw(&name).ok().flatten().and_then(|saw| saw.standing().last().map(|entry| entry.seq))
                {
                    Some(target) => SawEvent::Void { target },
                    None => {
                        talk.tell("There is nothing to take back.")?;
                        continue;
                    }
                }
            }
            _ => {
                talk.tell(&format!("Allowed: {WAYS}."))?;
                continue;
            }
        };
        match care.store_saw(&name, None, &[event], talk.now()) {
            Ok((_, more)) => {
                talk.tell("Stored.")?;
                talk.say_all(more)?;
            }
            Err(error) => talk.tell(&not_stored(&error))?,
        }
    }
    Ok(())
}
