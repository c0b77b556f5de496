//! Tags as text: two side by side in 79 columns, lines to cut along between them.

use unicode_width::UnicodeWidthStr;

use super::{Tag, Tags};
use crate::report::Format;
use crate::report::format::{plain, wrap};
use crate::report::not_read;
use crate::units::Unit;

/// Columns inside a tag.
const WIDTH: usize = 38;
/// Rows of a tag at least; those of a pair are as many as the longer one needs.
const HEIGHT: usize = 8;

impl Tags {
    /// The tags in a format.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// What stands on the tags, a line each.
    pub fn facts(&self, unit: Unit) -> Vec<String> {
        let of = |tag: &Tag| {
            [tag.name.clone()].into_iter().chain(tag.lines(unit).into_iter().map(|said| said.text)).collect::<Vec<_>>()
        };
        self.all.iter().flat_map(of).chain(self.not_read.iter().cloned()).collect()
    }

    /// The tags as text; `ascii` keeps to plain letters.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let cut = format!("+{}+{}+\n", "- ".repeat(WIDTH / 2), "- ".repeat(WIDTH / 2));
        let mut out = String::new();
        for pair in self.all.chunks(2) {
            out.push_str(&cut);
            let sides: Vec<Vec<String>> = pair.iter().map(|tag| tag.rows(unit)).collect();
            let height = sides.iter().map(Vec::len).max().unwrap_or(0).max(HEIGHT);
            for row in 0..height {
                let cell = |side: usize| sides.get(side).and_then(|rows| rows.get(row)).map_or("", String::as_str);
                let line = format!(":{}:{}:\n", fit(cell(0)), fit(cell(1)));
                out.push_str(&plain(&line, ascii));
            }
        }
        if !self.all.is_empty() {
            out.push_str(&cut);
        }
        not_read::text(&self.not_read, ascii, out)
    }
}

impl Tag {
    fn rows(&self, unit: Unit) -> Vec<String> {
        let name = if self.name == self.slug { self.name.clone() } else { format!("{}  [{}]", self.name, self.slug) };
        let lines = std::iter::once(name).chain(self.lines(unit).into_iter().map(|said| said.text));
        lines.flat_map(|line| wrap(&line, WIDTH - 2, 2)).map(|line| format!(" {line}")).collect()
    }
}

/// Exactly as wide as a tag.
fn fit(text: &str) -> String {
    format!("{text}{}", " ".repeat(WIDTH.saturating_sub(text.width())))
}
