//! A saw's page as one page that fetches nothing.

use maud::{Markup, html};

use super::SawReport;
use crate::report::page::{Column, list, page, table, urgent};
use crate::report::words::day;
use crate::report::{demo, not_read};
use crate::saw::{Grade, Part};
use crate::units::Unit;

impl SawReport {
    /// The page as HTML.
    pub fn html(&self, unit: Unit) -> String {
        let bad = self.fault_lines(unit, Grade::Bad);
        let remedies = self.remedy_lines();
        let body = html! {
            (urgent(&bad))
            (list("Bar, sprocket, oil and tension", &self.state_lines(unit)))
            @if !remedies.is_empty() { (list("What helps", &remedies)) }
            (list("Which loop to run next", &self.rotation_lines()))
            @if self.why().is_some() { (list("How the next one was found", &self.why_lines(unit))) }
            @if !self.loops.is_empty() { (self.loop_table()) }
            @if !self.looks.is_empty() { (self.look_table(unit)) }
            @if !self.notes.is_empty() { (list("Notes", &self.notes)) }
        };
        demo::page(self.demo, not_read::page(&self.not_read, page(&format!("Saw: {}", self.saw), &body)))
    }

    fn loop_table(&self) -> Markup {
        let words = |head| Column { head, words: true };
        let columns = [words("Loop"), words("life left"), words("rounds left"), words("last round"), words("")];
        let rows = self.loops.iter().map(|row| {
            let (left, rounds, held) = row.words();
            let last = row.last.as_deref().map(day).unwrap_or_default();
            vec![(row.name.clone(), ""), (left, ""), (rounds, ""), (last, ""), (held, "warn")]
        });
        table("Loops of this saw.", &columns, rows)
    }

    fn look_table(&self, unit: Unit) -> Markup {
        let heads =
            ["day", "loop", "rails", "groove", "straight", "nose", "sprocket", "oil", "tension", "warm", "remarks"];
        let columns = heads.map(|head| Column { head, words: true });
        let rows = self.looks.iter().rev().map(|look| {
            let mut row = vec![(day(&look.at), ""), (look.with.clone().unwrap_or_default(), "")];
            row.extend(Part::ALL.into_iter().map(|part| {
                let bad = look.found(part).is_some_and(|cell| cell.found == Grade::Bad);
                (look.cell(part, unit), if bad { "bad" } else { "" })
            }));
            row.push((look.remark(), ""));
            row
        });
        table(&format!("Look by look, the latest first. Figures in {}.", unit.of_lengths()), &columns, rows)
    }
}
