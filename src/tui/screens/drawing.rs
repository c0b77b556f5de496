//! Drawing a screen into memory, for the tests beside the screens.

use chrono::DateTime;
use crossterm::event::{KeyCode, KeyEvent};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

use super::super::effect::Effect;
use super::super::keys;
use super::super::look::Shared;
use super::super::theme::{Colours, Glyphs, Theme};
use crate::tui::screen::Screen;

/// Lines and colour.
pub(super) const LINES: Theme = Theme::new(Colours::Few, Glyphs::Unicode);
/// Plain ASCII without colour.
pub(super) const BARE: Theme = Theme::new(Colours::None, Glyphs::Ascii);

/// What a screen may look at.
pub(super) fn shared(theme: Theme) -> Shared {
    let now = DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap();
    Shared::new(theme, crate::units::Unit::Mm, now)
}

/// Presses a key as the application does.
pub(super) fn press(screen: &mut dyn Screen, code: KeyCode) -> Vec<Effect> {
    let key = KeyEvent::from(code);
    if let Some(action) = keys::action(screen.place(), key, screen.has_text()) {
        return screen.act(action, &shared(LINES));
    }
    screen.edit(key);
    Vec::new()
}

/// The screen in a window of that size.
pub(super) fn draw(screen: &dyn Screen, (columns, rows): (u16, u16), theme: Theme) -> Buffer {
    paint((columns, rows), |frame| {
        let cursor = screen.draw(frame, frame.area(), &shared(theme));
        // In an empty window the application shows no cursor at all.
        let inside = cursor.is_none_or(|at| frame.area().is_empty() || frame.area().contains(at));
        assert!(inside, "cursor {cursor:?} outside {columns}x{rows}");
    })
}

/// A window of that size with something drawn.
pub(super) fn paint((columns, rows): (u16, u16), draw: impl FnOnce(&mut ratatui::Frame)) -> Buffer {
    let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
    let mut drawn = Buffer::default();
    // Taken out before it is held against what the window showed, cell by cell, and copied there: it showed nothing.
    let taken = |frame: &mut ratatui::Frame| {
        draw(frame);
        let empty = Buffer::empty(frame.area());
        drawn = std::mem::replace(frame.buffer_mut(), empty);
    };
    terminal.draw(taken).unwrap();
    drawn
}

/// What it says, row by row.
pub(super) fn text(buf: &Buffer) -> String {
    let row = |y: u16| {
        let row: String = (0..buf.area.width).map(|x| buf[(x, y)].symbol()).collect();
        row.trim_end().to_owned()
    };
    (0..buf.area.height).map(row).collect::<Vec<_>>().join("\n")
}

/// The screen as text.
pub(super) fn shown(screen: &dyn Screen, size: (u16, u16), theme: Theme) -> String {
    text(&draw(screen, size, theme))
}

/// Draws at every small size and some large ones; nothing may panic.
pub(super) fn at_every_size(mut draw: impl FnMut((u16, u16))) {
    for columns in (0..26).chain([36, 40, 60, 61, 80, 120, 200]) {
        for rows in (0..16).chain([20, 24, 40, 200]) {
            draw((columns, rows));
        }
    }
}
