//! The frame: the screen on top, what stays said above it, the notice below it.
//!
//! What the file is for: giving rows of the window out. It must not change anything but what the mouse needs to know of the window.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Text};
use ratatui::widgets::Clear;

use super::super::footer;
use super::super::theme::Role;
use super::App;
use crate::devices::said;

/// From this many rows on, one is given to what stays said.
const LEAST_ROWS: u16 = 4;

impl App {
    /// What is said above every screen for as long as it is so.
    fn stays(&self) -> Option<String> {
        let held = (self.held > 0).then(|| said::held(self.held));
        let under = self.screens.iter().rev().skip(1).find_map(|screen| screen.marks()).map(str::to_owned);
        under.into_iter().chain(held).chain(self.away.clone()).reduce(|said, more| format!("{said} {more}"))
    }

    /// Draws the top screen.
    pub fn draw(&self, frame: &mut Frame) {
        let area = frame.area();
        self.area.set(area);
        if area.is_empty() {
            return;
        }
        let (above, area) = self.stays().map_or((None, area), |stays| {
            let [above, rest] = Layout::vertical([Constraint::Length(1), Constraint::Min(0)]).areas(area);
            if area.height < LEAST_ROWS { (None, area) } else { (Some((above, stays)), rest) }
        });
        if let Some((above, stays)) = above {
            frame.render_widget(Line::styled(stays, self.shared.theme.style(Role::Warn)), above);
        }
        // A notice that is longer than the footer is read whole: the screen makes room for it.
        let notice = footer::notice_rows(area, &self.shared);
        let more = u16::try_from(notice.len().saturating_sub(1)).unwrap_or(0);
        let [area, _] = Layout::vertical([Constraint::Min(0), Constraint::Length(more)]).areas(area);
        if let Some(top) = self.screens.last() {
            let cursor: Option<Position> = top.draw(frame, area, &self.shared);
            if let Some(cursor) = cursor.filter(|cursor| area.contains(*cursor)) {
                frame.set_cursor_position(cursor);
            }
        }
        if more > 0 {
            let rows = Rect { y: area.bottom().saturating_sub(1), height: more + 1, ..area };
            frame.render_widget(Clear, rows);
            let lines = notice.into_iter().map(|line| Line::styled(line, self.shared.theme.style(Role::Warn)));
            frame.render_widget(lines.collect::<Text>(), rows);
        }
    }
}
