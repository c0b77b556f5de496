//! A saw's page for the ear: one fact per line, no columns.

use super::SawReport;
use crate::advice::say::saw::name;
use crate::report::words::day;
use crate::saw::Part;
use crate::units::Unit;

impl SawReport {
    /// The page line by line, each line a fact.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let mut facts = vec![format!("Saw: {}", self.saw)];
        facts.extend(self.state_lines(unit));
        for row in &self.loops {
            let (left, rounds, held) = row.words();
            let last = row.last.as_deref().map(|last| format!(", last round {}", day(last))).unwrap_or_default();
            let held = if held.is_empty() { held } else { format!(", {held}") };
            facts.push(format!("Loop {}: {left}, {rounds}{last}{held}", row.name));
        }
        if self.loops.is_empty() {
            facts.push("No loop's card names this saw.".to_owned());
        }
        facts.extend(self.rotation_lines());
        for look in self.looks.iter().rev() {
            facts.push(format!("Looked at on {}:", day(&look.at)));
            let cells = Part::ALL.into_iter().map(|part| (part, look.cell(part, unit)));
            facts.extend(
                cells.filter(|(_, cell)| !cell.is_empty()).map(|(part, cell)| format!("  {}: {cell}", name(part))),
            );
            facts.extend(Some(look.remark()).filter(|remark| !remark.is_empty()).map(|remark| format!("  {remark}")));
        }
        facts.extend(self.remedy_lines());
        facts.extend(self.notes.iter().map(|note| format!("Note: {note}")));
        facts.extend(self.not_read.iter().cloned());
        facts
    }
}
