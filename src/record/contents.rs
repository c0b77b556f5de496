//! What the bytes of a record say: trusted blocks turned into header and events, or the reason why not.
//!
//! Nothing here writes. Order comes from `seq`, never from time: a bench computer's clock may be wrong.

use super::block::{self, Piece, Whole, pieces};
use super::events::{event, event_and_shape, plain_event};
use super::understand::{Shapes, understand};
use super::{FORMAT, MAX_EVENTS, MAX_FILE, RecordError, files, lines, series};
use chrono::{DateTime, FixedOffset};
use serde::{Serialize, de::DeserializeOwned};
use std::path::Path;
use toml::{Table, Value};
use uuid::Uuid;

/// How much of a file is read for its header, in bytes: many times what one takes.
const MAX_HEADER: u64 = 64 * 1024;

/// An event as it stands in the record.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamped<E> {
    /// Its number, from 1, without gaps.
    pub seq: u32,
    /// When it was entered, by the clock of the bench.
    pub at: DateTime<FixedOffset>,
    /// Who entered it, where that is somebody else than the record's own person.
    pub by: Option<String>,
    /// The raw text that was typed or sent, if there was any.
    pub typed: Option<String>,
    /// What happened.
    pub event: E,
}

/// All that a record holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Contents<H, E> {
    /// The header block.
    pub header: H,
    /// What the record is known by, whatever its file is called; the files that continue it have the same. Absent in
    /// records of versions that gave none.
    pub id: Option<Uuid>,
    /// The file that this one continues after a disk fault: a plain file name of the same folder.
    pub continues: Option<String>,
    /// The events, in order.
    pub entries: Vec<Stamped<E>>,
    /// The torn end, if there is one.
    pub torn: Option<Torn>,
}

/// An end of a file that is no whole event: never acknowledged, never read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Torn {
    /// Its first line, from 1.
    pub line: usize,
    /// Its length.
    pub bytes: u64,
}

/// Contents, and where they lie in the file.
pub(super) struct Parsed<H, E> {
    pub contents: Contents<H, E>,
    /// The header's own keys, for writing it again.
    pub head: Table,
    /// Length of the header block.
    pub head_len: usize,
    /// Length of the whole blocks.
    pub good_len: usize,
}

/// Read a record without locking or mending it. A torn end is told, not an error.
///
/// # Errors
/// The file cannot be read, is no record, is damaged before its end, or was written by a newer version.
pub fn read<H, E>(path: &Path) -> Result<Contents<H, E>, RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    parse(path, &files::read(path, MAX_FILE)?).map(|parsed| parsed.contents)
}

/// Every fault of a record, in the order of its lines; none for a whole one.
pub fn check<H, E>(path: &Path) -> Vec<RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    let bytes = match files::read(path, MAX_FILE) {
        Ok(bytes) => bytes,
        Err(e) => return vec![e],
    };
    if let Some(fault) = foreign_start(path, &bytes) {
        return vec![fault];
    }
    let found = pieces(&bytes);
    let last = found.iter().rposition(|p| p.what.is_ok());
    let Some(last) = last else {
        return vec![headless(path, &bytes, &found)];
    };
    let mut faults = Vec::new();
    let mut expected = Some(1); // unknown after a block that cannot be read
    for (i, piece) in found[..=last].iter().enumerate() {
        let fault = match &piece.what {
            Err(flaw) => Some(RecordError::damaged(path, piece.line, flaw.to_string())),
            Ok(whole) if whole.is_header != (i == 0) => Some(misplaced(path, piece, i)),
            Ok(whole) if i == 0 => header::<H>(path, piece.line, whole).err(),
            Ok(whole) => {
                let read = event::<E>(path, piece.line, whole);
                let wanted = expected.take();
                expected = read.as_ref().ok().map(|stamped| stamped.seq.saturating_add(1));
                read.map_or_else(Some, |s| out_of_order(path, piece.line, s.seq, wanted.unwrap_or(s.seq)))
            }
        };
        if piece.what.is_err() {
            expected = None;
        }
        faults.extend(fault);
    }
    faults.extend(tail(path, &bytes, &found[last + 1..]));
    faults
}

/// The lines on which blocks begin, from 1. One value takes one line, so that a line beginning with a bracket always does.
pub(super) fn block_lines(path: &Path) -> Result<Vec<usize>, RecordError> {
    let text = files::read_text(path, MAX_FILE)?;
    Ok(text.lines().enumerate().filter(|(_, line)| line.starts_with('[')).map(|(at, _)| at + 1).collect())
}

/// Turn bytes into contents, or say why they cannot be trusted.
pub(super) fn parse<H, E>(path: &Path, bytes: &[u8]) -> Result<Parsed<H, E>, RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    if let Some(fault) = foreign_start(path, bytes) {
        return Err(fault);
    }
    let found = pieces(bytes);
    let Some(last) = found.iter().rposition(|p| p.what.is_ok()) else {
        return Err(headless(path, bytes, &found));
    };
    let (good, rest) = found.split_at(last + 1);
    let mut entries = Vec::with_capacity(good.len());
    let mut head = None;
    let mut known = Shapes::default();
    for (i, piece) in good.iter().enumerate() {
        let whole = piece.what.as_ref().map_err(|flaw| RecordError::damaged(path, piece.line, flaw.to_string()))?;
        if whole.is_header != (i == 0) {
            return Err(misplaced(path, piece, i));
        }
        if i == 0 {
            head = Some(header::<H>(path, piece.line, whole)?);
            continue;
        }
        let stamped = match plain_event(whole, &known) {
            Some(stamped) => stamped,
            None => event_and_shape(path, piece.line, whole, &mut known)?,
        };
        let expected = u32::try_from(i).unwrap_or(u32::MAX);
        if let Some(fault) = out_of_order(path, piece.line, stamped.seq, expected) {
            return Err(fault);
        }
        entries.push(stamped);
    }
    let Some(Head { header, id, continues, own }) = head else {
        return Err(headless(path, bytes, &found));
    };
    let torn = match tail(path, bytes, rest) {
        Some(RecordError::Torn { line, bytes, .. }) => Some(Torn { line, bytes }),
        Some(other) => return Err(other),
        None => None,
    };
    let contents = Contents { header, id, continues, entries, torn };
    Ok(Parsed { contents, head: own, head_len: good[0].end, good_len: good[last].end })
}

/// What an editor put before the first line, if it did.
fn foreign_start(path: &Path, bytes: &[u8]) -> Option<RecordError> {
    let what = if bytes.starts_with(b"\xEF\xBB\xBF[") {
        "a byte-order mark"
    } else if bytes.starts_with(b"\xFF\xFE[") || bytes.starts_with(b"\xFE\xFF\0[") {
        "UTF-16 text"
    } else {
        return None;
    };
    Some(RecordError::Converted { path: path.to_owned(), line: 1, what })
}

/// What a file without a single whole block is.
fn headless(path: &Path, bytes: &[u8], found: &[Piece<'_>]) -> RecordError {
    let path = path.to_owned();
    if let Some(piece) = found.iter().find(|p| matches!(p.what, Err(block::Flaw::LineEnds))) {
        return RecordError::Converted { path, line: piece.line, what: "CR LF line ends" };
    }
    // A power cut may leave zeros where text was to be.
    let text = &bytes[..bytes.iter().rposition(|b| *b != 0).map_or(0, |last| last + 1)];
    let start = format!("{}\n", series::header_of(&path));
    let begun = text.starts_with(start.as_bytes()) || start.as_bytes().starts_with(text);
    let events = found.iter().any(|p| bytes[p.start..p.end].starts_with(block::EVENT.as_bytes()));
    if begun && !events && !block::has_sum(bytes) {
        RecordError::Unstarted { path }
    } else if begun {
        RecordError::damaged(
            &path,
            1,
            if events { "the header and every event fail their check sums" } else { "the header fails its check sum" },
        )
    } else {
        RecordError::NotARecord { path }
    }
}

/// True for a block that was written to its end and changed since: a torn one has no line with a check sum.
fn ended(bytes: &[u8], piece: &Piece<'_>) -> bool {
    block::has_sum(&bytes[piece.start..piece.end])
}

/// The pieces after the last whole block: nothing, a torn end, a damaged block, or blocks that an editor converted.
fn tail(path: &Path, bytes: &[u8], rest: &[Piece<'_>]) -> Option<RecordError> {
    if let Some(piece) = rest.iter().find(|p| matches!(p.what, Err(block::Flaw::LineEnds))) {
        return Some(RecordError::Converted { path: path.to_owned(), line: piece.line, what: "CR LF line ends" });
    }
    if let Some((piece, flaw)) =
        rest.iter().find_map(|p| Some((p, p.what.as_ref().err()?)).filter(|(p, _)| ended(bytes, p)))
    {
        return Some(RecordError::damaged(path, piece.line, flaw.to_string()));
    }
    rest.first().map(|piece| {
        let bytes = (bytes.len() - piece.start) as u64;
        RecordError::Torn { path: path.to_owned(), line: piece.line, bytes }
    })
}

fn misplaced(path: &Path, piece: &Piece<'_>, index: usize) -> RecordError {
    let start = series::header_of(path);
    let fault =
        if index == 0 { format!("the `{start}` header is missing") } else { format!("a second `{start}` header") };
    RecordError::damaged(path, piece.line, fault)
}

fn out_of_order(path: &Path, line: usize, seq: u32, expected: u32) -> Option<RecordError> {
    if seq > MAX_EVENTS {
        return Some(RecordError::damaged(path, line, format!("`seq` is {seq}; at most {MAX_EVENTS} events fit")));
    }
    (seq != expected).then(|| RecordError::damaged(path, line, format!("`seq` is {seq}, expected {expected}")))
}

/// The keys of a whole block.
pub(super) fn table(path: &Path, line: usize, whole: &Whole<'_>) -> Result<Table, RecordError> {
    let fault = |what: String| RecordError::damaged(path, line, what);
    let text = std::str::from_utf8(whole.body).map_err(|e| fault(format!("the block is not UTF-8: {e}")))?;
    let mut table: Table = match lines::keys(text) {
        Some(table) => table,
        None => toml::from_str(text).map_err(|e| fault(format!("the block is not TOML: {}", one_line(e.message()))))?,
    };
    block::disarm(&mut table).map_err(fault)?;
    Ok(table)
}

/// What a header block says.
struct Head<H> {
    header: H,
    id: Option<Uuid>,
    continues: Option<String>,
    /// The keys that are not the record's own.
    own: Table,
}

fn header<H>(path: &Path, line: usize, whole: &Whole<'_>) -> Result<Head<H>, RecordError>
where
    H: Serialize + DeserializeOwned,
{
    let mut table = table(path, line, whole)?;
    let wrong = |fault: &str| RecordError::damaged(path, line, one_line(fault));
    match table.remove("format") {
        Some(Value::Integer(FORMAT)) => {}
        Some(Value::Integer(later)) if later > FORMAT => return Err(RecordError::later(path, line, later, FORMAT)),
        Some(other) => return Err(wrong(&format!("`format` is {other}; it must be {FORMAT}"))),
        None => return Err(wrong(&format!("`format` is missing; it must be {FORMAT}"))),
    }
    let id = match table.remove("id") {
        None => None,
        Some(Value::String(text)) if Uuid::try_parse(&text).is_ok() => Uuid::try_parse(&text).ok(),
        Some(other) => return Err(wrong(&format!("`id` is {other}; allowed: a UUID"))),
    };
    let continues = match table.remove("continues") {
        None => None,
        Some(Value::String(name)) => Some(name),
        Some(other) => return Err(wrong(&format!("`continues` is {other}; allowed: a file name"))),
    };
    let header = understand(path, line, &table)?;
    Ok(Head { header, id, continues, own: table })
}

/// The header of a record; of what follows it nothing is read.
///
/// # Errors
/// The file cannot be read, or its first block cannot be trusted.
pub(super) fn header_of<H, E>(path: &Path) -> Result<H, RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    let bytes = files::read_start(path, MAX_HEADER)?;
    match block::first(&bytes).filter(|whole| whole.is_header) {
        Some(whole) => Ok(header::<H>(path, 1, &whole)?.header),
        // Reading all of it tells why.
        None => Ok(read::<H, E>(path)?.header),
    }
}

/// The name in `continues` of a header, if the bytes begin with a whole header that has one.
pub(super) fn continues_of(path: &Path, bytes: &[u8]) -> Option<String> {
    let keys = table(path, 1, &block::first(bytes).filter(|whole| whole.is_header)?).ok()?;
    let name = keys.get("continues")?.as_str()?.to_owned();
    series::can_continue(&series::name_of(path), &name).then_some(name)
}

pub(super) fn one_line(text: &str) -> String {
    crate::units::clean::clean(text)
}

/// The keys of a header block: the format first, then the record's id and the file it continues, then the header's own.
pub(super) fn header_keys(
    id: Option<Uuid>,
    continues: Option<&str>,
    own: Table,
) -> Result<Vec<(String, Value)>, String> {
    let mut keys = vec![("format".to_owned(), Value::from(FORMAT))];
    keys.extend(id.map(|id| ("id".to_owned(), Value::from(id.to_string()))));
    keys.extend(continues.map(|name| ("continues".to_owned(), Value::from(name))));
    keys.extend(own_keys(own, &["format", "id", "continues", "crc"])?);
    Ok(keys)
}

pub(super) fn own_keys(mut own: Table, reserved: &[&str]) -> Result<Vec<(String, Value)>, String> {
    if let Some(key) = reserved.iter().find(|key| own.contains_key(**key)) {
        return Err(format!("`{key}` is a key of the record itself"));
    }
    let kind = own.remove("kind").map(|value| ("kind".to_owned(), value));
    Ok(kind.into_iter().chain(own).collect())
}
