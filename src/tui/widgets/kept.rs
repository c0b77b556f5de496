//! Cells that were worked out once and are only copied until something about them changes.

use std::cell::RefCell;
use std::num::NonZeroU16;

use ratatui::Frame;
use ratatui::buffer::{Cell, CellDiffOption, CellWidth};
use ratatui::layout::Rect;

use crate::tui::theme::Theme;

/// Pictures as they were last drawn, each by its name. Whoever holds them makes new ones when what they show changes.
#[derive(Debug, Default)]
pub struct Kept(RefCell<Vec<One>>);

#[derive(Debug)]
struct One {
    name: &'static str,
    theme: Theme,
    /// Its own and that of the window.
    areas: (Rect, Rect),
    /// The cells that are not blank, each by its place in the window: they are copied at every key.
    cells: Vec<(usize, Cell)>,
}

/// A cell with its width written into it where that is not plain from its text: else it is looked up at every key.
fn measured(mut cell: Cell) -> Cell {
    if cell.symbol().len() > 1 && cell.diff_option == CellDiffOption::None && cell.cell_width() == 1 {
        cell.set_diff_option(CellDiffOption::ForcedWidth(NonZeroU16::MIN));
    }
    cell
}

impl Kept {
    /// Draws the picture of that name on blank ground, from memory where place and looks are as last time.
    pub fn draw(
        &self,
        frame: &mut Frame,
        area: Rect,
        (theme, name): (Theme, &'static str),
        draw: impl FnOnce(&mut Frame),
    ) {
        let areas = (area.intersection(frame.area()), frame.area());
        if areas.0.is_empty() {
            return;
        }
        let mut known = self.0.borrow_mut();
        if !known.iter().any(|one| one.name == name && one.theme == theme && one.areas == areas) {
            draw(frame);
            let buffer = frame.buffer_mut();
            let places = areas.0.positions().map(|at| buffer.index_of(at.x, at.y));
            let shown = places.filter(|at| buffer.content[*at] != Cell::EMPTY);
            let cells = shown.map(|at| (at, measured(buffer.content[at].clone()))).collect();
            known.retain(|one| one.name != name);
            known.push(One { name, theme, areas, cells });
        }
        let content = &mut frame.buffer_mut().content;
        for (at, cell) in known.iter().filter(|one| one.name == name).flat_map(|one| &one.cells) {
            content[*at].clone_from(cell);
        }
    }
}
