//! A loop's card and what was measured on it, line by line: read, changed, measured.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use super::intake::{read, until};
use crate::care::{self, Workshop};
use crate::chain::Profile;
use crate::coach::card::{Entry, fault, from_now_on};
use crate::coach::gauge::{Cell, Gauge};
use crate::round::Card;
use crate::units::clean::clean;

/// Typed in place of an entry's value: it is emptied.
const EMPTY: &str = "-";

/// Reads the card out and takes changes until Enter alone.
pub(super) fn card<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    let (mut card, profile) = match care.card_and_chain(tag) {
        Ok(found) => found,
        Err(error) => return talk.say(&error.to_string()),
    };
    let unit = talk.unit;
    let profiles = care.profiles().0;
    talk.say(&format!("Card of {}:", card.name))?;
    talk.say_all(
        Entry::ALL
            .into_iter()
            .map(|entry| format!("  {}, {}: {}", entry.key(), entry.label(), told(entry, &card, unit))),
    )?;
    let named = |line: &str| match (line.is_empty(), Entry::named(&line.to_lowercase())) {
        (true, _) => Ok(None),
        (false, Some(entry)) => Ok(Some(entry)),
        (false, None) => {
            let words = Entry::ALL.map(Entry::key).join(", ");
            Err(format!("There is no entry {line}. Allowed: {words}."))
        }
    };
    while let Some(Some(entry)) = until(talk, "Entry to change, by the word before it (Enter: leave the card)", named)?
    {
        talk.say(&entry.hint(profile.spec(), unit))?;
        if entry == Entry::Chain {
            talk.say_all(profiles.iter().map(|profile| format!("  {}: {}", profile.name, profile.title)))?;
        }
        let question = format!("{} (Enter: leave it as it is, {EMPTY}: empty)", entry.label());
        let take = |line: &str| match line {
            "" => Ok(None),
            line => changed(&card, entry, if line == EMPTY { "" } else { line }, &profiles, unit).map(Some),
        };
        let Some(wish) = until(talk, &question, take)? else { break };
        let Some(wish) = wish else { continue };
        match care.change_card(&card, &wish, talk.now()) {
            Err(error) => talk.say(&error.to_string())?,
            Ok(kept) => {
                talk.say(&care::changed(&kept.changed))?;
                card = kept.card;
                let said = format!("{} is now {}.", entry.label(), told(entry, &card, unit));
                talk.say(&format!("{said} {}", from_now_on(&card)))?;
                talk.say_all(kept.unnoted)?;
            }
        }
    }
    Ok(())
}

fn changed(
    card: &Card,
    entry: Entry,
    line: &str,
    profiles: &[Profile],
    unit: crate::units::Unit,
) -> Result<Card, String> {
    let wish = read(card, entry, line, profiles, unit)?;
    fault(&wish, unit).map_or_else(|| Ok(wish), |(_, why)| Err(why))
}

/// What an entry holds, for the ear.
fn told(entry: Entry, card: &Card, unit: crate::units::Unit) -> String {
    let value = entry.show(card, unit);
    match (value.is_empty(), entry.unit(unit)) {
        (true, _) => "empty".to_owned(),
        (false, "") => clean(&value),
        (false, name) => format!("{value} {name}"),
    }
}

/// Takes cutters measured for reach and plate gauge until Enter alone; each is kept as it is taken.
pub(super) fn gauge<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    tag: &str,
) -> Result<()> {
    let (card, profile) = match care.card_and_chain(tag) {
        Ok(found) => found,
        Err(error) => return talk.say(&error.to_string()),
    };
    let unit = talk.unit;
    let mut gauge = Gauge::new(card, profile, unit);
    for row in gauge.card.own.measured.clone() {
        let part = |label: &str, length: Option<crate::units::Millimetres>| {
            length.map(|length| format!(", {label} {}", unit.show_named(length))).unwrap_or_default()
        };
        let (reach, gap) = (part("reach", row.reach), part("plate gap", row.plate_gap));
        talk.say(&format!("Cutter of {}{reach}{gap}", unit.show_named(row.length)))?;
    }
    talk.say_all(gauge.found().into_iter().map(|(_, text)| text))?;
    let mut told = false;
    while let Some(typed) = row(talk, &gauge)? {
        let kept = match typed {
            None => gauge.without_last().map(Ok),
            Some(typed) => Some(gauge.with_row(typed.each_ref().map(String::as_str))),
        };
        match kept {
            None => talk.say("There is no row to take back.")?,
            Some(Err((cell, why))) => talk.say(&format!("{}: {why}", cell.label()))?,
            Some(Ok(wish)) => match care.change_card(&gauge.card, &wish, talk.now()) {
                Err(error) => talk.say(&error.to_string())?,
                Ok(kept) => {
                    told = true;
                    gauge.card = kept.card;
                    talk.say_all(kept.unnoted)?;
                    talk.say(&format!("Kept: {} measured.", gauge.card.own.measured.len()))?;
                    talk.say_all(gauge.found().into_iter().map(|(_, text)| text))?;
                }
            },
        }
    }
    let Some(plate) = gauge.plate_of(&gauge.card).filter(|_| told) else { return Ok(()) };
    let answer = talk.ask("Does this plate serve every loop of this chain type: yes, no (Enter: no)")?;
    if answer.is_some_and(|line| line.trim().eq_ignore_ascii_case("yes")) {
        let saved = gauge.profile_with(plate).map_err(|error| error.problem);
        let saved = saved.and_then(|profile| care.save_profile(&profile).map_err(|error| error.to_string()));
        let said = saved.map_or_else(|why| format!("Kept for this loop only: {why}"), |()| "Kept.".to_owned());
        talk.say(&said)?;
    }
    Ok(())
}

/// Asks for one cell until what is typed can be read; nothing at the end of input.
fn taken<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    gauge: &Gauge,
    cell: Cell,
    question: &str,
) -> Result<Option<String>> {
    while let Some(line) = talk.ask(question)?.map(|line| clean(&line)) {
        let is_word = cell == Cell::Length && matches!(line.as_str(), "back" | "/");
        match gauge.read(cell, &line) {
            Err(why) if !is_word => talk.tell(&format!("{}: {why}", cell.label()))?,
            _ => return Ok(Some(line)),
        }
    }
    Ok(None)
}

/// A row as typed, or `None` inside to take the last one back; nothing at the end.
#[allow(clippy::option_option, reason = "taken back, typed, or left: three ends of one question")]
fn row<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    gauge: &Gauge,
) -> Result<Option<Option<[String; 4]>>> {
    let mut typed: [String; 4] = std::array::from_fn(|_| String::new());
    for (cell, text) in Cell::ALL.into_iter().zip(0..) {
        let known = gauge.foot();
        let end = match cell {
            Cell::Length => " (Enter: done; back: take the last row out)".to_owned(),
            Cell::Foot if typed[2].is_empty() => break,
            Cell::Foot if !known.is_empty() => format!(" (Enter: {known})"),
            _ => " (Enter: none)".to_owned(),
        };
        let question = format!("{}, {}{end}", cell.label(), gauge.unit().name());
        let Some(line) = taken(talk, gauge, cell, &question)? else { return Ok(None) };
        match (cell, line.as_str()) {
            (Cell::Length, "") => return Ok(None),
            (Cell::Length, "back" | "/") => return Ok(Some(None)),
            (Cell::Foot, "") => typed[text] = known,
            _ => typed[text] = line,
        }
    }
    Ok(Some(Some(typed)))
}
