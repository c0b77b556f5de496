//! Cells that were worked out once and are only copied until something about them changes.

use std::cell::RefCell;

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::tui::theme::Theme;

/// Pictures as they were last drawn, each by its name. Whoever holds them makes new ones when what they show changes.
#[derive(Debug, Default)]
pub struct Kept(RefCell<Vec<One>>);

/// The cells of an area that lies in both, row by row: this is done at every key.
fn copy(area: Rect, from: &Buffer, to: &mut Buffer) {
    let width = usize::from(area.width);
    for y in area.top()..area.bottom() {
        let (source, target) = (from.index_of(area.x, y), to.index_of(area.x, y));
        to.content[target..target + width].clone_from_slice(&from.content[source..source + width]);
    }
}

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
            copy(area, &seen.buffer, frame.buffer_mut());
            return;
        }
        draw(frame);
        let mut buffer = Buffer::empty(area);
        copy(area, frame.buffer_mut(), &mut buffer);
        known.retain(|one| one.name != name);
        known.push(One { name, theme, buffer });
    }
}
