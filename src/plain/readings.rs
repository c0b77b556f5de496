//! Readings from a file, line by line: what it does not say itself is asked, what it holds is shown, one word takes it.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::intake::{one_of, until};
use crate::care::Workshop;
use crate::care::files::{ReadFile, Then, Wish, measured_at, read_named};
use crate::chain::Wood;
use crate::coach::card::links;
use crate::report::import::lines;
use crate::round::Tool;
use crate::units::Unit;
use crate::units::clean::slug;

/// Reads a file, asks, shows and takes.
pub(super) fn import<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    name: &str,
) -> Result<()> {
    if name.is_empty() {
        return talk
            .say("Type import and the file, such as import readings.csv. It is a table: a header, a row per cutter.");
    }
    let file = match read_named(name, talk.now()) {
        Ok(file) => file,
        Err(why) => return talk.say(&why),
    };
    let Some(wish) = ask(care, talk, &file)? else { return talk.say(NOTHING) };
    let look = match care.look(&file.text, &wish) {
        Ok(look) => look,
        Err(error) => {
            talk.say(&error.to_string())?;
            return talk.say(NOTHING);
        }
    };
    talk.say_all(lines(&look, talk.unit).into_iter().map(|(_, line)| line))?;
    let (rows, refused) = (look.preview.rows.len(), look.preview.refused.len());
    if refused > 0 {
        let all =
            "Fix them in the file. Where a doubted reading is right, the command import takes it with --sure LINE.";
        talk.say(&format!("Rows refused: {refused}. {all}"))?;
        return talk.say(NOTHING);
    }
    let take = one_of(&[("no", false), ("yes", true)]);
    let question = format!("Take these {rows} rows: yes, no (Enter: no)");
    if until(talk, &question, take)? != Some(true) {
        return talk.say(NOTHING);
    }
    match care.take(&look) {
        Ok(_) if wish.then == Then::Keep => talk.say("The readings are on record as a past round."),
        Ok(_) => talk.say(&format!("The readings are on record. Type {} to go on with the round.", look.tag)),
        Err(error) => talk.say(&format!("{NOTHING} {error}")),
    }
}

const NOTHING: &str = "Nothing was taken.";

/// What the file does not say itself; nothing at the end of input.
fn ask<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    file: &ReadFile,
) -> Result<Option<Wish>> {
    let now = talk.now();
    let tagged = |line: &str| match slug(line) {
        Some(tag) => Ok((care.tag_of(line).unwrap_or(tag), line.to_owned())),
        None => Err("Type a name with at least one letter or digit.".to_owned()),
    };
    let Some((tag, name)) = until(talk, "Loop that was measured, by its tag or name", tagged)? else { return Ok(None) };
    let is_new = !care.taken_tags().contains(&tag);
    let (mut profile, mut count) = (None, None);
    if is_new {
        talk.say(&format!("{tag} is a new loop. Chain types:"))?;
        let profiles = care.profiles().0;
        talk.say_all(profiles.iter().map(|profile| format!("  {}: {}", profile.name, profile.title)))?;
        let known = |line: &str| match profiles.iter().find(|profile| profile.name == line) {
            Some(profile) => Ok(profile.name.clone()),
            None => Err(format!("There is no chain type {line}.")),
        };
        let Some(chain) = until(talk, "Chain", known)? else { return Ok(None) };
        let Some(number) = until(talk, "Drive links", links)? else { return Ok(None) };
        (profile, count) = (Some(chain), Some(number));
    }
    let mut unit = None;
    if !file.without_unit.is_empty() {
        let question = format!("{} does not say its unit: mm or inch", file.without_unit.join(", "));
        let named = |line: &str| match line.to_lowercase().as_str() {
            "mm" => Ok(Unit::Mm),
            "inch" | "in" | "inches" => Ok(Unit::Inch),
            _ => Err("It is never guessed. Allowed: mm, inch.".to_owned()),
        };
        let Some(answer) = until(talk, &question, named)? else { return Ok(None) };
        unit = Some(answer);
    }
    let whole = &file.whole;
    let mut person = None;
    if whole.person.is_none() {
        let named = |line: &str| if line.is_empty() { Err("Type a name.".to_owned()) } else { Ok(line.to_owned()) };
        let Some(answer) = until(talk, "Who measured", named)? else { return Ok(None) };
        person = Some(answer);
    }
    let kinds = [("open", Then::Resume), ("past", Then::Keep)];
    let question = "The round is open, to go on with, or past, only to be kept (Enter: open)";
    let Some(then) = until(talk, question, one_of(&kinds))? else { return Ok(None) };
    let mut measured = None;
    if whole.measured.is_none() {
        let day = |line: &str| if line.is_empty() { Ok(None) } else { measured_at(line, now).map(Some) };
        let Some(answer) = until(talk, "Measured on, such as 2026-03-01 (Enter: today)", day)? else { return Ok(None) };
        measured = answer.or_else(|| (then == Then::Keep).then_some(now));
    }
    let mut tool = None;
    if whole.tool.is_none() {
        let tools = [("file", Tool::File), ("grinder", Tool::Grinder)];
        let Some(answer) = until(talk, "Worked with file or grinder (Enter: file)", one_of(&tools))? else {
            return Ok(None);
        };
        tool = Some(answer);
    }
    let woods = [("any", Wood::Any), ("hardwood", Wood::Hardwood), ("softwood", Wood::SoftwoodNoFrost)];
    let question = "Wood: any, hardwood, softwood (only without frost) (Enter: any)";
    let Some(wood) = until(talk, question, one_of(&woods))? else { return Ok(None) };
    Ok(Some(Wish {
        tag,
        name,
        profile,
        unit,
        links: count,
        person,
        tool,
        wood,
        measured,
        then,
        file: file.name.clone(),
        sure: Vec::new(),
        now,
    }))
}
