//! What the tables say, cell by cell, against the data of the same report and against each other.

use std::collections::BTreeMap;

use serde_json::Value;

use super::hand::TAG;

/// Rows under the names of their columns.
pub(super) type Rows = Vec<BTreeMap<String, String>>;

/// Every table in which the loop stands.
pub(super) struct Tables {
    /// The sheet.
    pub sheet: Rows,
    /// The loop's life.
    pub life: Rows,
    /// The page of its saw.
    pub saw: Rows,
    /// Its tag.
    pub tag: Rows,
    /// All cutters of all rounds.
    pub export: Rows,
}

/// A table as its reader sees it.
pub(super) fn rows(csv: &str) -> Rows {
    csv::Reader::from_reader(csv.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// Columns of the sheet that are called otherwise in its data; all others have one name in both.
const SHEET: &[(&str, &str)] = &[
    ("cutter", "/number"),
    ("length_mm", "/before_mm"),
    ("top_plate_deg", "/angle_deg"),
    ("length_verdict", "/verdicts/length"),
    ("angle_verdict", "/verdicts/angle"),
    ("gap_verdict", "/verdicts/gap"),
];

/// The same of a loop's life.
const LIFE: &[(&str, &str)] = &[
    ("removed_mm", "/removed/all_mm"),
    ("removed_wear_mm", "/removed/wear_mm"),
    ("removed_damage_mm", "/removed/damage_mm"),
    ("removed_evening_mm", "/removed/evening_mm"),
];

/// Columns that the sheet and the table of all cutters share.
const EXPORT: &[&str] =
    &["side", "state", "length_mm", "after_mm", "top_plate_deg", "gap_before_mm", "gap_mm", "strokes", "need_mm"];

/// True where a cell says what the data say: absent is empty, a list its items with `; ` between them.
fn says(cell: &str, value: &Value) -> bool {
    match value {
        Value::Null => cell.is_empty(),
        Value::Number(number) => cell.parse().is_ok_and(|cell: f64| (cell - number.as_f64().unwrap()).abs() < 1e-9),
        Value::String(text) => cell == text,
        Value::Array(items) => {
            let word = |item: &Value| item.as_str().map_or_else(|| item.to_string(), str::to_owned);
            let words: Vec<String> = items.iter().map(word).collect();
            cell == words.join("; ") || cell == words.join(" ")
        }
        Value::Bool(yes) => cell == yes.to_string(),
        Value::Object(_) => false,
    }
}

/// What rows of a table say otherwise than the items of the data, column by column.
fn apart(what: &str, rows: &Rows, items: &Value, named: &[(&str, &str)], beside: &[&str], faults: &mut Vec<String>) {
    let items = items.as_array().map(Vec::as_slice).unwrap_or_default();
    if rows.len() != items.len() {
        faults.push(format!("{what}: {} rows as a table, {} as data", rows.len(), items.len()));
    }
    for (row, item) in rows.iter().zip(items) {
        for (column, cell) in row.iter().filter(|(column, _)| !beside.contains(&column.as_str())) {
            let other = named.iter().find(|(name, _)| name == column);
            let path = other.map_or_else(|| format!("/{column}"), |(_, path)| (*path).to_owned());
            let value = item.pointer(&path).unwrap_or(&Value::Null);
            if !says(cell, value) {
                faults.push(format!("{what}: {column} is {cell:?} as a table and {value} as data"));
            }
        }
    }
}

/// The checks of a saw in the order of its table, each with the piece or part that it is about.
fn looks(saw: &Value) -> Vec<(String, usize)> {
    let of = |look: &Value, key: &str| look[key].as_array().map_or(0, Vec::len);
    let looks = saw["looks"].as_array().map(Vec::as_slice).unwrap_or_default();
    looks
        .iter()
        .map(|look| (look["at"].as_str().unwrap().to_owned(), of(look, "renewed") + of(look, "checks")))
        .collect()
}

/// Every disagreement of the tables, in a sentence.
pub(super) fn faults(tables: &Tables, sheet: &Value, life: &Value, saw: &Value, tag: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    apart("sheet", &tables.sheet, &sheet["cutters"], SHEET, &["loop", "round"], &mut faults);
    apart("life", &tables.life, &life["rounds"], LIFE, &["loop"], &mut faults);
    // The status stands as a line in the table, and in its parts in the data.
    apart("tag", &tables.tag, &tag["tags"], &[], &["status"], &mut faults);
    let line = &sheet["status"]["line"];
    for row in tables.tag.iter().filter(|row| !row["status"].is_empty()) {
        // A loop that is held back says on its tag since when; its sheet says it of its own day.
        let held = row["status"].contains("rejected on") && sheet["status"]["word"] == "do-not-use";
        if !held && !says(&row["status"], line) {
            faults.push(format!("how it stands: the tag's table says {:?}, the sheet {line}", row["status"]));
        }
    }
    for (at, count) in looks(saw) {
        let rows = tables.saw.iter().filter(|row| row["at"] == at).count();
        if rows != count {
            faults.push(format!("saw: {rows} rows of {at} as a table, {count} as data"));
        }
    }
    exported(tables, sheet, life, &mut faults);
    faults
}

/// What the table of all cutters says otherwise than the sheet of the round and the loop's life.
fn exported(tables: &Tables, sheet: &Value, life: &Value, faults: &mut Vec<String>) {
    let started = &sheet["round"]["started"];
    let of_round: Rows = tables.export.iter().filter(|row| says(&row["started"], started)).cloned().collect();
    if of_round.len() != tables.sheet.len() {
        faults.push(format!(
            "{} cutters of the round are exported, {} on its sheet",
            of_round.len(),
            tables.sheet.len()
        ));
    }
    for (row, cutter) in of_round.iter().zip(&tables.sheet) {
        for column in EXPORT {
            // Every reading is exported in its own column, so that it can be read back; the sheet gives the gap as last measured.
            let filed = *column != "gap_mm" || !row[*column].is_empty();
            let (a, b) = (&row[if filed { *column } else { "gap_before_mm" }], &cutter[*column]);
            let close = a.parse().ok().zip(b.parse().ok()).is_some_and(|(a, b): (f64, f64)| (a - b).abs() < 1.1e-4);
            if a != b && !close {
                faults.push(format!("cutter {}: {column} is exported as {a:?}, on the sheet {b:?}", row["cutter"]));
            }
        }
    }
    for round in life["rounds"].as_array().map(Vec::as_slice).unwrap_or_default() {
        let mut same = tables.export.iter().filter(|row| says(&row["started"], &round["started"]));
        match same.next() {
            None => faults.push(format!("the round of {} is not exported", round["started"])),
            Some(row) => {
                for column in ["how", "sharpener", "tool"] {
                    if !says(&row[column], &round[column]) {
                        faults
                            .push(format!("{column} is exported as {:?}, in the life {}", row[column], round[column]));
                    }
                }
            }
        }
    }
    if tables.export.iter().any(|row| row["loop"] != TAG) {
        faults.push("another loop is exported".to_owned());
    }
}
