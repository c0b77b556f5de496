//! What a file of readings holds for a loop, before anything is kept: how it was understood, what will be recorded, what
//! is refused and why.

use crate::record::import::{Decimal, Look, Preview, Row, Target};
use crate::round::CutterState;
use crate::units::{Millimetres, Unit};

/// What a line is, for a face that shows it in its own way. The words say it too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// How the file was understood.
    Plain,
    /// A line of the table: its columns stand below each other.
    Row,
    /// Heading of a part.
    Head,
    /// To be looked at.
    Warn,
    /// Refused.
    Bad,
}

/// The look in lines: how it was understood, totals, what to look at, refused rows, rows as they will be recorded.
pub(crate) fn lines(look: &Look, unit: Unit) -> Vec<(Mark, String)> {
    let preview = &look.preview;
    let mut out = vec![
        (Mark::Plain, format!("Between columns: {}. Decimal sign: {}.", delimiter(preview), decimal(preview))),
        (Mark::Plain, format!("Columns: {}", columns(preview))),
    ];
    if !preview.unused.is_empty() {
        out.push((Mark::Plain, format!("Not used: {}", preview.unused.join(", "))));
    }
    if let [first, .., last] | [first @ last] = preview.above.as_slice() {
        let lines = if first == last { format!("Line {first}") } else { format!("Lines {first} to {last}") };
        out.push((Mark::Plain, format!("{lines} above the names of the columns: not used")));
    }
    out.push((Mark::Plain, format!("Loop: {}", loop_words(look))));
    let Target { started, sharpener, tool, wood, .. } = &look.target;
    let measured = format!("Measured: {} by {sharpener}, {tool}, {}", started.format("%Y-%m-%d"), wood.word());
    out.push((Mark::Plain, measured));
    out.push((Mark::Plain, format!("Rows: {}", totals(preview))));
    out.extend(preview.warnings.iter().map(|warning| (Mark::Warn, format!("Look at this: {warning}"))));
    if !preview.refused.is_empty() {
        out.push((Mark::Head, "Refused; nothing can be taken until these are fixed in the file:".to_owned()));
        out.extend(preview.refused.iter().map(|row| (Mark::Bad, format!("  {row}"))));
    }
    if !preview.rows.is_empty() {
        out.push((Mark::Head, format!("As they will be recorded, lengths in {}:", unit.of_lengths())));
        out.extend(table(&preview.rows, unit).into_iter().map(|row| (Mark::Row, row)));
    }
    out
}

/// How many rows and readings there are.
pub(crate) fn totals(preview: &Preview) -> String {
    let (taken, refused) = (preview.rows.len(), preview.refused.len());
    let count = |read: fn(&Row) -> bool, word: &str| {
        let count = preview.rows.iter().filter(|row| read(row)).count();
        (count > 0).then(|| format!("{count} {word}"))
    };
    let kinds = [
        count(|row| row.length.is_some(), "lengths before"),
        count(|row| row.after.is_some(), "after"),
        count(|row| row.strokes.is_some(), "strokes"),
        count(|row| row.top_plate.is_some(), "angles"),
        count(|row| row.gap_before.is_some(), "gaps as they came"),
        count(|row| row.gap_after.is_some(), "gaps after filing"),
        count(|row| row.state != CutterState::Kept || row.need.is_some(), "marked"),
        count(|row| row.note.is_some(), "remarks"),
    ];
    let kinds: Vec<String> = kinds.into_iter().flatten().collect();
    let kinds = if kinds.is_empty() { String::new() } else { format!(": {}", kinds.join(", ")) };
    format!("{taken} understood, {refused} refused{kinds}")
}

fn delimiter(preview: &Preview) -> String {
    match preview.delimiter {
        ',' => "comma".to_owned(),
        ';' => "semicolon".to_owned(),
        '\t' => "tab".to_owned(),
        other => format!("\"{other}\""),
    }
}

const fn decimal(preview: &Preview) -> &'static str {
    match preview.decimal {
        Decimal::None => "none",
        Decimal::Point => "point",
        Decimal::Comma => "comma",
        Decimal::Both => "point in some, comma in others",
    }
}

/// Each column as the file calls it, and what it is taken for.
fn columns(preview: &Preview) -> String {
    let column = |mapped: &crate::record::import::Mapped| {
        let unit = mapped.unit.map_or("", |unit| if unit == Unit::Inch { " (inch)" } else { " (mm)" });
        format!("{} = {}{unit}", mapped.header, mapped.column.name().replace('_', " "))
    };
    preview.columns.iter().map(column).collect::<Vec<_>>().join(", ")
}

fn loop_words(look: &Look) -> String {
    let of = |links, sequence: &crate::chain::Sequence, first| {
        format!("{}, {links} drive links, cutters {sequence}, cutter 1 {first}", look.profile)
    };
    match (&look.card, &look.preview.found) {
        (Some(card), _) => format!("{}, in care: {}", look.tag, of(card.links, &card.sequence, card.first)),
        (None, Some(found)) => format!("{}, new: {}", look.tag, of(found.links, &found.sequence, found.first)),
        (None, None) => format!("{}, new: {}", look.tag, look.profile),
    }
}

type Cell = fn(&Row, Unit) -> Option<String>;

fn length(unit: Unit, length: Option<Millimetres>) -> Option<String> {
    length.map(|length| unit.show(length))
}

/// Each column of the table, as wide as its heading and two blanks.
const CELLS: [(&str, Cell); 11] = [
    ("line", |row, _| Some(row.line.to_string())),
    ("no", |row, _| Some(row.cutter.to_string())),
    ("side  ", |row, _| Some(format!("{:<6}", row.side.to_string()))),
    ("before", |row, unit| length(unit, row.length)),
    ("after", |row, unit| length(unit, row.after)),
    ("angle", |row, _| row.top_plate.map(|deg| format!("{:.1}", deg.get()))),
    ("gap-in", |row, unit| length(unit, row.gap_before)),
    ("gap", |row, unit| length(unit, row.gap_after)),
    ("strokes", |row, _| row.strokes.map(|count| count.to_string())),
    ("need", |row, unit| length(unit, row.need)),
    ("state", |row, _| (row.state != CutterState::Kept).then(|| row.state.to_string())),
];

/// The rows as a table of the columns that hold something; remarks go on behind.
fn table(rows: &[Row], unit: Unit) -> Vec<String> {
    let held: Vec<_> = CELLS.iter().filter(|(_, cell)| rows.iter().any(|row| cell(row, unit).is_some())).collect();
    let width = |(name, cell): &(&str, Cell)| {
        let widest = rows.iter().filter_map(|row| cell(row, unit)).map(|text| text.chars().count()).max().unwrap_or(0);
        widest.max(name.len())
    };
    let widths: Vec<usize> = held.iter().map(|column| width(column)).collect();
    let join = |cells: Vec<String>| {
        let padded = cells.iter().zip(&widths).map(|(text, width)| format!("{text:>width$}"));
        format!("  {}", padded.collect::<Vec<_>>().join(" ")).trim_end().to_owned()
    };
    let mut out = vec![join(held.iter().map(|(name, _)| (*name).to_owned()).collect())];
    for row in rows {
        let line = join(held.iter().map(|(_, cell)| cell(row, unit).unwrap_or_default()).collect());
        let note = row.note.as_ref().map_or_else(String::new, |note| format!("  \"{note}\""));
        out.push(format!("{line}{note}"));
    }
    out
}
