//! Readings from a spreadsheet: looked at first, then taken whole or not at all.
//!
//! A file of comma-, semicolon- or tab-separated values with a header line, a row per cutter. [`preview`] says what it
//! holds and what is wrong with it, row by row; [`Rack::import`](super::Rack::import) makes a round of it, and a loop where the tag is new.
//! One refused row refuses the file: a round with holes that nobody noticed is worse than none.
//!
//! **What an imported round is.** Its readings are events like typed ones, all at the time that is given as the time of
//! measuring, each with the cell as its typed text, after a note that names the file. Its look-over is not done, because
//! nobody did it here, and it is never signed off, because it was not proved here. [`Then::Resume`] leaves it open: the
//! next thing asked is the look-over, and the work goes on from the readings. [`Then::Keep`] closes it as given up, which
//! is what a round of the past is that no one will work on: its readings count as history and a new round can begin.
//!
//! **Units** are never guessed: a column whose name ends in `_mm` or `_in` says its own, and so does one with a unit in each
//! of its cells; the others need [`Options::unit`]. **A gap** without a column for the gap before counts as the gap as the raker stands; with one, as the
//! gap after the raker was filed.

mod columns;
mod layout;
mod look;
mod named;
mod rows;
mod take;

use std::path::Path;

use super::{RackError, files};
use crate::chain::layout::LayoutError;
use crate::chain::{Sequence, Side, Wood};
use crate::round::{Card, Tool};
use crate::units::Unit;
use chrono::{DateTime, FixedOffset};
use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

pub(crate) use columns::words;
pub use columns::{Column, Decimal, Mapped};
pub use look::{Look, Wish};
pub(crate) use named::{ReadFile, read_named};
pub use rows::Row;
pub(crate) use rows::measured_at;
pub use take::{Ask, Doubt, Imported};

/// Largest file read, in bytes: a loop has at most 200 cutters.
const MAX: u64 = 1024 * 1024;
/// Most rows read: more than any loop has cutters.
const MAX_ROWS: usize = 400;

/// What cannot be read from the file itself.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Unit of the columns that do not say theirs.
    pub unit: Option<Unit>,
    /// Drive links of a new loop.
    pub links: Option<u16>,
    /// Time of the import: its zone is that of the times in the file, none of which lies ahead of it.
    pub now: DateTime<FixedOffset>,
}

/// What the columns say of the whole round.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Whole {
    /// Who measured.
    pub person: Option<String>,
    /// What the round is worked with.
    pub tool: Option<Tool>,
    /// When it was measured.
    pub measured: Option<DateTime<FixedOffset>>,
}

/// What a file holds, before anything is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// What stands between the columns.
    pub delimiter: char,
    /// What stands before the decimals.
    pub decimal: Decimal,
    /// The columns understood, in the order of the file.
    pub columns: Vec<Mapped>,
    /// Names of the columns that are not used.
    pub unused: Vec<String>,
    /// Lines above the names of the columns, not used.
    pub above: Vec<usize>,
    /// What the columns say of the whole round.
    pub whole: Whole,
    /// The rows understood, by cutter.
    pub rows: Vec<Row>,
    /// The rows refused. With any, nothing can be imported.
    pub refused: Vec<Refused>,
    /// What should be looked at before importing.
    pub warnings: Vec<String>,
    /// How the cutters stand; absent while rows are refused or for a loop whose card says it.
    pub found: Option<Found>,
}

/// A row that was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct Refused {
    /// Its line in the file, from 1.
    pub line: usize,
    /// Why, a sentence.
    pub reason: String,
    /// It is only doubted: taken where its line is named as right.
    pub doubted: bool,
}

/// The layout that the sides make.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Drive links.
    pub links: u16,
    /// Order of cutters.
    pub sequence: Sequence,
    /// Hand of cutter 1.
    pub first: Side,
}

/// Where the readings go and what the file does not say about their round.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Tag of the loop; it is made where it is new.
    pub tag: String,
    /// Name of a new loop.
    pub name: String,
    /// Profile of a new loop.
    pub profile: String,
    /// Who measured.
    pub sharpener: String,
    /// What the saw will cut.
    pub wood: Wood,
    /// What the round is worked with.
    pub tool: Tool,
    /// When it was measured.
    pub started: DateTime<FixedOffset>,
    /// Name of the file, for the note.
    pub file: String,
    /// What becomes of the round.
    pub then: Then,
}

/// What becomes of an imported round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Then {
    /// It stays open, to be resumed at the look-over.
    #[default]
    Resume,
    /// It is closed as given up: a round of the past.
    Keep,
}

/// Why a file cannot be imported.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ImportError {
    /// Files or the rack.
    #[error(transparent)]
    Rack(#[from] RackError),
    /// Nothing in it.
    #[error("The file has no line with a header.")]
    Empty,
    /// The header is not one.
    #[error("line {line}: The columns cutter, side and length are needed; the header has {found}.")]
    Header {
        /// Line of the header, from 1.
        line: usize,
        /// The names read.
        found: String,
    },
    /// A new loop, and no column says how its cutters stand.
    #[error("A column side is needed, left or right in each row: only a loop in care has its order on its card.")]
    NoSides,
    /// Two columns mean the same.
    #[error("line {line}: The columns \"{first}\" and \"{second}\" mean the same. Take one away.")]
    Twice {
        /// Line of the header, from 1.
        line: usize,
        /// One.
        first: String,
        /// The other.
        second: String,
    },
    /// A unit is not known.
    #[error(
        "In which unit is {columns}: mm or inches? Say it with --units, or in the column's name: length_mm, length_in."
    )]
    Unit {
        /// The columns that do not say.
        columns: String,
    },
    /// The file cannot be taken apart.
    #[error("line {line}: {what}")]
    Text {
        /// Line, from 1.
        line: usize,
        /// What is wrong.
        what: String,
    },
    /// The sides do not make the layout.
    #[error("{0}")]
    Layout(String),
    /// The layout cannot be.
    #[error(transparent)]
    Links(#[from] LayoutError),
    /// The loop is new and its chain type was not said.
    #[error("Loop {0} is new: its chain type is needed.")]
    NoProfile(String),
    /// Another chain type was said than the loop has.
    #[error("Loop {tag} is of chain type {has}, not {said}.")]
    OtherProfile {
        /// The loop.
        tag: String,
        /// Its chain type.
        has: String,
        /// The one said.
        said: String,
    },
    /// Nobody is named who measured.
    #[error("Who measured? How well readings repeat is known for each person.")]
    NoPerson,
    /// A round of the past has no day.
    #[error("When was it measured? A round of the past counts by its day.")]
    NoDay,
    /// The file says something other than the person does.
    #[error("The file says {what} {file}, not {said}.")]
    Otherwise {
        /// Of what.
        what: &'static str,
        /// In the file.
        file: String,
        /// By the person.
        said: String,
    },
    /// Rows are refused.
    #[error("Nothing was imported: {} refused, the first in {}", rows_word(.0.len()), .0.first().map(ToString::to_string).unwrap_or_default())]
    Refused(Vec<Refused>),
}

fn rows_word(count: usize) -> String {
    if count == 1 { "1 row is".to_owned() } else { format!("{count} rows are") }
}

/// The text of a file: UTF-8 with or without its mark, UTF-16 with its mark, else the code page of western Windows, as
/// spreadsheets save.
///
/// # Errors
/// The file cannot be read or is not text.
pub fn read_text(path: &Path) -> Result<String, ImportError> {
    let bytes = files::read(path, MAX).map_err(RackError::from)?;
    let (encoding, name) = match bytes.as_slice() {
        [0xFF, 0xFE, ..] => (UTF_16LE, "UTF-16"),
        [0xFE, 0xFF, ..] => (UTF_16BE, "UTF-16"),
        _ => match String::from_utf8(bytes) {
            Ok(text) => return Ok(text),
            Err(error) => return western(error.as_bytes()),
        },
    };
    let (text, _, bad) = encoding.decode(&bytes);
    if bad {
        Err(ImportError::Text { line: 1, what: format!("This is not {name} text.") })
    } else {
        Ok(text.into_owned())
    }
}

/// Text that is not UTF-8: every byte is a letter in the code page, so only control characters tell that it is none.
fn western(bytes: &[u8]) -> Result<String, ImportError> {
    let is_control = |byte: &u8| *byte < b' ' && !matches!(byte, b'\t' | b'\n' | b'\r');
    if let Some(at) = bytes.iter().position(is_control) {
        let line = bytes.iter().take(at).filter(|byte| **byte == b'\n').count() + 1;
        return Err(ImportError::Text { line, what: "This is not text.".to_owned() });
    }
    Ok(WINDOWS_1252.decode(bytes).0.into_owned())
}

/// Names of the length columns that do not say their unit: it has to be asked.
///
/// # Errors
/// The text has no header that can be understood.
pub fn without_unit(text: &str) -> Result<Vec<String>, ImportError> {
    Ok(columns::read(text)?.without_unit())
}

/// What its columns say of the whole round: it need not be asked.
///
/// # Errors
/// As [`without_unit`].
pub fn whole(text: &str, now: DateTime<FixedOffset>) -> Result<Whole, ImportError> {
    let sheet = columns::read(text)?;
    Ok(rows::whole(&sheet, now))
}

/// What a text holds. `card` is the loop's, where it is in care already.
///
/// # Errors
/// The header cannot be understood, a unit is missing, or the sides make no layout. Faults of rows are in the preview.
pub fn preview(text: &str, options: &Options, card: Option<&Card>) -> Result<Preview, ImportError> {
    let sheet = columns::read(text)?;
    let units = sheet.units(options.unit)?;
    let layout = card.map(Card::layout).transpose()?;
    if layout.is_none() && !sheet.has(Column::Side) {
        return Err(ImportError::NoSides);
    }
    let mut preview = Preview {
        delimiter: sheet.delimiter,
        decimal: sheet.decimal(),
        rows: Vec::new(),
        refused: Vec::new(),
        warnings: Vec::new(),
        found: None,
        columns: sheet.columns.clone(),
        unused: sheet.unused.clone(),
        above: sheet.above.clone(),
        whole: Whole::default(),
    };
    for (mapped, unit) in preview.columns.iter_mut().zip(&units) {
        mapped.unit = Some(*unit).filter(|_| mapped.column.is_length());
    }
    rows::read(&sheet, &units, layout.as_ref(), options.now, &mut preview);
    layout::compare(&mut preview, options, card)?;
    Ok(preview)
}
