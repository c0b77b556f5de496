//! A screen as a picture: an SVG with the same cells, words as words, blocks and dots as shapes.
//!
//! Fonts differ in how blocks and Braille join, so those are drawn; the rest is text, held to its columns.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use maud::html;
use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

use super::theme::Ground;
use crate::report::made::MARK;

/// Size of a cell, and of its letters.
const WIDE: usize = 9;
const TALL: usize = 18;
const LETTER: usize = 15;
/// Where letters stand in their cell.
const BASE: usize = 14;
/// Room around the screen.
const ROOM: usize = 12;

/// Signs of quarters of a cell, by which of them are full: upper left, upper right, lower left, lower right.
const QUARTERS: [char; 16] = [' ', '▘', '▝', '▀', '▖', '▌', '▞', '▛', '▗', '▚', '▐', '▜', '▄', '▙', '▟', '█'];
/// Bits of a Braille pattern, two across and four down, row by row.
const DOTS: [u32; 8] = [0x01, 0x08, 0x02, 0x10, 0x04, 0x20, 0x40, 0x80];

/// The picture of what a terminal shows.
pub(super) fn picture(buffer: &Buffer, ground: Ground) -> String {
    let (columns, rows) = (usize::from(buffer.area.width), usize::from(buffer.area.height));
    let (wide, tall) = (columns * WIDE + 2 * ROOM, rows * TALL + 2 * ROOM);
    let (ink, paper) = match ground {
        Ground::Dark => ("#dddddd", "#161616"),
        Ground::Light => ("#1b1b1b", "#fdfdfb"),
    };
    let shapes = shapes(buffer, ink, paper);
    let lines = (0..buffer.area.height).flat_map(|row| pieces(buffer, row, ink, paper));
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (wide) " " (tall) } width=(wide) height=(tall)
            font-family="ui-monospace, 'DejaVu Sans Mono', monospace" font-size=(LETTER) {
            rect width=(wide) height=(tall) rx="6" fill=(paper) {}
            g transform={ "translate(" (ROOM) " " (ROOM) ")" } {
                @for (colour, path) in &shapes { path fill=(colour) d=(path) {} }
                @for line in lines {
                    text x=(line.column * WIDE) y=(line.row * TALL + BASE) fill=(line.colour)
                        textLength=(line.columns * WIDE) lengthAdjust="spacingAndGlyphs" xml:space="preserve"
                        font-weight=[line.bold.then_some("bold")] opacity=[line.dim.then_some("0.75")] { (line.text) }
                }
            }
        }
    };
    format!("{}\n<!-- {MARK} -->\n", picture.into_string())
}

/// Letters of one look beside each other.
struct Piece {
    row: usize,
    column: usize,
    columns: usize,
    text: String,
    colour: String,
    bold: bool,
    dim: bool,
}

/// The words of a row.
fn pieces(buffer: &Buffer, row: u16, ink: &str, paper: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for column in 0..buffer.area.width {
        let cell = &buffer[(column, row)];
        let sign = cell.symbol();
        if sign == " " || sign.is_empty() || quarters(sign).is_some() || dots(sign).is_some() {
            continue;
        }
        let (colour, _) = colours(cell, ink, paper);
        let (bold, dim) = (cell.modifier.contains(Modifier::BOLD), cell.modifier.contains(Modifier::DIM));
        let (row, column) = (usize::from(row), usize::from(column));
        // A piece goes on over a single blank: words of a sentence stay together.
        let goes_on = pieces.last_mut().filter(|piece| {
            let gap = column - (piece.column + piece.columns);
            gap <= 1 && (&piece.colour, piece.bold, piece.dim) == (&colour, bold, dim)
        });
        if let Some(piece) = goes_on {
            let gap = column - (piece.column + piece.columns);
            piece.text.push_str(&" ".repeat(gap));
            piece.text.push_str(sign);
            piece.columns += gap + 1;
        } else {
            pieces.push(Piece { row, column, columns: 1, text: sign.to_owned(), colour, bold, dim });
        }
    }
    pieces
}

/// Paths of all blocks, grounds and dots, by their colour.
fn shapes(buffer: &Buffer, ink: &str, paper: &str) -> BTreeMap<String, String> {
    let mut paths: BTreeMap<String, String> = BTreeMap::new();
    let (half_wide, half_tall) = (WIDE as f64 / 2.0, TALL / 2);
    for half_row in 0..usize::from(buffer.area.height) * 2 {
        let mut run: Option<(usize, usize, String)> = None;
        let mut end = |run: Option<(usize, usize, String)>| {
            let Some((from, to, colour)) = run else { return };
            let (x, long) = (from as f64 * half_wide, (to - from) as f64 * half_wide);
            let path = paths.entry(colour).or_default();
            let _ = write!(path, "M{x} {}h{long}v{half_tall}h-{long}z", half_row * half_tall);
        };
        for half in 0..usize::from(buffer.area.width) * 2 {
            let colour = half_colour(buffer, half, half_row, ink, paper);
            if let Some((_, to, now)) = &mut run
                && colour.as_ref() == Some(now)
            {
                *to = half + 1;
                continue;
            }
            end(std::mem::replace(&mut run, colour.map(|colour| (half, half + 1, colour))));
        }
        end(run);
    }
    for at in buffer.area.positions() {
        let cell = &buffer[at];
        let Some(bits) = dots(cell.symbol()) else { continue };
        let path = paths.entry(colours(cell, ink, paper).0).or_default();
        for (dot, bit) in DOTS.iter().enumerate() {
            if bits & bit != 0 {
                let x = usize::from(at.x) * WIDE + dot % 2 * 4 + 2;
                let y = usize::from(at.y) * TALL + dot / 2 * 4 + 2;
                let _ = write!(path, "M{x} {y}h2v2h-2z");
            }
        }
    }
    paths
}

/// Colour of a quarter of a cell; none where the ground shows.
fn half_colour(buffer: &Buffer, half: usize, half_row: usize, ink: &str, paper: &str) -> Option<String> {
    let at = (u16::try_from(half / 2).ok()?, u16::try_from(half_row / 2).ok()?);
    let cell = &buffer[at];
    let (front, back) = colours(cell, ink, paper);
    let full = quarters(cell.symbol()).is_some_and(|bits| bits & 1 << (half_row % 2 * 2 + half % 2) != 0);
    let colour = if full { front } else { back };
    (full || colour != paper).then_some(colour)
}

fn quarters(sign: &str) -> Option<usize> {
    let sign = sign.chars().next().filter(|sign| *sign != ' ')?;
    QUARTERS.iter().position(|other| *other == sign)
}

fn dots(sign: &str) -> Option<u32> {
    let sign = u32::from(sign.chars().next()?);
    (0x2801..=0x28ff).contains(&sign).then(|| sign - 0x2800)
}

/// Colours of sign and ground.
fn colours(cell: &Cell, ink: &str, paper: &str) -> (String, String) {
    let (front, back) = (named(cell.fg, ink), named(cell.bg, paper));
    if cell.modifier.contains(Modifier::REVERSED) { (back, front) } else { (front, back) }
}

/// A colour as a page has it; for the terminal's own sixteen, a usual shade.
fn named(colour: Color, own: &str) -> String {
    let [red, green, blue] = match colour {
        Color::Reset => return own.to_owned(),
        Color::Rgb(red, green, blue) => [red, green, blue],
        Color::Indexed(index) => indexed(index),
        Color::Black => [0, 0, 0],
        Color::Red => [205, 49, 49],
        Color::Green => [13, 148, 84],
        Color::Yellow => [190, 150, 20],
        Color::Blue => [36, 114, 200],
        Color::Magenta => [188, 63, 188],
        Color::Cyan => [17, 148, 180],
        Color::Gray => [190, 190, 190],
        Color::DarkGray => [110, 110, 110],
        Color::LightRed => [241, 96, 96],
        Color::LightGreen => [50, 209, 139],
        Color::LightYellow => [235, 215, 90],
        Color::LightBlue => [90, 155, 240],
        Color::LightMagenta => [222, 120, 222],
        Color::LightCyan => [60, 190, 220],
        Color::White => [255, 255, 255],
    };
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The usual 256: the cube of six steps a colour and the greys behind it.
const fn indexed(index: u8) -> [u8; 3] {
    const STEPS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    match index {
        16..=231 => {
            let at = index - 16;
            [STEPS[(at / 36) as usize], STEPS[(at / 6 % 6) as usize], STEPS[(at % 6) as usize]]
        }
        232..=255 => [8 + (index - 232) * 10; 3],
        _ => [128; 3],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    #[test]
    fn words_stay_words_and_blocks_and_dots_are_drawn_where_they_stand() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 8, 2));
        buffer.set_string(0, 0, "a <b>", Style::new().fg(Color::Rgb(1, 2, 3)).add_modifier(Modifier::BOLD));
        buffer.set_string(0, 1, "█▌⠁", Style::new().fg(Color::Indexed(196)));
        let drawn = picture(&buffer, Ground::Dark);
        assert!(drawn.contains("a &lt;b&gt;") && drawn.contains("#010203") && drawn.contains("bold"), "{drawn}");
        // Three halves of a cell, in both rows of halves, and one dot.
        assert!(drawn.contains("M0 18h13.5v9h-13.5zM0 27h13.5v9h-13.5zM20 20h2v2h-2z"), "{drawn}");
        assert!(drawn.contains("#ff0000") && drawn.ends_with("<!-- made by evenbite -->\n"), "{drawn}");
    }

    #[test]
    fn what_is_reversed_has_its_ground() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 2, 1));
        buffer.set_string(0, 0, "x", Style::new().add_modifier(Modifier::REVERSED));
        let drawn = picture(&buffer, Ground::Light);
        assert!(drawn.contains("<path fill=\"#1b1b1b\" d=\"M0 0h9v9h-9zM0 9h9v9h-9z\">"), "{drawn}");
    }
}
