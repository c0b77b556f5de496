//! Readings from a spreadsheet: looked at first, then taken whole or not at all.
//!
//! A file of comma-, semicolon- or tab-separated values with a header line, a row a cutter. [`preview`] says what it
//! holds and what is wrong with it, row by row; [`Rack::import`](super::Rack::import) makes a round of it, and a loop where the tag is new.
//! One refused row refuses the file: a round with holes that nobody noticed is worse than none.
//!
//! **What an imported round is.** Its readings are events like typed ones, all at the time that is given as the time of
//! measuring, each with the cell as its typed text, after a note that names the file. Its look-over is not done, because
//! nobody did it here, and it is never signed off, because it was not proved here. [`Then::Resume`] leaves it open: the
//! next thing asked is the look-over, and the work goes on from the readings. [`Then::Keep`] closes it as given up, which
//! is what a round of the past is that no one will work on: its readings count as history and a new round can begin.
//!
//! **Units** are never guessed: a column whose name ends in `_mm` or `_in` says its own, the others need
//! [`Options::unit`]. **A gap** without a column for the gap before counts as the gap as the raker stands; with one, as the
//! gap after the raker was filed.

mod columns;
mod layout;
mod look;
mod rows;
mod take;

use std::path::Path;

use super::{RackError, files};
use crate::chain::layout::LayoutError;
use crate::chain::{Sequence, Side, Wood};
use crate::round::{Card, Tool};
use crate::units::{Millimetres, Unit};
use chrono::{DateTime, FixedOffset};

pub use columns::{Column, Decimal, Mapped};
pub use look::{Look, Wish};
pub use rows::Row;
pub use take::Imported;

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
    /// Lengths that a cutter of this chain can have; a length outside is pointed out.
    pub lengths: Option<(Millimetres, Millimetres)>,
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
#[derive(Debug, Clone)]
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
    /// Rows are refused.
    #[error("Nothing was imported: {} refused, the first in {}", rows_word(.0.len()), .0.first().map(ToString::to_string).unwrap_or_default())]
    Refused(Vec<Refused>),
}

fn rows_word(count: usize) -> String {
    if count == 1 { "1 row is".to_owned() } else { format!("{count} rows are") }
}

/// The text of a file: UTF-8 with or without its mark, or UTF-16 with its mark, as spreadsheets save.
///
/// # Errors
/// The file cannot be read or is neither.
pub fn read_text(path: &Path) -> Result<String, ImportError> {
    let bytes = files::read(path, MAX).map_err(RackError::from)?;
    let wide = |from: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..].as_chunks::<2>().0.iter().map(|pair| from(*pair)).collect();
        String::from_utf16(&units)
            .map_err(|_| ImportError::Text { line: 1, what: "This is not UTF-16 text.".to_owned() })
    };
    match bytes.as_slice() {
        [0xFF, 0xFE, ..] => wide(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => wide(u16::from_be_bytes),
        _ => Ok(files::read_text(path, MAX).map_err(RackError::from)?),
    }
}

/// Names of the length columns that do not say their unit: it has to be asked.
///
/// # Errors
/// The text has no header that can be understood.
pub fn without_unit(text: &str) -> Result<Vec<String>, ImportError> {
    Ok(columns::read(text)?.without_unit())
}

/// What a text holds. `card` is the loop's, where it is in care already.
///
/// # Errors
/// The header cannot be understood, a unit is missing, or the sides make no layout. Faults of rows are in the preview.
pub fn preview(text: &str, options: &Options, card: Option<&Card>) -> Result<Preview, ImportError> {
    let sheet = columns::read(text)?;
    let units = sheet.units(options.unit)?;
    let mut preview = Preview {
        delimiter: sheet.delimiter,
        decimal: sheet.decimal(),
        rows: Vec::new(),
        refused: Vec::new(),
        warnings: Vec::new(),
        found: None,
        columns: sheet.columns.clone(),
        unused: sheet.unused.clone(),
    };
    for (mapped, unit) in preview.columns.iter_mut().zip(&units) {
        mapped.unit = Some(*unit).filter(|_| mapped.column.is_length());
    }
    rows::read(&sheet, &units, options, &mut preview);
    layout::compare(&mut preview, options, card)?;
    Ok(preview)
}
