//! A loop's past in one small file, derived from its rounds.
//!
//! Reading five hundred rounds takes seconds, their summaries milliseconds. The history names every round file with
//! its size and time of change: rows that still match are taken, the others are read again. It carries its own check
//! sum and a format number; a file that fails either is not believed, only made anew. It may be deleted at any time.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::basis::{Basis, Known};
use super::data_dir::{HISTORY, round_order};
use super::shelves::Derived;
use super::{RackError, RecordError, contents, copies, files, series};
use crate::advice::{self, Context, Findings, Status, cut, slope};
use crate::chain::Rule;
use crate::round::card::Prices;
use crate::round::rule::RuleFrom;
use crate::round::summary::last_cutters;
use crate::round::{Closing, Contradiction, Cut, Entry, Event, Header, LastCutter, Past, Phase, Round, Summary};

/// Changed whenever the rows mean something else than before.
const FORMAT: u32 = 9;
/// Largest history read, in bytes: thousands of rounds.
const MAX: u64 = 32 * 1024 * 1024;
/// Rounds, newest first, whose filings are kept: strokes are learned from today's hand, not from that of years ago.
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
        fs::symlink_metadata(path).map(|found| Self::from(&found)).map_err(RecordError::io("look at it", path))
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

/// The history of a loop's folder as its rounds tell it; its file is written where `derived` says so. `progress` hears how many of the rounds that must be read
/// again are done, and how many there are.
pub(super) fn read_all(
    folder: &Path,
    (tag, saw): (&str, &str),
    known: &Known<'_>,
    progress: &mut dyn FnMut(usize, usize),
    derived: Derived,
) -> Result<Refreshed, RackError> {
    let old = read(&folder.join(HISTORY)).unwrap_or_default();
    let mut work =
        Work { folder, tag, saw, known, old: &old, rows: Vec::new(), problems: Vec::new(), last: None, shaken: false };
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
                Some(row) => work.rows.push(row.clone()),
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
    if wrote && let Err(error) = write(&folder.join(HISTORY), &history) {
        problems.push((folder.join(HISTORY), error));
    }
    Ok(Refreshed { history, problems, wrote })
}

struct Work<'a> {
    folder: &'a Path,
    tag: &'a str,
    /// Saw that the loop's card names.
    saw: &'a str,
    known: &'a Known<'a>,
    old: &'a History,
    rows: Vec<Row>,
    problems: Vec<(PathBuf, RackError)>,
    /// The latest signed round among those read, kept for its cutters.
    last: Option<(String, Vec<LastCutter>)>,
    /// A round that was read before could not be read again: what was to come of it must not be kept as if it were known.
    shaken: bool,
}

/// How the loop stands after its newest round: the saw that this names, what the status rests on, the status, the rule that its gaps fit.
#[derive(Default)]
struct Judged {
    saw: String,
    basis: Basis,
    status: Option<Status>,
    fits: Option<Rule>,
}

impl Work<'_> {
    /// A round that is among the rows, once more; where that fails it is told.
    fn again(&mut self, file: &str) -> Option<Round> {
        let path = self.folder.join(file);
        read_round(&path)
            .map_err(|error| {
                self.shaken = true;
                self.problems.push((path, error));
            })
            .ok()
    }

    fn take(&mut self, file: String, stamp: Stamp, id: Option<Uuid>) {
        let path = self.folder.join(&file);
        let round = match read_round(&path) {
            Ok(round) if round.header.tag == self.tag => round,
            Ok(round) => {
                let fault = format!("`loop` is {}, but the file lies with loop {}", round.header.tag, self.tag);
                return self.problems.push((path.clone(), RackError::line(&path, 1, &fault)));
            }
            Err(error) => return self.problems.push((path, error)),
        };
        let mut summary = Summary::of(&round);
        summary.gap_loss = Some(slope::loss(&round, &self.last_before(&file))).filter(|loss| loss.pairs > 0);
        let signed = round.closed == Some(Closing::Signed);
        if signed {
            summary.promised = self.promised(&round, &file);
        }
        let later = self.last.as_ref().is_none_or(|(known, _)| round_order(&file) > round_order(known));
        if signed && later {
            self.last = Some((file.clone(), last_cutters(&round)));
        }
        let open = round.closed.is_none().then(|| Standing {
            phase: round.phase(),
            paused: round.paused,
            entries: round.entries.len(),
        });
        self.rows.push(Row { file, stamp, id, open, summary });
    }

    /// What the sheet of a round lets expect of the cut.
    fn promised(&mut self, round: &Round, file: &str) -> Option<Cut> {
        let saw = if round.header.saw.is_empty() { self.saw } else { &round.header.saw };
        let basis = self.known.basis(&round.header.sharpener, saw);
        let past = Past { last: self.last_before(file), ..Past::default() };
        let (skill, prices) = (basis.sharpener().skill(), Prices::default());
        let ctx = Context { round, past: &past, skill: &skill, prices: &prices, tension: basis.tension() };
        advice::promised(&ctx)
    }

    /// The cutters as the last signed round before that file left them; none where no round before it is signed or readable.
    fn last_before(&mut self, file: &str) -> Vec<LastCutter> {
        let order = round_order(file);
        let signed =
            self.rows.iter().filter(|row| row.summary.how == Some(Closing::Signed) && round_order(&row.file) < order);
        let Some(before) = signed.max_by_key(|row| round_order(&row.file)).map(|row| row.file.clone()) else {
            return Vec::new();
        };
        match &self.last {
            Some((name, last)) if *name == before => last.clone(),
            _ if self.old.last_from == before => self.old.last.clone(),
            _ => self.again(&before).map(|round| last_cutters(&round)).unwrap_or_default(),
        }
    }

    /// How the loop stands after the newest of these rounds, and what that rests on.
    fn status(&mut self, rows: &[Row]) -> Judged {
        let Some((newest, before)) = rows.split_last() else { return Judged::default() };
        let (known, named) = (self.known, self.saw);
        let on = |saw: &str| known.basis(&newest.summary.sharpener, if saw.is_empty() { named } else { saw });
        let old = self.old;
        if *old.rows == *rows && old.basis == on(&old.saw) {
            return Judged {
                saw: old.saw.clone(),
                basis: old.basis.clone(),
                status: old.status.clone(),
                fits: old.fits,
            };
        }
        let Some(round) = self.again(&newest.file) else { return Judged::default() };
        let basis = on(&round.header.saw);
        let rounds = before.iter().filter(|row| row.open.is_none()).map(|row| row.summary.clone()).collect();
        let past = Past { rounds, last: self.last_before(&newest.file), ..Past::default() };
        let (skill, prices) = (basis.sharpener().skill(), Prices::default());
        let ctx = Context { round: &round, past: &past, skill: &skill, prices: &prices, tension: basis.tension() };
        let status = Some(Findings::of(&ctx).status);
        let fits = match round.rule_and_source() {
            (rule, RuleFrom::Fits) => Some(rule),
            _ => None,
        };
        Judged { saw: round.header.saw, basis, status, fits }
    }

    fn finish(&mut self) -> History {
        let old = self.old;
        let mut rows = std::mem::take(&mut self.rows);
        rows.sort_by_cached_key(|row| round_order(&row.file));
        cut::settle(rows.iter_mut().map(|row| &mut row.summary));
        let old_ones = rows.len().saturating_sub(FILINGS_OF);
        for row in &mut rows[..old_ones] {
            row.summary.filings = Vec::new();
        }
        let signed = rows.iter().rev().find(|row| row.summary.how == Some(Closing::Signed));
        let (last_from, last) = match (signed, self.last.take()) {
            (None, _) => (String::new(), Vec::new()),
            (Some(row), Some((file, last))) if row.file == file => (file, last),
            (Some(row), _) if row.file == old.last_from => (old.last_from.clone(), old.last.clone()),
            (Some(row), _) => {
                let file = row.file.clone();
                let round = self.again(&file);
                (file, round.map(|round| last_cutters(&round)).unwrap_or_default())
            }
        };
        let Judged { saw, basis, status, fits } = self.status(&rows);
        History { format: FORMAT, last_from, last, saw, basis, status, fits, rows }
    }
}

const CRC: &str = "crc = \"";
/// What to do about a derived file that is at fault.
pub(super) const DERIVED: &str = "It is derived: delete it, and it is made anew.";

/// A history as it was written; nothing where it is missing, of another format, or fails its check sum.
fn read(path: &Path) -> Option<History> {
    let text = files::read_text(path, MAX).ok()?;
    let (first, body) = text.split_once('\n')?;
    let sum = first.strip_prefix(CRC)?.strip_suffix('"')?;
    if sum != format!("{:08x}", crc32fast::hash(body.as_bytes())) {
        return None;
    }
    let history = parse(body).ok()?;
    (history.format == FORMAT).then_some(history)
}

/// The table that begins a row, on a line of its own: texts have no line ends, so nothing else looks like it.
const ROW: &str = "[[round]]\n";

/// The text after the check sum, row by row: a tree of five hundred rounds at once takes fifty times its text. The line
/// at fault is counted from 1.
fn parse(body: &str) -> Result<History, (usize, String)> {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct One {
        round: [Row; 1],
    }
    let mut lines = 0;
    let wrong = |lines: usize, piece: &str, error: &toml::de::Error| {
        let at = error.span().map_or(0, |span| span.start);
        (lines + piece.bytes().take(at).filter(|b| *b == b'\n').count() + 1, format!("{}.", error.message()))
    };
    let mut pieces = starts(body).peekable();
    let head = &body[..pieces.peek().copied().unwrap_or(body.len())];
    let mut history: History = toml::from_str(head).map_err(|error| wrong(lines, head, &error))?;
    lines += head.matches('\n').count();
    while let Some(start) = pieces.next() {
        let piece = &body[start..pieces.peek().copied().unwrap_or(body.len())];
        let One { round: [row] } = toml::from_str(piece).map_err(|error| wrong(lines, piece, &error))?;
        history.rows.push(row);
        lines += piece.matches('\n').count();
    }
    Ok(history)
}

/// Where rows begin.
fn starts(body: &str) -> impl Iterator<Item = usize> {
    body.match_indices(ROW).map(|(at, _)| at).filter(|at| *at == 0 || body.as_bytes()[at - 1] == b'\n')
}

/// How many rounds a history tells of, or what is wrong with it.
pub(super) fn check(path: &Path) -> Result<usize, RackError> {
    let text = files::read_text(path, MAX)?;
    let fault = |line: usize, what: &str| RackError::line(path, line, &format!("{what} {DERIVED}"));
    let Some((first, body)) = text.split_once('\n').filter(|(first, _)| first.starts_with(CRC)) else {
        return Err(fault(1, "a history begins with its check sum, and this does not."));
    };
    if first != format!("{CRC}{:08x}\"", crc32fast::hash(body.as_bytes())) {
        return Err(fault(1, "the check sum does not fit what follows."));
    }
    let history = parse(body).map_err(|(line, what)| fault(line + 1, &what))?;
    if history.format != FORMAT {
        return Err(fault(2, &format!("format is {}; this version writes {FORMAT}.", history.format)));
    }
    Ok(history.rows.len())
}

fn write(path: &Path, history: &History) -> Result<(), RackError> {
    let body = toml::to_string(history).map_err(|e| RecordError::Unwritable { what: e.to_string() })?;
    let text = format!("{CRC}{:08x}\"\n{body}", crc32fast::hash(body.as_bytes()));
    Ok(files::replace(path, text.as_bytes())?)
}

/// When the round's last entry was made.
pub(super) fn touched(row: &Row) -> DateTime<FixedOffset> {
    row.summary.ended
}
