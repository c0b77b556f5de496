//! A person's page as text, as a page that fetches nothing, and line by line.

use maud::html;

use super::{PersonPage, WHOSE};
use crate::advice::say::person::SIGNS;
use crate::report::page::{list, page};
use crate::report::paper::Paper;
use crate::report::{Format, demo, not_read};
use crate::units::Unit;

impl PersonPage {
    /// The page in a format.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// The page in at most 80 columns; `ascii` keeps to plain letters and lines.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        paper.paragraph("", &format!("Person: {}", self.person));
        paper.paragraph("", &self.rests_on());
        paper.paragraph("", WHOSE);
        if !self.figures.is_empty() {
            paper.paragraph("", SIGNS);
        }
        for (title, lines) in self.parts(unit) {
            paper.heading(title);
            paper.list("- ", &lines);
        }
        demo::text(self.demo, not_read::text(&self.not_read, ascii, paper.finish()))
    }

    fn html(&self, unit: Unit) -> String {
        let body = html! {
            p { (self.rests_on()) }
            p { (WHOSE) }
            @if !self.figures.is_empty() { p { (SIGNS) } }
            @for (title, lines) in self.parts(unit) { (list(title, &lines)) }
        };
        demo::page(self.demo, not_read::page(&self.not_read, page(&format!("Person: {}", self.person), &body)))
    }

    /// The page line by line, each line a fact.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let mut facts = vec![format!("Person: {}", self.person), self.rests_on(), WHOSE.to_owned()];
        if !self.figures.is_empty() {
            facts.push(SIGNS.to_owned());
        }
        for (title, lines) in self.parts(unit) {
            facts.push(format!("{title}:"));
            facts.extend(lines);
        }
        facts.extend(self.not_read.iter().cloned());
        facts
    }
}
