//! The course for programs and spreadsheets: one row per drill of a learner.

use super::Course;
use crate::report::data::{csv, json, number_cell, text_cell};

const HEADER: [&str; 15] = [
    "day",
    "learner",
    "drill",
    "sets",
    "misses",
    "of",
    "first_misses",
    "unit",
    "bias",
    "spread",
    "left",
    "right",
    "drift",
    "resolution",
    "passed",
];

impl Course {
    /// One row per drill.
    pub fn csv(&self) -> String {
        let lines = self.learners.iter().flat_map(|page| page.drills.iter().map(move |line| (page, line)));
        let rows = lines.map(|(page, line)| {
            [
                self.day.clone(),
                text_cell(&page.learner),
                line.drill.to_string(),
                line.sets.to_string(),
                line.misses.to_string(),
                line.of.to_string(),
                line.first_misses.to_string(),
                line.unit.to_owned(),
                number_cell(line.bias),
                number_cell(line.spread),
                number_cell(line.left),
                number_cell(line.right),
                number_cell(line.drift),
                number_cell(line.resolution),
                line.passed.clone().unwrap_or_default(),
            ]
        });
        csv(HEADER, rows)
    }

    /// Everything as JSON.
    pub fn json(&self) -> String {
        json(self)
    }
}
