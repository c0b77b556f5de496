//! All loops at a glance, from one derived index.
//!
//! The index holds a line per loop: its card, its last round in short, its open round; and before them the loops that a
//! rack shows first, so that those are seen before anything else is read (`glance`). A line is believed while the
//! loop's folder, its card and its open round have the size and time of change that the line was made from, and while
//! what else its status rests on is as it was (`basis`); the other loops are read again from their histories. So the rack
//! shows at the cost of two looks a loop, however many rounds there are, and only what changed is read. It may be deleted at any time.

mod index;
mod line;
mod shelf;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::sync_channel;

use super::basis::{Basis, Known};
use super::data_dir::{self, CARD, CHANGES, INDEX};
use super::history::{self, Stamp};
use super::saws::{self, SawGlances};
use super::{RackError, RecordError, cards, faults, files, join, series};
use crate::units::clean::is_slug;
use index::{Index, read_index, write_index};
pub(super) use index::{check, cut_elsewhere, glance, hands, recent};
use line::Line;
pub use shelf::{LastRound, OpenRound, Shelf, Standing};

/// What changed this shortly before the index was written may have changed again within the clock's tick: it is not
/// believed. Two seconds is the coarsest tick of common file systems (FAT).
const SLACK_NS: i64 = 2_000_000_000;
/// How often a loop is read again because its folder changed meanwhile; what goes on changing is read the next time.
const AGAIN: u32 = 3;

/// What becomes of derived files when what they are derived from is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Derived {
    /// Left as they are: nothing is written.
    Left,
    /// Brought up to date.
    Refreshed,
}

/// An index smaller than this, in bytes, is read sooner than a thread is there.
const SMALL: u64 = 64 * 1024;
/// From this many loops on, they are read on several threads.
const MANY: usize = 32;

/// All loops, and what could not be read.
#[derive(Debug, Default)]
pub struct Shelves {
    /// One a loop, by tag.
    pub shelves: Vec<Shelf>,
    /// All saws of which something is known: what a status rests on.
    pub saws: SawGlances,
    /// Files at fault; a loop whose card cannot be read has no shelf.
    pub problems: Vec<(PathBuf, RackError)>,
    /// True when the reading was stopped before its end: some loops are not there.
    pub stopped: bool,
}

/// Who hears how the reading of loops goes on.
pub trait Watch {
    /// Comes first: the loops that need not be read again, and how many must.
    fn known(&mut self, shelves: &mut dyn Iterator<Item = &Shelf>, total: usize) {
        let _ = (shelves, total);
    }

    /// `done` of `total` loops that must be read again have been; the shelf is absent where that loop is at fault. `false` stops
    /// the reading.
    fn read(&mut self, done: usize, total: usize, shelf: Option<&Shelf>) -> bool;
}

/// Nobody hears.
pub struct Unwatched;

impl Watch for Unwatched {
    fn read(&mut self, _: usize, _: usize, _: Option<&Shelf>) -> bool {
        true
    }
}

/// The loops in care that stand first by name, as they were when the index was written: nothing is looked at but the
/// beginning of that one file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Glance {
    /// All loops.
    pub loops: usize,
    /// Those in care.
    pub in_care: usize,
    /// Those in care with an open round.
    pub open: usize,
    /// The first by name.
    pub first: Vec<Shelf>,
}

/// What names are put in order by: digits compare as numbers, so that loop 9 stands before loop 10.
pub(crate) fn name_order(name: &str) -> (String, u64, String) {
    let lower = name.to_lowercase();
    let start = lower.find(|c: char| c.is_ascii_digit()).unwrap_or(lower.len());
    let end = lower[start..].find(|c: char| !c.is_ascii_digit()).map_or(lower.len(), |i| start + i);
    (lower[..start].to_owned(), lower[start..end].parse().unwrap_or(0), lower[end..].to_owned())
}

/// All loops. Derived files are brought up to date where `derived` says so; else nothing is written.
pub(super) fn read(root: &Path, watch: &mut dyn Watch, derived: Derived) -> Shelves {
    let mut found = Shelves { saws: saws::all(root, derived), ..Shelves::default() };
    let people = Known::of_all(root, &found.saws);
    let (folders, index) = look(root);
    let folders = match folders {
        Ok(folders) => folders,
        Err(error) => {
            found.problems.push((data_dir::loops(root), error));
            return found;
        }
    };
    let Index { lines: known, mut bases, written_ns } = index.unwrap_or_default();
    let holds: Vec<bool> = bases.iter().map(|basis| people.holds(basis)).collect();
    let known_count = known.len();
    let mut known = known.into_iter().peekable();
    let (mut lines, mut stale) = (Vec::with_capacity(folders.len()), Vec::new());
    // Both are in the order of tags.
    for seen in folders {
        while known.next_if(|line| line.tag() < seen.tag.as_str()).is_some() {}
        match known
            .next_if(|line| line.tag() == seen.tag && is_fresh(root, &seen, line, written_ns) && holds[line.basis])
        {
            Some(line) => lines.push(line),
            None => stale.push(seen.tag),
        }
    }
    let total = stale.len();
    watch.known(&mut lines.iter().map(|line: &Line| &line.shelf), total);
    read_again(root, (&stale, &people), (&mut lines, &mut bases), &mut found, (watch, derived));
    if found.stopped {
        // What was read is in the histories; an index of some loops would be believed as one of all.
        found.shelves = lines.into_iter().map(|line| line.shelf).collect();
        return found;
    }
    if total > 0 || lines.len() != known_count {
        lines.sort_by(|a, b| a.tag().cmp(b.tag()));
        if derived == Derived::Refreshed
            && let Err(error) = write_index(root, &lines, &bases, found.problems.is_empty())
        {
            found.problems.push((root.join(INDEX), error));
        }
    }
    found.shelves = lines.into_iter().map(|line| line.shelf).collect();
    for shelf in &mut found.shelves {
        shelf.locate(root);
    }
    found
}

/// The folders of loops, and the index. Both take about as long: where there are many loops neither waits for the other.
fn look(root: &Path) -> (Result<Vec<Seen>, RackError>, Option<Index>) {
    let loops = data_dir::loops(root);
    if Stamp::of(&root.join(INDEX)).is_ok_and(|index| index.size < SMALL) {
        return (list(&loops), read_index(root));
    }
    std::thread::scope(|scope| {
        let folders = scope.spawn(|| list(&loops));
        let index = read_index(root);
        (folders.join().unwrap_or_else(|died| std::panic::resume_unwind(died)), index)
    })
}

/// Reads loops again, on several threads where there are many. Each thread takes the next loop that nobody has taken.
fn read_again(
    root: &Path,
    (stale, people): (&[String], &Known<'_>),
    (lines, bases): (&mut Vec<Line>, &mut Vec<Basis>),
    found: &mut Shelves,
    (watch, derived): (&mut dyn Watch, Derived),
) {
    let threads = if stale.len() < MANY { 1 } else { std::thread::available_parallelism().map_or(1, usize::from) };
    let (next, stopped) = (AtomicUsize::new(0), AtomicBool::new(false));
    let take = || stale.get(next.fetch_add(1, Ordering::Relaxed)).filter(|_| !stopped.load(Ordering::Relaxed));
    let mut done = 0;
    let mut hear = |read: Again| {
        done += 1;
        found.problems.extend(read.problems);
        let go_on = watch.read(done, stale.len(), read.line.as_ref().map(|(line, _)| &line.shelf));
        lines.extend(read.line.map(|(line, basis)| {
            bases.push(basis);
            Line { basis: bases.len() - 1, ..line }
        }));
        if !go_on {
            stopped.store(true, Ordering::Relaxed);
        }
    };
    if threads == 1 {
        while let Some(tag) = take() {
            hear(Again::of(root, tag, people, derived));
        }
    } else {
        std::thread::scope(|scope| {
            let (to, from) = sync_channel(threads);
            for _ in 0..threads {
                let (to, take) = (to.clone(), &take);
                scope.spawn(move || {
                    while let Some(tag) = take() {
                        if to.send(Again::of(root, tag, people, derived)).is_err() {
                            return;
                        }
                    }
                });
            }
            drop(to);
            from.into_iter().for_each(&mut hear);
        });
        found.problems.sort_by(|a, b| a.0.cmp(&b.0));
    }
    found.stopped = stopped.into_inner();
}

/// What came of reading one loop again.
struct Again {
    /// Its line, and what its status rests on.
    line: Option<(Line, Basis)>,
    problems: Vec<(PathBuf, RackError)>,
}

impl Again {
    fn of(root: &Path, tag: &str, people: &Known<'_>, derived: Derived) -> Self {
        let folder = data_dir::loops(root).join(tag);
        let mut problems = Vec::new();
        let line = match line_of(&folder, tag, people, (&mut problems, derived)) {
            Ok(line) => Some(line),
            Err(_) if is_bare(&folder) => None,
            Err(error) => {
                problems.push((folder.join(CARD), error));
                None
            }
        };
        Self { line, problems }
    }
}

/// A loop's folder as it stands.
struct Seen {
    tag: String,
    folder_ns: i64,
    card: Option<Stamp>,
}

/// The loop folders, in the order of their tags.
fn list(loops: &Path) -> Result<Vec<Seen>, RackError> {
    let mut found = Vec::new();
    if !files::exists(loops)? {
        return Ok(found);
    }
    let entries = faults::point().and_then(|()| fs::read_dir(loops));
    for entry in entries.map_err(RecordError::io("list the folder", loops))? {
        let entry = entry.map_err(RecordError::io("list the folder", loops))?;
        let Some(tag) = entry.file_name().to_str().filter(|name| is_slug(name)).map(str::to_owned) else { continue };
        let path = entry.path();
        let about = match entry.metadata() {
            Ok(about) => about,
            // Taken away by somebody since the folder was listed: one loop less, not none at all.
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => continue,
            Err(error) => return Err(RecordError::io("look at it", &path)(error).into()),
        };
        if about.is_dir() {
            let card = Stamp::of(&path.join(CARD)).ok();
            found.push(Seen { tag, folder_ns: Stamp::from(&about).changed_ns, card });
        }
    }
    found.sort_by(|a, b| a.tag.cmp(&b.tag));
    Ok(found)
}

/// Tags of all loops, in order.
pub(super) fn tags(root: &Path) -> Result<Vec<String>, RackError> {
    let all = list(&data_dir::loops(root))?;
    let held = all.into_iter().filter(|seen| seen.card.is_some() || !is_bare(&data_dir::loops(root).join(&seen.tag)));
    Ok(held.map(|seen| seen.tag).collect())
}

/// True for a folder that holds neither a card nor a round: left when the program stopped while taking a loop into care.
fn is_bare(folder: &Path) -> bool {
    files::exists(&folder.join(CARD)).is_ok_and(|there| !there)
        && series::current(folder).is_ok_and(|rounds| rounds.is_empty())
}

fn is_fresh(root: &Path, seen: &Seen, line: &Line, written_ns: i64) -> bool {
    let settled = |changed_ns: i64| changed_ns.saturating_add(SLACK_NS) < written_ns;
    let same = line.folder_ns == seen.folder_ns && Some(line.card) == seen.card;
    if line.faulty || !same || !settled(line.folder_ns) || !settled(line.card.changed_ns) {
        return false;
    }
    let Some((open, stamp)) = line.shelf.open.as_ref().zip(line.open) else { return true };
    let file = data_dir::loops(root).join(&seen.tag).join(&open.file);
    Stamp::of(&file).is_ok_and(|now| now == stamp)
}

/// A loop's line, read anew, and what its status rests on.
fn line_of(
    folder: &Path,
    tag: &str,
    people: &Known<'_>,
    (problems, derived): (&mut Vec<(PathBuf, RackError)>, Derived),
) -> Result<(Line, Basis), RackError> {
    let before = problems.len();
    let (mut again, mut written) = (0, None);
    loop {
        problems.truncate(before);
        // Stamps come first: what changes while it is read will not match them.
        let folder_ns = Stamp::of(folder)?.changed_ns;
        let stamp = Stamp::of(&folder.join(CARD))?;
        let card = cards::read(&folder.join(CARD))?;
        if card.tag != tag {
            let fault = format!("tag is {}, but the card lies in the folder of {tag}", card.tag);
            return Err(RackError::line(&folder.join(CARD), 1, &fault));
        }
        let refreshed = history::read_all((folder, tag, &card.saw), people, written.take(), &mut |_, _| {}, derived)?;
        problems.extend(refreshed.problems);
        if refreshed.wrote && problems.len() == before && again < AGAIN {
            again += 1; // writing the history changed the folder
            written = Some(refreshed.history);
            continue;
        }
        let history = refreshed.history;
        let open = history.open().map(|row| row.stamp);
        let asked = join::asked_in(folder).unwrap_or_else(|error| {
            problems.push((folder.join(CHANGES), error));
            0
        });
        let asked = asked + join::asked_of_rounds(&problems[before..]);
        let faulty = problems.len() > before;
        let shelf = Shelf { asked, ..Shelf::of(card, &history) };
        return Ok((Line { folder_ns, card: stamp, open, basis: 0, faulty, shelf }, history.basis));
    }
}
