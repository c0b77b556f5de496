//! Choosing a loop and taking a round in, line by line.

use std::cell::Cell;
use std::io::Write;

use anyhow::{Context as _, Result};
use chrono::{DateTime, FixedOffset};

use super::dialogue::{Dialogue, Hear};
use crate::advice::{Agreement, cautions};
use crate::care::{Free, RackError, Standing, Workshop};
use crate::chain::{Corner, FIELDS, Layout, LowerKickback, Sequence, Side, Wood};
use crate::coach::known_as;
use crate::round::card::{Own, Prices};
use crate::round::{Card, Header, Tool, Trust};
use crate::units::clean::{clean, slug};
use crate::units::reading::{self, Kind, Value};
use crate::units::{Millimetres, Unit};

/// The loop to work on: an old one by tag or name, or a new one. `None` at the end of input.
pub(super) fn choose_loop<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
) -> Result<Option<Card>> {
    let rack = care.rows(talk.now());
    for row in rack.rows.iter().filter(|row| row.state != Standing::Scrapped) {
        let open = if row.open { ", open round" } else { "" };
        let rejected = if row.state == Standing::Rejected { care.held_back(&row.tag)? } else { None };
        let held = rejected.map(|why| format!(", {why}")).unwrap_or_default();
        talk.say(&format!("{}: {}, {} links{open}{held}", row.tag, row.name, row.links))?;
    }
    let cut = rack.rows.iter().fold(Agreement::default(), |sum, row| sum.and(row.cut));
    talk.say(&cut.words().map(|words| format!("The loops cut {words}.")).unwrap_or_default())?;
    for problem in &rack.problems {
        talk.say(&format!("At fault: {problem}"))?;
    }
    loop {
        let Some(line) = talk.ask("Loop, by its tag or name; or new, release TAG, scrap TAG, drills")? else {
            return Ok(None);
        };
        let wanted = clean(&line).to_lowercase();
        match wanted.split_once(' ') {
            Some(("release", tag)) => {
                super::stops::release(care, talk, tag.trim())?;
                continue;
            }
            Some(("scrap", tag)) => {
                super::stops::scrap(care, talk, tag.trim())?;
                continue;
            }
            _ => {}
        }
        if wanted == "drills" {
            super::drills::drills(care, talk, Unit::Mm)?;
            continue;
        }
        if wanted == "new" {
            return new_loop(care, talk);
        }
        match rack.rows.iter().find(|row| row.tag == wanted || row.name.to_lowercase() == wanted) {
            Some(row) => match care.held_back(&row.tag)?.filter(|_| !row.is_open()) {
                Some(why) => {
                    talk.say(&format!("Not begun: {why}. Type release {} once it is put right.", row.tag))?;
                }
                None => return Ok(Some(care.card(&row.tag).context("cannot read the loop's card")?)),
            },
            None => talk.say(&format!("There is no loop {}.", clean(&line)))?,
        }
    }
}

/// Asks until an answer can be taken.
fn until<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>, T>(
    talk: &mut Dialogue<I, O, C>,
    question: &str,
    take: impl Fn(&str) -> Result<T, String>,
) -> Result<Option<T>> {
    loop {
        let Some(line) = talk.ask(question)? else { return Ok(None) };
        match take(&clean(&line)) {
            Ok(value) => return Ok(Some(value)),
            Err(why) => talk.say(&why)?,
        }
    }
}

/// One of a few words; Enter alone takes the first.
fn one_of<T: Copy>(words: &[(&str, T)]) -> impl Fn(&str) -> Result<T, String> {
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
        found.map(|(_, value)| *value).ok_or_else(|| format!("Allowed are {}.", names()))
    }
}

/// One of a few words, asked for with what was answered last time; Enter alone takes that.
fn usual<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>, T: Copy + PartialEq>(
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

fn new_loop<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
    care: &Workshop,
    talk: &mut Dialogue<I, O, C>,
) -> Result<Option<Card>> {
    let tags = care.taken_tags();
    let named = |line: &str| match slug(line) {
        None => Err("A letter or digit is needed.".to_owned()),
        Some(tag) if tags.contains(&tag) => Err(RackError::TagTaken(tag).to_string()),
        Some(tag) => Ok((tag, line.to_owned())),
    };
    let Some((tag, name)) = until(talk, "Name of the loop", named)? else { return Ok(None) };
    let (profiles, _) = care.profiles();
    let names: Vec<&str> = profiles.iter().map(|profile| profile.name.as_str()).collect();
    let question = format!("Chain ({})", names.join(", "));
    let known = |line: &str| {
        profiles
            .iter()
            .find(|profile| profile.name == line)
            .map(|profile| profile.name.clone())
            .ok_or_else(|| "Not a chain known here.".to_owned())
    };
    let Some(profile) = until(talk, &question, known)? else { return Ok(None) };
    let asked = Cell::new(None);
    let whole = |line: &str| {
        let links = line.parse::<u16>().map_err(|_| "A whole number is needed.".to_owned())?;
        match Sequence::Full.unlikely(links).filter(|_| asked.replace(Some(links)) != Some(links)) {
            Some(why) => Err(format!("{why} Typed again, {links} is kept.")),
            None => Ok(links),
        }
    };
    let Some(links) = until(talk, "Drive links", whole)? else { return Ok(None) };
    let fits = |line: &str| -> Result<Sequence, String> {
        let sequence: Sequence = if line.is_empty() {
            Sequence::Full
        } else {
            line.parse().map_err(|e: crate::chain::layout::LayoutError| e.to_string())?
        };
        let sequence = sequence.over(links);
        Layout::new(links, &sequence, Side::Left).map(|_| sequence).map_err(|error| error.to_string())
    };
    let Some(sequence) =
        until(talk, "Cutters: full, semi-skip, skip, or written as LR-LR-, all of it or the part that repeats", fits)?
    else {
        return Ok(None);
    };
    let sides = [("left", Side::Left), ("right", Side::Right)];
    let Some(first) = until(talk, "Cutter 1 is left or right", one_of(&sides))? else { return Ok(None) };
    let Some(own) = limits(talk)? else { return Ok(None) };
    let card = Card {
        tag,
        name,
        owner: String::new(),
        saw: String::new(),
        profile,
        links,
        sequence,
        first,
        start_mark: String::new(),
        created: talk.now(),
        own,
        prices: Prices::default(),
        scrapped: None,
        releases: Vec::new(),
    };
    care.create_loop(&card).context("cannot take the loop into care")?;
    Ok(Some(card))
}

/// What a new loop's own limits are; `None` at the end of input.
fn limits<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(talk: &mut Dialogue<I, O, C>) -> Result<Option<Own>> {
    let gap = |line: &str, key: &str| -> Result<Option<Millimetres>, String> {
        if line.is_empty() {
            return Ok(None);
        }
        let range = FIELDS.iter().find(|field| field.key == key).map_or((0.0, 2.0), |field| field.range);
        match reading::parse(line, Kind::Length, Unit::Mm).map_err(|error| error.to_string())?.value {
            Value::Length(mm) if (range.0..=range.1).contains(&mm.get()) => Ok(Some(mm)),
            _ => Err(format!("{line} was read. Allowed are {} to {} mm.", range.0, range.1)),
        }
    };
    let question = "Raker gap stamped on the chain, mm (Enter: none)";
    let Some(base_gap) = until(talk, question, |line| gap(line, "base_gap_mm"))? else { return Ok(None) };
    let largest = |line: &str| match (gap(line, "gap_max_mm")?, base_gap) {
        (Some(largest), Some(base)) if largest < base => {
            Err(format!("{largest} is less than the stamped gap, {base}."))
        }
        (largest, _) => Ok(largest),
    };
    let question = "Largest gap that its maker allows, mm (Enter: not known)";
    let Some(largest_gap) = until(talk, question, largest)? else { return Ok(None) };
    let answers = LowerKickback::ALL.map(|(answer, word)| (word, answer));
    let question = "Is it a lower-kickback chain: yes, no (Enter: not known)";
    let Some(lower_kickback) = until(talk, question, one_of(&answers))? else { return Ok(None) };
    let answers = Corner::ALL.map(|(answer, word)| (word, answer));
    let question = "Working corner: round, square (Enter: not known)";
    let Some(corner) = until(talk, question, one_of(&answers))? else { return Ok(None) };
    Ok(Some(Own { base_gap, largest_gap, lower_kickback, corner, ..Own::default() }))
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
        (true, true) => Err("A name is needed.".to_owned()),
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
    let question = "The caliper shows mm or inch";
    let Some(units) = usual(talk, question, &units, was.map(|was| was.units))? else { return Ok(None) };
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
