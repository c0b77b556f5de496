//! The history for spreadsheets and programs. Names are fixed: add, never rename.

use super::{History, Row};
use crate::chain::CutterNumber;
use crate::report::data::{csv, number_cell, text_cell};

const HEADER: [&str; 24] = [
    "loop",
    "started",
    "ended",
    "how",
    "sharpener",
    "tool",
    "wood",
    "rule",
    "target_mm",
    "median_before_mm",
    "median_after_mm",
    "spread_before_mm",
    "spread_after_mm",
    "left_less_right_mm",
    "wear_mm",
    "removed_mm",
    "removed_wear_mm",
    "removed_damage_mm",
    "removed_evening_mm",
    "strokes",
    "minutes",
    "left_short",
    "promised_cut",
    "cut_since",
];

impl History {
    /// One line per round under fixed names; an empty cell is not known.
    pub fn csv(&self) -> String {
        csv(HEADER, self.rounds.iter().map(|row| self.cells(row)))
    }

    /// Everything under the names of the model; absent is `null`, numbers have at most four decimals.
    pub fn json(&self) -> String {
        crate::report::data::json(self)
    }

    fn cells(&self, row: &Row) -> [String; HEADER.len()] {
        [
            text_cell(&self.tag),
            row.started.clone(),
            row.ended.clone(),
            row.how.map(<&str>::from).unwrap_or_default().to_owned(),
            text_cell(&row.sharpener),
            row.tool.to_string(),
            <&str>::from(row.wood).to_owned(),
            row.rule.map(<&str>::from).unwrap_or_default().to_owned(),
            number_cell(row.target_mm),
            number_cell(row.median_before_mm),
            number_cell(row.median_after_mm),
            number_cell(row.spread_before_mm),
            number_cell(row.spread_after_mm),
            number_cell(row.left_less_right_mm),
            number_cell(row.wear_mm),
            number_cell(row.removed.map(|removed| removed.all_mm)),
            number_cell(row.removed.map(|removed| removed.wear_mm)),
            number_cell(row.removed.map(|removed| removed.damage_mm)),
            number_cell(row.removed.map(|removed| removed.evening_mm)),
            row.strokes.map(|n| n.to_string()).unwrap_or_default(),
            number_cell(row.minutes),
            row.left_short.iter().map(CutterNumber::to_string).collect::<Vec<_>>().join(" "),
            row.promised.map(<&str>::from).unwrap_or_default().to_owned(),
            row.cut_since.map(<&str>::from).unwrap_or_default().to_owned(),
        ]
    }
}
