//! A loop's past in one small file, derived from its rounds.
//!
//! Reading five hundred rounds takes seconds, their summaries milliseconds. The history names every round file with
//! its size and time of change: rows that still match are taken, the others are read again. It carries its own check
//! sum and a format number; a file that fails either is not believed, only made anew. It may be deleted at any time.

mod stored;
mod work;

use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::basis::{Basis, Known};
use super::data_dir::{HISTORY, round_order};
use super::shelves::Derived;
use super::{RackError, RecordError, contents, copies, faults, series};
use crate::advice::Status;
use crate::chain::Rule;
use crate::round::{Contradiction, Entry, Event, Header, LastCutter, Phase, Round, Summary};
pub(super) use stored::{DERIVED, check};
use work::Work;

/// Changed whenever the rows mean something other than before.
const FORMAT: u32 = 10;
/// How many rounds, newest first, have their filings kept: strokes are learned from today's hand, not from that of years ago.
const FILINGS_OF: usize = 24;

/// Size and time of change of a file: enough to see that it is not the one that was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Stamp {
    pub size: u64,
    /// Nanoseconds since 1970.
    pub changed_ns: i64,
}

impl Stamp {
    /// Of what stands at the path; links are not followed.
    pub(super) fn of(path: &Path) -> Result<Self, RecordError> {
        let found = faults::point().and_then(|()| fs::symlink_metadata(path));
        found.map(|found| Self::from(&found)).map_err(RecordError::io("look at it", path))
    }
}

impl From<&fs::Metadata> for Stamp {
    fn from(found: &fs::Metadata) -> Self {
        let since = found.modified().ok().and_then(|at| at.duration_since(std::time::UNIX_EPOCH).ok());
        let changed_ns = since.and_then(|since| i64::try_from(since.as_nanos()).ok()).unwrap_or(0);
        Self { size: found.len(), changed_ns }
    }
}

/// How an open round stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standing {
    /// Part of the round.
    pub phase: Phase,
    /// True when it was paused, false when the program ended in the middle of it.
    pub paused: bool,
    /// Entries made so far.
    pub entries: usize,
}

/// One round of a loop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Name of its file in the loop's folder.
    pub file: String,
    pub(super) stamp: Stamp,
    /// What the round is known by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) id: Option<Uuid>,
    /// How it stands; absent once it is closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open: Option<Standing>,
    /// The round in short. Filings of old rounds are left out.
    pub summary: Summary,
}

/// A loop's rounds, oldest first, and the cutters as the last signed one left them.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct History {
    format: u32,
    /// File that `last` was read from.
    #[serde(default)]
    pub(super) last_from: String,
    /// The cutters as the last signed round left them; empty before the first.
    #[serde(default)]
    pub last: Vec<LastCutter>,
    /// Saw that the newest round names; empty where it names none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    saw: String,
    /// What the status rests on beside the rounds.
    #[serde(default)]
    pub(super) basis: Basis,
    /// How the loop stands after the newest round.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<Status>,
    /// The rule that most gaps of the newest round fit, where none was chosen in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) fits: Option<Rule>,
    /// The rounds.
    #[serde(default, rename = "round")]
    pub rows: Vec<Row>,
}

impl History {
    /// Closed rounds, oldest first.
    pub fn closed(&self) -> impl DoubleEndedIterator<Item = &Row> {
        self.rows.iter().filter(|row| row.open.is_none())
    }

    /// The open round; the latest where something left several.
    pub fn open(&self) -> Option<&Row> {
        self.rows.iter().rev().find(|row| row.open.is_some())
    }
}

/// What bringing a history up to date gave.
pub(super) struct Refreshed {
    pub history: History,
    /// Rounds that cannot be read, and a history that could not be written.
    pub problems: Vec<(PathBuf, RackError)>,
    /// True when the history's file was written.
    pub wrote: bool,
}

/// Reads one round file and folds it.
pub(super) fn read_round(path: &Path) -> Result<Round, RackError> {
    let contents = contents::read::<Header, Event>(path)?;
    let entries = contents.entries.into_iter().map(entry).collect();
    Round::replay(contents.header, entries).map_err(|error| contradiction(path, &error))
}

/// What contradicts itself in a round's file, with its line.
pub(super) fn contradiction(path: &Path, error: &Contradiction) -> RackError {
    let block = if let Contradiction::NoCutter { seq, .. } = error { *seq } else { 0 };
    let lines = contents::block_lines(path).unwrap_or_default();
    let line = usize::try_from(block).ok().and_then(|block| lines.get(block).copied());
    RackError::line(path, line.unwrap_or(1), &error.to_string())
}

/// A recorded event as the round knows it.
pub(super) fn entry(stamped: contents::Stamped<Event>) -> Entry {
    Entry { seq: stamped.seq, at: stamped.at, by: stamped.by, typed: stamped.typed, event: stamped.event }
}

/// The history of a loop's folder as its rounds tell it; its file is written where `derived` says so. `known` is the history as it
/// was a moment ago, where the caller has it: else the file is read. `progress` hears how many of the rounds that must be read
/// again are done, and how many there are.
pub(super) fn read_all(
    (folder, tag, saw): (&Path, &str, &str),
    people: &Known<'_>,
    known: Option<History>,
    progress: &mut dyn FnMut(usize, usize),
    derived: Derived,
) -> Result<Refreshed, RackError> {
    let file = folder.join(HISTORY);
    let old = known.or_else(|| stored::read(&file)).unwrap_or_default();
    let mut work = Work::new((folder, tag, saw), people, &old);
    let mut missing = Vec::new();
    let kept = |path: &Path, stamp: Stamp| {
        let order = round_order(&series::name_of(path));
        let at = old.rows.binary_search_by_key(&order, |row| round_order(&row.file)).ok()?;
        old.rows.get(at).filter(|row| row.stamp == stamp)
    };
    let id = |path: &Path| match Stamp::of(path).ok().and_then(|stamp| kept(path, stamp)) {
        Some(row) => row.id,
        None => copies::id_of(path),
    };
    let sorted = copies::sort_out::<Header, Event>(folder, series::SUFFIX, &id)?;
    work.problems.extend(sorted.copies.into_iter().map(|(path, copy)| (path, copy.into())));
    for copies::Listed { path, id } in sorted.files {
        match Stamp::of(&path) {
            Ok(stamp) => match kept(&path, stamp) {
                Some(row) => work.keep(row.clone()),
                None => missing.push((series::name_of(&path), stamp, id)),
            },
            Err(error) => work.problems.push((path, error.into())),
        }
    }
    let total = missing.len();
    for (done, (file, stamp, id)) in missing.into_iter().enumerate() {
        work.take(file, stamp, id);
        progress(done + 1, total);
    }
    let history = work.finish();
    let mut problems = work.problems;
    let open: Vec<&Row> = history.rows.iter().filter(|row| row.open.is_some()).collect();
    if let [_, .., last] = open.as_slice() {
        let files = open.iter().map(|row| row.file.clone()).collect();
        problems.push((folder.join(&last.file), RackError::SeveralOpen { tag: tag.to_owned(), files }));
    }
    // A loop without a round has no history to keep.
    let changed = history != old && !work.shaken;
    let wrote = derived == Derived::Refreshed && changed && !(history.rows.is_empty() && old.rows.is_empty());
    if wrote && let Err(error) = stored::write(&file, &history) {
        problems.push((file, error));
    }
    Ok(Refreshed { history, problems, wrote })
}

/// When the round's last entry was made.
pub(super) fn touched(row: &Row) -> DateTime<FixedOffset> {
    row.summary.ended
}

#[cfg(test)]
mod tests;
