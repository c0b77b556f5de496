//! Cutter lengths round the loop, before and after, left and right apart, with the band that they should end in.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

use super::plot::{Axis, Scale, axes, dash, span, words};
use super::text::put;
use crate::chain::{CutterNumber, Side};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Millimetres, Unit};

/// One cutter's lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// Number from the start mark.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// Length before filing.
    pub before: Option<Millimetres>,
    /// Length after.
    pub after: Option<Millimetres>,
}

/// The chart: two panels, left above right, or one where rows are few.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileChart<'a> {
    /// Looks.
    pub theme: Theme,
    /// The cutters in loop order.
    pub points: &'a [ProfilePoint],
    /// Shortest and longest that counts as even.
    pub band: Option<(Millimetres, Millimetres)>,
    /// Number of the cutter in hand.
    pub current: Option<CutterNumber>,
    /// Unit of the numbers.
    pub unit: Unit,
}

/// Rows from which each side has a panel of its own.
const TWO_PANELS: u16 = 18;

impl ProfileChart<'_> {
    fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = [Side::Left, Side::Right].into_iter().map(|side| self.range_of(side)).collect();
        if let Some((low, high)) = self.band {
            lines.push(format!("even from {} to {}", self.unit.show(low), self.unit.show_named(high)));
        }
        lines
    }

    /// Shortest and longest of a side, after filing where known.
    fn range_of(&self, side: Side) -> String {
        let own = self.points.iter().filter(|point| point.side == side);
        let lengths = own.filter_map(|point| point.after.or(point.before)).map(Millimetres::get);
        match span(lengths, 0.0, 0.0) {
            Some([low, high]) => {
                let [low, high] = [low, high].map(Millimetres::new);
                format!("{side}: {} to {}", self.unit.show(low), self.unit.show_named(high))
            }
            None => format!("{side}: not measured"),
        }
    }

    fn y_range(&self) -> Option<[f64; 2]> {
        let lengths = self.points.iter().flat_map(|point| [point.before, point.after]).flatten();
        let band = self.band.into_iter().flat_map(|(low, high)| [low, high]);
        span(lengths.chain(band).map(Millimetres::get), 0.5, 0.08)
    }
}

impl Widget for &ProfileChart<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let Some(y_range) = self.y_range().filter(|_| area.width >= 30 && area.height >= 8) else {
            words(self.theme, area, buf, &self.lines());
            return;
        };
        if area.height >= TWO_PANELS {
            let upper = Rect { height: area.height / 2, ..area };
            let lower = Rect { y: upper.bottom(), height: area.height - upper.height, ..area };
            self.panel(upper, buf, y_range, &[Side::Left]);
            self.panel(lower, buf, y_range, &[Side::Right]);
        } else {
            self.panel(area, buf, y_range, &[Side::Left, Side::Right]);
        }
    }
}

impl ProfileChart<'_> {
    fn panel(&self, area: Rect, buf: &mut Buffer, y_range: [f64; 2], sides: &[Side]) {
        let theme = self.theme;
        let last = self.points.iter().map(|point| point.number.get()).max().unwrap_or(1).max(2);
        let x = Axis::counts([0.0, f64::from(last) + 1.0], area.width, "cutter");
        let y = Axis::lengths(y_range, self.unit, area.height, "length");
        let Some(scale) = axes(theme, area, buf, &x, &y) else { return };
        self.draw_band(scale, buf);
        // All marks of before first, so that they never hide one of after.
        for after in [false, true] {
            for point in self.points.iter().filter(|point| sides.contains(&point.side)) {
                let Some(length) = (if after { point.after } else { point.before }) else { continue };
                let sign = point.side.letter().to_string();
                let (sign, role) =
                    if after { (sign, Role::of_side(point.side)) } else { (sign.to_lowercase(), Role::Quiet) };
                scale.sign(buf, theme, (f64::from(point.number.get()), length.get()), &sign, role);
            }
        }
        if let Some(current) =
            self.current.filter(|n| self.points.iter().any(|p| p.number == *n && sides.contains(&p.side)))
        {
            scale.sign(buf, theme, (f64::from(current.get()), scale.y[0]), theme.glyph(Glyph::Up), Role::Current);
        }
        self.head(scale, buf, area, sides);
    }

    fn draw_band(&self, scale: Scale, buf: &mut Buffer) {
        let Some((low, high)) = self.band else { return };
        for limit in [low, high] {
            let line = [(scale.x[0], limit.get()), (scale.x[1], limit.get())];
            scale.path(buf, dash(self.theme), self.theme.colour(Role::Good), &line);
        }
    }

    /// Above the picture: whose panel this is and which sign is which.
    fn head(&self, scale: Scale, buf: &mut Buffer, area: Rect, sides: &[Side]) {
        let key = match sides {
            [side] => {
                let letter = side.letter();
                format!("{side}: {} before, {letter} after", letter.to_ascii_lowercase())
            }
            _ => "l r before, L R after".to_owned(),
        };
        let line = self.theme.glyph(Glyph::Line);
        let key = if self.band.is_some() { format!("{key}, {line}{line} even") } else { key };
        let x = scale.area.x + 12;
        put(buf, area, (x, area.y), &key, self.theme.style(Role::Text));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::nth;
    use crate::units::mm;

    fn points() -> Vec<ProfilePoint> {
        (1..=10)
            .map(|number| ProfilePoint {
                number: nth(number),
                side: if number % 2 == 1 { Side::Left } else { Side::Right },
                before: Some(mm(8.5 - f64::from(number) * 0.05)),
                after: (number < 9).then(|| mm(7.8)),
            })
            .collect()
    }

    fn chart(points: &[ProfilePoint]) -> ProfileChart<'_> {
        ProfileChart {
            theme: Theme::default(),
            points,
            band: Some((mm(7.75), mm(7.85))),
            current: None,
            unit: Unit::Mm,
        }
    }

    fn signs(buf: &Buffer, rows: std::ops::Range<u16>, sign: &str) -> usize {
        buf.area.positions().filter(|at| rows.contains(&at.y) && buf[*at].symbol() == sign).count()
    }

    #[test]
    fn each_side_has_its_panel_and_every_length_its_sign() {
        let points = points();
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        (&chart(&points)).render(buf.area, &mut buf);
        // The head of a panel names each sign once.
        assert_eq!(signs(&buf, 1..12, "L"), 4);
        assert_eq!(signs(&buf, 1..12, "R"), 0);
        assert_eq!(signs(&buf, 13..24, "R"), 4);
        assert_eq!(signs(&buf, 1..10, "l"), 5);
        let mut low = Buffer::empty(Rect::new(0, 0, 80, 14));
        (&chart(&points)).render(low.area, &mut low);
        assert_eq!((signs(&low, 1..12, "L"), signs(&low, 1..12, "R")), (4, 4));
    }

    #[test]
    fn without_room_or_readings_the_ranges_are_said() {
        let points = points();
        assert_eq!(
            chart(&points).lines(),
            ["left: 7.80 to 8.05 mm", "right: 7.80 to 8.00 mm", "even from 7.75 to 7.85 mm"]
        );
        assert_eq!(chart(&[]).range_of(Side::Left), "left: not measured");
    }
}
