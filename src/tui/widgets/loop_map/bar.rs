//! The map laid on the bar.
//!
//! ```text
//!   ║==>=──────┬──...─╮     top: from the start mark to the nose
//!  ╱  1    5   10      ╲
//! (     R 12 of 66      )   the cutter in hand, in the middle
//!  ╲  60  55           ╱
//!   ╰────...──────────╯     bottom: back to the sprocket
//! ```

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::{LoopMap, MapCell};
use crate::chain::CutterNumber;
use crate::tui::theme::{Glyph, Role};
use crate::tui::widgets::text::{Labels, put, width};

/// Rows of the bar without the sides.
pub(super) const ROWS: u16 = 5;
/// Narrowest bar that still looks like one.
const NARROWEST: u16 = 16;
/// Cutters further apart than this would look like a broken chain.
const WIDEST_STEP: u16 = 6;

/// Cells along the path of a bar that many columns wide: two straights and three cells round each end.
const fn path_cells(columns: u16) -> u16 {
    2 * (columns - 4) + 6
}

/// Columns from cutter to cutter on a bar at most that wide, `None` if not even one is left. One cell is the start
/// mark's.
pub(super) fn step(count: u16, columns: u16) -> Option<u16> {
    if columns < NARROWEST {
        return None;
    }
    Some((path_cells(columns) - 1) / count.max(1)).filter(|step| *step > 0).map(|step| step.min(WIDEST_STEP))
}

/// Columns of the narrowest bar whose path holds `count` cutters at that step and the start mark.
const fn columns_for(count: u16, step: u16) -> u16 {
    let cells = count * step + 1;
    let columns = cells.saturating_sub(6).div_ceil(2) + 4;
    if columns < NARROWEST { NARROWEST } else { columns }
}

/// The cells of the path in running order: along the top from the left, round the nose, back along the bottom, round
/// the sprocket. `(column, row)` within the bar.
fn path(columns: u16) -> Vec<(u16, u16)> {
    let (first, last) = (2, columns - 3);
    let top = (first..=last).map(|x| (x, 0));
    let nose = [(columns - 2, 1), (columns - 1, 2), (columns - 2, 3)];
    let bottom = (first..=last).rev().map(|x| (x, 4));
    let sprocket = [(1, 3), (0, 2), (1, 1)];
    top.chain(nose).chain(bottom).chain(sprocket).collect()
}

impl LoopMap<'_> {
    pub(super) fn draw_bar(&self, area: Rect, buf: &mut Buffer, step: u16, sides: bool) {
        let count = u16::try_from(self.cells.len()).unwrap_or(u16::MAX);
        let columns = columns_for(count, step).min(area.width);
        let rows = if sides { ROWS + 2 } else { ROWS };
        let origin = (area.x + (area.width - columns) / 2, area.y + (area.height - rows) / 2 + u16::from(sides));
        let cells: Vec<(u16, u16)> = path(columns).into_iter().map(|(x, y)| (origin.0 + x, origin.1 + y)).collect();
        self.draw_outline(area, buf, &cells, columns);
        let places: Vec<(MapCell, (u16, u16))> = self
            .cells
            .iter()
            .zip(cells.iter().skip(1).step_by(usize::from(step)))
            .map(|(cell, place)| (*cell, *place))
            .collect();
        // The cutter in hand goes last so that a neighbour does not cover its brackets.
        let (mut order, current): (Vec<_>, Vec<_>) = places.iter().partition(|(cell, _)| !self.is_current(*cell));
        order.extend(current);
        for (cell, at) in order {
            let straight = at.1 == origin.1 || at.1 == origin.1 + 4;
            self.draw_cell(buf, area, at, cell, straight && step > 1);
            if sides && straight && step > 1 {
                let row = if at.1 == origin.1 { at.1 - 1 } else { at.1 + 1 };
                let style = self.theme.style(Role::of_side(cell.side));
                put(buf, area, (at.0, row), &cell.side.letter().to_string(), style);
            }
        }
        let inside = Rect { x: origin.0 + 2, y: origin.1 + 1, width: columns - 4, height: 3 };
        self.draw_middle(inside, buf, count);
        self.draw_numbers(inside, buf, &places, origin.1);
    }

    fn draw_outline(&self, area: Rect, buf: &mut Buffer, cells: &[(u16, u16)], columns: u16) {
        let straight = usize::from(columns - 4);
        let frame = self.theme.style(Role::Frame);
        for (index, at) in cells.iter().enumerate() {
            let glyph = match index.checked_sub(straight) {
                Some(0) => Glyph::UpperRight,
                Some(1) => Glyph::Bar,
                Some(2) => Glyph::LowerRight,
                Some(past) if past == straight + 3 => Glyph::LowerLeft,
                Some(past) if past == straight + 4 => Glyph::Bar,
                Some(past) if past == straight + 5 => Glyph::UpperLeft,
                _ => Glyph::Line,
            };
            put(buf, area, *at, self.theme.glyph(glyph), frame);
        }
        if let Some(start) = cells.first() {
            put(buf, area, *start, self.theme.glyph(Glyph::Start), self.theme.style(Role::Mark));
        }
    }

    /// Which cutter is in hand, and which end is which where that leaves room.
    fn draw_middle(&self, inside: Rect, buf: &mut Buffer, count: u16) {
        let row = inside.y + 1;
        let text = match self.index_of_current() {
            Some(index) => format!("{} {} of {count}", self.cells[index].side.letter(), self.cells[index].number),
            None => format!("{count} cutters"),
        };
        let at = inside.x + inside.width.saturating_sub(width(&text)) / 2;
        put(buf, inside, (at, row), &text, self.theme.style(Role::Title));
        let nose = format!("nose {}", self.theme.glyph(Glyph::Forward));
        let quiet = self.theme.style(Role::Quiet);
        if inside.width >= width(&text) + 2 * (width("sprocket") + 2) {
            put(buf, inside, (inside.x, row), "sprocket", quiet);
            put(buf, inside, (inside.right() - width(&nose), row), &nose, quiet);
        }
    }

    /// Numbers inside the bar beside their cutters: the one in hand, then the first, then every fifth or tenth.
    fn draw_numbers(&self, inside: Rect, buf: &mut Buffer, places: &[(MapCell, (u16, u16))], top: u16) {
        let mut labels = Labels::new(inside);
        let every = if places.len() > 50 { 10 } else { 5 };
        let shown = |cell: MapCell| cell.number == CutterNumber::FIRST || cell.number.get().is_multiple_of(every);
        let current = places.iter().filter(|(cell, _)| self.is_current(*cell));
        let others = places.iter().filter(|(cell, _)| !self.is_current(*cell) && shown(*cell));
        for (cell, (x, y)) in current.chain(others) {
            let row = match y.checked_sub(top) {
                Some(0) => y + 1,
                Some(4) => y - 1,
                _ => continue,
            };
            let text = cell.number.to_string();
            let from = i32::from(*x) - i32::from(width(&text)) / 2;
            let role = if self.is_current(*cell) { Role::Current } else { Role::Quiet };
            labels.place(buf, &[(from, i32::from(row))], &text, self.theme.style(role));
        }
    }
}
