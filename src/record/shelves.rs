//! All loops at a glance, from one derived index.
//!
//! The index holds a line a loop: its card, its last round in short, its open round. A line is believed while the
//! loop's folder, its card and its open round have the size and time of change that the line was made from; the other
//! loops are read again from their histories. So the rack shows at the cost of two looks a loop, however many rounds
//! there are, and only what changed is read. It may be deleted at any time.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::data_dir::{self, CARD, INDEX};
use super::history::{self, History, Stamp, Standing};
use super::{RackError, RecordError, cards, files, series};
use crate::advice::forecast;
use crate::round::{Card, Closing, Summary};
use crate::units::clean::is_slug;

/// Changed whenever the lines mean something else than before.
const FORMAT: u32 = 2;
/// Largest index read, in bytes: a hundred thousand loops.
const MAX: u64 = 64 * 1024 * 1024;
/// What changed this shortly before the index was written may have changed again within the clock's tick: it is not
/// believed. Two seconds is the coarsest tick of common file systems (FAT).
const SLACK_NS: i64 = 2_000_000_000;
/// Most loops named for one pair of hands on one profile.
const RECENT: usize = 8;
/// Most pairs of hands and profiles named.
const RECENT_GROUPS: usize = 256;
/// Longest first line read.
const MAX_HEAD: u64 = 256 * 1024;

/// All loops, and what could not be read.
#[derive(Debug, Default)]
pub struct Shelves {
    /// One a loop, by tag.
    pub shelves: Vec<Shelf>,
    /// Files at fault; a loop whose card cannot be read has no shelf.
    pub problems: Vec<(PathBuf, RackError)>,
}

/// A loop at a glance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shelf {
    /// Its card.
    pub card: Card,
    /// Closed rounds.
    pub rounds: usize,
    /// The last closed round in short, without filings.
    pub last: Option<Summary>,
    /// The round to resume.
    pub open: Option<OpenRound>,
    /// Median cutter length after the last closed round in which lengths were read, mm.
    pub median_mm: Option<f64>,
    /// When the next round is due if rounds go on coming as they did.
    pub next: Option<DateTime<FixedOffset>>,
    /// True when the latest round rejects the loop.
    pub rejected: bool,
}

/// A round that waits to be resumed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenRound {
    /// Its file.
    #[serde(skip)]
    pub path: PathBuf,
    file: String,
    /// When it began.
    pub started: DateTime<FixedOffset>,
    /// Who files.
    pub sharpener: String,
    /// When its last entry was made.
    pub touched: DateTime<FixedOffset>,
    /// How it stands.
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    folder_ns: i64,
    card: Stamp,
    open: Option<Stamp>,
    /// Something in the folder could not be read: look again every time, so that it is told every time.
    faulty: bool,
    shelf: Shelf,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    format: u32,
    crc: String,
    recent: Vec<Recent>,
}

/// The loops last worked by the same hands on the same profile, latest first.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Recent {
    sharpener: String,
    profile: String,
    tags: Vec<String>,
}

impl Line {
    fn tag(&self) -> &str {
        &self.shelf.card.tag
    }
}

/// All loops. `progress` hears how many of the loops that must be read again are done, and how many there are.
pub(super) fn read(root: &Path, progress: &mut dyn FnMut(usize, usize)) -> Shelves {
    let mut found = Shelves::default();
    // Looking at every loop and reading the index take about as long: neither waits for the other.
    let (folders, index) = std::thread::scope(|scope| {
        let index = scope.spawn(|| read_index(root));
        (list(&data_dir::loops(root)), index.join().unwrap_or_default())
    });
    let folders = match folders {
        Ok(folders) => folders,
        Err(error) => {
            found.problems.push((data_dir::loops(root), error));
            return found;
        }
    };
    let (known, written_ns) = index.unwrap_or_default();
    let known_count = known.len();
    let mut known = known.into_iter().peekable();
    let (mut lines, mut stale) = (Vec::with_capacity(folders.len()), Vec::new());
    // Both are in the order of tags.
    for seen in folders {
        while known.next_if(|line| line.tag() < seen.tag.as_str()).is_some() {}
        match known.next_if(|line| line.tag() == seen.tag && is_fresh(root, &seen, line, written_ns)) {
            Some(line) => lines.push(line),
            None => stale.push(seen.tag),
        }
    }
    let total = stale.len();
    for (done, tag) in stale.into_iter().enumerate() {
        let folder = data_dir::loops(root).join(&tag);
        match line_of(&folder, &tag, &mut found.problems) {
            Ok(line) => lines.push(line),
            Err(_) if is_bare(&folder) => {}
            Err(error) => found.problems.push((folder.join(CARD), error)),
        }
        progress(done + 1, total);
    }
    if total > 0 || lines.len() != known_count {
        lines.sort_by(|a, b| a.tag().cmp(b.tag()));
        if let Err(error) = write_index(root, &lines) {
            found.problems.push((root.join(INDEX), error));
        }
    }
    found.shelves = lines.into_iter().map(|line| line.shelf).collect();
    for shelf in &mut found.shelves {
        shelf.place(root);
    }
    found
}

/// Loops whose last round was worked by these hands on this profile, the latest first, as the index last saw it: only
/// its first line is read.
pub(super) fn recent(root: &Path, sharpener: &str, profile: &str) -> Vec<String> {
    let head = || {
        let mut line = String::new();
        let file = files::open(&root.join(INDEX), false).ok()?;
        BufReader::new(file.take(MAX_HEAD)).read_line(&mut line).ok()?;
        serde_json::from_str::<Head>(&line).ok().filter(|head| head.format == FORMAT)
    };
    let groups = head().map(|head| head.recent).unwrap_or_default();
    let group = groups.into_iter().find(|recent| recent.sharpener == sharpener && recent.profile == profile);
    group.map(|recent| recent.tags).unwrap_or_default()
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
    if !files::exists(loops) {
        return Ok(found);
    }
    for entry in fs::read_dir(loops).map_err(RecordError::io("list the folder", loops))? {
        let entry = entry.map_err(RecordError::io("list the folder", loops))?;
        let Some(tag) = entry.file_name().to_str().filter(|name| is_slug(name)).map(str::to_owned) else { continue };
        let path = entry.path();
        let about = entry.metadata().map_err(RecordError::io("look at it", &path))?;
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
    !files::exists(&folder.join(CARD)) && series::current(folder).is_ok_and(|rounds| rounds.is_empty())
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

/// A loop's line, read anew.
fn line_of(folder: &Path, tag: &str, problems: &mut Vec<(PathBuf, RackError)>) -> Result<Line, RackError> {
    let before = problems.len();
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
        let refreshed = history::refresh(folder, tag, &mut |_, _| {})?;
        problems.extend(refreshed.problems);
        if refreshed.wrote && problems.len() == before {
            continue; // writing the history changed the folder
        }
        let history = refreshed.history;
        let open = history.open().map(|row| row.stamp);
        let faulty = problems.len() > before;
        return Ok(Line { folder_ns, card: stamp, open, faulty, shelf: Shelf::of(card, &history) });
    }
}

impl Shelf {
    fn of(card: Card, history: &History) -> Self {
        let last = history.closed().next_back().map(|row| &row.summary);
        let open = history.open().map(|row| OpenRound {
            path: PathBuf::new(),
            file: row.file.clone(),
            started: row.summary.started,
            sharpener: row.summary.sharpener.clone(),
            touched: history::touched(row),
            standing: row.open.clone().unwrap_or_else(|| unreachable!("an open row says how it stands")),
        });
        let rejected = match &open {
            Some(open) => open.standing.rejected,
            None => last.is_some_and(|last| last.how == Some(Closing::Rejected)),
        };
        let signed = history.closed().filter(|row| row.summary.how == Some(Closing::Signed));
        let ends: Vec<DateTime<FixedOffset>> = signed.map(|row| row.summary.ended).collect();
        let length = |row: &history::Row| row.summary.median_after_mm.or(row.summary.median_before_mm);
        Self {
            card,
            rounds: history.closed().count(),
            median_mm: history.closed().rev().find_map(length),
            next: forecast::next_round(&ends),
            last: last.map(|last| Summary { filings: Vec::new(), ..last.clone() }),
            open,
            rejected,
        }
    }

    /// Says where the open round's file lies: the index does not, so that a data folder can be copied and moved.
    fn place(&mut self, root: &Path) {
        if let Some(open) = &mut self.open {
            open.path = data_dir::loops(root).join(&self.card.tag).join(&open.file);
        }
    }
}

/// The lines in order of tags, and when the index was written.
fn read_index(root: &Path) -> Option<(Vec<Line>, i64)> {
    let path = root.join(INDEX);
    let written_ns = Stamp::of(&path).ok()?.changed_ns;
    let text = files::read_text(&path, MAX).ok()?;
    let (first, body) = text.split_once('\n')?;
    let head: Head = serde_json::from_str(first).ok()?;
    if head.format != FORMAT || head.crc != format!("{:08x}", crc32fast::hash(body.as_bytes())) {
        return None;
    }
    let mut lines: Vec<Line> = Vec::with_capacity(body.lines().count());
    for line in body.lines() {
        lines.push(serde_json::from_str(line).ok()?);
    }
    Some((lines, written_ns))
}

fn write_index(root: &Path, lines: &[Line]) -> Result<(), RackError> {
    let unwritable = |e: serde_json::Error| RecordError::Unwritable { what: e.to_string() };
    let mut body = String::new();
    for line in lines {
        body.push_str(&serde_json::to_string(line).map_err(unwritable)?);
        body.push('\n');
    }
    let crc = format!("{:08x}", crc32fast::hash(body.as_bytes()));
    let head = Head { format: FORMAT, crc, recent: recent_of(lines) };
    let text = format!("{}\n{body}", serde_json::to_string(&head).map_err(unwritable)?);
    Ok(files::replace(&root.join(INDEX), text.as_bytes())?)
}

fn recent_of(lines: &[Line]) -> Vec<Recent> {
    let worked = lines.iter().filter_map(|line| Some((line.shelf.last.as_ref()?, line.tag())));
    let mut worked: Vec<(&Summary, &str)> = worked.filter(|(last, _)| last.strokes > 0).collect();
    worked.sort_by(|a, b| b.0.ended.cmp(&a.0.ended).then(a.1.cmp(b.1)));
    let mut groups: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for (last, tag) in worked {
        let known = groups.len();
        match groups.entry((&last.sharpener, &last.profile)) {
            Entry::Vacant(_) if known >= RECENT_GROUPS => {}
            Entry::Vacant(group) => _ = group.insert(vec![tag.to_owned()]),
            Entry::Occupied(mut group) if group.get().len() < RECENT => group.get_mut().push(tag.to_owned()),
            Entry::Occupied(_) => {}
        }
    }
    let recent = |((sharpener, profile), tags): ((&str, &str), Vec<String>)| Recent {
        sharpener: sharpener.to_owned(),
        profile: profile.to_owned(),
        tags,
    };
    groups.into_iter().map(recent).collect()
}
