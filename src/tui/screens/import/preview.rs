//! What a file holds, to be read before it is taken.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::Line;

use super::super::super::keys::Action;
use super::super::super::scroll::Scroll;
use super::super::super::theme::{Role, Theme};
use super::super::page::fold;
use crate::care::files::Look;
use crate::report::format::{plain, wrap};
use crate::report::import::{Mark, lines};
use crate::units::Unit;

/// A look at a file, on screen.
pub(super) struct Preview {
    pub look: Look,
    title: String,
    lines: Vec<(Mark, String)>,
    scroll: Scroll,
    refused: Option<String>,
}

impl Preview {
    pub(super) fn of(look: Look, file: &str, unit: Unit) -> Self {
        let title = format!("What {file} holds");
        Self { lines: lines(&look, unit), look, title, scroll: Scroll::default(), refused: None }
    }

    pub(super) fn rows(&self) -> usize {
        self.look.preview.rows.len()
    }

    pub(super) fn can_be_taken(&self) -> bool {
        self.look.preview.refused.is_empty()
    }

    /// Says why it could not be taken after all.
    pub(super) fn refuse(&mut self, why: String) {
        self.refused = Some(why);
    }

    pub(super) fn scroll(&mut self, action: Action) {
        self.scroll.act(action);
    }

    /// What can be done, for the line above the keys.
    pub(super) fn says(&self) -> (String, Role) {
        let (rows, refused) = (self.rows(), self.look.preview.refused.len());
        let tag = &self.look.tag;
        let word = |count: usize| if count == 1 { "row" } else { "rows" };
        match (&self.refused, refused) {
            (Some(why), _) => (format!("Nothing was taken. {why}"), Role::Bad),
            (None, 0) => {
                let new = if self.look.card.is_some() { "into" } else { "and new" };
                (format!("* takes {rows} {} {new} loop {tag}. Nothing is written yet.", word(rows)), Role::Now)
            }
            (None, n) => (format!("{n} {} refused: fix the file, then / to read it again.", word(n)), Role::Bad),
        }
    }

    pub(super) fn draw(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Option<Position> {
        let (height, width) = (usize::from(area.height).saturating_sub(1), usize::from(area.width));
        let fit = |(mark, text): &(Mark, String)| {
            let text = plain(text, theme.ascii());
            let fits = text.chars().count() <= width;
            let pieces = match mark {
                _ if fits => vec![text],
                Mark::Row => fold(&text, width.max(20)),
                _ => wrapped(&text, width),
            };
            pieces.into_iter().map(|piece| (*mark, piece)).collect::<Vec<_>>()
        };
        let lines: Vec<(Mark, String)> = self.lines.iter().flat_map(fit).collect();
        let seen = self.scroll.lines(lines.len(), height);
        let place = if seen.len() < lines.len() {
            format!("  lines {} to {} of {}", seen.start + 1, seen.end, lines.len())
        } else {
            String::new()
        };
        let title = format!("{}{place}", plain(&self.title, theme.ascii()));
        let row = |line: usize| Rect { y: area.y + u16::try_from(line).unwrap_or(0), height: 1, ..area };
        if area.height > 0 {
            frame.render_widget(Line::styled(title, theme.style(Role::Title)), row(0));
        }
        for (line, (mark, text)) in lines[seen].iter().enumerate() {
            frame.render_widget(Line::styled(text.as_str(), theme.style(role(*mark))), row(line + 1));
        }
        None
    }
}

const fn role(mark: Mark) -> Role {
    match mark {
        Mark::Plain | Mark::Row => Role::Text,
        Mark::Head => Role::Title,
        Mark::Warn => Role::Warn,
        Mark::Bad => Role::Bad,
    }
}

/// A line that is too long, broken at blanks, its later pieces set in; the first keeps its own indent.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let indent = text.len() - text.trim_start().len();
    let pieces = wrap(text, width.saturating_sub(indent).max(8), 4);
    pieces.into_iter().map(|piece| format!("{}{piece}", " ".repeat(indent))).collect()
}
