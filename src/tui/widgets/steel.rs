//! Where the steel of each round went, a bar per round, and by how much one side was longer after it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

use super::text::{put, put_pieces};
use crate::tui::theme::{Role, Theme};
use crate::units::{Millimetres, Unit, mm};

/// Columns of the day, of a number, and of half a strip.
const DAY: u16 = 11;
const NUMBER: u16 = 8;
const HALF: u16 = 5;
/// Least columns for a bar.
const BAR: u16 = 8;

/// One round.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelRow {
    /// Its day.
    pub day: String,
    /// Taken off all cutters together for dull edges, for damage, and to make them even.
    pub parts: [Millimetres; 3],
    /// Left less right after it, where both are known.
    pub apart: Option<Millimetres>,
}

/// The rounds, in the order in which they are to be drawn.
#[derive(Debug, Clone, Copy)]
pub struct Steel<'a> {
    /// Looks.
    pub theme: Theme,
    /// Rounds.
    pub rows: &'a [SteelRow],
    /// Unit of the numbers.
    pub unit: Unit,
}

impl SteelRow {
    fn all(&self) -> f64 {
        self.parts.iter().map(|part| part.get().max(0.0)).sum()
    }
}

impl Steel<'_> {
    /// Sign and role of each part.
    fn signs(&self) -> [(&'static str, Role); 3] {
        let [wear, damage, evening] = if self.theme.ascii() { ["#", "x", "="] } else { ["█", "▚", "▒"] };
        [(wear, Role::Curve1), (damage, Role::Curve3), (evening, Role::Curve2)]
    }

    /// How many columns each part takes of so many for `most`; ends are rounded, so that the bar is as long as its sum.
    fn columns(row: &SteelRow, most: f64, width: u16) -> [usize; 3] {
        let mut sum = 0.0;
        let ends = row.parts.map(|part| {
            sum += part.get().max(0.0);
            // A share of a few hundred columns.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of the columns")]
            let end = (sum / most * f64::from(width)).round() as usize;
            end
        });
        [ends[0], ends[1] - ends[0], ends[2] - ends[1]]
    }

    fn draw_row(&self, row: &SteelRow, area: Rect, (most, apart): (f64, f64), buf: &mut Buffer) {
        let theme = self.theme;
        let width = area.width.saturating_sub(DAY + NUMBER + 2 * HALF + 1 + NUMBER);
        put(buf, area, (area.x, area.y), &row.day, theme.style(Role::Quiet));
        let bars = Self::columns(row, most, width).into_iter().zip(self.signs());
        let bars: Vec<_> = bars.map(|(count, (sign, role))| (sign.repeat(count), theme.style(role))).collect();
        let total = format!(" {}", self.unit.show(mm(row.all())));
        let mut pieces: Vec<_> = bars.iter().map(|(text, style)| (text.as_str(), *style)).collect();
        pieces.push((&total, theme.style(Role::Text)));
        put_pieces(buf, area, (area.x + DAY, area.y), &pieces);
        let middle = area.x + DAY + width + NUMBER + HALF;
        put(buf, area, (middle, area.y), if theme.ascii() { "|" } else { "│" }, theme.style(Role::Frame));
        let Some(by) = row.apart else { return };
        let shown = self.unit.show(mm(by.get().abs()));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a few columns")]
        let long = (by.get().abs() / apart * f64::from(HALF)).round() as u16;
        for step in 1..=long.min(HALF) {
            let left = by.get() > 0.0;
            let (x, sign, role) =
                if left { (middle - step, "L", Role::Left) } else { (middle + step, "R", Role::Right) };
            put(buf, area, (x, area.y), sign, theme.style(role));
        }
        put(buf, area, (middle + HALF + 2, area.y), &shown, theme.style(Role::Text));
    }
}

impl Widget for &Steel<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let (area, theme) = (area.intersection(buf.area), self.theme);
        let most = self.rows.iter().map(SteelRow::all).fold(0.0, f64::max);
        if area.height < 2 || area.width < DAY + BAR + 2 * NUMBER + 2 * HALF + 1 || most <= 0.0 {
            return;
        }
        // A hundredth apart is none.
        let apart = self.rows.iter().filter_map(|row| row.apart).map(|by| by.get().abs()).fold(0.1, f64::max);
        let [wear, damage, evening] = self.signs();
        let (wear, damage, evening) =
            (format!("{} wear ", wear.0), format!("{} damage ", damage.0), format!("{} evening-up", evening.0));
        let head = format!("{:<width$}", "steel off", width = usize::from(DAY));
        let [quiet, text] = [Role::Quiet, Role::Text].map(|role| theme.style(role));
        put_pieces(buf, area, (area.x, area.y), &[(&head, quiet), (&wear, text), (&damage, text), (&evening, text)]);
        let words = "longer side";
        let x = area.right().saturating_sub(NUMBER + 2 * HALF + 1);
        put(buf, area, (x, area.y), words, quiet);
        for (row, y) in self.rows.iter().zip(area.y + 1..area.bottom()) {
            self.draw_row(row, Rect { y, height: 1, ..area }, (most, apart), buf);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_as_long_as_their_sums_and_the_longer_side_stands_on_its_own() {
        let row = |parts: [f64; 3], apart| SteelRow { day: "2026-03-02".into(), parts: parts.map(mm), apart };
        let rows = [row([2.0, 1.0, 1.0], Some(mm(0.2))), row([1.0, 0.0, 1.0], Some(mm(-0.1))), row([0.0; 3], None)];
        let steel = Steel { theme: Theme::default(), rows: &rows, unit: Unit::Mm };
        let mut buf = Buffer::empty(Rect::new(0, 0, 78, 4));
        (&steel).render(buf.area, &mut buf);
        let line = |y: u16| (0..78).map(|x| buf[(x, y)].symbol()).collect::<String>();
        let count = |y, sign| line(y).matches(sign).count();
        let width = 78 - usize::from(DAY + 2 * NUMBER + 2 * HALF + 1);
        assert_eq!(["█", "▚", "▒"].map(|sign| count(1, sign)), [width / 2, width / 4, width / 4]);
        assert_eq!(["█", "▚", "▒"].map(|sign| count(2, sign)), [width / 4, 0, width / 4]);
        assert!(line(1).contains("4.00") && line(1).contains("LLLLL│") && line(1).contains("0.20"), "{}", line(1));
        assert!(line(2).contains("│RRR ") || line(2).contains("│RR "), "{}", line(2));
        assert!(line(3).contains("0.00") && !line(3).contains('L'), "{}", line(3));
    }
}
