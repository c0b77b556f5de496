//! The history for the ear: one fact per line, no columns.

use super::text::{cut_since, ending, left_short};
use super::{History, Row};
use crate::report::data::Number;
use crate::report::words::{day, minutes};
use crate::units::{Unit, mm};

impl History {
    /// The history line by line, each line a fact.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let mut facts = vec![self.title()];
        facts.extend(self.head(unit).into_iter().map(|(label, value)| format!("{label}: {value}")));
        for (title, lines) in self.sections(unit) {
            facts.push(format!("{title}:"));
            facts.extend(lines.into_iter().map(|line| format!("  {line}")));
        }
        for row in &self.rounds {
            facts.push(format!("Round of {}:", day(&row.started)));
            facts.extend(row_facts(row, unit).into_iter().map(|fact| format!("  {fact}")));
        }
        facts.extend(self.not_read.iter().cloned());
        facts
    }
}

fn row_facts(row: &Row, unit: Unit) -> Vec<String> {
    let length = |label: &str, number: Option<Number>| number.map(|n| format!("{label}: {}", unit.show_named(mm(n.0))));
    let waste = row.evening_share().map(|share| format!("steel that evening-up cost: {:.0} %", share.0 * 100.0));
    let figures = [
        Some(format!("sharpener: {}", row.sharpener)),
        Some(format!("tool: {}", row.tool)),
        length("median length before", row.median_before_mm),
        length("median length after", row.median_after_mm),
        length("wear since the round before", row.wear_mm),
        length("longest less shortest after", row.spread_after_mm),
        length("left less right", row.left_less_right_mm),
        waste,
        row.strokes.map(|strokes| format!("strokes: {strokes}")),
        row.minutes.map(|time| format!("at the bench: {}", minutes(time))),
    ];
    let notes = ending(row).map(str::to_owned).into_iter().chain(left_short(row)).chain(cut_since(row));
    figures.into_iter().flatten().chain(notes).collect()
}
