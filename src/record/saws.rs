//! What was found at saws: one append-only record a saw, and a derived index of them all.
//!
//! A record is written by the journal that rounds have, a look at a time, and is open only while it is written: loops of
//! one saw may lie on two benches. The index holds a line per saw, believed while the record has the size and time of change
//! that the line was made from; so the rack shows at the cost of one look a saw. It may be deleted at any time.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::copies::Sorted;
use super::data_dir::{self, SAW_INDEX};
use super::history::{DERIVED, Stamp};
use super::rack::Rack;
use super::series::{self, SAW_SUFFIX, name_of};
use super::shelves::Derived;
use super::{Journal, Moved, RackError, RecordError, Stamped, contents, copies, files};
use crate::saw::{Glance, Saw, SawEntry, SawEvent, SawHeader};
use crate::units::clean::{clean, is_slug, slug};

/// Changed whenever the lines mean something other than before.
const FORMAT: u32 = 2;
/// Largest index read, in bytes: a hundred thousand saws.
const MAX: u64 = 32 * 1024 * 1024;
/// What changed this shortly before the index was written is not believed: the clock of a file system ticks.
const SLACK_NS: i64 = 2_000_000_000;

/// All saws of which something is known, and what could not be read.
#[derive(Debug, Default)]
pub struct SawGlances {
    /// One a saw, by its tag.
    pub saws: BTreeMap<String, Glance>,
    /// Records at fault.
    pub problems: Vec<(PathBuf, RackError)>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    tag: String,
    file: String,
    stamp: Stamp,
    glance: Glance,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    format: u32,
    crc: String,
}

/// Reads one record.
pub(super) fn read_saw(path: &Path) -> Result<Saw, RackError> {
    let contents = contents::read::<SawHeader, SawEvent>(path)?;
    fold(path, contents.header, contents.entries)
}

/// The saw that header and events make; a record under another saw's name is refused. A copy may be called after anything.
pub(super) fn fold(path: &Path, header: SawHeader, entries: Vec<Stamped<SawEvent>>) -> Result<Saw, RackError> {
    let name = name_of(path);
    let named = series::began(&name).0 == header.tag || !series::is_plain(&name);
    if !named || !is_slug(&header.tag) {
        let fault = format!("`saw` is {}, but the file is called {}", clean(&header.tag), clean(&name));
        return Err(RackError::line(path, 1, &fault));
    }
    let entry = |stamped: Stamped<SawEvent>| SawEntry { seq: stamped.seq, at: stamped.at, event: stamped.event };
    Ok(Saw::replay(header, entries.into_iter().map(entry).collect()))
}

/// The records in the order of their names, and copies of them.
pub(super) fn sorted(root: &Path) -> Result<Sorted, RecordError> {
    let listed = series::current_of(&data_dir::saws(root), SAW_SUFFIX)?;
    // Where every name is as this program gives it there are no copies, and no file is looked into.
    let plain = listed.iter().all(|path| series::is_plain(&name_of(path)));
    let id = |path: &Path| if plain { None } else { copies::id_of(path) };
    Ok(copies::sort_out_of::<SawHeader, SawEvent>(listed, &id))
}

/// What lies in the folder of one saw.
struct Found {
    /// Its record, where one can be read.
    record: Option<(PathBuf, Saw)>,
    /// Its copies, and what cannot be read.
    problems: Vec<(PathBuf, RackError)>,
}

impl Rack {
    /// What is known of a saw; nothing where it has no record, or its name leaves none.
    ///
    /// # Errors
    /// The record cannot be read or trusted.
    pub fn saw(&self, name: &str) -> Result<Option<Saw>, RackError> {
        named(self.root(), name)
    }

    /// As [`Rack::saw`], with its copies and what cannot be read of it.
    pub fn saw_and_problems(&self, name: &str) -> (Option<Saw>, Vec<(PathBuf, RackError)>) {
        with_problems(self.root(), name)
    }

    /// Adds the events of one look to a saw's record, which is begun where there is none. They are on the disk when this
    /// returns; the saw comes back as it then stands, and the file in which its record goes on where the disk made it move.
    ///
    /// # Errors
    /// A name without a letter or digit; the record is open in another window or cannot be trusted; the disk fails. Events
    /// before the one that failed are kept.
    pub fn add_to_saw(
        &self,
        name: &str,
        at: DateTime<FixedOffset>,
        events: &[SawEvent],
    ) -> Result<(Saw, Option<Moved>), RackError> {
        let name = clean(name);
        let tag = slug(&name).ok_or_else(|| RackError::BadSaw(name.clone()))?;
        let Found { record, problems } = files_of(self.root(), &tag)?;
        let stops = |problem: &RackError| !matches!(problem, RackError::Record(RecordError::Copy { .. }));
        if let Some((_, problem)) = problems.into_iter().find(|(_, problem)| stops(problem)) {
            return Err(problem);
        }
        let mut journal: Journal<SawHeader, SawEvent> = match record {
            Some((path, _)) => Journal::open(&path, at.to_utc())?.0,
            None => {
                let folder = data_dir::saws(self.root());
                files::create_folder(&folder)?;
                let header = SawHeader { tag: tag.clone(), name, started: at };
                Journal::create(&folder.join(format!("{tag}{SAW_SUFFIX}")), &header)?
            }
        };
        let mut moved = None;
        let partly = |stored, why| RackError::Partly { stored, of: events.len(), why: Box::new(why) };
        for (stored, event) in events.iter().enumerate() {
            match journal.append(at, None, event, None) {
                Ok(ack) => moved = ack.moved.or(moved),
                Err(error) if stored == 0 => return Err(error.into()),
                Err(error) => return Err(partly(stored, error.into())),
            }
        }
        let path = journal.path().to_owned();
        drop(journal);
        let known = files_of(self.root(), &tag).map(|found| found.record.map(|(_, saw)| saw)).map_err(RackError::from);
        let known = known.and_then(|known| known.map_or_else(|| read_saw(&path), Ok));
        known.map(|saw| (saw, moved)).map_err(|why| partly(events.len(), why))
    }

    /// All saws at a glance. Nothing is written.
    pub fn saws(&self) -> SawGlances {
        all(self.root(), Derived::Left)
    }

    /// All saws at a glance, and their index brought up to date.
    pub fn refresh_saws(&self) -> SawGlances {
        all(self.root(), Derived::Refreshed)
    }
}

/// What is known of a saw; nothing where it has no record, or its name leaves none.
pub(super) fn named(root: &Path, name: &str) -> Result<Option<Saw>, RackError> {
    match with_problems(root, name) {
        (None, problems) => problems.into_iter().next().map_or(Ok(None), |(_, problem)| Err(problem)),
        (saw, _) => Ok(saw),
    }
}

/// As [`named`], with its copies and what cannot be read of it.
fn with_problems(root: &Path, name: &str) -> (Option<Saw>, Vec<(PathBuf, RackError)>) {
    let Some(tag) = slug(&clean(name)) else { return (None, Vec::new()) };
    match files_of(root, &tag) {
        Ok(found) => (found.record.map(|(_, saw)| saw), found.problems),
        Err(error) => (None, vec![(data_dir::saws(root), error.into())]),
    }
}

/// The record of a saw, and what lies beside it of the same saw. Benches that were joined may each have made one, or have gone
/// on with one apart: all that they found is known.
fn files_of(root: &Path, tag: &str) -> Result<Found, RecordError> {
    let Sorted { files, copies } = sorted(root)?;
    let called = |path: &Path| series::began(&name_of(path)).0 == tag;
    let mut found = Found { record: None, problems: Vec::new() };
    let (mut first, mut records): (Option<PathBuf>, Vec<Saw>) = (None, Vec::new());
    for copies::Listed { path, .. } in files {
        if !called(&path) && series::is_plain(&name_of(&path)) {
            continue;
        }
        match read_saw(&path) {
            Ok(saw) if saw.header.tag == tag => {
                first = Some(first.filter(|known| series::is_plain(&name_of(known))).unwrap_or(path));
                records.push(saw);
            }
            Err(error) if called(&path) => found.problems.push((path, error)),
            _ => {}
        }
    }
    for (path, problem) in copies {
        match problem {
            RecordError::Differ { .. } => match read_saw(&path) {
                Ok(saw) if saw.header.tag == tag => records.push(saw),
                Err(error) if called(&path) => found.problems.push((path, error)),
                _ => {}
            },
            RecordError::Copy { .. } if called(&path) => found.problems.push((path, problem.into())),
            _ => {}
        }
    }
    found.record = first.zip(Saw::merged(records));
    Ok(found)
}

/// All saws at a glance; their index is brought up to date where `derived` says so.
pub(super) fn all(root: &Path, derived: Derived) -> SawGlances {
    let mut found = SawGlances::default();
    let sorted = match sorted(root) {
        Ok(sorted) => sorted,
        Err(error) => {
            found.problems.push((data_dir::saws(root), error.into()));
            return found;
        }
    };
    let (known, written_ns) = read_index(root).unwrap_or_default();
    let mut lines = Vec::with_capacity(sorted.files.len());
    let mut changed = known.len() != sorted.files.len();
    let (apart, copies): (Vec<_>, Vec<_>) =
        sorted.copies.into_iter().partition(|(_, copy)| matches!(copy, RecordError::Differ { .. }));
    found.problems.extend(copies.into_iter().map(|(path, copy)| (path, copy.into())));
    for copies::Listed { path, .. } in sorted.files {
        let file = name_of(&path);
        let stamp = Stamp::of(&path);
        let fresh = |line: &&Line| {
            stamp.as_ref().is_ok_and(|now| *now == line.stamp)
                && line.stamp.changed_ns.saturating_add(SLACK_NS) < written_ns
        };
        if let Some(line) = known.get(&file).filter(fresh) {
            lines.push(line.clone());
            continue;
        }
        changed = true;
        match stamp.map_err(RackError::from).and_then(|stamp| Ok((stamp, read_saw(&path)?))) {
            Ok((stamp, saw)) => {
                lines.push(Line { tag: saw.header.tag.clone(), file, stamp, glance: saw.glance() });
            }
            Err(error) => found.problems.push((path, error)),
        }
    }
    if changed
        && derived == Derived::Refreshed
        && let Err(error) = write_index(root, &lines)
    {
        found.problems.push((root.join(SAW_INDEX), error));
    }
    let mut several = BTreeSet::new();
    for (path, _) in apart {
        match read_saw(&path) {
            Ok(saw) => {
                several.insert(saw.header.tag);
            }
            Err(error) => found.problems.push((path, error)),
        }
    }
    for Line { tag, glance, .. } in lines {
        if found.saws.insert(tag.clone(), glance).is_some() {
            several.insert(tag);
        }
    }
    for tag in several {
        match files_of(root, &tag) {
            Ok(Found { record: Some((_, saw)), .. }) => {
                found.saws.insert(tag, saw.glance());
            }
            Ok(_) => {}
            Err(error) => found.problems.push((data_dir::saws(root), error.into())),
        }
    }
    found
}

/// The lines by file, and when the index was written.
fn read_index(root: &Path) -> Option<(BTreeMap<String, Line>, i64)> {
    let path = root.join(SAW_INDEX);
    let written_ns = Stamp::of(&path).ok()?.changed_ns;
    let text = files::read_text(&path, MAX).ok()?;
    let (first, body) = text.split_once('\n')?;
    let head: Head = serde_json::from_str(first).ok()?;
    if head.format != FORMAT || head.crc != format!("{:08x}", crc32fast::hash(body.as_bytes())) {
        return None;
    }
    let lines = body.lines().map(|line| serde_json::from_str::<Line>(line).ok().map(|line| (line.file.clone(), line)));
    Some((lines.collect::<Option<_>>()?, written_ns))
}

/// How many saws an index tells of, or what is wrong with it.
pub(super) fn check(path: &Path) -> Result<usize, RackError> {
    let text = files::read_text(path, MAX)?;
    let fault = |line: usize, what: &str| RackError::line(path, line, &format!("{what} {DERIVED}"));
    let (first, body) = text.split_once('\n').unwrap_or((&text, ""));
    let head: Head = serde_json::from_str(first).map_err(|error| fault(1, &format!("{error}.")))?;
    if head.format != FORMAT {
        return Err(fault(1, &format!("format is {}; this version writes {FORMAT}.", head.format)));
    }
    if head.crc != format!("{:08x}", crc32fast::hash(body.as_bytes())) {
        return Err(fault(1, "the check sum does not fit what follows."));
    }
    for (line, at) in body.lines().zip(2..) {
        serde_json::from_str::<Line>(line).map_err(|error| fault(at, &format!("{error}.")))?;
    }
    Ok(body.lines().count())
}

fn write_index(root: &Path, lines: &[Line]) -> Result<(), RackError> {
    let unwritable = |e: serde_json::Error| RecordError::Unwritable { what: e.to_string() };
    let mut body = String::new();
    for line in lines {
        body.push_str(&serde_json::to_string(line).map_err(unwritable)?);
        body.push('\n');
    }
    let head = Head { format: FORMAT, crc: format!("{:08x}", crc32fast::hash(body.as_bytes())) };
    let text = format!("{}\n{body}", serde_json::to_string(&head).map_err(unwritable)?);
    Ok(files::replace(&root.join(SAW_INDEX), text.as_bytes())?)
}
