//! What nobody has chosen yet, and choosing it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, Utc};

use super::super::rack::Rack;
use super::super::{Journal, RackError, RecordError, Watch, contents, data_dir, files};
use super::records;
use super::thing::{self, Loaded};
use super::{Open, Thing, sum_of};
use crate::round::{Card, Closing, Event, Header};

/// Something of which several things are held and one is to be chosen.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// A field with more than one value.
    Field {
        /// What it belongs to.
        thing: Thing,
        /// The field and its values.
        open: Open,
    },
    /// A round that was gone on with in two places.
    Round {
        /// Tag of the loop.
        tag: String,
        /// Its versions.
        versions: Vec<Version>,
    },
    /// Rounds of one loop that were begun in several places and are all open.
    Open {
        /// Tag of the loop.
        tag: String,
        /// The rounds.
        rounds: Vec<Version>,
    },
}

/// One version of a round, or one of several rounds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// Its file.
    pub path: PathBuf,
    /// How many entries it holds.
    pub entries: usize,
    /// When the round began.
    pub began: DateTime<FixedOffset>,
    /// How many of its entries all versions hold.
    pub shared: usize,
    /// When its last entry was made.
    pub last: Option<DateTime<FixedOffset>>,
    /// Who made it.
    pub by: String,
}

impl Question {
    /// How many things there are to choose from.
    pub const fn choices(&self) -> usize {
        match self {
            Self::Field { open, .. } => open.values.len(),
            Self::Round { versions: of, .. } | Self::Open { rounds: of, .. } => of.len(),
        }
    }
}

impl Rack {
    /// All that nobody has chosen yet, and what could not be read to find it. `watch` hears how many of the loops
    /// that must be read again are done.
    pub fn questions(&self, watch: &mut dyn Watch) -> (Vec<Question>, Vec<(PathBuf, RackError)>) {
        let profiles = data_dir::profiles(self.root());
        let ends = |name: &String| name.strip_suffix(data_dir::PROFILE_CHANGES).map(str::to_owned);
        let named = files::names(&profiles).unwrap_or_default();
        let lists = std::iter::once(Thing::People).chain(named.iter().filter_map(ends).map(Thing::Profile));
        let found = self.shelves_with(watch);
        let cards = found.shelves.into_iter().filter(|shelf| shelf.asked > 0).map(|shelf| Thing::Card(shelf.card.tag));
        let (asked, mut problems) = self.questions_of(lists.chain(cards));
        // What is wrong elsewhere hides no question, and is told where it is looked at.
        let hides = |path: &Path| path.ends_with(data_dir::CARD) || path.ends_with(data_dir::CHANGES);
        problems.extend(found.problems.into_iter().filter(|(path, problem)| hides(path) && !is_asked(problem)));
        (asked, problems)
    }

    /// The same of some things, the rounds of a loop with its card. What is here besides is not looked at.
    pub(crate) fn questions_of(
        &self,
        things: impl IntoIterator<Item = Thing>,
    ) -> (Vec<Question>, Vec<(PathBuf, RackError)>) {
        let (mut asked, mut problems) = (Vec::new(), Vec::new());
        for thing in things {
            match self.open_of(&thing) {
                Ok(open) => asked.extend(open.into_iter().map(|open| Question::Field { thing: thing.clone(), open })),
                Err(error) => problems.push((thing.path(self.root()), error)),
            }
            if let Thing::Card(tag) = &thing {
                match self.rounds_asked(tag) {
                    Ok(rounds) => asked.extend(rounds),
                    Err(error) => problems.push((thing.path(self.root()), error)),
                }
            }
        }
        (asked, problems)
    }

    /// For how many fields of people and profiles a value is to be chosen. What cannot be read is told where it is asked for.
    pub(crate) fn asked_of_lists(&self) -> usize {
        let profiles = data_dir::profiles(self.root());
        let named = files::names(&profiles).unwrap_or_default();
        let of_profiles = named.iter().filter(|name| name.ends_with(data_dir::PROFILE_CHANGES));
        let paths = of_profiles.map(|name| profiles.join(name)).chain([Thing::People.beside(self.root())]);
        paths.map(|path| super::asked_beside(&path).unwrap_or_default()).sum()
    }

    /// The fields of a thing of which more than one value stands.
    pub(crate) fn open_of(&self, thing: &Thing) -> Result<Vec<Open>, RackError> {
        if !files::exists(&thing.beside(self.root()))? {
            return Ok(Vec::new());
        }
        let loaded = thing.load(self.root(), &self.called())?;
        Ok(loaded.map(|loaded| loaded.values.open()).unwrap_or_default())
    }

    /// What is to be chosen of a loop's rounds: versions of one that each hold what the other does not, and several that are open.
    fn rounds_asked(&self, tag: &str) -> Result<Vec<Question>, RackError> {
        let mut versions: Vec<(PathBuf, Vec<PathBuf>, usize)> = Vec::new();
        let mut questions = Vec::new();
        for (path, problem) in self.history(tag)?.1 {
            match problem {
                RackError::Record(RecordError::Differ { of, entry, .. }) => {
                    match versions.iter_mut().find(|(known, _, _)| *known == of) {
                        Some((_, others, shared)) => {
                            others.push(path);
                            *shared = (*shared).min(entry - 1);
                        }
                        None => versions.push((of, vec![path], entry - 1)),
                    }
                }
                RackError::SeveralOpen { files, .. } => {
                    let of = files.iter().map(|file| version(path.with_file_name(file), 0));
                    questions.push(Question::Open { tag: tag.to_owned(), rounds: of.collect::<Result<_, _>>()? });
                }
                _ => {}
            }
        }
        for (of, others, shared) in versions {
            let all = std::iter::once(of).chain(others).map(|path| version(path, shared));
            questions.push(Question::Round { tag: tag.to_owned(), versions: all.collect::<Result<_, _>>()? });
        }
        Ok(questions)
    }

    /// Chooses one of what a question holds, counted from nought. Every other value stays written down as one that was not
    /// chosen, every other version of a round is set aside with all it holds, every other open round is ended as it stands.
    ///
    /// # Errors
    /// It is not asked any more; what comes of it cannot be; a version is open in another window; the disk fails.
    pub fn choose(&self, question: &Question, chosen: usize, now: DateTime<FixedOffset>) -> Result<(), RackError> {
        let gone = || RackError::NotAsked;
        match question {
            Question::Field { thing, open } => {
                let choice = open.values.get(chosen).ok_or_else(gone)?;
                let mut loaded = thing.load(self.root(), &self.called())?.ok_or_else(gone)?;
                if !loaded.values.open().contains(open) {
                    return Err(gone());
                }
                loaded.values.set(&open.field, choice.value.clone(), now.to_utc(), &self.called());
                self.keep_thing(thing, &loaded)
            }
            Question::Round { tag, versions } => {
                if !self.rounds_asked(tag)?.contains(question) || chosen >= versions.len() {
                    return Err(gone());
                }
                for (_, version) in versions.iter().enumerate().filter(|(at, _)| *at != chosen) {
                    let path = &version.path;
                    let _lock = files::open_locked(path)?;
                    let (_, bytes) = records::bytes_of::<Header, Event>(path)?;
                    let to = records::left_name(path, crc32fast::hash(&bytes));
                    files::move_new(path, &path.with_file_name(to))?;
                }
                Ok(files::sync_many(&[data_dir::loops(self.root()).join(tag)])?)
            }
            Question::Open { tag, rounds } => {
                if !self.rounds_asked(tag)?.contains(question) || chosen >= rounds.len() {
                    return Err(gone());
                }
                for (_, round) in rounds.iter().enumerate().filter(|(at, _)| *at != chosen) {
                    let (mut journal, _) = Journal::<Header, Event>::open(&round.path, now.to_utc())?;
                    journal.append(now, None, &Event::Closed { how: Closing::Abandoned }, None)?;
                }
                Ok(())
            }
        }
    }

    /// Writes a thing whose values were set: its text first, so that stopping in between leaves what was chosen.
    fn keep_thing(&self, thing: &Thing, loaded: &Loaded) -> Result<(), RackError> {
        let text = thing.text(&loaded.values.table())?;
        files::replace(&thing.path(self.root()), text.as_bytes())?;
        let kept = loaded.values.kept(vec![sum_of(&text)]);
        Ok(files::replace(&thing.beside(self.root()), thing::kept_text(&kept)?.as_bytes())?)
    }

    /// Writes down what a card said before it was changed to what it says now, so that a folder that still holds the old values
    /// asks nothing when it is joined.
    ///
    /// # Errors
    /// The card is gone again, or the disk fails.
    pub(crate) fn note_change(&self, mut before: Loaded, card: &Card, at: DateTime<Utc>) -> Result<(), RackError> {
        let thing = Thing::Card(card.tag.clone());
        let after = thing.load(self.root(), &self.called())?.ok_or_else(|| RackError::NoLoop(card.tag.clone()))?;
        before.values.changed(&thing::table_of(card)?, at, &self.called());
        let kept = before.values.kept(vec![after.sum]);
        Ok(files::replace(&thing.beside(self.root()), thing::kept_text(&kept)?.as_bytes())?)
    }

    /// A card with what is written beside it, before it is changed.
    ///
    /// # Errors
    /// There is no card, or it or what is beside it cannot be read.
    pub(crate) fn loaded_card(&self, tag: &str) -> Result<Loaded, RackError> {
        let loaded = Thing::Card(tag.to_owned()).load(self.root(), &self.called())?;
        loaded.ok_or_else(|| RackError::NoLoop(tag.to_owned()))
    }
}

/// A round's file as it is told of.
fn version(path: PathBuf, shared: usize) -> Result<Version, RackError> {
    let contents = contents::read::<Header, Event>(&path)?;
    let last = contents.entries.last();
    let by = last.and_then(|last| last.by.clone()).unwrap_or(contents.header.sharpener);
    let (began, last) = (contents.header.started, last.map(|last| last.at));
    Ok(Version { path, began, entries: contents.entries.len(), shared, last, by })
}

/// True for what is wrong with a loop's rounds until somebody chooses.
pub(crate) const fn is_asked(problem: &RackError) -> bool {
    matches!(problem, RackError::SeveralOpen { .. } | RackError::Record(RecordError::Differ { .. }))
}

/// How many choices a loop's rounds leave open, by what is wrong with them.
pub(crate) fn asked_of_rounds(problems: &[(PathBuf, RackError)]) -> usize {
    let of = |(path, problem): &(PathBuf, RackError)| match problem {
        RackError::SeveralOpen { .. } => Some((true, path.clone())),
        RackError::Record(RecordError::Differ { of, .. }) => Some((false, of.clone())),
        _ => None,
    };
    problems.iter().filter_map(of).collect::<BTreeSet<_>>().len()
}

/// Checks what is written beside a thing; how many values it tells of, and for how many fields one is to be chosen.
pub(crate) fn check_beside(path: &Path) -> Result<(usize, usize), RackError> {
    thing::read_kept(path).map(|kept| (kept.count(), kept.asked()))
}

/// For how many fields of the card in a loop's folder a value is to be chosen.
pub(crate) fn asked_in(folder: &Path) -> Result<usize, RackError> {
    asked_beside(&folder.join(data_dir::CHANGES))
}

/// For how many fields a value is to be chosen; none where nothing is written.
pub(crate) fn asked_beside(path: &Path) -> Result<usize, RackError> {
    if files::exists(path)? { thing::read_kept(path).map(|kept| kept.asked()) } else { Ok(0) }
}
