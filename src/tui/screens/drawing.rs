//! Drawing a screen into memory, for the tests beside the screens.

use chrono::DateTime;
use crossterm::event::{KeyCode, KeyEvent};
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::{Terminal, TerminalOptions, Viewport};

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

/// A window of that size with something drawn. It is never held against what a window showed before: it showed nothing.
pub(super) fn paint((columns, rows): (u16, u16), draw: impl FnOnce(&mut ratatui::Frame)) -> Buffer {
    let viewport = Viewport::Fixed(Rect::new(0, 0, columns, rows));
    let mut terminal = Terminal::with_options(TestBackend::new(0, 0), TerminalOptions { viewport }).unwrap();
    draw(&mut terminal.get_frame());
    std::mem::take(terminal.current_buffer_mut())
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

/// Draws at every small size and some large ones; nothing may panic. What divides a window is reckoned once a size where all that is
/// drawn is drawn in one call. A very high window is narrow, usual or wide.
pub(super) fn at_every_size(mut draw: impl FnMut((u16, u16))) {
    for columns in (0..26).chain([36, 40, 60, 61, 80, 120, 200]) {
        for rows in (0..16).chain([20, 24, 40]) {
            draw((columns, rows));
        }
    }
    for columns in [9, 80, 200] {
        draw((columns, 200));
    }
}
