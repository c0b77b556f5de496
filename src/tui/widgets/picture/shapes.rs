//! Filled shapes: two inks per cell where there are colours, outlines and textures where there are none.

use ratatui::buffer::Buffer;
use ratatui::style::Color;
use ratatui::symbols::pixel::{OCTANTS, QUADRANTS};
use strum::VariantArray;

use super::strokes::Strokes;
use crate::drawing::{Grid, Ink, Scene, rasterise};
use crate::tui::theme::{Blocks, Role, Theme};
use crate::tui::widgets::plot::Scale;

/// Spots in which a cell is looked at, across and down: two by two for each of its eight dots.
const ACROSS: usize = 4;
const DOWN: usize = 8;
/// A second ink of fewer spots than this is left out.
const LEAST: usize = 3;

/// Fills the shapes; without colours their outlines go to `strokes`.
pub(super) fn paint(theme: Theme, scene: &Scene, scale: Scale, buf: &mut Buffer, strokes: &mut Strokes) {
    let area = scale.area;
    let (columns, rows) = (u32::from(area.width) * 4, u32::from(area.height) * 8);
    let half = scale.dot() / 2.0;
    let (low, high) = ((scale.x[0] - half, scale.y[0] - half), (scale.x[1] + half, scale.y[1] + half));
    let Some(grid) = rasterise(scene, (columns, rows), low, high) else { return };
    for row in 0..area.height {
        for column in 0..area.width {
            let spots = Spots { grid: &grid, column: usize::from(column) * ACROSS, row: usize::from(row) * DOWN };
            let cell = &mut buf[(area.x + column, area.y + row)];
            if theme.coloured() {
                let (sign, front, back) =
                    if spots.alike() { one_ink(theme, spots.at(0, 0)) } else { spots.two_inks(theme) };
                cell.set_char(sign).set_fg(front).set_bg(back);
            } else {
                // A cell of one ink may still have an edge: where the next one begins.
                let edge = spots.edge();
                if edge == 0 {
                    cell.set_char(texture(theme, if spots.alike() { spots.at(0, 0) } else { spots.most().0 }));
                } else {
                    strokes.outline(column, row, edge);
                }
            }
        }
    }
}

/// The spots of one cell.
struct Spots<'a> {
    grid: &'a Grid,
    column: usize,
    row: usize,
}

impl Spots<'_> {
    fn at(&self, across: usize, down: usize) -> Option<Ink> {
        self.grid.at(self.column + across, self.row + down)
    }

    /// The same ink, or none, covers all of the cell.
    fn alike(&self) -> bool {
        let run = |down: usize| self.grid.run(self.column, self.row + down, ACROSS);
        let first = run(0);
        first.iter().all(|other| *other == first[0]) && (1..DOWN).all(|down| run(down) == first)
    }

    /// The ink that covers most of the cell, and how many spots each has.
    fn most(&self) -> (Option<Ink>, [usize; Ink::VARIANTS.len() + 1]) {
        let mut counts = [0; Ink::VARIANTS.len() + 1];
        for down in 0..DOWN {
            for across in 0..ACROSS {
                counts[slot(self.at(across, down))] += 1;
            }
        }
        (ink(largest(&counts, usize::MAX)), counts)
    }

    /// The two inks that fill most of the cell: the sign that shows where the first is, its colour, and the other's.
    fn two_inks(&self, theme: Theme) -> (char, Color, Color) {
        let (first, counts) = self.most();
        let second = largest(&counts, slot(first));
        let second = (counts[second] >= LEAST).then(|| ink(second));
        let colour = |ink: Option<Ink>| ink.map_or(Color::Reset, |ink| theme.colour(Role::of_ink(ink)));
        let Some(second) = second else {
            return match first {
                None => (' ', Color::Reset, Color::Reset),
                Some(hatched @ (Ink::Filed | Ink::Gauge)) => {
                    (texture(theme, first), colour(Some(hatched)), Color::Reset)
                }
                Some(_) => ('█', colour(first), colour(first)),
            };
        };
        // The bare ground is never a foreground: nobody knows its colour.
        let (front, back) = if first.is_none() { (second, first) } else { (Some(first).flatten(), second) };
        (self.sign(theme.blocks, front, back), colour(front), colour(back))
    }

    /// Which of the cell's blocks belong rather to `front` than to `back`.
    fn sign(&self, blocks: Blocks, front: Option<Ink>, back: Option<Ink>) -> char {
        let (wide, tall) = match blocks {
            Blocks::Halves => (4, 4),
            Blocks::Quadrants => (2, 4),
            Blocks::Octants => (2, 2),
        };
        let mut bits = 0;
        for (index, (top, left)) in
            (0..DOWN).step_by(tall).flat_map(|top| (0..ACROSS).step_by(wide).map(move |left| (top, left))).enumerate()
        {
            let spots = || (top..top + tall).flat_map(|down| (left..left + wide).map(move |across| (across, down)));
            let count = |of: Option<Ink>| spots().filter(|(across, down)| self.at(*across, *down) == of).count();
            if count(front) > count(back) {
                bits |= 1_usize << index;
            }
        }
        match blocks {
            Blocks::Halves => [' ', '▀', '▄', '█'][bits],
            Blocks::Quadrants => QUADRANTS[bits],
            Blocks::Octants => OCTANTS[bits],
        }
    }

    /// The dots where one ink ends and another begins, two across and four down, row by row.
    fn edge(&self) -> u8 {
        let dot = |across: usize, down: usize| self.at(across * 2, down * 2);
        let mut bits = 0;
        for down in 0..4 {
            for across in 0..2 {
                let here = dot(across, down);
                // What lies just outside the grid counts as the same.
                let right = if self.column + across * 2 + 2 < self.grid.columns { dot(across + 1, down) } else { here };
                let below = if self.row + down * 2 + 2 < self.grid.rows { dot(across, down + 1) } else { here };
                if here != right || here != below {
                    bits |= 1 << (down * 2 + across);
                }
            }
        }
        bits
    }
}

/// A cell of one ink alone.
fn one_ink(theme: Theme, ink: Option<Ink>) -> (char, Color, Color) {
    let Some(known) = ink else { return (' ', Color::Reset, Color::Reset) };
    let colour = theme.colour(Role::of_ink(known));
    if matches!(known, Ink::Filed | Ink::Gauge) {
        (texture(theme, ink), colour, Color::Reset)
    } else {
        ('█', colour, colour)
    }
}

fn slot(ink: Option<Ink>) -> usize {
    ink.map_or(0, |ink| ink as usize + 1)
}

fn ink(slot: usize) -> Option<Ink> {
    slot.checked_sub(1).map(|at| Ink::VARIANTS[at])
}

/// The slot with the most spots, one left out.
fn largest(counts: &[usize], but: usize) -> usize {
    let others = counts.iter().enumerate().filter(|(slot, _)| *slot != but);
    others.max_by_key(|(_, count)| **count).map_or(0, |(slot, _)| slot)
}

/// What fills a shape where no colour can.
pub(super) fn texture(theme: Theme, ink: Option<Ink>) -> char {
    let (lines, ascii) = match ink {
        Some(Ink::Steel) => ('░', ':'),
        Some(Ink::Plate) => ('▒', '='),
        Some(Ink::Link) => ('·', '.'),
        Some(Ink::Bar) => ('─', '-'),
        Some(Ink::Wood) => ('∼', '~'),
        Some(Ink::Chip) => ('%', '%'),
        Some(Ink::Filed) => ('╱', '/'),
        Some(Ink::Gauge) => ('╲', '\\'),
        _ => (' ', ' '),
    };
    if theme.ascii() { ascii } else { lines }
}
