//! A saw's page for programs and spreadsheets. Names are fixed: add, never rename.

use super::SawReport;
use crate::report::data::{csv, json, number_cell, text_cell};

const HEADER: [&str; 7] = ["saw", "at", "loop", "part", "found", "figure_mm", "note"];

impl SawReport {
    /// The page as JSON; lengths in mm, absent is null.
    pub fn json(&self) -> String {
        json(self)
    }

    /// One row a check, oldest first; a piece fitted new is a row of its own.
    pub fn csv(&self) -> String {
        let rows = self.looks.iter().flat_map(|look| {
            let start = || [text_cell(&self.saw), look.at.clone(), text_cell(look.with.as_deref().unwrap_or_default())];
            let renewed = look.renewed.iter().map(move |piece| {
                let [saw, at, with] = start();
                [saw, at, with, piece.to_string(), "renewed".to_owned(), String::new(), String::new()]
            });
            let checks = look.checks.iter().map(move |cell| {
                let [saw, at, with] = start();
                let note = text_cell(cell.note.as_deref().unwrap_or_default());
                let part = crate::advice::say::saw::name(cell.part).to_owned();
                [saw, at, with, part, cell.found.word().to_owned(), number_cell(cell.figure_mm), note]
            });
            renewed.chain(checks)
        });
        csv(HEADER, rows)
    }
}
