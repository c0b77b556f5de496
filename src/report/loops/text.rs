//! The list as text: a row per loop in columns, below it what has no column.

use unicode_width::UnicodeWidthStr;

use super::{LoopPart, Loops, percent, stage_word, state_word};
use crate::report::format::{ListFormat, TEXT_WIDTH, wrap};
use crate::report::paper::Paper;
use crate::report::words::{count, day};
use crate::report::{demo, not_read};

/// Columns of the name; a longer one moves the rest to the next line.
const NAME: usize = 28;

impl Loops {
    /// The list in a format.
    pub fn render(&self, format: ListFormat, ascii: bool) -> String {
        match format {
            ListFormat::Text => self.text(ascii),
            ListFormat::Csv => self.csv(),
            ListFormat::Json => self.json(),
        }
    }

    /// The list as text; `ascii` keeps to plain letters.
    pub fn text(&self, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        let shown = format!("{} of {}", self.shown.len(), count(self.in_all, "loop"));
        let found = if self.asked.find.is_empty() { String::new() } else { format!(" with \"{}\"", self.asked.find) };
        let mut head = format!("{shown}, {}{found}, by {}", self.asked.heading, self.asked.by);
        if self.open > 0 {
            head.push_str(&format!("; {} open to go on with", self.open));
        }
        head.push_str(&self.cut.words().map(|words| format!("; cut {words}")).unwrap_or_default());
        paper.paragraph("", &head);
        if self.in_all == 0 {
            paper.line("No loop is in care yet: evenbite opens the rack, n there takes one in.");
        }
        if !self.shown.is_empty() {
            paper.line("");
            paper.line(&columns("Loop", ["Life left", "Raker gap", "Last round", "State"]));
        }
        for one in &self.shown {
            one.write(&mut paper);
        }
        not_read::text(&self.not_read, ascii, demo::text(self.demo, paper.finish()))
    }
}

impl LoopPart {
    fn write(&self, paper: &mut Paper) {
        let left = self.life_left.map_or_else(|| "?".to_owned(), |left| percent(left.0));
        let last = self.last.as_deref().map(day).unwrap_or_default();
        let state = state_word(self.state, self.status.as_ref().map(|status| status.word));
        let cells = [left.as_str(), stage_word(self.state, self.stage), &last, state];
        if self.name.width() < NAME {
            paper.line(&columns(&self.name, cells));
        } else {
            paper.paragraph("", &self.name);
            paper.line(&columns("", cells));
        }
        let saw = if self.saw.is_empty() { String::new() } else { format!("saw {}", self.saw) };
        let chain = format!("{}, {} drive links", self.chain, self.links);
        let about = [self.tag.as_str(), &chain, &self.owner, &saw];
        let about: Vec<&str> = about.into_iter().filter(|text| !text.is_empty()).collect();
        for text in [about.join("; "), self.notes().join(" ")] {
            let lines = wrap(&text, TEXT_WIDTH - 2, 0);
            lines.iter().filter(|line| !line.is_empty()).for_each(|line| paper.line(&format!("  {line}")));
        }
    }
}

fn columns(name: &str, [left, stage, last, state]: [&str; 4]) -> String {
    let space = " ".repeat(NAME.saturating_sub(name.width()));
    format!("{name}{space}{left:<11}{stage:<18}{last:<12}{state}")
}
