//! The table for spreadsheets and programs. The names are fixed: fields may be added, never renamed.

use serde::Serialize;

use super::{GapRow, GapTable, rounded};
use crate::advice::cautions::ALWAYS;
use crate::chain::{Plate, Stage, Wood};
use crate::report::data::json;
use crate::units::{Degrees, Millimetres, Unit};

/// A row under its fixed names, in the order of the CSV columns.
#[derive(Serialize)]
struct Record {
    length_mm: f64,
    wear_mm: f64,
    reach_mm: f64,
    fixed_gap_mm: f64,
    scaled_gap_mm: f64,
    plate_gap_mm: Option<f64>,
    fixed_bite_deg: f64,
    scaled_bite_deg: f64,
    tip_drop_mm: f64,
    raker_steel_mm: f64,
    stage: Stage,
}

impl From<&GapRow> for Record {
    fn from(row: &GapRow) -> Self {
        let mm = |length: Millimetres| rounded(length.get());
        let deg = |angle: Degrees| rounded(angle.get());
        Self {
            length_mm: mm(row.length),
            wear_mm: mm(row.wear),
            reach_mm: mm(row.reach),
            fixed_gap_mm: mm(row.fixed_gap),
            scaled_gap_mm: mm(row.scaled_gap),
            plate_gap_mm: row.plate_gap.map(mm),
            fixed_bite_deg: deg(row.fixed_bite),
            scaled_bite_deg: deg(row.scaled_bite),
            tip_drop_mm: mm(row.tip_drop),
            raker_steel_mm: mm(row.raker_steel),
            stage: row.stage,
        }
    }
}

/// The CSV columns and those that only this format has.
#[derive(Serialize)]
struct FullRecord {
    #[serde(flatten)]
    record: Record,
    file_mm: Option<f64>,
}

#[derive(Serialize)]
struct Document<'a> {
    profile: &'a str,
    title: &'a str,
    wood: Wood,
    gap_max_mm: f64,
    worth_length_mm: Option<f64>,
    due_length_mm: Option<f64>,
    plate: Option<Plate>,
    rows: Vec<FullRecord>,
    notes: Vec<String>,
    standing: Vec<String>,
    cautions: [&'static str; ALWAYS.len()],
}

impl GapTable {
    /// One line per cutter length under a header of fixed names; millimetres and degrees to four decimals at most. The
    /// plate's field is empty where there is no plate gauge.
    pub fn csv(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        for row in self.rows() {
            written(writer.serialize(Record::from(row)));
        }
        let bytes = written(writer.into_inner().map_err(csv::IntoInnerError::into_error));
        String::from_utf8_lossy(&bytes).into_owned()
    }

    /// The rows under the names of [`GapTable::csv`] with what else the table says; absent is `null`.
    pub fn json(&self) -> String {
        let length = |stage| self.begins(stage).map(|at| rounded(at.get()));
        let document = Document {
            profile: &self.name,
            title: &self.title,
            wood: self.wood,
            gap_max_mm: self.spec.gap_max.get(),
            worth_length_mm: length(Stage::Worth),
            due_length_mm: length(Stage::Due),
            plate: self.spec.plate,
            rows: self
                .rows()
                .iter()
                .map(|row| FullRecord { record: row.into(), file_mm: row.file.map(Millimetres::get) })
                .collect(),
            notes: self.notes(Unit::Mm),
            standing: self.standing_lines(),
            cautions: ALWAYS,
        };
        json(&document)
    }
}

/// Writing plain fields to memory has no way to fail.
fn written<T, E: std::fmt::Debug>(result: Result<T, E>) -> T {
    result.expect("plain fields written to memory")
}
