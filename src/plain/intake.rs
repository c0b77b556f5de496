//! Taking a loop into care and beginning a round, line by line.

use std::cell::Cell;
use std::io::Write;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::advice::cautions;
use crate::care::{Free, RackError, Workshop};
use crate::chain::{Layout, Profile, Sequence, Side, Wood};
use crate::coach::card::{Entry, blank, fault, links};
use crate::coach::known_as;
use crate::round::{Card, Header, Tool, Trust};
use crate::units::Unit;
use crate::units::clean::{clean, slug};

/// Asks until an answer can be taken.
pub(super) fn until<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>, T>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
    take: impl Fn(&str) -> Result<T, String>,
) -> Result<Option<T>> {
    loop {
        let Some(line) = talk.ask(question)? else { return Ok(None) };
        match take(&clean(&line)) {
            Ok(value) => return Ok(Some(value)),
            Err(why) => talk.tell(&why)?,
        }
    }
}

/// One of a few words; Enter alone takes the first.
pub(super) fn one_of<T: Copy>(words: &[(&str, T)]) -> impl Fn(&str) -> Result<T, String> {
    move |line| {
        let line = line.to_lowercase();
        let found = if line.is_empty() {
            words.first()
        } else {
            words
                .iter()
                .find(|(word, _)| *word == line)
                .or_else(|| words.iter().find(|(word, _)| word.starts_with(&line)))
        };
        let names = || words.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ");
        found.map(|(_, value)| *value).ok_or_else(|| format!("Allowed: {}.", names()))
    }
}

/// One of a few words, asked for with what was answered last time; Enter alone takes that.
pub(super) fn usual<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>, T: Copy + PartialEq>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
    words: &[(&str, T)],
    was: Option<T>,
) -> Result<Option<T>> {
    let mut words = words.to_vec();
    let Some(at) = was.and_then(|was| words.iter().position(|(_, value)| *value == was)) else {
        return until(talk, question, one_of(&words));
    };
    words.swap(0, at);
    until(talk, &format!("{question} (Enter: {})", words[0].0), one_of(&words))
}

pub(super) fn new_loop<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
) -> Result<Option<Card>> {
    let tags = care.taken_tags();
    let named = |line: &str| match slug(line) {
        None => Err("Type a name with at least one letter or digit.".to_owned()),
        Some(tag) if tags.contains(&tag) => Err(RackError::TagTaken(tag).to_string()),
        Some(tag) => Ok((tag, line.to_owned())),
    };
    let Some((tag, name)) = until(talk, "Name of the loop", named)? else { return Ok(None) };
    let mut card = Card { tag, name, ..blank(talk.now()) };
    let (profiles, _) = care.profiles();
    talk.say("Chain types:")?;
    for profile in &profiles {
        talk.say(&format!("  {}  {}", profile.name, profile.title))?;
    }
    let unit = talk.unit;
    let chain = |line: &str| read(&card, Entry::Chain, line, &profiles, unit);
    let Some(with_chain) = until(talk, "Chain", chain)? else { return Ok(None) };
    card = with_chain;
    let asked = Cell::new(None);
    let whole = |line: &str| {
        let links = links(line)?;
        match Sequence::Full.unlikely(links).filter(|_| asked.replace(Some(links)) != Some(links)) {
            Some(why) => Err(format!("{why} Typed again, {links} is kept.")),
            None => Ok(links),
        }
    };
    let Some(links) = until(talk, "Drive links", whole)? else { return Ok(None) };
    card.links = links;
    let fits = |line: &str| -> Result<Sequence, String> {
        let sequence: Sequence = if line.is_empty() {
            Sequence::Full
        } else {
            line.parse().map_err(|e: crate::chain::layout::LayoutError| e.to_string())?
        };
        let sequence = sequence.over(links);
        Layout::new(links, &sequence, Side::Left).map(|_| sequence).map_err(|error| error.to_string())
    };
    let question =
        "Cutters: full, semi-skip, skip, or written as LR-LR-, all of it or the part that repeats (Enter: full)";
    let Some(sequence) = until(talk, question, fits)? else { return Ok(None) };
    card.sequence = sequence;
    for (entry, question) in [
        (Entry::First, "Cutter 1 is left or right (Enter: left)".to_owned()),
        (Entry::Gap, format!("Raker gap stamped on the chain, {} (Enter: none)", unit.name())),
        (Entry::Largest, format!("Largest gap that its maker allows, {} (Enter: not known)", unit.name())),
        (Entry::Kickback, "Is it a lower-kickback chain: yes, no (Enter: not known)".to_owned()),
        (Entry::Corner, "Working corner: round, square (Enter: not known)".to_owned()),
    ] {
        let take = |line: &str| {
            let taken = read(&card, entry, line, &profiles, unit)?;
            fault(&taken, unit).map_or_else(|| Ok(taken), |(_, why)| Err(why))
        };
        let Some(taken) = until(talk, &question, take)? else { return Ok(None) };
        card = taken;
    }
    care.create_loop(&card).context("cannot take the loop into care")?;
    Ok(Some(card))
}

/// The card with what was typed for an entry.
pub(super) fn read(card: &Card, entry: Entry, line: &str, profiles: &[Profile], unit: Unit) -> Result<Card, String> {
    let mut card = card.clone();
    entry.take(&mut card, line, profiles, unit)?;
    Ok(card)
}

/// The intake of a round; `None` at the end of input.
pub(super) fn intake<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    free: Free,
    talk: &mut Dialogue<I, O, C>,
) -> Result<Option<Header>> {
    talk.say("Before you begin:")?;
    for caution in cautions::ALWAYS {
        talk.say(&format!("- {caution}"))?;
    }
    let Free { card, profile, spec, last } = free;
    let (filed, cut) = last.map_or_else(Default::default, |last| (last.sharpener, Some(last.wood)));
    let hands = care.hands(&card.tag);
    let question = if filed.is_empty() { "Who files".to_owned() } else { format!("Who files (Enter: {filed})") };
    let who = |line: &str| match (line.is_empty(), filed.is_empty()) {
        (true, true) => Err("Type a name.".to_owned()),
        (true, false) => Ok(filed.clone()),
        (false, _) => known_as(line, &hands).map_or_else(|| Ok(line.to_owned()), Err),
    };
    let Some(sharpener) = until(talk, &question, who)? else { return Ok(None) };
    let asked = care.asked_last(&card.tag, &sharpener);
    let was = asked.as_ref();
    let woods = [("any", Wood::Any), ("hardwood", Wood::Hardwood), ("softwood", Wood::SoftwoodNoFrost)];
    let question = "Wood: any, hardwood, softwood (only without frost)";
    let Some(wood) = usual(talk, question, &woods, was.map(|was| was.wood).or(cut))? else { return Ok(None) };
    let tools = [("file", Tool::File), ("grinder", Tool::Grinder)];
    let Some(tool) = usual(talk, "Tool: file or grinder", &tools, was.map(|was| was.tool))? else { return Ok(None) };
    let units = [("mm", Unit::Mm), ("inch", Unit::Inch)];
    let shows = was.map_or(talk.unit, |was| was.units);
    let question = "The caliper shows mm or inch";
    let Some(units) = usual(talk, question, &units, Some(shows))? else { return Ok(None) };
    let readings =
        [("length", (false, false)), ("strokes", (true, false)), ("angle", (false, true)), ("all", (true, true))];
    let question = "At each cutter: length only, or with strokes, angle, or all";
    let took = was.map(|was| (was.take_strokes, was.take_angles));
    let Some((take_strokes, take_angles)) = usual(talk, question, &readings, took)? else { return Ok(None) };
    let sides = [("left", Side::Left), ("right", Side::Right)];
    let question = "First side: left or right";
    let Some(begin) = usual(talk, question, &sides, was.map(|was| was.begin))? else { return Ok(None) };
    Ok(Some(Header {
        tag: card.tag,
        started: talk.now(),
        sharpener,
        wood,
        tool,
        units,
        begin,
        take_strokes,
        take_angles,
        edges: true,
        trust: Trust::default(),
        spread: was.is_some_and(|was| was.spread),
        links: card.links,
        sequence: card.sequence,
        first: card.first,
        start_mark: card.start_mark,
        saw: card.saw,
        profile: profile.name,
        spec,
    }))
}
