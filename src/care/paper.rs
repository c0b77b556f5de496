//! Paper and back: a blank bench sheet of a loop, and a filled one typed in afterwards.
//!
//! What was written on paper must answer what a table of readings must, and makes a round in the same way.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::files::{ImportError, Look, Then, Wish};
use super::{RackError, Workshop};
use crate::chain::{CutterNumber, Side, Wood};
use crate::record::files;
use crate::report::blank::{BOXES, BenchSheet, order};
use crate::round::{Card, Tool};
use crate::units::Unit;

/// Name of the page to print in the data folder.
const PAGE: &str = "bench-sheet.html";
/// What a round that was typed in from paper names as its source.
const SOURCE: &str = "a bench sheet";
/// Columns of the table that a filled sheet is read as: those of a cutter, then its boxes.
const HEADER: [&str; 5] = ["cutter", "side", "length", "top_plate_deg", "gap"];

/// A loop's sheet to be typed in: in the order of the sheet.
#[derive(Debug, Clone)]
pub struct Blank {
    /// The card of the loop.
    pub card: Card,
    /// Cutters in the order of the sheet, each with its side.
    pub cutters: Vec<(CutterNumber, Side)>,
    /// Who filed the loop last; empty before the first round.
    pub sharpener: String,
}

/// A cutter's boxes as they were typed; an empty one was not measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Boxes {
    /// Which cutter.
    pub cutter: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// Length, angle, gap.
    pub typed: [String; BOXES.len()],
}

/// A sheet as it was typed in.
#[derive(Debug, Clone)]
pub struct Filled {
    /// Tag of the loop.
    pub tag: String,
    /// When it was measured.
    pub measured: DateTime<FixedOffset>,
    /// Who measured.
    pub person: String,
    /// What the loop is worked with.
    pub tool: Tool,
    /// Unit of lengths and gaps.
    pub unit: Unit,
    /// The round goes on with the look-over; else it is kept as one of the past.
    pub goes_on: bool,
    /// The cutters.
    pub rows: Vec<Boxes>,
    /// Cutters whose readings are right though they are doubted.
    pub sure: Vec<CutterNumber>,
    /// Now.
    pub now: DateTime<FixedOffset>,
}

/// A box that is not taken as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// At which cutter.
    pub cutter: CutterNumber,
    /// Which of its boxes.
    pub at: usize,
    /// Why, in a sentence.
    pub why: String,
    /// It is only doubted: taken where its cutter is among those that are sure.
    pub doubted: bool,
}

impl Workshop {
    /// A loop's blank sheet, with the side first that its last round began with.
    ///
    /// # Errors
    /// No such loop; its card says what cannot be; its last round or its chain's profile cannot be read.
    pub fn bench_sheet(&self, tag: &str) -> Result<BenchSheet, RackError> {
        let (card, begin) = self.card_and_begin(tag)?;
        let layout = card.layout()?;
        let profile = match self.rack.profile(&card.profile) {
            Ok(profile) => Some(profile),
            Err(RackError::NoProfile { .. }) => None,
            Err(error) => return Err(error),
        };
        Ok(BenchSheet::new(&card, profile.as_ref(), &layout, begin).with_demo(self.rack.is_demo()))
    }

    /// Puts a blank sheet into the data folder as a page to print; says where.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn put_bench_sheet(&self, sheet: &BenchSheet) -> Result<PathBuf, RackError> {
        let path = self.rack.root().join(PAGE);
        files::replace(&path, sheet.html().as_bytes())?;
        Ok(path)
    }

    /// What a face needs to have a loop's sheet typed in.
    ///
    /// # Errors
    /// As [`Workshop::bench_sheet`].
    pub fn blank(&self, tag: &str) -> Result<Blank, RackError> {
        let (card, begin) = self.card_and_begin(tag)?;
        let layout = card.layout()?;
        let cutters = order(&layout, begin)
            .into_iter()
            .flat_map(|(side, cutters)| cutters.into_iter().map(move |cutter| (cutter, side)))
            .collect();
        let (history, _) = self.rack.history(tag)?;
        let sharpener = history.rows.last().map(|row| row.summary.sharpener.clone()).unwrap_or_default();
        Ok(Blank { card, cutters, sharpener })
    }

    /// The card, and the side that the last round began with.
    fn card_and_begin(&self, tag: &str) -> Result<(Card, Side), RackError> {
        let card = self.rack.card(tag)?;
        let (history, _) = self.rack.history(tag)?;
        let last = history.rows.last().map(|row| self.rack.intake_of(tag, &row.file)).transpose()?;
        Ok((card, last.map_or(Side::Left, |header| header.begin)))
    }

    /// Looks at a filled sheet: what would be taken, and the boxes that are not. Nothing is kept.
    ///
    /// # Errors
    /// Nothing was filled in, or the loop or its chain cannot be read.
    pub fn look_at_paper(&self, filled: &Filled) -> Result<(Look, Vec<Refusal>), ImportError> {
        // An empty row was not measured; what is on line 2 is the first row.
        let rows: Vec<&Boxes> =
            filled.rows.iter().filter(|row| row.typed.iter().any(|text| !text.trim().is_empty())).collect();
        let table = table(&rows).map_err(|error| ImportError::Text { line: 1, what: error.to_string() })?;
        let lines = || rows.iter().zip(2..);
        let wish = Wish {
            tag: filled.tag.clone(),
            unit: Some(filled.unit),
            person: Some(filled.person.clone()),
            tool: Some(filled.tool),
            wood: Wood::Any,
            measured: Some(filled.measured),
            then: if filled.goes_on { Then::Resume } else { Then::Keep },
            file: SOURCE.to_owned(),
            sure: lines().filter(|(row, _)| filled.sure.contains(&row.cutter)).map(|(_, line)| line).collect(),
            now: filled.now,
            ..Wish::default()
        };
        let look = self.look(&table, &wish)?;
        let refused = look.preview.refused.iter().filter_map(|refused| {
            let (row, _) = lines().find(|(_, line)| *line == refused.line)?;
            Some(Refusal {
                cutter: row.cutter,
                at: box_of(&refused.reason, row),
                why: refused.reason.clone(),
                doubted: refused.doubted,
            })
        });
        let refused = refused.collect();
        Ok((look, refused))
    }
}

/// The rows as the table that they are read as.
fn table(rows: &[&Boxes]) -> Result<String, csv::Error> {
    let mut table = csv::WriterBuilder::new().delimiter(b';').from_writer(Vec::new());
    table.write_record(HEADER)?;
    for row in rows {
        let [length, angle, gap] = row.typed.each_ref().map(|text| text.trim());
        let (cutter, side) = (row.cutter.to_string(), row.side.to_string());
        table.write_record([cutter.as_str(), &side, length, angle, gap])?;
    }
    let bytes = table.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Which box a sentence speaks of: the one that it names, else the first that is filled in.
fn box_of(why: &str, row: &Boxes) -> usize {
    let said = why.to_lowercase();
    let named = if said.contains("gap") {
        Some(2)
    } else if said.contains("angle") || said.contains("top plate") || said.contains("top-plate") {
        Some(1)
    } else if said.contains("length") {
        Some(0)
    } else {
        None
    };
    let filled = row.typed.iter().position(|text| !text.trim().is_empty());
    named.filter(|at| !row.typed[*at].trim().is_empty()).or(filled).unwrap_or(0)
}
