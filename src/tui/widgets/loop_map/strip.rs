//! The map where the bar has no room: rows in loop order, or a strip around the cutter in hand.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::LoopMap;
use crate::chain::CutterNumber;
use crate::tui::theme::{Glyph, Role};
use crate::tui::widgets::text::{Labels, put, width};

/// Columns before a row for the number of its first cutter, and a space.
const NUMBER: u16 = 4;

/// Cutters a row: in fives with a space between, so that they can be counted; 0 where there is no room for five.
pub(super) const fn per_row(columns: u16) -> u16 {
    columns.saturating_sub(NUMBER - 1) / 6 * 5
}

/// Columns from cutter to cutter in a strip: room for brackets where the width allows.
const fn strip_step(columns: u16) -> u16 {
    if columns >= 12 { 2 } else { 1 }
}

/// Cutters that a strip shows: a column is kept at each end for the sign that more follow, or for a bracket.
const fn strip_holds(columns: u16) -> u16 {
    let cells = columns.saturating_sub(2) / strip_step(columns);
    if cells == 0 { 1 } else { cells }
}

/// True if a strip shows the whole loop.
pub(super) const fn whole(count: u16, columns: u16) -> bool {
    count <= strip_holds(columns)
}

impl LoopMap<'_> {
    pub(super) fn draw_rows(&self, area: Rect, buf: &mut Buffer, per_row: u16) {
        for (row, cells) in (area.y..area.bottom()).zip(self.cells.chunks(usize::from(per_row))) {
            let holds_current = cells.iter().any(|cell| self.is_current(*cell));
            let role = if holds_current { Role::Title } else { Role::Quiet };
            put(buf, area, (area.x, row), &format!("{:>3}", cells[0].number), self.theme.style(role));
            for (index, cell) in (0_u16..).zip(cells) {
                let column = area.x + NUMBER + index + index / 5;
                self.draw_cell(buf, area, (column, row), *cell, false);
            }
        }
    }

    /// One row: signs. Two: numbers above. Three or more: sides below.
    pub(super) fn draw_strip(&self, area: Rect, buf: &mut Buffer) {
        let (step, holds) = (strip_step(area.width), usize::from(strip_holds(area.width)));
        let current = self.index_of_current().unwrap_or(0);
        let first = current.saturating_sub(holds / 2).min(self.cells.len().saturating_sub(holds));
        let last = (first + holds).min(self.cells.len());
        let sign_row = area.y + u16::from(area.height > 1);
        let lead = u16::from(area.width > 2);
        let places = (0_u16..).map(|n| area.x + lead + n * step).zip(self.cells[first..last].iter().copied());
        let (mut order, in_hand): (Vec<_>, Vec<_>) = places.partition(|(_, cell)| !self.is_current(*cell));
        let quiet = self.theme.style(Role::Quiet);
        let more = self.theme.glyph(Glyph::More);
        if lead > 0 && first > 0 {
            put(buf, area, (area.x, sign_row), more, quiet);
        }
        if lead > 0 && last < self.cells.len() {
            put(buf, area, (area.right() - 1, sign_row), more, quiet);
        }
        let mut labels = Labels::new(area);
        let every = if step > 1 { 5 } else { 10 };
        order.splice(0..0, in_hand.iter().copied());
        for (x, cell) in &order {
            let (is_current, text) = (self.is_current(*cell), cell.number.to_string());
            if area.height > 1
                && (is_current || cell.number == CutterNumber::FIRST || cell.number.get().is_multiple_of(every))
            {
                let half = i32::from(width(&text)) / 2;
                let (x, y) = (i32::from(*x), i32::from(area.y));
                let role = if is_current { Role::Current } else { Role::Quiet };
                labels.place(buf, &[(x - half, y), (x, y), (x - 2 * half, y)], &text, self.theme.style(role));
            }
            if area.height > 2 {
                let style = self.theme.style(Role::of_side(cell.side));
                put(buf, area, (*x, sign_row + 1), &cell.side.letter().to_string(), style);
            }
            self.draw_cell(buf, area, (*x, sign_row), *cell, false);
        }
        for (x, cell) in in_hand {
            self.draw_cell(buf, area, (x, sign_row), cell, step > 1);
        }
    }
}
