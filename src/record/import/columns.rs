//! Lines to cells: the delimiter, the header, and which column means what.

use super::{ImportError, MAX_ROWS};
use crate::units::Unit;
use crate::units::clean::clean;
use crate::units::reading::{Kind, ReadingError, parse};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Cutter number.
    Cutter,
    /// Its hand.
    Side,
    /// Length before filing.
    Length,
    /// Length after filing.
    After,
    /// Top-plate angle after filing, degrees.
    TopPlate,
    /// Raker gap before the raker was filed.
    GapBefore,
    /// Raker gap.
    Gap,
    /// File strokes.
    Strokes,
    /// Length that must go.
    Need,
    /// State of the cutter.
    State,
    /// A remark.
    Note,
    /// When it was measured: the same in every row.
    Measured,
    /// What the round is worked with: the same in every row.
    Tool,
    /// Who measured: the same in every row.
    Person,
}

/// Each column with the names by which it is known, words joined by `_`; the first is our own. German and French ones too.
#[rustfmt::skip]
const NAMES: [(Column, &[&str]); 14] = [
    (Column::Cutter, &[
        "cutter", "cutter_no", "cutter_nr", "cutter_number", "no", "nr", "number", "tooth", "tooth_no", "#",
        "zahn", "zahn_nr", "nummer", "schneidezahn", "dent", "gouge", "n", "numéro", "n_dent",
    ]),
    (Column::Side, &["side", "hand", "left_right", "l_r", "lr", "cutter_side", "seite", "links_rechts", "côté", "cote"]),
    (Column::Length, &[
        "length", "len", "before", "length_before", "before_length", "cutter_length", "length_now",
        "länge", "laenge", "zahnlänge", "länge_vorher", "vorher", "longueur", "longueur_avant", "avant",
    ]),
    (Column::After, &[
        "after", "length_after", "after_length", "filed_length", "filed_to",
        "länge_nachher", "länge_danach", "nachher", "longueur_après", "après",
    ]),
    (Column::TopPlate, &[
        "top_plate", "top_plate_angle", "angle", "filing_angle", "sharpening_angle",
        "winkel", "schärfwinkel", "dachwinkel", "angle_d_affûtage", "angle_affûtage",
    ]),
    (Column::GapBefore, &[
        "gap_before", "raker_before", "raker_gap_before", "depth_gauge_before", "before_gap",
        "tiefenbegrenzer_vorher", "limiteur_avant",
    ]),
    (Column::Gap, &[
        "gap", "raker", "raker_gap", "depth_gauge", "depth_gauge_setting", "gap_after", "raker_after", "depth_gauge_after",
        "tiefenbegrenzer", "tiefenbegrenzerabstand", "abstand", "limiteur", "limiteur_de_profondeur",
    ]),
    (Column::Strokes, &["strokes", "file_strokes", "stroke_count", "feilenzüge", "züge", "hübe", "coups", "coups_de_lime"]),
    (Column::Need, &["need", "damage", "damage_depth", "must_lose", "schadenstiefe", "profondeur_du_dommage"]),
    (Column::State, &["state", "status", "condition", "zustand", "état", "etat"]),
    (Column::Note, &["note", "notes", "remark", "remarks", "comment", "comments", "bemerkung", "notiz", "remarque"]),
    (Column::Measured, &["measured", "date", "measured_on", "measuring_date", "datum", "gemessen_am", "messdatum", "mesuré_le"]),
    (Column::Tool, &["tool", "werkzeug", "outil"]),
    (Column::Person, &["person", "sharpener", "who", "measured_by", "gemessen_von", "schärfer", "mesuré_par", "affûteur"]),
];

/// The names of columns and the words of cells that are understood, for help: a line a column.
pub(crate) fn words() -> String {
    let mut out =
        "Columns, by any of these names; a unit may stand behind a length, such as length_mm or length (in):\n"
            .to_owned();
    for (_, names) in NAMES {
        let names: Vec<String> = names.iter().map(|name| name.replace('_', " ")).collect();
        out.push_str(&format!("  {}\n", names.join(", ")));
    }
    out.push_str("\nWords in cells:\n");
    for (what, groups) in [("side", SIDES.as_slice()), ("state", STATES.as_slice()), ("tool", TOOLS.as_slice())] {
        for words in groups {
            out.push_str(&format!("  {what}: {}\n", words.join(", ")));
        }
    }
    out.push_str("  measured: 2026-03-01, 2026-03-01 08:30 or 01.03.2026\n");
    out
}

/// Left, then right.
pub(super) const SIDES: [&[&str]; 2] = [
    &["left", "l", "lh", "left-hand", "links", "linke", "gauche", "g"],
    &["right", "r", "rh", "right-hand", "rechts", "rechte", "droite", "droit", "d"],
];
/// Kept, damaged, left short, missing.
pub(super) const STATES: [&[&str]; 4] = [
    &["kept", "ok", "good", "sound", "gut", "in ordnung", "bon", "bonne"],
    &["damaged", "struck", "chipped", "beschädigt", "ausgebrochen", "abîmé", "abîmée", "endommagé", "endommagée"],
    &["left-short", "left short", "short", "kurz", "kurz gelassen", "court", "courte"],
    &["missing", "gone", "fehlt", "manque", "manquant", "manquante"],
];
/// By hand with a file, on a grinder.
pub(super) const TOOLS: [&[&str]; 2] =
    [&["file", "feile", "rundfeile", "lime"], &["grinder", "schleifgerät", "schleifer", "affûteuse"]];

/// Which of the groups a word belongs to.
pub(super) fn group(groups: &[&[&str]], word: &str) -> Option<usize> {
    let word = word.to_lowercase();
    groups.iter().position(|words| words.contains(&word.as_str()))
}

impl Column {
    /// Our own name for it.
    pub fn name(self) -> &'static str {
        NAMES.iter().find(|(column, _)| *column == self).map_or("", |(_, names)| names[0])
    }

    /// True for a length, which has a unit.
    pub const fn is_length(self) -> bool {
        matches!(self, Self::Length | Self::After | Self::GapBefore | Self::Gap | Self::Need)
    }

    /// True for a number that may have decimals.
    const fn is_number(self) -> bool {
        self.is_length() || matches!(self, Self::TopPlate)
    }

    fn named(key: &str) -> Option<Self> {
        NAMES.iter().find(|(_, names)| names.contains(&key)).map(|(column, _)| *column)
    }
}

/// What stands before the decimals of a file's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimal {
    /// No number has decimals.
    None,
    /// A point.
    Point,
    /// A comma.
    Comma,
    /// A point here, a comma there.
    Both,
}

/// A column that is understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mapped {
    /// What it holds.
    pub column: Column,
    /// Its name in the file, safe to print.
    pub header: String,
    /// The unit of a length: the one that its name says, else the one given.
    pub unit: Option<Unit>,
    pub(super) index: usize,
}

/// A file taken apart.
pub(super) struct Sheet {
    pub delimiter: char,
    pub columns: Vec<Mapped>,
    pub unused: Vec<String>,
    /// How many columns the header has.
    pub width: usize,
    /// Lines above the header that are no part of the table.
    pub above: Vec<usize>,
    /// Line and cells of each row that is not blank.
    pub rows: Vec<(usize, Vec<String>)>,
}

impl Sheet {
    /// The unit of each column: its own or the one given.
    pub(super) fn units(&self, given: Option<Unit>) -> Result<Vec<Unit>, ImportError> {
        let open: Vec<String> = self.without_unit().iter().map(|header| format!("\"{header}\"")).collect();
        if given.is_none() && !open.is_empty() {
            return Err(ImportError::Unit { columns: open.join(", ") });
        }
        Ok(self.columns.iter().map(|mapped| mapped.unit.or(given).unwrap_or_default()).collect())
    }

    /// A length column that does not name its unit has the one that stands in each of its cells, where that is one.
    fn take_units_of_cells(&mut self) {
        let rows = &self.rows;
        for mapped in self.columns.iter_mut().filter(|mapped| mapped.column.is_length() && mapped.unit.is_none()) {
            let mut units =
                rows.iter().filter_map(|(_, cells)| cells.get(mapped.index)).filter(|cell| !cell.trim().is_empty());
            let first = units.clone().next().and_then(|cell| unit_in(cell));
            mapped.unit = first.filter(|first| units.all(|cell| unit_in(cell) == Some(*first)));
        }
    }

    /// True where a column is there.
    pub(super) fn has(&self, column: Column) -> bool {
        self.columns.iter().any(|mapped| mapped.column == column)
    }

    /// Names of the length columns that do not say their unit.
    pub(super) fn without_unit(&self) -> Vec<String> {
        let open = self.columns.iter().filter(|mapped| mapped.column.is_length() && mapped.unit.is_none());
        open.map(|mapped| mapped.header.clone()).collect()
    }

    /// The decimal sign of the cells that are numbers with decimals.
    pub(super) fn decimal(&self) -> Decimal {
        let numbers: Vec<usize> = self.columns.iter().filter(|m| m.column.is_number()).map(|m| m.index).collect();
        let has = |sign: char| {
            let mut cells = self.rows.iter().flat_map(|(_, cells)| numbers.iter().filter_map(|at| cells.get(*at)));
            cells.any(|cell| cell.contains(sign) && cell.contains(|c: char| c.is_ascii_digit()))
        };
        match (has('.'), has(',')) {
            (false, false) => Decimal::None,
            (true, false) => Decimal::Point,
            (false, true) => Decimal::Comma,
            (true, true) => Decimal::Both,
        }
    }
}

/// Takes a text apart.
pub(super) fn read(text: &str) -> Result<Sheet, ImportError> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let (delimiter, records, at) = heads(text)?;
    let above = records.iter().take(at).filter(|(_, cells)| !is_sep(cells)).map(|(line, _)| *line).collect();
    let mut lines = records.into_iter().skip(at);
    let (line, names) = lines.next().ok_or(ImportError::Empty)?;
    let mut sheet =
        Sheet { delimiter, columns: Vec::new(), unused: Vec::new(), width: names.len(), above, rows: lines.collect() };
    for (index, name) in names.iter().enumerate() {
        let (key, unit) = key_of(name);
        let header = clean(name);
        let Some(column) = Column::named(&key) else {
            if !header.is_empty() {
                sheet.unused.push(header);
            }
            continue;
        };
        if let Some(other) = sheet.columns.iter().find(|mapped| mapped.column == column) {
            return Err(ImportError::Twice { line, first: other.header.clone(), second: header });
        }
        sheet.columns.push(Mapped { column, header, unit: unit.filter(|_| column.is_length()), index });
    }
    let has = |column| sheet.columns.iter().any(|mapped| mapped.column == column);
    if ![Column::Cutter, Column::Length].into_iter().all(has) {
        return Err(ImportError::Header { line, found: clean(&names.join(", ")) });
    }
    if sheet.rows.len() > MAX_ROWS {
        let what = format!("{} rows; at most {MAX_ROWS} are read, one a cutter.", sheet.rows.len());
        return Err(ImportError::Text { line, what });
    }
    sheet.take_units_of_cells();
    Ok(sheet)
}

/// A line that names the delimiter, as spreadsheets may put first.
fn is_sep(cells: &[String]) -> bool {
    cells.iter().any(|cell| cell.trim().starts_with("sep="))
}

type Records = Vec<(usize, Vec<String>)>;

/// The delimiter, all records, and which of them has the names of columns: the first that names a cutter and a length. Titles
/// may stand above it.
fn heads(text: &str) -> Result<(char, Records, usize), ImportError> {
    let first = delimiter(text);
    let named = |cells: &Vec<String>, column| cells.iter().any(|cell| Column::named(&key_of(cell).0) == Some(column));
    for delimiter in [first, ';', '\t', ','] {
        let records = cells(text, delimiter)?;
        let is_head = |cells: &Vec<String>| named(cells, Column::Cutter) && named(cells, Column::Length);
        if let Some(at) = records.iter().take(MAX_ABOVE).position(|(_, cells)| is_head(cells)) {
            return Ok((delimiter, records, at));
        }
    }
    let records = cells(text, first)?;
    let at = usize::from(records.first().is_some_and(|(_, cells)| is_sep(cells)));
    Ok((first, records, at))
}

/// Lines that may stand above the names of the columns.
const MAX_ABOVE: usize = 10;

/// The one that the first line has most of, outside quotes. A `sep=` line names it.
fn delimiter(text: &str) -> char {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    if let Some(named) = first.trim_start_matches('"').strip_prefix("sep=").and_then(|rest| rest.chars().next()) {
        return named;
    }
    let mut quoted = false;
    let outside = first.chars().filter(|c| {
        quoted ^= *c == '"';
        !quoted
    });
    let outside: Vec<char> = outside.collect();
    let count = |delimiter: char| outside.iter().filter(|c| **c == delimiter).count();
    // The last of equals wins: a comma where nothing tells them apart.
    [';', '\t', ','].into_iter().max_by_key(|delimiter| count(*delimiter)).unwrap_or(',')
}

/// Line and cells of every record that is not blank.
fn cells(text: &str, delimiter: char) -> Result<Vec<(usize, Vec<String>)>, ImportError> {
    let byte = u8::try_from(delimiter).ok().filter(u8::is_ascii).unwrap_or(b',');
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(byte).from_reader(text.as_bytes());
    let (mut found, mut at, mut line) = (Vec::new(), 0, 1);
    for record in reader.records() {
        let record = record.map_err(|error| ImportError::Text { line, what: clean(&error.to_string()) })?;
        // The reader counts a record from the blank lines before it.
        let start = record.position().and_then(|place| usize::try_from(place.byte()).ok()).unwrap_or(at);
        let rest = text.as_bytes().get(start..).unwrap_or_default();
        let start = start + rest.iter().take_while(|b| matches!(b, b'\r' | b'\n')).count();
        line += text.get(at..start).map_or(0, |skipped| skipped.matches('\n').count());
        at = start;
        if record.iter().any(|cell| !cell.trim().is_empty()) {
            found.push((line, record.iter().map(str::to_owned).collect()));
        }
    }
    Ok(found)
}

/// The unit that stands behind the number in a cell.
fn unit_in(cell: &str) -> Option<Unit> {
    let given = match parse(cell, Kind::Length, Unit::Mm) {
        Ok(reading) => reading.unit_given,
        Err(ReadingError::OtherUnit { given, .. }) => Some(given),
        Err(_) => None,
    };
    given?.system()
}

/// A column's name in words joined by `_`, without its unit; and the unit.
fn key_of(name: &str) -> (String, Option<Unit>) {
    let lower = name.trim().to_lowercase();
    if lower == "#" {
        return (lower, None);
    }
    let mut words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let unit = match words.last().copied() {
        Some("mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters") => Some(Unit::Mm),
        Some("in" | "inch" | "inches") => Some(Unit::Inch),
        _ => None,
    };
    if unit.is_some() || matches!(words.last(), Some(&("deg" | "degree" | "degrees"))) {
        words.pop();
    }
    (words.join("_"), unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_their_unit_and_punctuation() {
        for (name, key, unit) in [
            ("length_mm", "length", Some(Unit::Mm)),
            (" Length (mm) ", "length", Some(Unit::Mm)),
            ("Length [in]", "length", Some(Unit::Inch)),
            ("LENGTH", "length", None),
            ("Top-plate angle, deg", "top_plate_angle", None),
            ("#", "#", None),
        ] {
            assert_eq!(key_of(name), (key.to_owned(), unit), "{name}");
        }
    }

    #[test]
    fn every_name_means_one_column() {
        let mut names: Vec<&str> = NAMES.iter().flat_map(|(_, names)| names.iter().copied()).collect();
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count);
        for (column, names) in NAMES {
            assert!(names.iter().all(|name| Column::named(name) == Some(column)), "{names:?}");
        }
    }

    #[test]
    fn lines_are_counted_through_blanks_quotes_and_both_line_ends() {
        for end in ["\n", "\r\n"] {
            let text = ["a,b", "", "1,2", "\"x", "y\",3", " , ", "", "4,5", ""].join(end);
            let found = cells(&text, ',').unwrap();
            let lines: Vec<usize> = found.iter().map(|(line, _)| *line).collect();
            assert_eq!(lines, [1, 3, 4, 8], "{text:?}");
        }
    }

    #[test]
    fn the_decimal_sign_is_that_of_the_numbers() {
        for (cells, expected) in [
            ("1;left;8;x,y", Decimal::None),
            ("1;left;8.05;x", Decimal::Point),
            ("1;left;8,05;x.", Decimal::Comma),
            ("1;left;8,05;x\n2;right;8.1;", Decimal::Both),
        ] {
            let sheet = read(&format!("cutter;side;length_mm;note\n{cells}\n")).unwrap();
            assert_eq!(sheet.decimal(), expected, "{cells}");
        }
    }

    #[test]
    fn the_delimiter_is_the_one_there_is_most_of() {
        for (text, expected) in
            [("a,b,c", ','), ("a;b;c", ';'), ("a\tb\tc", '\t'), ("\"a,b,c\";d", ';'), ("abc", ','), ("sep=;\na,b", ';')]
        {
            assert_eq!(delimiter(text), expected, "{text}");
        }
    }
}
