//! Is this file in order? Told apart by the names that the data folder gives, then by what they hold.

use std::path::Path;

use super::data_dir::{
    CARD, CHANGES, HISTORY, INDEX, LESSONS, NAMES, PEOPLE_CHANGES, PROFILE_CHANGES, SAW_INDEX, SHARPENERS,
};
use super::series::{LEARNER_SUFFIX, SAW_SUFFIX, SUFFIX};
use super::small;
use super::{RackError, cards, contents, files, half_named, history, join, learners, people, reached, saws, shelves};
use crate::chain::Profile;
use crate::drill::{DrillEvent, LearnerHeader};
use crate::round::{Event, Header, Refusal, Round};
use crate::saw::{SawEntry, SawEvent, SawHeader};
use crate::units::clean::clean;

/// A file that is in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Checked {
    /// A chain type, by name.
    Profile(String),
    /// A loop's card, by tag.
    Card(String),
    /// The list of sharpeners: how many.
    Sharpeners(usize),
    /// How far people are in the lessons: how many.
    Lessons(usize),
    /// Names that are on their way to another: how many.
    Names(usize),
    /// A loop's derived history: how many rounds.
    History(usize),
    /// The derived index of all loops: how many.
    Index(usize),
    /// The derived index of all saws: how many.
    SawIndex(usize),
    /// What is written beside a card, a list or a profile.
    Changes {
        /// How many values of fields.
        values: usize,
        /// For how many fields a value is to be chosen.
        asked: usize,
    },
    /// A round.
    Round {
        /// Tag of its loop.
        tag: String,
        /// How many events it holds.
        events: usize,
    },
    /// A saw.
    Saw {
        /// What its record is called.
        tag: String,
        /// How many events it holds.
        events: usize,
    },
    /// A learner's drills.
    Learner {
        /// What the record is called.
        tag: String,
        /// How many events it holds.
        events: usize,
    },
}

impl std::fmt::Display for Checked {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Profile(name) => write!(f, "profile {name}"),
            Self::Card(tag) => write!(f, "loop {tag}"),
            Self::Sharpeners(count) => write!(f, "{count} sharpeners"),
            Self::Lessons(people) => write!(f, "lessons of {people} people"),
            Self::Names(count) => write!(f, "{count} names that are on their way"),
            Self::History(rounds) => write!(f, "history of {rounds} rounds, derived from them"),
            Self::Index(loops) => write!(f, "index of {loops} loops, derived from them"),
            Self::SawIndex(saws) => write!(f, "index of {saws} saws, derived from them"),
            Self::Changes { values, asked } => {
                write!(f, "{values} values of fields, before and in other folders; to be chosen: {asked}")
            }
            Self::Round { tag, events } => write!(f, "round of loop {tag}, {events} entries"),
            Self::Saw { tag, events } => write!(f, "saw {tag}, {events} entries"),
            Self::Learner { tag, events } => write!(f, "drills of learner {tag}, {events} entries"),
        }
    }
}

/// Checks one file. Every error's message begins with file and line.
///
/// # Errors
/// All faults of a round, a saw or a learner, the first fault of any other file.
pub fn check_file(path: &Path) -> Result<Checked, Vec<RackError>> {
    if is_round(path) {
        return check_round(path);
    }
    if path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(SAW_SUFFIX)) {
        return check_saw(path);
    }
    if path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(LEARNER_SUFFIX)) {
        return check_learner(path);
    }
    check_named(path).map_err(|error| vec![error])
}

fn check_learner(path: &Path) -> Result<Checked, Vec<RackError>> {
    let faults = contents::check::<LearnerHeader, DrillEvent>(path);
    if !faults.is_empty() {
        return Err(faults.into_iter().map(RackError::from).collect());
    }
    let learner = learners::read_learner(path).map_err(|error| vec![error])?;
    Ok(Checked::Learner { tag: learner.header.tag.clone(), events: learner.entries.len() })
}

/// A file with a name that the data folder gives is taken for what that name says and nothing else.
fn check_named(path: &Path) -> Result<Checked, RackError> {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    if name == INDEX {
        return shelves::check(path).map(Checked::Index);
    }
    if name == SAW_INDEX {
        return saws::check(path).map(Checked::SawIndex);
    }
    if name == HISTORY {
        return history::check(path).map(Checked::History);
    }
    if name == CHANGES || name == PEOPLE_CHANGES || name.ends_with(PROFILE_CHANGES) {
        return join::check_beside(path).map(|(values, asked)| Checked::Changes { values, asked });
    }
    let text = small::text(path)?;
    match name.as_str() {
        CARD => cards::parse(path, &text).map(|card| Checked::Card(card.tag)),
        LESSONS => reached::parse(path, &text).map(Checked::Lessons),
        NAMES => half_named::parse(path, &text).map(Checked::Names),
        SHARPENERS => people::parse(path, &text).map(|list| Checked::Sharpeners(list.len())),
        _ => check_text(path, &text),
    }
}

fn check_text(path: &Path, text: &str) -> Result<Checked, RackError> {
    // Only the keys at the top are looked at here; where a text is not TOML, the profile's reader says so.
    let keys = toml::from_str::<toml::Table>(text).unwrap_or_default();
    if keys.contains_key("tag") || keys.contains_key("links") {
        return cards::parse(path, text).map(|card| Checked::Card(card.tag));
    }
    if keys.contains_key("sharpener") {
        return people::parse(path, text).map(|list| Checked::Sharpeners(list.len()));
    }
    Ok(Checked::Profile(Profile::parse(&path.to_string_lossy(), text)?.name))
}

fn is_round(path: &Path) -> bool {
    let named = path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(SUFFIX));
    named || files::read(path, super::MAX_FILE).is_ok_and(|bytes| bytes.starts_with(b"[round]"))
}

fn check_round(path: &Path) -> Result<Checked, Vec<RackError>> {
    let faults = contents::check::<Header, Event>(path);
    if !faults.is_empty() {
        return Err(faults.into_iter().map(RackError::from).collect());
    }
    let contents = contents::read::<Header, Event>(path).map_err(|error| vec![error.into()])?;
    let lines = contents::block_lines(path).map_err(|error| vec![error.into()])?;
    let fault = |block: usize, what: &str| RackError::line(path, lines.get(block).copied().unwrap_or(1), &clean(what));
    let tag = contents.header.tag.clone();
    let events = contents.entries.len();
    let mut round = Round::begin(contents.header).map_err(|error| vec![fault(0, &error.to_string())])?;
    let mut faults = Vec::new();
    for (index, stamped) in contents.entries.into_iter().enumerate() {
        match round.check(&stamped.event) {
            // Such a round went on by an answer that was offered then.
            Err(Refusal::Rejected) if round.is_stop_of_old() => {}
            Err(refusal) => faults.push(fault(index + 1, &refusal.to_string())),
            Ok(()) => {}
        }
        round.apply(history::entry(stamped));
    }
    if faults.is_empty() { Ok(Checked::Round { tag, events }) } else { Err(faults) }
}

fn check_saw(path: &Path) -> Result<Checked, Vec<RackError>> {
    let faults = contents::check::<SawHeader, SawEvent>(path);
    if !faults.is_empty() {
        return Err(faults.into_iter().map(RackError::from).collect());
    }
    let contents = contents::read::<SawHeader, SawEvent>(path).map_err(|error| vec![error.into()])?;
    let lines = contents::block_lines(path).map_err(|error| vec![error.into()])?;
    let (tag, events) = (contents.header.tag.clone(), contents.entries.len());
    let mut saw = saws::fold(path, contents.header, Vec::new()).map_err(|error| vec![error])?;
    let mut faults = Vec::new();
    for (index, stamped) in contents.entries.into_iter().enumerate() {
        if let Err(refusal) = saw.check(&stamped.event) {
            let line = lines.get(index + 1).copied().unwrap_or(1);
            faults.push(RackError::line(path, line, &refusal.to_string()));
        }
        saw.apply(SawEntry { seq: stamped.seq, at: stamped.at, event: stamped.event });
    }
    if faults.is_empty() { Ok(Checked::Saw { tag, events }) } else { Err(faults) }
}
