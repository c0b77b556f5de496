//! The text of one block: how it is written, and how blocks are found again in bytes that may be damaged.
//!
//! ```toml
//! [[event]]
//! seq = 7
//! at = "2026-05-01T08:00:00+02:00"
//! kind = "..."
//! crc = "89abcdef"
//! ```
//! One value takes one line, whatever it holds, so a line that begins with `[` always begins a block. The last line is
//! the CRC-32 (ISO-HDLC, as in zip and PNG) of the block's bytes before it. Text that parses proves nothing: `mm = 12.34`
//! cut short reads as `mm = 1`. Only the check sum makes a block whole.

use super::MAX_LINE;
use crate::units::clean::is_unsafe;
use std::fmt::Write;
use toml::{Table, Value};

/// First line of the header block of a round.
pub(super) const ROUND: &str = "[round]";
/// First line of the header block of a saw.
pub(super) const SAW: &str = "[saw]";
/// How the first line of a learner's record reads.
pub(super) const LEARNER: &str = "[learner]";
/// First line of an event block.
pub(super) const EVENT: &str = "[[event]]";
const CRC_KEY: &str = "crc = \"";

/// The text of a block: start line, one line per key, check sum.
pub(super) fn render<'a>(start: &str, keys: impl IntoIterator<Item = (&'a str, &'a Value)>) -> Result<Vec<u8>, String> {
    let mut text = format!("{start}\n");
    for (key, value) in keys {
        let begin = text.len();
        put_key(&mut text, key);
        text.push_str(" = ");
        put_value(&mut text, value).map_err(|what| format!("`{key}`: {what}"))?;
        text.push('\n');
        if text.len() - begin > MAX_LINE {
            return Err(format!("`{key}`: {} bytes on one line; at most {MAX_LINE} fit", text.len() - begin));
        }
    }
    let crc = crc32fast::hash(text.as_bytes());
    text.push_str(&crc_line(crc));
    Ok(text.into_bytes())
}

fn crc_line(crc: u32) -> String {
    format!("{CRC_KEY}{crc:08x}\"\n")
}

/// A whole block, blank line before it included, in which the line of `key` has another text; nothing where it does not have
/// that text now. Every other line stays byte for byte.
pub(super) fn with_text(block: &[u8], key: &str, from: &str, to: &str) -> Option<Vec<u8>> {
    let line = |text: &str| {
        let mut line = format!("{key} = ");
        put_text(&mut line, text);
        line.push('\n');
        line
    };
    let (from, to) = (line(from), line(to));
    let blank = usize::from(block.first() == Some(&b'\n'));
    let mut out = block[..blank].to_vec();
    let mut changed = false;
    for line in block[blank..].split_inclusive(|b| *b == b'\n') {
        if line.starts_with(CRC_KEY.as_bytes()) {
            let crc = crc32fast::hash(&out[blank..]);
            out.extend(crc_line(crc).bytes());
        } else if line == from.as_bytes() {
            changed = true;
            out.extend(to.bytes());
        } else {
            out.extend_from_slice(line);
        }
    }
    changed.then_some(out)
}

fn put_key(out: &mut String, key: &str) {
    let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-');
    if bare { out.push_str(key) } else { put_text(out, key) }
}

/// A value on one line. A TOML library may choose several lines for long text or tables; a record never may.
fn put_value(out: &mut String, value: &Value) -> Result<(), String> {
    match value {
        Value::String(text) => put_text(out, text),
        Value::Float(x) if !x.is_finite() => return Err(format!("{x} is not a number that can be kept")),
        Value::Float(x) => _ = write!(out, "{x:?}"),
        Value::Integer(n) => _ = write!(out, "{n}"),
        Value::Boolean(b) => _ = write!(out, "{b}"),
        Value::Datetime(t) => _ = write!(out, "{t}"),
        Value::Array(items) => {
            out.push('[');
            for (i, item) in items.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ", " });
                put_value(out, item)?;
            }
            out.push(']');
        }
        Value::Table(table) => {
            out.push('{');
            for (i, (key, item)) in table.iter().enumerate() {
                out.push_str(if i == 0 { " " } else { ", " });
                put_key(out, key);
                out.push_str(" = ");
                put_value(out, item)?;
            }
            out.push_str(" }");
        }
    }
    Ok(())
}

fn put_text(out: &mut String, text: &str) {
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if is_unsafe(c) => _ = write!(out, "\\U{:08X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
}

/// Write out, in every text of a table, the characters that must not reach a terminal raw (a file can hold them as
/// escapes), and refuse numbers that are not numbers at all.
pub(super) fn disarm(table: &mut Table) -> Result<(), String> {
    table.iter_mut().try_for_each(|(key, value)| disarm_value(value).map_err(|what| format!("`{key}`: {what}")))
}

fn disarm_value(value: &mut Value) -> Result<(), String> {
    match value {
        Value::String(text) if text.contains(is_unsafe) => {
            let mut safe = String::with_capacity(text.len());
            for c in text.chars() {
                match c {
                    '\t' | '\n' | '\r' => safe.push(' '),
                    c if is_unsafe(c) => safe.extend(c.escape_unicode()),
                    c => safe.push(c),
                }
            }
            *text = safe;
            Ok(())
        }
        Value::Float(x) if !x.is_finite() => Err(format!("{x} is not a number that can be kept")),
        Value::Array(items) => items.iter_mut().try_for_each(disarm_value),
        Value::Table(table) => disarm(table),
        _ => Ok(()),
    }
}

/// A stretch of a file: a whole block, or bytes that are none.
#[derive(Debug)]
pub(super) struct Piece<'a> {
    /// Offset of its first byte, the blank line before a block included.
    pub start: usize,
    /// Offset after its last byte.
    pub end: usize,
    /// Line of its first byte, or of the block's start line, from 1.
    pub line: usize,
    /// What it is.
    pub what: Result<Whole<'a>, Flaw>,
}

/// A block whose check sum is right.
#[derive(Debug)]
pub(super) struct Whole<'a> {
    /// Header or event.
    pub is_header: bool,
    /// The lines between the start line and the check sum.
    pub body: &'a [u8],
}

/// Why bytes are not a whole block.
#[derive(Debug, PartialEq, thiserror::Error)]
pub(super) enum Flaw {
    #[error("the block is cut off before its `crc` line")]
    CutOff,
    #[error("the check sum reads {read}, the lines above it make {made}")]
    CheckSum { read: String, made: String },
    #[error("a block must begin with `[[event]]` after one blank line")]
    NoStart,
    #[error("a line is longer than {MAX_LINE} bytes")]
    LongLine,
    #[error("the line ends were changed to CR LF")]
    LineEnds,
}

/// The block that the bytes begin with, if it is whole.
pub(super) fn first(bytes: &[u8]) -> Option<Whole<'_>> {
    block_at(bytes).ok().map(|(_, whole)| whole)
}

/// Cut the bytes of a file into pieces. Never fails: what is no block becomes a piece with a flaw, up to the next line
/// that could begin a block.
pub(super) fn pieces(bytes: &[u8]) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let (mut at, mut line) = (0, 1);
    while at < bytes.len() {
        let blank = usize::from(bytes[at] == b'\n' && at > 0);
        let (end, what) = match block_at(&bytes[at + blank..]) {
            Ok((len, whole)) => (at + blank + len, Ok(whole)),
            Err(flaw) => {
                let end = next_start(bytes, at + blank);
                let flaw = if converted(&bytes[at..end]) { Flaw::LineEnds } else { flaw };
                (end, Err(flaw))
            }
        };
        found.push(Piece { start: at, end, line: line + blank, what });
        line += bytes[at..end].split(|b| *b == b'\n').count() - 1;
        at = end;
    }
    found
}

/// The whole block that begins here, and its length.
fn block_at(bytes: &[u8]) -> Result<(usize, Whole<'_>), Flaw> {
    let mut lines = bytes.split_inclusive(|b| *b == b'\n');
    let first = lines.next().unwrap_or_default();
    let is_header = match first {
        b"[round]\n" | b"[saw]\n" | b"[learner]\n" => true,
        b"[[event]]\n" => false,
        _ => return Err(Flaw::NoStart),
    };
    let mut at = first.len();
    for line in lines {
        match line {
            line if line.len() > MAX_LINE => return Err(Flaw::LongLine),
            line if line.starts_with(CRC_KEY.as_bytes()) => {
                let made = crc32fast::hash(&bytes[..at]);
                if sum_of(line) != Some(made) {
                    let made = crc_line(made);
                    let value = |line: &[u8]| String::from_utf8_lossy(line).trim_end()["crc = ".len()..].to_owned();
                    return Err(Flaw::CheckSum { read: value(line), made: value(made.as_bytes()) });
                }
                return Ok((at + line.len(), Whole { is_header, body: &bytes[first.len()..at] }));
            }
            [b'[' | b'\n', ..] => return Err(Flaw::CutOff),
            _ => at += line.len(),
        }
    }
    Err(Flaw::CutOff)
}

/// The check sum of a line that is written as [`crc_line`] writes it.
fn sum_of(line: &[u8]) -> Option<u32> {
    let digits = line.strip_prefix(CRC_KEY.as_bytes())?.strip_suffix(b"\"\n")?;
    let digit = |b: &u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
    if digits.len() != 8 || !digits.iter().all(digit) {
        return None;
    }
    u32::from_str_radix(std::str::from_utf8(digits).ok()?, 16).ok()
}

/// Where the next block could begin after the line at `at`: at the blank line before a start line, or at that line.
fn next_start(bytes: &[u8], at: usize) -> usize {
    let mut pos = at;
    for line in bytes[at..].split_inclusive(|b| *b == b'\n') {
        let trimmed = line.strip_suffix(b"\r\n").or(line.strip_suffix(b"\n")).unwrap_or(line);
        if pos > at && ([EVENT, ROUND, SAW, LEARNER].iter().any(|start| trimmed == start.as_bytes())) {
            let blank = pos >= at + 2 && bytes[pos - 2..pos] == *b"\n\n";
            return pos - usize::from(blank);
        }
        pos += line.len();
    }
    bytes.len()
}

/// True for bytes that hold a line with a check sum, even with one wrong byte: that is how one written whole ends. A
/// line without its line end may be cut off. Bytes that a power cut left as zeros were not written.
pub(super) fn has_sum(bytes: &[u8]) -> bool {
    let form = crc_line(0);
    let wrong = |line: &[u8]| {
        let fits = |(form, byte): (u8, &u8)| if form == b'0' { byte.is_ascii_hexdigit() } else { form == *byte };
        form.bytes().zip(line).filter(|pair| !fits(*pair)).count()
    };
    let hole = bytes.windows(2).any(|pair| pair == [0, 0]);
    !hole && bytes.windows(form.len()).any(|line| wrong(line) <= 1)
}

/// True for bytes that hold a whole block once CR LF is turned back into LF.
fn converted(bytes: &[u8]) -> bool {
    if !bytes.contains(&b'\r') {
        return false;
    }
    let mut plain = bytes.to_vec();
    let mut after = bytes[1..].iter().chain([&0]);
    plain.retain(|b| after.next() != Some(&b'\n') || *b != b'\r');
    block_at(plain.strip_prefix(b"\n").unwrap_or(&plain)).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(keys: &[(&str, Value)]) -> String {
        String::from_utf8(render(EVENT, keys.iter().map(|(k, v)| (*k, v))).unwrap()).unwrap()
    }

    #[test]
    fn the_check_sum_is_the_one_of_zip_and_png() {
        // Check value of CRC-32/ISO-HDLC: Koopman and others, catalogue of parametrised CRC algorithms (reveng).
        assert_eq!(crc32fast::hash(b"123456789"), 0xcbf4_3926);
        let block = text(&[("seq", Value::Integer(1))]);
        assert_eq!(block, format!("[[event]]\nseq = 1\ncrc = \"{:08x}\"\n", crc32fast::hash(b"[[event]]\nseq = 1\n")));
    }

    #[test]
    fn no_value_can_look_like_a_block() {
        let nasty = "a\n[[event]]\nseq = 9\r\ncrc = \"00000000\"\n\"\"\"\u{0}\u{202e}\\ ''' end";
        let table = Table::from_iter([("in side\n[round]".to_owned(), Value::from(nasty))]);
        let keys =
            [("typed", Value::from(nasty)), ("list", Value::Array(vec![nasty.into()])), ("table", Value::Table(table))];
        let block = text(&keys);
        assert_eq!(block.lines().count(), 5, "{block}");
        assert!(block.lines().skip(1).all(|line| !line.starts_with('[')));
        assert_eq!(pieces(block.as_bytes()).len(), 1);
        let back: Table = toml::from_str(block.strip_prefix("[[event]]\n").unwrap()).unwrap();
        assert!(keys.iter().all(|(key, value)| back[*key] == *value), "{back:?}");
    }

    #[test]
    fn what_is_no_number_is_refused_both_ways() {
        for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(render(EVENT, [("mm", &Value::Float(x))]).unwrap_err().contains("`mm`"));
            assert!(disarm(&mut Table::from_iter([("mm".to_owned(), Value::Float(x))])).is_err());
        }
    }

    #[test]
    fn escapes_from_a_file_are_written_out() {
        let mut table: Table = toml::from_str(r#"note = ["red \u001b[31m", {deep = "\u202e"}]"#).unwrap();
        disarm(&mut table).unwrap();
        assert_eq!(table["note"].to_string(), r"['red \u{1b}[31m', { deep = '\u{202e}' }]");
        let once = table.clone();
        disarm(&mut table).unwrap();
        assert_eq!(table, once, "written out once, it stays as it is");
    }

    #[test]
    fn a_line_that_is_too_long_is_refused() {
        let long = Value::from("x".repeat(MAX_LINE));
        assert!(render(EVENT, [("note", &long)]).unwrap_err().contains("at most 65536"));
        let mut raw = b"[[event]]\nnote = \"".to_vec();
        raw.extend(vec![b'x'; MAX_LINE]);
        raw.extend(b"\"\n");
        let crc = crc32fast::hash(&raw);
        raw.extend(crc_line(crc).bytes());
        assert_eq!(pieces(&raw)[0].what.as_ref().unwrap_err(), &Flaw::LongLine);
    }

    #[test]
    fn a_block_cut_off_has_no_sum_and_a_changed_one_has() {
        let whole = text(&[("seq", Value::Integer(2)), ("typed", Value::from("crc"))]);
        for end in 0..whole.len() {
            assert!(!has_sum(&whole.as_bytes()[..end]), "{}", &whole[..end]);
        }
        for at in 0..whole.len() {
            for bit in 0..8 {
                let mut bytes = whole.clone().into_bytes();
                bytes[at] ^= 1 << bit;
                assert!(has_sum(&bytes), "{}", String::from_utf8_lossy(&bytes));
            }
        }
        assert!(!has_sum(&[whole.as_bytes(), &[0; 512]].concat()));
    }

    #[test]
    fn a_block_after_a_torn_one_is_found() {
        let good = text(&[("seq", Value::Integer(2))]);
        for torn in ["[[event]]\nmm = 1", "t]]\nseq = 1\ncrc = \"00000000\"\n", "\0\0\0\0", "[[event]]\n"] {
            let file = format!("{torn}\n{good}");
            let found = pieces(file.as_bytes());
            assert_eq!(found.len(), 2, "{file}");
            assert!(found[0].what.is_err() && found[1].what.is_ok(), "{file}");
            assert_eq!(found[0].end, found[1].start);
        }
    }
}
