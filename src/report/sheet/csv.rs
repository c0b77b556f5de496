//! One row per cutter. The columns that an import knows have its names, so that a sheet can be read in again.

use super::model::{CutterPart, Sheet};
use crate::report::data::{csv, number_cell, text_cell};

const HEADER: [&str; 22] = [
    "cutter",
    "side",
    "state",
    "length_mm",
    "after_mm",
    "top_plate_deg",
    "gap_before_mm",
    "gap_mm",
    "strokes",
    "need_mm",
    "wear_mm",
    "target_mm",
    "target_gap_mm",
    "bite_deg",
    "length_verdict",
    "angle_verdict",
    "gap_verdict",
    "conformity",
    "stage",
    "notes",
    "loop",
    "round",
];

impl Sheet {
    /// One row per cutter under fixed names; `length_mm` is the length as it came. An empty cell was not measured.
    pub fn csv(&self) -> String {
        csv(HEADER, self.cutters.iter().map(|cutter| self.cells(cutter)))
    }

    fn cells(&self, cutter: &CutterPart) -> [String; HEADER.len()] {
        [
            cutter.number.to_string(),
            cutter.side.to_string(),
            cutter.state.to_string(),
            number_cell(cutter.before_mm),
            number_cell(cutter.after_mm),
            number_cell(cutter.angle_deg),
            number_cell(cutter.gap_before_mm),
            number_cell(cutter.gap_mm),
            cutter.strokes.map(|n| n.to_string()).unwrap_or_default(),
            number_cell(cutter.need_mm),
            number_cell(cutter.wear_mm),
            number_cell(cutter.target_mm),
            number_cell(cutter.target_gap_mm),
            number_cell(cutter.bite_deg),
            <&str>::from(cutter.verdicts.length).to_owned(),
            <&str>::from(cutter.verdicts.angle).to_owned(),
            <&str>::from(cutter.verdicts.gap).to_owned(),
            number_cell(cutter.conformity),
            cutter.stage.map(|stage| stage.to_string()).unwrap_or_default(),
            text_cell(&cutter.notes.join("; ")),
            text_cell(&self.tag),
            self.round.started.clone(),
        ]
    }
}
