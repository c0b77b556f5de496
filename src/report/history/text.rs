//! The history in at most 80 columns.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::{History, Row};
use crate::advice::cut;
use crate::report::Format;
use crate::report::data::Number;
use crate::report::format::{TEXT_WIDTH, wrap};
use crate::report::paper::Paper;
use crate::report::words::{cutters, day};
use crate::report::{demo, not_read};
use crate::round::{Closing, Tool};
use crate::units::{Unit, mm};

/// Columns before what is said under a row.
const NOTE: usize = 11;

impl History {
    /// The history in a format; `ascii` keeps a text to plain letters and lines.
    pub fn render(&self, format: Format, unit: Unit, ascii: bool) -> String {
        match format {
            Format::Text => self.text(unit, ascii),
            Format::Html => self.html(unit),
            Format::Csv => self.csv(),
            Format::Json => self.json(),
        }
    }

    /// The history in at most 80 columns; `ascii` keeps to plain letters and lines.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let mut paper = Paper::new(ascii);
        paper.paragraph("", &self.title());
        for (label, value) in self.head(unit) {
            paper.pair(label, &value);
        }
        for (title, lines) in self.sections(unit) {
            paper.heading(title);
            paper.list("- ", &lines);
        }
        if !self.is_empty() {
            self.table(unit, &mut paper);
        }
        demo::text(self.demo, not_read::text(&self.not_read, ascii, paper.finish()))
    }

    fn table(&self, unit: Unit, paper: &mut Paper) {
        paper.heading("Round by round");
        paper.paragraph(
            "",
            &format!(
                "Lengths in {}. Spread: longest less shortest after the round. L-R: left less right. Waste: share of the steel taken off that evening-up cost.",
                unit.of_lengths()
            ),
        );
        paper.line("");
        paper.line(&line(["", "", "", "median", "median", "", "", "", "", "", ""]));
        paper.line(&line(["day", "by", "tool", "before", "after", "wear", "spread", "L-R", "waste", "strokes", "min"]));
        for row in &self.rounds {
            paper.line(&cells(row, unit));
            for note in ending(row).map(str::to_owned).into_iter().chain(left_short(row)).chain(cut_since(row)) {
                for part in wrap(&note, TEXT_WIDTH - NOTE, 0) {
                    paper.line(&format!("{:NOTE$}{part}", ""));
                }
            }
        }
    }
}

/// What is to be said of a round that was not signed.
pub(super) const fn ending(row: &Row) -> Option<&'static str> {
    match row.how {
        Some(Closing::Signed) => None,
        Some(Closing::Rejected) => Some("rejected"),
        Some(Closing::Abandoned) => Some("not signed off"),
        None => Some("not finished"),
    }
}

/// Which cutters the figures of even length leave out.
pub(super) fn left_short(row: &Row) -> Option<String> {
    (!row.left_short.is_empty()).then(|| format!("without {}, left short", cutters(&row.left_short)))
}

/// How the loop cut after it, beside what its sheet had said.
pub(super) fn cut_since(row: &Row) -> Option<String> {
    cut::beside(row.promised, row.cut_since?)
}

fn cells(row: &Row, unit: Unit) -> String {
    let length = |number: Option<Number>| number.map_or("-".to_owned(), |n| unit.show(mm(n.0)));
    let whole = |number: Option<Number>| number.map_or("-".to_owned(), |n| format!("{:.0}", n.0));
    let share = row.evening_share().map(|share| Number(share.0 * 100.0));
    line([
        &day(&row.started),
        &short(&row.sharpener, 8),
        tool(row.tool),
        &length(row.median_before_mm),
        &length(row.median_after_mm),
        &length(row.wear_mm),
        &length(row.spread_after_mm),
        &length(row.left_less_right_mm),
        &share.map_or("-".to_owned(), |share| format!("{:.0} %", share.0)),
        &row.strokes.map_or("-".to_owned(), |n| n.to_string()),
        &whole(row.minutes),
    ])
}

/// Numbers to the right, words to the left.
fn line([date, by, tool, before, after, wear, spread, balance, waste, strokes, minutes]: [&str; 11]) -> String {
    let by = format!("{by}{}", " ".repeat(8_usize.saturating_sub(by.width())));
    format!(
        "{date:<10} {by} {tool:<5}{before:>7}{after:>7}{wear:>7}{spread:>7}{balance:>8}{waste:>6}{strokes:>8}{minutes:>5}"
    )
}

const fn tool(tool: Tool) -> &'static str {
    match tool {
        Tool::File => "file",
        Tool::Grinder => "grind",
    }
}

/// The first columns of a name.
fn short(name: &str, width: usize) -> String {
    let mut out = String::new();
    for c in name.chars() {
        if out.width() + c.width().unwrap_or(0) > width {
            break;
        }
        out.push(c);
    }
    out
}
