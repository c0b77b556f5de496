//! The file that a history is kept in.

use std::path::Path;

use serde::Deserialize;

use super::{FORMAT, History, Row};
use crate::record::{RackError, RecordError, files};

/// Largest history read, in bytes: thousands of rounds.
const MAX: u64 = 32 * 1024 * 1024;
const CRC: &str = "crc = \"";
/// What to do about a derived file that is at fault.
pub(in crate::record) const DERIVED: &str = "It is derived: delete it, and it is made anew.";

/// A history as it was written; nothing where it is missing, of another format, or fails its check sum.
pub(super) fn read(path: &Path) -> Option<History> {
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
pub(in crate::record) fn check(path: &Path) -> Result<usize, RackError> {
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

pub(super) fn write(path: &Path, history: &History) -> Result<(), RackError> {
    let body = toml::to_string(history).map_err(|e| RecordError::Unwritable { what: e.to_string() })?;
    let text = format!("{CRC}{:08x}\"\n{body}", crc32fast::hash(body.as_bytes()));
    Ok(files::replace(path, text.as_bytes())?)
}
