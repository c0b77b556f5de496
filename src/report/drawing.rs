//! What drawings inside a page share: the frame with its words for those who cannot see it, and axes.
//!
//! Lines are told apart by their dashes and points by their shape, so that a drawing reads in black and white. Strokes
//! and fills are said on the elements and not only in the page's style.

use maud::{Markup, html};

use crate::units::{Unit, mm};

/// Width of every drawing.
pub(super) const WIDTH: f64 = 720.0;

/// A drawing: `name` is unique in its page, `title` and `desc` are what a screen reader says.
pub(super) fn svg(name: &str, height: f64, title: &str, desc: &str, body: &Markup) -> Markup {
    html! {
        svg id=(name) viewBox={ "0 0 " (WIDTH) " " (height) } font-size="11" fill="currentColor" stroke-width="1"
            role="img" aria-labelledby={ (name) "-title " (name) "-text" } {
            title id={ (name) "-title" } { (title) }
            desc id={ (name) "-text" } { (desc) }
            (body)
        }
    }
}

/// A place to a tenth.
pub(super) fn tenth(place: f64) -> String {
    format!("{place:.1}")
}

/// A place to a hundredth.
pub(super) fn fine(place: f64) -> String {
    format!("{place:.2}")
}

/// How a line is drawn where it is not thin and unbroken.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stroke {
    width: Option<&'static str>,
    dashes: Option<&'static str>,
}

/// A line of that width.
pub(super) const fn wide(width: &'static str) -> Stroke {
    Stroke { width: Some(width), dashes: None }
}

/// A line in dashes.
pub(super) const fn dashed(dashes: &'static str) -> Stroke {
    Stroke { width: None, dashes: Some(dashes) }
}

/// A straight line.
pub(super) fn line(class: &str, (x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: Stroke) -> Markup {
    html! {
        line class=(class) stroke="currentColor" x1=(fine(x1)) y1=(fine(y1)) x2=(fine(x2)) y2=(fine(y2))
            stroke-width=[stroke.width] stroke-dasharray=[stroke.dashes] {}
    }
}

/// Words at a place; `anchor` is `start`, `middle` or `end`.
pub(super) fn text((x, y): (f64, f64), anchor: &str, words: &str) -> Markup {
    html! { text x=(tenth(x)) y=(tenth(y)) text-anchor=(anchor) { (words) } }
}

/// The name of the upward axis, along it.
pub(super) fn upward(middle: f64, name: &str) -> Markup {
    html! { text transform={ "translate(12 " (format!("{middle:.0}")) ") rotate(-90)" } text-anchor="middle" { (name) } }
}

/// Points as an attribute's value.
pub(super) fn points(points: impl Iterator<Item = (f64, f64)>) -> String {
    points.map(|(x, y)| format!("{x:.2},{y:.2}")).collect::<Vec<_>>().join(" ")
}

/// From values to places along one direction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axis {
    /// Value at the first place; may be the larger one.
    pub from: f64,
    /// Value at the second place.
    pub to: f64,
    /// The places.
    pub at: (f64, f64),
}

impl Axis {
    /// An axis that covers the values and a little more.
    pub(super) fn around(values: impl Iterator<Item = f64>, at: (f64, f64)) -> Self {
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
        if low > high {
            return Self { from: 0.0, to: 1.0, at };
        }
        let room = ((high - low) * 0.06).max(0.05);
        Self { from: low - room, to: high + room, at }
    }

    /// Place of a value.
    pub(super) fn place(&self, value: f64) -> f64 {
        self.at.0 + (value - self.from) / (self.to - self.from) * (self.at.1 - self.at.0)
    }

    /// Round values along it, at most about `most` of them, `per` being the size of the unit that they are round in; with their
    /// labels.
    pub(super) fn ticks(&self, most: f64, per: f64) -> Vec<(f64, String)> {
        let (low, high) = (self.from.min(self.to) / per, self.from.max(self.to) / per);
        let rough = ((high - low) / most).max(1e-6);
        let ten = 10_f64.powf(rough.log10().floor());
        let step =
            [1.0, 2.0, 5.0, 10.0].map(|n| n * ten).into_iter().find(|step| *step >= rough * 0.999).unwrap_or(ten);
        let whole = |power: &f64| (step * power - (step * power).round()).abs() < 1e-6;
        let decimals = [1.0, 10.0, 100.0, 1e3, 1e4, 1e5].iter().position(whole).unwrap_or(5);
        let first = (low / step - 1e-9).ceil();
        (0..64)
            .map(|i| (first + f64::from(i)) * step)
            .take_while(|at| *at <= high + step * 1e-6)
            .map(|at| (at * per, format!("{:.decimals$}", at + 0.0)))
            .collect()
    }
}

/// A field between two axes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field {
    /// To the right.
    pub x: Axis,
    /// Upwards.
    pub y: Axis,
}

/// Where the field lies in the drawing: left, right, top, bottom.
pub(super) const FIELD: (f64, f64, f64, f64) = (52.0, 708.0, 14.0, 206.0);
/// Height of a drawing with a field.
pub(super) const FIELD_HEIGHT: f64 = 246.0;

impl Field {
    /// Place of a pair of values.
    pub(super) fn place(&self, x: f64, y: f64) -> (f64, f64) {
        (self.x.place(x), self.y.place(y))
    }

    /// Lines, numbers and names of both axes. `x_per` and `y_per` are the sizes of the units of the numbers.
    pub(super) fn grid(&self, x_name: &str, x_per: f64, y_name: &str, y_per: f64) -> Markup {
        let (left, right, top, bottom) = FIELD;
        html! {
            @for (value, label) in self.y.ticks(6.0, y_per) {
                @let y = self.y.place(value);
                (line("grid", (left, y), (right, y), wide("0.6")))
                (text((left - 6.0, y + 4.0), "end", &label))
            }
            @for (value, label) in self.x.ticks(12.0, x_per) {
                @let x = self.x.place(value);
                (line("grid", (x, top), (x, bottom), wide("0.6")))
                (text((x, bottom + 15.0), "middle", &label))
            }
            (text((f64::midpoint(left, right), bottom + 33.0), "middle", x_name))
            (upward(f64::midpoint(top, bottom), y_name))
        }
    }
}

/// Millimetres in the unit that lengths are shown in.
pub(super) const fn per(unit: Unit) -> f64 {
    match unit {
        Unit::Mm => 1.0,
        Unit::Inch => crate::units::MM_PER_INCH,
    }
}

/// A length with its unit.
pub(super) fn named(unit: Unit, value_mm: f64) -> String {
    unit.show_named(mm(value_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_may_run_either_way_and_its_ticks_are_round() {
        let axis = Axis { from: 10.0, to: 3.0, at: (0.0, 700.0) };
        assert!((axis.place(9.0) - 100.0).abs() < 1e-9);
        let ticks = axis.ticks(10.0, 1.0);
        assert_eq!(
            ticks.iter().map(|tick| tick.1.as_str()).collect::<Vec<_>>(),
            ["3", "4", "5", "6", "7", "8", "9", "10"]
        );
        let inches = Axis { from: 8.0, to: 8.6, at: (0.0, 1.0) }.ticks(6.0, 25.4);
        assert_eq!(inches[0].1, "0.315");
        assert!((inches[0].0 - 0.315 * 25.4).abs() < 1e-9);
    }

    #[test]
    fn no_values_and_one_value_make_an_axis_too() {
        for axis in [Axis::around([].into_iter(), (0.0, 1.0)), Axis::around([8.0].into_iter(), (0.0, 1.0))] {
            assert!(axis.place(8.0).is_finite() && axis.ticks(6.0, 1.0).len() > 1);
        }
    }

    #[test]
    fn words_in_a_drawing_are_shown_and_not_obeyed() {
        let drawn = svg("x", 10.0, "<b>", "a & b", &text((0.0, 0.0), "end", "<i>")).into_string();
        assert!(drawn.contains("&lt;b&gt;") && drawn.contains("a &amp; b") && drawn.contains("&lt;i&gt;"));
    }
}
