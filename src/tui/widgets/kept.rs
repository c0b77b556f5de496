//! Cells that were worked out once and are only copied until something about them changes.

use std::cell::RefCell;

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::tui::theme::Theme;

/// Pictures as they were last drawn, each by its name. Whoever holds them makes new ones when what they show changes.
#[derive(Debug, Default)]
pub struct Kept(RefCell<Vec<One>>);

#[derive(Debug)]
struct One {
    name: &'static str,
    theme: Theme,
    buffer: Buffer,
}

impl Kept {
    /// Draws the picture of that name, from memory where place and looks are as last time.
    pub fn draw(
        &self,
        frame: &mut Frame,
        area: Rect,
        (theme, name): (Theme, &'static str),
        draw: impl FnOnce(&mut Frame),
    ) {
        let area = area.intersection(frame.area());
        if area.is_empty() {
            return;
        }
        let mut known = self.0.borrow_mut();
        if let Some(seen) = known.iter().find(|one| one.name == name && one.theme == theme && one.buffer.area == area) {
            for position in area.positions() {
                frame.buffer_mut()[position] = seen.buffer[position].clone();
            }
            return;
        }
        draw(frame);
        let mut buffer = Buffer::empty(area);
        for position in area.positions() {
            buffer[position] = frame.buffer_mut()[position].clone();
        }
        known.retain(|one| one.name != name);
        known.push(One { name, theme, buffer });
    }
}
