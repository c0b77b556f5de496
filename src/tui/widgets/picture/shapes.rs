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
                    cell.set_char(texture(theme, spots.most()));
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

/// The slot of each spot's ink, row by row.
type Slots = [u8; ACROSS * DOWN];

impl Spots<'_> {
    fn at(&self, across: usize, down: usize) -> Option<Ink> {
        self.grid.at(self.column + across, self.row + down)
    }

    /// The same ink, or none, covers all of the cell.
    fn alike(&self) -> bool {
        self.grid.alike((self.column, self.row), (ACROSS, DOWN))
    }

    fn slots(&self) -> Slots {
        let mut slots = [0; ACROSS * DOWN];
        for (down, row) in slots.chunks_mut(ACROSS).enumerate() {
            for (to, slot) in row.iter_mut().zip(self.grid.slots(self.column, self.row + down, ACROSS)) {
                *to = slot;
            }
        }
        slots
    }

    /// The ink that covers most of the cell.
    fn most(&self) -> Option<Ink> {
        if self.alike() { self.at(0, 0) } else { Ink::of_slot(largest(&counted(&self.slots()), None)) }
    }

    /// The two inks that fill most of the cell: the sign that shows where the first is, its colour, and the other's.
    fn two_inks(&self, theme: Theme) -> (char, Color, Color) {
        let slots = self.slots();
        let counts = counted(&slots);
        let first = largest(&counts, None);
        let second = largest(&counts, Some(first));
        let colour = |slot: u8| Ink::of_slot(slot).map_or(Color::Reset, |ink| theme.colour(Role::of_ink(ink)));
        if counts[usize::from(second)] < LEAST {
            return one_ink(theme, Ink::of_slot(first));
        }
        // The bare ground is never a foreground: nobody knows its colour.
        let (front, back) = if first == GROUND { (second, first) } else { (first, second) };
        (sign(&slots, theme.blocks, front, back), colour(front), colour(back))
    }

    /// The dots where one ink ends and another begins, two across and four down, row by row.
    fn edge(&self) -> u8 {
        // What lies just outside the grid counts as the same.
        let (right, below) = (self.column + ACROSS < self.grid.columns, self.row + DOWN < self.grid.rows);
        let around = (ACROSS + usize::from(right), DOWN + usize::from(below));
        if self.grid.alike((self.column, self.row), around) {
            return 0;
        }
        let dot = |across: usize, down: usize| self.at(across * 2, down * 2);
        let mut bits = 0;
        for down in 0..4 {
            for across in 0..2 {
                let here = dot(across, down);
                let next = if across == 0 || right { dot(across + 1, down) } else { here };
                let under = if down < 3 || below { dot(across, down + 1) } else { here };
                if here != next || here != under {
                    bits |= 1 << (down * 2 + across);
                }
            }
        }
        bits
    }
}

/// Which of the cell's blocks belong rather to `front` than to `back`.
fn sign(slots: &Slots, blocks: Blocks, front: u8, back: u8) -> char {
    let (wide, tall) = match blocks {
        Blocks::Halves => (4, 4),
        Blocks::Quadrants => (2, 4),
        Blocks::Octants => (2, 2),
    };
    let mut rather = [0_i8; 8];
    for (spot, slot) in slots.iter().enumerate() {
        let block = spot / ACROSS / tall * (ACROSS / wide) + spot % ACROSS / wide;
        rather[block] += i8::from(*slot == front) - i8::from(*slot == back);
    }
    let bits = (0..8).filter(|block| rather[*block] > 0).fold(0_usize, |bits, block| bits | 1 << block);
    match blocks {
        Blocks::Halves => [' ', '▀', '▄', '█'][bits],
        Blocks::Quadrants => QUADRANTS[bits],
        Blocks::Octants => OCTANTS[bits],
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

/// Slot of the bare ground.
const GROUND: u8 = 0;

/// How many spots each slot has.
type Counts = [usize; Ink::VARIANTS.len() + 1];

fn counted(slots: &Slots) -> Counts {
    let mut counts = Counts::default();
    for slot in slots {
        counts[usize::from(*slot)] += 1;
    }
    counts
}

/// The slot with the most spots, one left out; of two with as many the later.
fn largest(counts: &Counts, but: Option<u8>) -> u8 {
    let (mut best, mut most) = (GROUND, 0);
    for (slot, count) in (0_u8..).zip(counts) {
        if *count >= most && Some(slot) != but {
            (best, most) = (slot, *count);
        }
    }
    best
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
