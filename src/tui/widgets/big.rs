//! A short text large enough to be read with a file in the hand.
//!
//! The size depends on the room: whole blocks, half blocks, quarter blocks, and plain bold text where nothing larger fits.
//! The ASCII set draws the same with `#`, in a large and in a small form.

use ratatui::buffer::Buffer;
use ratatui::layout::{HorizontalAlignment, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::widgets::Widget;
use tui_big_text::{BigText, PixelSize};

use super::text::{put, width};
use crate::tui::theme::{Role, Theme};

/// How large a text is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BigSize {
    /// Eight rows, eight columns a character.
    Full,
    /// Four rows, eight columns a character. Not in ASCII.
    Half,
    /// Four rows, four columns a character. Not in ASCII.
    Quarter,
    /// Five rows, four columns a character. Only in ASCII, and only for digits, `. , - + ? L R`, small letters and space.
    Small,
    /// One row of bold text.
    Plain,
}

impl BigSize {
    /// Columns per character, and rows.
    const fn cell(self) -> (u16, u16) {
        match self {
            Self::Full => (8, 8),
            Self::Half => (8, 4),
            Self::Quarter => (4, 4),
            Self::Small => (4, 5),
            Self::Plain => (1, 1),
        }
    }
}

/// A short text in big digits.
#[derive(Debug, Clone, Copy)]
pub struct Big<'a> {
    /// Looks.
    pub theme: Theme,
    /// What to show.
    pub text: &'a str,
    /// What it is.
    pub role: Role,
    /// Where in the area.
    pub alignment: HorizontalAlignment,
    /// Not larger than this many rows, however much room there is.
    pub rows_at_most: u16,
}

impl<'a> Big<'a> {
    /// Left aligned, as large as fits.
    pub const fn new(theme: Theme, text: &'a str, role: Role) -> Self {
        Self { theme, text, role, alignment: HorizontalAlignment::Left, rows_at_most: u16::MAX }
    }

    /// The size that this text would get in so many columns and rows.
    fn size_for(&self, columns: u16, rows: u16) -> BigSize {
        let rows = rows.min(self.rows_at_most);
        let count = u16::try_from(self.text.chars().count()).unwrap_or(u16::MAX);
        let sizes: &[BigSize] = if self.theme.ascii() {
            &[BigSize::Full, BigSize::Small]
        } else {
            &[BigSize::Full, BigSize::Half, BigSize::Quarter]
        };
        let drawable = |size: BigSize| {
            self.text.chars().all(|c| match size {
                BigSize::Small => small(c).is_some(),
                _ => c == ' ' || c.is_ascii_graphic(),
            })
        };
        let fits = |size: &&BigSize| {
            let (wide, high) = size.cell();
            count > 0 && count.saturating_mul(wide) <= columns && high <= rows && drawable(**size)
        };
        sizes.iter().find(fits).copied().unwrap_or(BigSize::Plain)
    }

    fn start(&self, area: Rect, columns: u16) -> u16 {
        let spare = area.width.saturating_sub(columns);
        area.x
            + match self.alignment {
                HorizontalAlignment::Left => 0,
                HorizontalAlignment::Center => spare / 2,
                HorizontalAlignment::Right => spare,
            }
    }
}

impl Widget for &Big<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        if area.is_empty() {
            return;
        }
        let size = self.size_for(area.width, area.height);
        // Reverse would fill the holes of the letters and dim is not for what must be read from afar.
        let style = self.theme.style(self.role).remove_modifier(Modifier::REVERSED | Modifier::DIM);
        let (wide, high) = size.cell();
        let columns = if size == BigSize::Plain {
            width(self.text)
        } else {
            wide.saturating_mul(u16::try_from(self.text.chars().count()).unwrap_or(u16::MAX))
        };
        let spot = Rect { x: self.start(area, columns), width: columns, height: high, ..area }.intersection(area);
        match size {
            BigSize::Plain => put(buf, area, (spot.x, spot.y), self.text, style.add_modifier(Modifier::BOLD)),
            BigSize::Small => draw_small(self.text, spot, buf, style),
            BigSize::Full => draw_blocks(self.text, PixelSize::Full, spot, buf, style),
            BigSize::Half => draw_blocks(self.text, PixelSize::HalfHeight, spot, buf, style),
            BigSize::Quarter => draw_blocks(self.text, PixelSize::Quadrant, spot, buf, style),
        }
        if self.theme.ascii() {
            for position in spot.positions() {
                let cell = &mut buf[position];
                if !cell.symbol().is_ascii() {
                    cell.set_char('#');
                }
            }
        }
    }
}

fn draw_blocks(text: &str, pixels: PixelSize, area: Rect, buf: &mut Buffer, style: Style) {
    BigText::builder().pixel_size(pixels).style(style).lines(vec![text.into()]).build().render(area, buf);
}

fn draw_small(text: &str, area: Rect, buf: &mut Buffer, style: Style) {
    for (place, rows) in (0_u16..).zip(text.chars().filter_map(small)) {
        for (down, row) in (0_u16..).zip(rows) {
            for across in 0..3_u16 {
                if row & (0b100 >> across) != 0 {
                    put(buf, area, (area.x + 4 * place + across, area.y + down), "#", style);
                }
            }
        }
    }
}

/// Five rows of three dots, the leftmost dot the highest bit.
const fn small(character: char) -> Option<[u8; 5]> {
    Some(match character {
        '0' => [7, 5, 5, 5, 7],
        '1' => [2, 6, 2, 2, 7],
        '2' => [7, 1, 7, 4, 7],
        '3' => [7, 1, 7, 1, 7],
        '4' => [5, 5, 7, 1, 1],
        '5' => [7, 4, 7, 1, 7],
        '6' => [7, 4, 7, 5, 7],
        '7' => [7, 1, 1, 2, 2],
        '8' => [7, 5, 7, 5, 7],
        '9' => [7, 5, 7, 1, 7],
        '.' => [0, 0, 0, 0, 2],
        ',' => [0, 0, 0, 2, 4],
        '-' => [0, 0, 7, 0, 0],
        '+' => [0, 2, 7, 2, 0],
        '?' => [7, 1, 3, 0, 2],
        'L' => [4, 4, 4, 4, 7],
        'R' => [6, 5, 6, 5, 5],
        ' ' => [0; 5],
        'a' => [2, 5, 7, 5, 5],
        'b' => [6, 5, 6, 5, 6],
        'c' => [3, 4, 4, 4, 3],
        'd' => [6, 5, 5, 5, 6],
        'e' => [7, 4, 6, 4, 7],
        'f' => [7, 4, 6, 4, 4],
        'g' => [3, 4, 5, 5, 3],
        'h' => [5, 5, 7, 5, 5],
        'i' => [7, 2, 2, 2, 7],
        'k' => [5, 5, 6, 5, 5],
        'l' => [6, 2, 2, 2, 7],
        'm' => [5, 7, 7, 5, 5],
        'n' => [6, 5, 5, 5, 5],
        'o' => [2, 5, 5, 5, 2],
        'p' => [6, 5, 6, 4, 4],
        'r' => [0, 5, 6, 4, 4],
        's' => [3, 4, 2, 1, 6],
        't' => [7, 2, 2, 2, 2],
        'u' => [5, 5, 5, 5, 7],
        'w' => [5, 5, 7, 7, 5],
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::tui::theme::Glyphs;

    const ASCII: Theme = Theme::new(crate::tui::theme::Colours::None, Glyphs::Ascii);

    fn drawn(big: &Big<'_>, columns: u16, rows: u16) -> Buffer {
        let mut buf = Buffer::empty(Rect::new(0, 0, columns, rows));
        big.render(buf.area, &mut buf);
        buf
    }

    #[test]
    fn the_largest_size_that_fits_is_taken() {
        let theme = Theme::default();
        let big = Big::new(theme, "8.05", Role::Text);
        assert_eq!(big.size_for(32, 8), BigSize::Full);
        assert_eq!(big.size_for(32, 7), BigSize::Half);
        assert_eq!(big.size_for(31, 8), BigSize::Quarter);
        assert_eq!(big.size_for(16, 4), BigSize::Quarter);
        assert_eq!(big.size_for(15, 4), BigSize::Plain);
        assert_eq!(big.size_for(16, 3), BigSize::Plain);
        assert_eq!(Big { rows_at_most: 4, ..big }.size_for(200, 60), BigSize::Half);
        let ascii = Big { theme: ASCII, ..big };
        assert_eq!(ascii.size_for(32, 8), BigSize::Full);
        assert_eq!(ascii.size_for(16, 5), BigSize::Small);
        assert_eq!(ascii.size_for(16, 4), BigSize::Plain);
        assert_eq!(Big { text: "8.05 M", ..ascii }.size_for(50, 6), BigSize::Plain);
        assert_eq!(Big { text: "8½", ..big }.size_for(80, 20), BigSize::Plain);
    }

    #[test]
    fn every_small_sign_is_its_own_shape() {
        let signs = "0123456789.,-+?LR abcdefghiklmnprstuw";
        let shapes: BTreeSet<_> = signs.chars().map(|c| small(c).unwrap()).collect();
        assert_eq!(shapes.len(), signs.len());
    }

    #[test]
    fn ascii_digits_hold_nothing_but_ascii() {
        for (columns, rows) in [(40, 8), (16, 5), (9, 1)] {
            let buf = drawn(&Big::new(ASCII, "-8.05", Role::Text), columns, rows);
            assert!(buf.content().iter().all(|cell| cell.symbol().is_ascii()));
            assert!(buf.content().iter().any(|cell| cell.symbol() != " "));
        }
    }

    #[test]
    fn plain_text_is_bold_and_keeps_its_place() {
        let big = Big { alignment: HorizontalAlignment::Right, ..Big::new(Theme::default(), "8.05", Role::Good) };
        let buf = drawn(&big, 10, 1);
        assert_eq!(buf[(6, 0)].symbol(), "8");
        assert!(buf[(6, 0)].modifier.contains(Modifier::BOLD));
        assert_eq!(buf[(6, 0)].fg, Theme::default().colour(Role::Good));
    }
}
