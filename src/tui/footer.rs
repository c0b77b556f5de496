//! The footer: the keys of this place, as many as fit, from the key table; or the program's own notice.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span, Text};

use super::keys::{Action, Place, Row, rows};
use super::look::Shared;
use super::theme::Role;
use crate::report::format::wrap;

/// The rows that fit into a footer of so many columns, in order, each with the columns it takes.
fn shown(place: Place, width: u16) -> Vec<(&'static Row, std::ops::Range<usize>)> {
    let mut all: Vec<&'static Row> = rows(place).filter(|row| row.footer).collect();
    let Some(keys) = all.pop() else { return Vec::new() };
    // The way to all other keys is always there, so its room is kept.
    let room = usize::from(width).saturating_sub(columns(keys));
    let (mut shown, mut at) = (Vec::new(), 0);
    for row in all {
        if at + columns(row) <= room {
            shown.push((row, at..at + columns(row)));
            at += columns(row);
        }
    }
    shown.push((keys, at..at + columns(keys)));
    shown
}

fn parts(row: &Row) -> (String, String) {
    (row.presses[0].label(), format!(" {}  ", row.name))
}

fn columns(row: &Row) -> usize {
    let (press, name) = parts(row);
    press.chars().count() + name.chars().count()
}

/// What stands in the footer at that column.
pub(super) fn at(place: Place, width: u16, column: u16) -> Option<Action> {
    let column = usize::from(column);
    shown(place, width).into_iter().find(|(_, columns)| columns.contains(&column)).map(|(row, _)| row.action)
}

/// Draws the footer in one line.
pub(super) fn draw(frame: &mut Frame, area: Rect, place: Place, shared: &Shared) {
    let theme = &shared.theme;
    if let Some(notice) = &shared.notice {
        frame.render_widget(Line::styled(notice.clone(), theme.style(Role::Warn)), area);
        return;
    }
    let spans = shown(place, area.width).into_iter().flat_map(|(row, _)| {
        let (press, name) = parts(row);
        [Span::styled(press, theme.style(Role::Key)), Span::styled(name, theme.style(Role::KeyName))]
    });
    frame.render_widget(spans.collect::<Line>(), area);
}

/// Draws the footer and above it what is said of the screen, in as many rows as that takes; what is left above them.
pub(super) fn under(frame: &mut Frame, area: Rect, place: Place, (said, role): (&str, Role), shared: &Shared) -> Rect {
    let lines = wrap(said, usize::from(area.width).max(10), 0);
    let rows = u16::try_from(lines.len()).unwrap_or(1).clamp(1, (area.height / 5).max(1));
    let [body, say, foot] =
        Layout::vertical([Constraint::Min(0), Constraint::Length(rows), Constraint::Length(1)]).areas(area);
    let lines = lines.into_iter().map(|line| Line::styled(line, shared.theme.style(role)));
    frame.render_widget(lines.collect::<Text>(), say);
    draw(frame, foot, place, shared);
    body
}

/// Rows that the program's own notice takes where it is longer than the footer.
pub(super) fn notice_rows(area: Rect, shared: &Shared) -> Vec<String> {
    let Some(notice) = &shared.notice else { return Vec::new() };
    let mut lines = wrap(notice, usize::from(area.width).max(10), 0);
    lines.truncate(usize::from(area.height / 3).max(1));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_is_what_is_pointed_at() {
        for place in Place::ALL {
            for width in [0, 10, 60, 80, 140] {
                let mut end = 0;
                for (row, columns) in shown(place, width) {
                    assert_eq!(columns.start, end);
                    end = columns.end;
                    let first = u16::try_from(columns.start).unwrap();
                    assert_eq!(at(place, width, first), Some(row.action));
                }
                assert_eq!(at(place, width, u16::MAX), None);
            }
        }
    }
}
