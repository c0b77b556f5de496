//! Writing short texts at a place: cut at the edge, and not on top of each other.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_width::UnicodeWidthStr;

/// Columns that a text takes.
pub(super) fn width(text: &str) -> u16 {
    u16::try_from(text.width()).unwrap_or(u16::MAX)
}

/// Writes from a cell on, cut at the right edge of `area`; does nothing for a cell outside it.
pub(super) fn put(buf: &mut Buffer, area: Rect, at: (u16, u16), text: &str, style: Style) {
    let area = area.intersection(buf.area);
    if area.contains(at.into()) {
        buf.set_stringn(at.0, at.1, text, usize::from(area.right() - at.0), style);
    }
}

/// Writes a row of differently styled pieces, as many as there is room for: half a word says nothing.
pub(super) fn put_pieces(buf: &mut Buffer, area: Rect, at: (u16, u16), pieces: &[(&str, Style)]) {
    let mut x = at.0;
    for (text, style) in pieces {
        if x.saturating_add(width(text.trim_end())) > area.right() {
            return;
        }
        put(buf, area, (x, at.1), text, *style);
        x = x.saturating_add(width(text));
    }
}

/// Keeps labels inside an area and off each other.
pub(super) struct Labels {
    area: Rect,
    taken: Vec<Rect>,
}

impl Labels {
    pub(super) const fn new(area: Rect) -> Self {
        Self { area, taken: Vec::new() }
    }

    /// Writes at the first of the wished places where the whole text fits and nothing stands yet. Places may be
    /// negative: a label that should end at a column is simply given its start.
    pub(super) fn place(&mut self, buf: &mut Buffer, wished: &[(i32, i32)], text: &str, style: Style) -> bool {
        let Some(at) = self.find(wished, text) else { return false };
        put(buf, self.area, at, text, style);
        true
    }

    /// The first of the wished places where the text fits; it is taken from now on.
    pub(super) fn find(&mut self, wished: &[(i32, i32)], text: &str) -> Option<(u16, u16)> {
        let wide = width(text);
        for &(x, y) in wished {
            let (Ok(x), Ok(y)) = (u16::try_from(x), u16::try_from(y)) else { continue };
            let spot = Rect { x, y, width: wide, height: 1 };
            let inside = self.area.intersection(spot) == spot && wide > 0;
            // A column of air on both sides, or two numbers read as one.
            let aired = Rect { x: x.saturating_sub(1), width: wide.saturating_add(2), ..spot };
            if inside && !self.taken.iter().any(|other| other.intersects(aired)) {
                self.taken.push(spot);
                return Some((x, y));
            }
        }
        None
    }

    /// Keeps labels off a cell.
    pub(super) fn reserve(&mut self, at: (u16, u16)) {
        self.taken.push(Rect { x: at.0, y: at.1, width: 1, height: 1 });
    }
}
