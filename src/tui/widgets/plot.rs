//! What all drawings share: scales, axes with round ticks, and the dots they are drawn with.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Context, Line};

use super::text::{put, width};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{MM_PER_INCH, Unit};

/// A place on a drawing, in the drawing's own unit.
pub(super) type Point = (f64, f64);

/// Fine dots for what matters.
pub(super) fn solid(theme: Theme) -> Marker {
    if theme.ascii() { Marker::Custom('*') } else { Marker::Braille }
}

/// Sparse dots for what lies behind.
pub(super) fn faint(theme: Theme) -> Marker {
    Marker::Custom(theme.sign(Glyph::Faint))
}

/// Dashes for level limits.
pub(super) fn dash(theme: Theme) -> Marker {
    Marker::Custom(theme.sign(Glyph::Line))
}

/// Strokes for upright limits.
pub(super) fn upright(theme: Theme) -> Marker {
    Marker::Custom(theme.sign(Glyph::Bar))
}

/// Which part of the plane an area shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub(super) area: Rect,
    pub(super) x: [f64; 2],
    pub(super) y: [f64; 2],
}

impl Scale {
    /// The same length per column and per half row, so that shapes and angles keep their form; `low` and `high` are
    /// opposite corners of what must be seen. `None` without room or for numbers that are not finite.
    pub(super) fn square(area: Rect, low: Point, high: Point) -> Option<Self> {
        let (dots_x, dots_y) = (2.0 * f64::from(area.width) - 1.0, 4.0 * f64::from(area.height) - 1.0);
        let (wide, high_by) = (high.0 - low.0, high.1 - low.1);
        let dot = (wide / dots_x).max(high_by / dots_y);
        if area.is_empty() || !(dot.is_finite() && dot > 0.0) {
            return None;
        }
        let around = |from: f64, to: f64, dots: f64| {
            let (middle, half) = (f64::midpoint(from, to), dot * dots / 2.0);
            [middle - half, middle + half]
        };
        Some(Self { area, x: around(low.0, high.0, dots_x), y: around(low.1, high.1, dots_y) })
    }

    /// How far apart two dots lie, half a column or a quarter of a row.
    pub(super) fn dot(&self) -> f64 {
        (self.x[1] - self.x[0]) / (2.0 * f64::from(self.area.width) - 1.0)
    }

    /// The cell that shows a point, which may lie outside the area.
    pub(super) fn cell(&self, (x, y): Point) -> (i32, i32) {
        let along = |value: f64, [from, to]: [f64; 2], cells: u16| {
            // A saturating cast: what is far outside stays outside.
            #[allow(clippy::cast_possible_truncation)]
            let cell = ((value - from) / (to - from) * f64::from(cells.saturating_sub(1))).round() as i32;
            cell.clamp(-10_000, 10_000)
        };
        let right = along(x, self.x, self.area.width);
        let down = i32::from(self.area.height) - 1 - along(y, self.y, self.area.height);
        (i32::from(self.area.x) + right, i32::from(self.area.y) + down)
    }

    /// The same, where it lies inside.
    pub(super) fn inside(&self, point: Point) -> Option<(u16, u16)> {
        let (x, y) = self.cell(point);
        let cell = (u16::try_from(x).ok()?, u16::try_from(y).ok()?);
        self.area.contains(cell.into()).then_some(cell)
    }

    /// Draws lines and dots.
    pub(super) fn draw(&self, buf: &mut Buffer, marker: Marker, paint: impl Fn(&mut Context)) {
        let drawable = self.x.iter().chain(&self.y).all(|bound| is_drawable(*bound));
        if drawable && self.area.intersection(buf.area) == self.area && !self.area.is_empty() {
            Canvas::default().marker(marker).x_bounds(self.x).y_bounds(self.y).paint(paint).render(self.area, buf);
        }
    }

    /// One sign at a point.
    pub(super) fn sign(&self, buf: &mut Buffer, theme: Theme, point: Point, sign: &str, role: Role) {
        if let Some(cell) = self.inside(point) {
            put(buf, self.area, cell, sign, theme.style(role));
        }
    }

    /// A broken line through points.
    pub(super) fn path(&self, buf: &mut Buffer, marker: Marker, colour: Color, points: &[Point]) {
        self.draw(buf, marker, |context| polyline(context, colour, points));
    }
}

/// True for numbers that a drawing can hold: finite, and so far below the largest that no scaling of them overflows. (A line to an
/// infinitely far point would be drawn dot by dot without end.)
fn is_drawable(value: f64) -> bool {
    value.abs() < 1e9
}

/// Joins points by straight lines; points that cannot be drawn are left out.
fn polyline(context: &mut Context, colour: Color, points: &[Point]) {
    for pair in points.windows(2) {
        let [(x1, y1), (x2, y2)] = [pair[0], pair[1]];
        if [x1, y1, x2, y2].into_iter().all(is_drawable) {
            context.draw(&Line::new(x1, y1, x2, y2, colour));
        }
    }
}

/// Smallest and largest of the finite values, at least `least` apart, with a share of the spread added at each end.
pub(super) fn span(values: impl IntoIterator<Item = f64>, least: f64, margin: f64) -> Option<[f64; 2]> {
    let (low, high) = values
        .into_iter()
        .filter(|value| is_drawable(*value))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    if low > high {
        return None;
    }
    let spread = (high - low).max(least);
    let (middle, half) = (f64::midpoint(low, high), spread * (0.5 + margin));
    Some([middle - half, middle + half])
}

/// One axis: what it runs over, where its ticks stand and what they say.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    pub(super) range: [f64; 2],
    pub(super) ticks: Vec<(f64, String)>,
    pub(super) title: String,
}

impl Axis {
    /// An upright axis of lengths, in the unit that the person reads.
    pub(super) fn lengths(range: [f64; 2], unit: Unit, rows: u16, title: &str) -> Self {
        let ticks = length_ticks(range, unit, usize::from(rows / 3).clamp(2, 8));
        Self { range, ticks, title: format!("{title}, {}", unit.name()) }
    }

    /// A level axis of whole numbers.
    pub(super) fn counts(range: [f64; 2], columns: u16, title: &str) -> Self {
        let ticks = round_ticks(range, usize::from(columns / 8).clamp(2, 12), 1.0)
            .into_iter()
            .filter(|tick| tick.fract().abs() < 1e-9)
            .map(|tick| (tick, format!("{tick:.0}")))
            .collect();
        Self { range, ticks, title: title.to_owned() }
    }
}

/// Ticks in mm with their text in the unit's own round numbers.
pub(super) fn length_ticks([low, high]: [f64; 2], unit: Unit, wanted: usize) -> Vec<(f64, String)> {
    let (factor, finest) = match unit {
        Unit::Mm => (1.0, 0.01),
        Unit::Inch => (MM_PER_INCH, 0.0005),
    };
    let ticks = round_ticks([low / factor, high / factor], wanted, finest);
    let step = ticks.windows(2).map(|pair| pair[1] - pair[0]).fold(1.0, f64::min);
    let places = (0..4).find(|places| {
        let scaled = step * 10_f64.powi(*places);
        (scaled - scaled.round()).abs() < 1e-6 && scaled > 0.5
    });
    let places = usize::try_from(places.unwrap_or(4)).unwrap_or(4);
    // Adding zero turns a negative zero into a plain one.
    ticks.into_iter().map(|tick| (tick * factor, format!("{:.places$}", tick + 0.0))).collect()
}

/// About `wanted` numbers inside the range at a step of 1, 2 or 5 times a power of ten, not finer than `finest`.
fn round_ticks([low, high]: [f64; 2], wanted: usize, finest: f64) -> Vec<f64> {
    let raw = (high - low) / wanted.max(1) as f64;
    if !(raw.is_finite() && raw > 0.0) {
        return Vec::new();
    }
    let power = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|times| times * power).into_iter().find(|step| *step >= raw * 0.999);
    let step = step.unwrap_or(10.0 * power).max(finest);
    let first = (low / step - 1e-9).ceil();
    (0..40).map(|n| (first + f64::from(n)) * step).take_while(|tick| *tick <= high + step * 1e-9).collect()
}

/// Draws both axes and gives the scale of what is left. `None` where there is no room for a picture.
///
/// The upright axis has its title in the first row; the level one has its own in the row of its numbers, at the right.
pub(super) fn axes(theme: Theme, area: Rect, buf: &mut Buffer, x: &Axis, y: &Axis) -> Option<Scale> {
    let area = area.intersection(buf.area);
    let gutter = y.ticks.iter().map(|(_, text)| width(text)).max().unwrap_or(0) + 1;
    if area.width < gutter + 16 || area.height < 7 {
        return None;
    }
    let inner = Rect { x: area.x + gutter, y: area.y + 1, width: area.width - gutter, height: area.height - 3 };
    let scale = Scale { area: inner, x: x.range, y: y.range };
    let (frame, quiet) = (theme.style(Role::Frame), theme.style(Role::Quiet));
    put(buf, area, (area.x, area.y), &y.title, quiet);
    let (axis_x, axis_y) = (inner.x - 1, inner.bottom());
    for row in inner.top()..inner.bottom() {
        put(buf, area, (axis_x, row), theme.glyph(Glyph::Bar), frame);
    }
    for column in inner.left()..inner.right() {
        put(buf, area, (column, axis_y), theme.glyph(Glyph::Line), frame);
    }
    put(buf, area, (axis_x, axis_y), theme.glyph(Glyph::LowerLeft), frame);
    for (value, text) in &y.ticks {
        if let Some((_, row)) = scale.inside((x.range[0], *value)) {
            put(buf, area, (axis_x - width(text).min(axis_x), row), text, quiet);
            put(buf, area, (axis_x, row), theme.glyph(Glyph::TickLeft), frame);
        }
    }
    level_ticks(theme, area, buf, x, &scale);
    Some(scale)
}

fn level_ticks(theme: Theme, area: Rect, buf: &mut Buffer, x: &Axis, scale: &Scale) {
    let (inner, quiet) = (scale.area, theme.style(Role::Quiet));
    let title_from = inner.right().saturating_sub(width(&x.title));
    put(buf, area, (title_from.max(inner.x), inner.bottom() + 1), &x.title, quiet);
    let mut free_from = area.x;
    for (value, text) in &x.ticks {
        let Some((column, _)) = scale.inside((*value, scale.y[0])) else { continue };
        let from = column.saturating_sub(width(text) / 2).max(area.x);
        if from >= free_from && from + width(text) < title_from {
            put(buf, area, (from, inner.bottom() + 1), text, quiet);
            put(buf, area, (column, inner.bottom()), theme.glyph(Glyph::TickDown), theme.style(Role::Frame));
            free_from = from + width(text) + 1;
        }
    }
}

/// Says in words what there is no room to draw, a line at a time.
pub(super) fn words(theme: Theme, area: Rect, buf: &mut Buffer, lines: &[String]) {
    let area = area.intersection(buf.area);
    for (row, line) in (area.top()..area.bottom()).zip(lines) {
        put(buf, area, (area.x, row), line, theme.style(Role::Text));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_in_the_unit_that_is_read() {
        let text = |range, unit, wanted| {
            length_ticks(range, unit, wanted).into_iter().map(|(_, text)| text).collect::<Vec<_>>()
        };
        assert_eq!(text([3.9, 8.6], Unit::Mm, 5), ["4", "5", "6", "7", "8"]);
        assert_eq!(text([0.0, 1.3], Unit::Mm, 4), ["0.0", "0.5", "1.0"]);
        assert_eq!(text([0.0, 1.3], Unit::Inch, 5), ["0.00", "0.02", "0.04"]);
        let (at, label) = length_ticks([0.0, 1.3], Unit::Inch, 5)[1].clone();
        assert!((at - 0.508).abs() < 1e-9 && label == "0.02");
        assert!(length_ticks([f64::NAN, 1.0], Unit::Mm, 5).is_empty());
        assert!(length_ticks([1.0, 1.0], Unit::Mm, 5).is_empty());
    }

    #[test]
    fn a_square_scale_has_as_many_units_a_row_as_two_columns() {
        let area = Rect::new(3, 2, 60, 20);
        let scale = Scale::square(area, (0.0, 0.0), (17.0, 9.0)).unwrap();
        let dot_x = (scale.x[1] - scale.x[0]) / (2.0 * 60.0 - 1.0);
        let dot_y = (scale.y[1] - scale.y[0]) / (4.0 * 20.0 - 1.0);
        assert!((dot_x - dot_y).abs() < 1e-12);
        assert!(scale.inside((0.0, 0.0)).is_some() && scale.inside((17.0, 9.0)).is_some());
        assert_eq!(Scale::square(area, (0.0, 0.0), (f64::NAN, f64::NAN)), None);
        assert_eq!(Scale::square(Rect::default(), (0.0, 0.0), (1.0, 1.0)), None);
    }

    #[test]
    fn a_span_has_room_even_for_one_value() {
        assert_eq!(span([f64::NAN], 1.0, 0.0), None);
        assert_eq!(span([8.0], 1.0, 0.0), Some([7.5, 8.5]));
        assert_eq!(span([1.0, 3.0], 1.0, 0.5), Some([0.0, 4.0]));
    }
}
