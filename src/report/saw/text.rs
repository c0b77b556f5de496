//! A saw's page in at most 80 columns.

use super::{LookRow, SawReport};
use crate::advice::say::saw::name;
use crate::report::Format;
use crate::report::format::{TEXT_WIDTH, wrap};
use crate::report::paper::Paper;
use crate::report::words::day;
use crate::report::{demo, not_read, why};
use crate::saw::Part;
use crate::units::Unit;

impl SawReport {
    /// The page in a format.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// The page as text; `ascii` keeps to plain letters and lines.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        paper.paragraph("", &format!("Saw: {}", self.saw));
        paper.heading("Bar, sprocket, oil and tension");
        paper.list("- ", &self.state_lines(unit));
        paper.heading("Its loops");
        self.loop_lines(&mut paper);
        paper.list("- ", &self.rotation_lines());
        if let Some(why) = self.why() {
            paper.heading("How the next one was found");
            why::text(&mut paper, &why.told(unit));
        }
        if !self.looks.is_empty() {
            paper.heading(&format!("Look by look ({})", unit.name()));
            self.look_lines(&mut paper, unit);
        }
        let remedies = self.remedy_lines();
        if !remedies.is_empty() {
            paper.heading("What helps");
            paper.list("- ", &remedies);
        }
        if !self.notes.is_empty() {
            paper.heading("Notes");
            paper.list("- ", &self.notes);
        }
        demo::text(self.demo, not_read::text(&self.not_read, ascii, paper.finish()))
    }

    fn loop_lines(&self, paper: &mut Paper) {
        for row in &self.loops {
            let (left, rounds, held) = row.words();
            let mark = if self.rotation.next.as_ref() == Some(&row.tag) { "> " } else { "  " };
            let last = row.last.as_deref().map(day).unwrap_or_default();
            let name = wrap(&row.name, 21, 0).into_iter().next().unwrap_or_default();
            let pad = " ".repeat(22_usize.saturating_sub(unicode_width::UnicodeWidthStr::width(name.as_str())));
            paper.line(&format!("{mark}{name}{pad}{left:>17}  {rounds:>9}  {last:<10} {held}"));
        }
        if self.loops.is_empty() {
            paper.line("No loop's card names this saw.");
        }
    }

    /// Look by look: the day, what was found part by part, and below it what was remarked.
    fn look_lines(&self, paper: &mut Paper, unit: Unit) {
        for look in self.looks.iter().rev() {
            let parts = Part::ALL.into_iter().map(|part| (part, look.cell(part, unit)));
            let found: Vec<String> = parts
                .filter(|(_, cell)| !cell.is_empty())
                .map(|(part, cell)| format!("{} {cell}", name(part)))
                .collect();
            let mut day = day(&look.at);
            for said in [found.join(", "), remark_of(look)] {
                for line in wrap(&said, TEXT_WIDTH - 12, 0).into_iter().filter(|line| !line.is_empty()) {
                    paper.line(&format!("{:<12}{line}", std::mem::take(&mut day)));
                }
            }
        }
    }
}

fn remark_of(look: &LookRow) -> String {
    let with = look.with.as_ref().map(|tag| format!("with loop {tag}")).unwrap_or_default();
    [with, look.remark()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(". ")
}
