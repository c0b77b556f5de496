//! The course in at most 80 columns.

use super::{Course, LearnerPage, SAFETY, WHAT};
use crate::report::paper::Paper;
use crate::report::{Format, demo, not_read};
use crate::units::Unit;

impl Course {
    /// The pages in a format; text and pages in `unit`, tables in mm.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// The pages as text; `ascii` keeps to plain letters and lines.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        for page in &self.learners {
            self.page(&mut paper, page, unit);
        }
        demo::text(self.demo, not_read::text(&self.not_read, ascii, paper.finish()))
    }

    fn page(&self, paper: &mut Paper, page: &LearnerPage, unit: Unit) {
        for (label, value) in self.head(page, unit) {
            paper.line(&format!("{label:<12}{value}"));
        }
        paper.paragraph("", WHAT);
        paper.heading("Drills");
        for line in &page.drills {
            let passed = line.passed.as_ref().map(|day| format!(", passed {day}")).unwrap_or_default();
            paper.list("- ", &[format!("{}: {}{passed}; {}.", line.name, sets(line.sets), line.stage)]);
            paper.list("  Last set: ", &[format!("{}.", line.words(unit))]);
        }
        if page.drills.is_empty() {
            paper.line("No whole set was done.");
        }
        let better = page.better(unit);
        if !better.is_empty() {
            paper.heading("What went better");
            paper.list("- ", &better);
        }
        paper.heading("Next");
        paper.list("- ", &[page.next_words()]);
        paper.heading("Not assessed");
        paper.list("- ", &[page.not_assessed_words()]);
        paper.heading("Lessons done");
        paper.list("", &page.lessons_words());
        paper.line("________________________________________________");
        paper.heading("Seen by the instructor");
        paper.list("[ ] ", &SAFETY.map(str::to_owned));
        paper.line("");
        paper.line("Learner ________________________   Instructor ________________________");
        paper.line("");
    }
}

pub(super) fn sets(n: usize) -> String {
    crate::report::words::count(n, "set")
}
