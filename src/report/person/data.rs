//! A person's page for programs and spreadsheets. Names are fixed: add, never rename.

use super::{Cell, PersonPage};
use crate::report::data::{csv, json, number_cell, text_cell};

const HEADER: [&str; 10] = ["person", "what", "chain", "side", "unit", "rounds", "values", "value", "low", "high"];

impl PersonPage {
    /// The page as JSON; lengths in mm, absent is null.
    pub(super) fn json(&self) -> String {
        json(self)
    }

    /// One row per figure; its value is empty where there are too few to judge.
    pub(super) fn csv(&self) -> String {
        let row = |what: &str, chain: &str, side: String, unit: &str, counts: (String, String), cell: Option<Cell>| {
            let number = |of: fn(Cell) -> crate::report::data::Number| number_cell(cell.map(of));
            let (value, low, high) = (number(|cell| cell.value), number(|cell| cell.low), number(|cell| cell.high));
            let person = text_cell(&self.person);
            [person, what.to_owned(), text_cell(chain), side, unit.to_owned(), counts.0, counts.1, value, low, high]
        };
        let strokes = self.strokes.iter().map(|rate| {
            let counts = (String::new(), rate.filings.to_string());
            row("stroke", &rate.profile, rate.side.to_string(), "mm", counts, rate.stroke_mm)
        });
        let figures = self.figures.iter().flat_map(|found| {
            let name = serde_json::to_value(found.quantity).ok();
            let name = name.as_ref().and_then(serde_json::Value::as_str).unwrap_or_default().to_owned();
            let of = move |part: &str, cell: Option<Cell>| {
                let counts = (found.rounds.to_string(), found.cutters.to_string());
                row(&format!("{name} {part}"), "", found.side.to_string(), found.unit, counts, cell)
            };
            [
                of("off", found.off),
                of("scatter", found.scatter),
                of("off a round", found.off_a_round),
                of("scatter a round", found.scatter_a_round),
            ]
        });
        let creeps = self.within_a_round.iter().map(|creep| {
            let counts = (creep.rounds.to_string(), String::new());
            row("length within a round", "", creep.side.to_string(), "mm", counts, creep.change_mm)
        });
        csv(HEADER, strokes.chain(figures).chain(creeps))
    }
}
