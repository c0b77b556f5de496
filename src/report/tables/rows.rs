//! What a row of each table is made from.

use chrono::{DateTime, FixedOffset, Utc};

use super::columns::{CUTTERS, LOOPS, PEOPLE, READINGS, ROUNDS, SAWS};
use super::{Cells, Column};
use crate::record::Sharpener;
use crate::report::history::{self, Row};
use crate::report::loops::LoopPart;
use crate::round::{Card, Cutter, Entry, Event, Summary, When};
use crate::saw::Saw;

/// A loop: what the rack knows of it, and its card.
pub(crate) struct LoopRow {
    pub(crate) part: LoopPart,
    pub(crate) card: Card,
    /// Tag of the saw's record.
    pub(crate) saw: Option<String>,
    /// Closed rounds.
    pub(crate) rounds: usize,
}

/// A round, as the life of its loop has it.
pub(crate) struct RoundRow {
    pub(super) tag: String,
    pub(super) key: String,
    pub(super) profile: String,
    pub(super) row: Row,
}

/// A cutter of a round.
pub(crate) struct CutterRow {
    pub(crate) tag: String,
    pub(crate) round: String,
    pub(crate) cutter: Cutter,
}

/// A reading.
pub(crate) struct ReadingRow {
    pub(crate) tag: String,
    pub(crate) round: String,
    pub(crate) entry: Entry,
    /// Who took it.
    pub(crate) by: String,
    pub(crate) is_voided: bool,
}

/// A saw.
pub(crate) struct SawRow {
    pub(crate) saw: Saw,
}

/// A person.
pub(crate) struct PersonRow {
    pub(crate) name: String,
    /// What the list of sharpeners says of them.
    pub(crate) listed: Option<Sharpener>,
}

impl Cells for LoopRow {
    const COLUMNS: &'static [Column<Self>] = LOOPS;
}

impl Cells for RoundRow {
    const COLUMNS: &'static [Column<Self>] = ROUNDS;
}

impl Cells for CutterRow {
    const COLUMNS: &'static [Column<Self>] = CUTTERS;
}

impl Cells for ReadingRow {
    const COLUMNS: &'static [Column<Self>] = READINGS;
}

impl Cells for SawRow {
    const COLUMNS: &'static [Column<Self>] = SAWS;
}

impl Cells for PersonRow {
    const COLUMNS: &'static [Column<Self>] = PEOPLE;
}

/// What a round is known by in the tables: its loop and its start, which no two rounds of a loop share.
pub(crate) fn key_of(tag: &str, started: DateTime<FixedOffset>) -> String {
    format!("{tag}/{}", started.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ"))
}

/// The rounds of a loop, oldest first, each with its wear as the loop's life counts it.
pub(crate) fn rounds<'a>(tag: &'a str, summaries: &'a [Summary]) -> impl Iterator<Item = RoundRow> + 'a {
    let rows = history::rows(summaries);
    summaries.iter().zip(rows).map(move |(round, row)| RoundRow {
        tag: tag.to_owned(),
        key: key_of(tag, round.started),
        profile: round.profile.clone(),
        row,
    })
}

/// The word of a reading; none for an event that is no reading.
pub(crate) const fn reading(event: &Event) -> Option<&'static str> {
    Some(match event {
        Event::Length { when: When::Before, .. } => "length-before",
        Event::Length { when: When::After, .. } => "length-after",
        Event::Gap { when: When::Before, .. } => "gap-before",
        Event::Gap { when: When::After, .. } => "gap-after",
        Event::Angle { .. } => "angle",
        Event::Strokes { .. } => "strokes",
        Event::Zero { .. } => "zero",
        Event::NewLength { mm: Some(_) } => "new-length",
        _ => return None,
    })
}
