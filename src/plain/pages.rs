//! What can be read of a loop, a saw or a chain: one fact per line.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::care::{Filter, GapRange, Listing, Sort, Workshop};
use crate::coach::glossary::WORDS;
use crate::coach::{Coach, NOTHING_RECKONED};
use crate::units::Unit;

/// Something to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Page {
    /// All that the rack knows of a loop.
    About,
    /// Its rounds and what is left.
    History,
    /// The sheet of its last round.
    Sheet,
    /// The same for its owner.
    Owner,
    /// Its raker gap by cutter length.
    Gaps,
    /// Its tag.
    Tag,
}

impl Page {
    /// The page of a word.
    pub(super) fn named(word: &str) -> Option<Self> {
        Some(match word {
            "about" => Self::About,
            "history" => Self::History,
            "sheet" => Self::Sheet,
            "owner" => Self::Owner,
            "gaps" => Self::Gaps,
            "tag" => Self::Tag,
            _ => return None,
        })
    }

    fn facts(self, care: &Workshop, tag: &str, unit: Unit, now: DateTime<FixedOffset>) -> Result<Vec<String>, String> {
        match self {
            Self::About => {
                let of = |filter| {
                    care.listed(&Listing { filter, sort: Sort::Name, find: String::new() }, now).only(tag).facts()
                };
                let facts = of(Filter::InCare);
                Ok(if facts.is_empty() { of(Filter::Scrapped) } else { facts })
            }
            Self::History => Ok(care.history(tag).map_err(|error| error.to_string())?.facts(unit)),
            Self::Sheet => Ok(care.sheet(tag, None).map_err(|error| error.to_string())?.facts()),
            Self::Owner => Ok(care.sheet(tag, None).map_err(|error| error.to_string())?.owner_facts()),
            Self::Gaps => {
                let (_, profile) = care.card_and_chain(tag).map_err(|error| error.to_string())?;
                let table = care.gaps(&profile, Some(tag), &GapRange::of(unit, None));
                Ok(table.map_err(|error| error.to_string())?.facts(unit))
            }
            Self::Tag => {
                let tags = care.tags(&[tag.to_owned()], Filter::InCare, now).map_err(|error| error.to_string())?;
                Ok(tags.facts(unit))
            }
        }
    }
}

/// Prints a page of a loop.
pub(super) fn show<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    page: Page,
    tag: &str,
) -> Result<()> {
    match page.facts(care, tag, talk.unit, talk.now()) {
        Ok(facts) => talk.say_all(facts),
        Err(why) => talk.say(&why),
    }
}

/// Prints how a figure was reckoned, and which others can be asked for.
pub(super) fn why<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    talk: &mut Dialogue<I, O, C>,
    coach: &Coach,
    at: usize,
) -> Result<()> {
    let (all, unit) = (coach.reckonings(), coach.round.header.units);
    match all.get(at - 1) {
        Some(reckoning) => reckoning.told(unit).paragraphs().iter().try_for_each(|line| talk.say(line))?,
        None if all.is_empty() => talk.say(NOTHING_RECKONED)?,
        None => talk.say(&format!("There is no why {at}: the last is why {}.", all.len()))?,
    }
    let others = (1..).zip(&all).filter(|(number, _)| *number != at);
    let others: Vec<String> = others.map(|(number, one)| format!("why {number}: {}", one.subject.name())).collect();
    others.iter().try_for_each(|line| talk.say(&format!("  {line}")))
}

/// The loops that a filter lets through, a line each.
pub(super) fn rack<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
    filter: Filter,
) -> Result<()> {
    let lines = care.listed(&Listing { filter, sort: Sort::Name, find: String::new() }, talk.now()).lines();
    if lines.is_empty() {
        return talk.say(&format!("No loop is {}.", filter.word()));
    }
    talk.say_all(lines)
}

/// The trade words, a line each.
pub(super) fn words<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(talk: &mut Dialogue<I, O, C>) -> Result<()> {
    talk.say_all(WORDS.iter().map(|(word, meaning)| format!("{word}: {meaning}")))
}
