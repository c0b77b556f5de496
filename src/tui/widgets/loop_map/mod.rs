//! The whole loop at a glance: every cutter a cell whose sign tells its state, the one in hand unmistakable.
//!
//! With room the loop lies as it does on the bar: along the top to the nose, round it, and back along the bottom to the
//! sprocket. With less it becomes rows in loop order, and at worst a strip that follows the cutter in hand.

mod bar;
mod strip;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;
use strum::VariantArray;

use super::text::put;
use crate::chain::{CutterNumber, Side};
use crate::tui::theme::{Glyph, Role, Theme};

/// How a cutter stands, in the order of the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum MapSign {
    /// Nothing known yet.
    Waiting,
    /// Measured, no verdict.
    Measured,
    /// Even with the target.
    Even,
    /// Longer than the target.
    Long,
    /// Shorter than the target.
    Short,
    /// Too near the limit to say: measure again.
    Again,
    /// Angle off its target.
    Off,
    /// Raker too high.
    RakerHigh,
    /// Raker too low: the dangerous kind.
    RakerLow,
    /// Damaged.
    Damaged,
    /// Deliberately not matched.
    LeftShort,
    /// Not there.
    Missing,
    /// All done.
    Done,
}

impl MapSign {
    /// The sign in the cell.
    pub const fn sign(self, theme: Theme) -> &'static str {
        match self {
            Self::Waiting => theme.glyph(Glyph::Faint),
            Self::Measured => theme.glyph(Glyph::Point),
            Self::Even => "=",
            Self::Long => ">",
            Self::Short => "<",
            Self::Again => "?",
            Self::Off => "/",
            Self::RakerHigh => theme.glyph(Glyph::Up),
            Self::RakerLow => theme.glyph(Glyph::Down),
            Self::Damaged => "!",
            Self::LeftShort => "s",
            Self::Missing => "x",
            Self::Done => theme.glyph(Glyph::Done),
        }
    }

    /// What the sign says.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Measured => "measured",
            Self::Even => "even",
            Self::Long => "too long",
            Self::Short => "too short",
            Self::Again => "measure again",
            Self::Off => "angle off",
            Self::RakerHigh => "raker high",
            Self::RakerLow => "raker low",
            Self::Damaged => "damaged",
            Self::LeftShort => "left short",
            Self::Missing => "missing",
            Self::Done => "done",
        }
    }

    /// How the sign looks.
    pub const fn role(self) -> Role {
        match self {
            Self::Waiting => Role::Unmeasured,
            Self::Measured => Role::Text,
            Self::Even | Self::Done => Role::Good,
            Self::Long | Self::Short | Self::Again | Self::Off | Self::RakerHigh => Role::Warn,
            Self::RakerLow | Self::Damaged => Role::Bad,
            Self::LeftShort | Self::Missing => Role::Quiet,
        }
    }
}

/// One cutter on the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MapCell {
    /// Number from the start mark, in running direction.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// Its state.
    pub sign: MapSign,
}

/// The map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoopMap<'a> {
    /// Looks.
    pub theme: Theme,
    /// The cutters in loop order.
    pub cells: &'a [MapCell],
    /// Number of the cutter in hand.
    pub current: Option<CutterNumber>,
}

/// The form that a map takes in its room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MapShape {
    /// On the bar, five rows, or seven with a row of sides outside; so many columns from cutter to cutter.
    Bar {
        /// Columns from one cutter to the next.
        step: u16,
        /// With the sides outside.
        sides: bool,
    },
    /// Every cutter, in rows of so many.
    Rows {
        /// Cutters a row.
        per_row: u16,
    },
    /// Part of the loop around the cutter in hand: numbers, signs and sides under each other, as rows allow.
    Strip,
    /// No room or no cutter.
    Nothing,
}

impl LoopMap<'_> {
    /// The form that it takes in so many columns and rows.
    pub fn shape(&self, columns: u16, rows: u16) -> MapShape {
        let count = u16::try_from(self.cells.len()).unwrap_or(u16::MAX);
        if columns == 0 || rows == 0 || count == 0 {
            return MapShape::Nothing;
        }
        if rows >= bar::ROWS
            && let Some(step) = bar::step(count, columns)
        {
            return MapShape::Bar { step, sides: rows >= bar::ROWS + 2 };
        }
        let per_row = strip::per_row(columns);
        let one_strip = strip::whole(count, columns);
        if rows > 1 && !one_strip && per_row > 0 && count.div_ceil(per_row) <= rows {
            return MapShape::Rows { per_row };
        }
        MapShape::Strip
    }

    fn index_of_current(&self) -> Option<usize> {
        let current = self.current?;
        self.cells.iter().position(|cell| cell.number == current)
    }

    fn is_current(&self, cell: MapCell) -> bool {
        self.current == Some(cell.number)
    }

    /// One cell; `brackets` says that the columns on both sides are free.
    fn draw_cell(&self, buf: &mut Buffer, area: Rect, at: (u16, u16), cell: MapCell, brackets: bool) {
        let sign = cell.sign.sign(self.theme);
        if !self.is_current(cell) {
            put(buf, area, at, sign, self.theme.style(cell.sign.role()));
            return;
        }
        let style = self.theme.style(Role::Current);
        put(buf, area, at, sign, style);
        if brackets {
            if at.0 > area.x {
                put(buf, area, (at.0 - 1, at.1), "[", style);
            }
            put(buf, area, (at.0 + 1, at.1), "]", style);
        }
    }
}

impl Widget for &LoopMap<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        match self.shape(area.width, area.height) {
            MapShape::Bar { step, sides } => self.draw_bar(area, buf, step, sides),
            MapShape::Rows { per_row } => self.draw_rows(area, buf, per_row),
            MapShape::Strip => self.draw_strip(area, buf),
            MapShape::Nothing => {}
        }
    }
}

#[cfg(test)]
mod tests;
