//! Bringing another data folder into this one, and choosing between what both say, line by line.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::{JoinWish, Workshop};
use crate::report::join as report;

/// Shows what bringing a folder in comes to, and does it after a yes.
pub(super) fn join<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    folder: &str,
) -> Result<()> {
    let join = match care.look_at(PathBuf::from(folder), JoinWish::default()) {
        Ok(join) => join,
        Err(error) => return talk.tell(&error.to_string()),
    };
    talk.say(report::preview(&join, talk.unit).trim_end())?;
    for (_, problem) in &join.refused {
        talk.say(&format!("Not taken: {problem}"))?;
    }
    if let Some(twice) = report::twice(&join) {
        return talk.tell(&format!("Nothing was joined. {} Say it with the command: evenbite join", twice.trim_end()));
    }
    if join.is_nothing() {
        return Ok(());
    }
    let Some(line) = talk.ask("Bring it in: yes or no")? else { return Ok(()) };
    if !matches!(line.trim().to_lowercase().as_str(), "y" | "yes") {
        return talk.tell("Nothing was written.");
    }
    let done = care.join(&join).context("cannot join the folder")?;
    for (_, problem) in &done.refused {
        talk.say(&format!("Left for the next join: {problem}"))?;
    }
    let asked = report::to_choose(care.asked_by(&join)).map(|asked| format!(" {asked} Type questions."));
    talk.tell(&format!("Joined.{}", asked.unwrap_or_default()))
}

/// Lists what is to be chosen and takes choices until there is none, or a line is empty.
pub(super) fn questions<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
) -> Result<()> {
    loop {
        let (asked, problems) = care.questions();
        for (_, problem) in &problems {
            talk.say(&format!("At fault: {problem}"))?;
        }
        if asked.is_empty() {
            return talk.tell("There is nothing to choose.");
        }
        talk.say(report::questions(&asked, talk.unit).trim_end())?;
        let Some(line) = talk.ask("Choice, such as 1a (Enter: none)")? else { return Ok(()) };
        if line.trim().is_empty() {
            return Ok(());
        }
        match report::chosen(&line, &asked) {
            Ok((question, choice)) => match care.choose(&asked[question], choice, talk.now()) {
                Ok(()) => talk.say("Kept.")?,
                Err(error) => talk.tell(&error.to_string())?,
            },
            Err(why) => talk.tell(&why)?,
        }
    }
}
