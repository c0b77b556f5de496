//! Lines and outlines: dots of a Braille pattern, or signs that run the same way in ASCII.

use ratatui::buffer::Buffer;

use crate::drawing::{Ink, Path, Point};
use crate::tui::theme::{Role, Theme};
use crate::tui::widgets::plot::Scale;

/// Dots of a Braille pattern by their place, two across and four down, row by row.
const DOTS: [u32; 8] = [0x01, 0x08, 0x02, 0x10, 0x04, 0x20, 0x40, 0x80];
/// Dots drawn and left out of a dashed line.
const DASH: (u32, u32) = (3, 3);

/// The dots of one cell.
#[derive(Debug, Clone, Copy, Default)]
struct Dots {
    bits: u8,
    /// What is drawn; `None` for the outline of a shape.
    ink: Option<Ink>,
    dashed: bool,
}

/// Lines on their way into the cells.
pub(super) struct Strokes {
    scale: Scale,
    cells: Vec<Dots>,
}

impl Strokes {
    pub(super) fn new(scale: Scale) -> Self {
        let cells = usize::from(scale.area.width) * usize::from(scale.area.height);
        Self { scale, cells: vec![Dots::default(); cells] }
    }

    fn at(&mut self, column: usize, row: usize) -> Option<&mut Dots> {
        let width = usize::from(self.scale.area.width);
        if column < width { self.cells.get_mut(row * width + column) } else { None }
    }

    /// The outline of a shape through a cell of the area.
    pub(super) fn outline(&mut self, column: u16, row: u16, bits: u8) {
        if let Some(dots) = self.at(usize::from(column), usize::from(row)) {
            dots.bits |= bits;
        }
    }

    /// A line along a path.
    pub(super) fn path(&mut self, path: &Path, ink: Ink, dashed: bool) {
        for part in path.flat() {
            let mut run = 0;
            for pair in part.windows(2) {
                self.line(pair[0], pair[1], ink, dashed, &mut run);
            }
        }
    }

    fn line(&mut self, from: Point, to: Point, ink: Ink, dashed: bool, run: &mut u32) {
        let (wide, tall) = (f64::from(self.scale.area.width) * 2.0, f64::from(self.scale.area.height) * 4.0);
        let dot = self.scale.dot();
        let place = |(x, y): Point| ((x - self.scale.x[0]) / dot, (self.scale.y[1] - y) / dot);
        let Some((from, to)) = clip(place(from), place(to), (wide - 1.0, tall - 1.0)) else { return };
        let steps = (to.0 - from.0).abs().max((to.1 - from.1).abs()).ceil().max(1.0);
        // Clipped to the area, so at most a few thousand.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clipped to the area")]
        let count = steps as u32;
        for step in 0..=count {
            *run += 1;
            if dashed && ink != Ink::Target && *run % (DASH.0 + DASH.1) >= DASH.0 {
                continue;
            }
            let share = f64::from(step) / steps;
            let (x, y) = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clipped to the area")]
            let (x, y) = (x.round().max(0.0) as usize, y.round().max(0.0) as usize);
            if let Some(dots) = self.at(x / 2, y / 4) {
                if dots.ink.is_some_and(|other| other != ink) {
                    *dots = Dots::default();
                }
                dots.bits |= 1 << (y % 4 * 2 + x % 2);
                (dots.ink, dots.dashed) = (Some(ink), dashed);
            }
        }
    }

    /// Puts everything into the cells.
    pub(super) fn put(&self, theme: Theme, buf: &mut Buffer) {
        let area = self.scale.area;
        for (at, dots) in area.positions().zip(&self.cells) {
            if dots.bits == 0 {
                continue;
            }
            let cell = &mut buf[at];
            // What lies behind gives way where a shape ends: it would eat into its edge.
            let whole = theme.coloured() && cell.fg == cell.bg;
            match dots.ink {
                Some(Ink::Grain) if !(whole && cell.symbol() != " ") => continue,
                Some(Ink::New) if theme.coloured() && cell.symbol() != " " => continue,
                Some(Ink::Unmeasured) if theme.coloured() && !(whole || cell.symbol() == " ") => continue,
                Some(Ink::Target) => cell.set_symbol("x"),
                _ if theme.ascii() => cell.set_char(ascii(*dots)),
                _ => {
                    let bits = (0..8).filter(|bit| dots.bits & (1 << bit) != 0).map(|bit| DOTS[bit]).sum::<u32>();
                    cell.set_char(char::from_u32(0x2800 + bits).unwrap_or(' '))
                }
            };
            let role = dots.ink.map_or(Role::Text, Role::of_ink);
            cell.set_style(theme.style(role));
            cell.set_fg(theme.colour(role));
        }
    }
}

/// The sign whose stroke lies like the dots.
fn ascii(dots: Dots) -> char {
    if dots.dashed {
        return '.';
    }
    let places: Vec<(i32, i32)> =
        (0..8).filter(|bit| dots.bits & (1 << bit) != 0).map(|bit| (bit % 2, bit / 2)).collect();
    let span = |of: fn(&(i32, i32)) -> i32| {
        let values = places.iter().map(of);
        (values.clone().min().unwrap_or(0), values.max().unwrap_or(0))
    };
    let ((left, right), (top, bottom)) = (span(|place| place.0), span(|place| place.1));
    if bottom - top <= 1 {
        return match (left == right, top) {
            (true, 0) => '\'',
            (_, 3) => '_',
            (true, _) if bottom == 3 => '.',
            _ => '-',
        };
    }
    let mean = |column: i32| {
        let rows: Vec<i32> = places.iter().filter(|place| place.0 == column).map(|place| place.1).collect();
        f64::from(rows.iter().sum::<i32>()) / rows.len().max(1) as f64
    };
    match if left == right { 0.0 } else { mean(1) - mean(0) } {
        lower if lower > 0.8 => '\\',
        higher if higher < -0.8 => '/',
        _ => '|',
    }
}

/// The part of a line that lies between zero and `most` both ways.
fn clip(from: Point, to: Point, most: Point) -> Option<(Point, Point)> {
    if ![from.0, from.1, to.0, to.1].into_iter().all(|value| value.abs() < 1e9) {
        return None;
    }
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (delta, room) in [(-dx, from.0), (dx, most.0 - from.0), (-dy, from.1), (dy, most.1 - from.1)] {
        if delta == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if delta < 0.0 {
            enter = enter.max(room / delta);
        } else {
            leave = leave.min(room / delta);
        }
    }
    let at = |share: f64| (from.0 + share * dx, from.1 + share * dy);
    (enter <= leave).then(|| (at(enter), at(leave)))
}
