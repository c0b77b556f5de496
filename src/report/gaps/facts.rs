//! The table for the ear: one length a line, no columns.

use super::{GapRow, GapTable};
use crate::units::Unit;

impl GapTable {
    /// The table line by line, each line a length or a fact.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let mut facts = vec!["Raker gap by cutter length".to_owned()];
        facts.extend(self.lead(unit));
        for (stage, rows) in self.groups() {
            facts.push(self.group_title(stage, unit));
            facts.extend(rows.iter().map(|row| format!("  {}", row_fact(row, unit))));
        }
        facts.extend(self.notes(unit));
        facts
    }
}

fn row_fact(row: &GapRow, unit: Unit) -> String {
    let file = row.file.map(|file| format!(", round file {}", unit.file_size(file))).unwrap_or_default();
    let plate = row.plate_gap.map(|gap| format!(", plate gap {}", unit.show_named(gap))).unwrap_or_default();
    format!(
        "at {}: fixed gap {}, scaled gap {}{plate}{file}",
        unit.show_named(row.length),
        unit.show_named(row.fixed_gap),
        unit.show_named(row.scaled_gap)
    )
}
