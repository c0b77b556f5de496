//! The footer: the keys of this place, as many as fit, from the key table; or the program's own notice.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::app::Shared;
use super::keys::{Place, rows};
use super::theme::Role;

/// Draws the footer in one line.
pub fn draw(frame: &mut Frame, area: Rect, place: Place, shared: &Shared) {
    let theme = &shared.theme;
    if let Some(notice) = &shared.notice {
        frame.render_widget(Line::styled(notice.clone(), theme.style(Role::Warn)), area);
        return;
    }
    let mut spans: Vec<Span> = Vec::new();
    let mut width = 0;
    // The way to all other keys is always there, so its room is kept.
    let mut shown: Vec<_> = rows(place).filter(|row| row.footer).collect();
    let Some(keys) = shown.pop() else { return };
    let label = |row: &super::keys::Row| (row.presses[0].label(), format!(" {}  ", row.name));
    let tail = label(keys);
    let room = usize::from(area.width).saturating_sub(tail.0.len() + tail.1.len());
    for row in shown {
        let (press, name) = label(row);
        if width + press.len() + name.len() > room {
            continue;
        }
        width += press.len() + name.len();
        spans.push(Span::styled(press, theme.style(Role::Key)));
        spans.push(Span::styled(name, theme.style(Role::KeyName)));
    }
    spans.push(Span::styled(tail.0, theme.style(Role::Key)));
    spans.push(Span::styled(tail.1, theme.style(Role::KeyName)));
    frame.render_widget(Line::from(spans), area);
}
