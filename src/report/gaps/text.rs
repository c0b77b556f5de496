//! The table as text: 80 columns, for a terminal, a screen reader or a plain printer.

use unicode_width::UnicodeWidthStr;

use super::columns::Column;
use super::{GapRow, GapTable};
use crate::advice::cautions::ALWAYS;
use crate::report::demo;
use crate::report::format::{TEXT_WIDTH, plain, wrap};
use crate::units::Unit;

/// Wide enough for `0.3937` with a space before it.
const CELL: usize = 7;

impl GapTable {
    /// The table in at most 80 columns, with a line where a stage begins and the notes, sources' standing and cautions at the foot.
    /// `ascii` keeps to plain letters and lines.
    pub fn text(&self, unit: Unit, ascii: bool) -> String {
        let mut page = Page { out: String::new(), ascii };
        page.line("Raker gap by cutter length");
        page.paragraphs(&self.lead(unit), "");
        page.line("");
        for part in 0..2 {
            page.line(&self.cells(|column| column.head.get(part).copied().unwrap_or_default().to_owned()));
        }
        for (stage, rows) in self.groups() {
            page.rule(&self.group_title(stage, unit));
            for row in rows {
                page.line(&self.row_line(row, unit));
            }
        }
        page.rule("");
        page.paragraphs(&self.notes(unit), "- ");
        page.line("");
        page.line("How far the numbers can be trusted");
        page.paragraphs(&self.standing_lines(), "- ");
        page.line("");
        page.line("Cautions");
        page.paragraphs(&ALWAYS.map(str::to_owned), "- ");
        demo::text(self.demo, page.out)
    }

    fn row_line(&self, row: &GapRow, unit: Unit) -> String {
        self.cells(|column| (column.cell)(row, unit))
    }

    /// Numbers to the right, the stage's word at the end to the left.
    fn cells(&self, cell: impl Fn(&Column) -> String) -> String {
        let mut cells: Vec<String> = self.columns(false).map(cell).collect();
        let stage = cells.pop().unwrap_or_default();
        let mut line = String::new();
        for cell in cells {
            line.push_str(&format!("{cell:>CELL$}"));
        }
        line.push_str(&format!("  {stage}"));
        line.trim_end().to_owned()
    }
}

struct Page {
    out: String,
    ascii: bool,
}

impl Page {
    fn line(&mut self, text: &str) {
        self.out.push_str(&plain(text, self.ascii));
        self.out.push('\n');
    }

    fn paragraphs(&mut self, paragraphs: &[String], mark: &str) {
        for paragraph in paragraphs {
            for line in wrap(&format!("{mark}{paragraph}"), TEXT_WIDTH, mark.len()) {
                self.line(&line);
            }
        }
    }

    /// A line across the page with a title in it.
    fn rule(&mut self, title: &str) {
        let stroke = if self.ascii { "-" } else { "─" };
        let start = if title.is_empty() { String::new() } else { format!("{stroke} {title} ") };
        let rest = TEXT_WIDTH.saturating_sub(start.width());
        self.line(&format!("{start}{}", stroke.repeat(rest)));
    }
}
