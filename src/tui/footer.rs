//! The footer: the keys of this place, as many as fit, from the key table; or the program's own notice.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::keys::{Action, Place, Row, rows};
use super::look::Shared;
use super::theme::Role;

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
