//! The three gaps over cutter length as a drawing inside the page.
//!
//! New is at the left and the witness mark at the right, as a cutter's life runs. Lines differ in their dashes as well as
//! in their colour, so that the drawing reads in black and white.

use maud::{Markup, html};

use super::{GapTable, samples};
use crate::chain::Stage;
use crate::report::drawing::{points, tenth, text, upward};
use crate::units::{Millimetres, Unit};

const LEFT: f64 = 52.0;
const RIGHT: f64 = 704.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 186.0;
/// Pieces of each line.
const PIECES: u32 = 70;

/// From millimetres to the drawing.
struct Frame {
    from: Millimetres,
    to: Millimetres,
    low: f64,
    high: f64,
    unit: Unit,
}

impl Frame {
    fn x(&self, length: Millimetres) -> f64 {
        LEFT + (self.from - length).get() / (self.from - self.to).get() * (RIGHT - LEFT)
    }

    fn y(&self, gap: Millimetres) -> f64 {
        BOTTOM - (gap.get() - self.low) / (self.high - self.low) * (BOTTOM - TOP)
    }
}

impl GapTable {
    pub(super) fn curve(&self, unit: Unit) -> Markup {
        let lines = self.lines();
        let frame = self.frame(&lines, unit);
        let summary = format!(
            "Raker gap over cutter length from {} to {}. {}",
            unit.show_named(frame.from),
            unit.show_named(frame.to),
            lines.iter().map(|line| line.sentence(unit)).collect::<Vec<_>>().join(" ")
        );
        html! {
            svg viewBox="0 0 720 232" font-size="11" fill="currentColor" stroke-width="0.6" role="img"
                aria-labelledby="curve-title curve-text" {
                title id="curve-title" { "Raker gap over cutter length" }
                desc id="curve-text" { (summary) }
                (grid(&frame))
                (self.turns(&frame))
                @for (i, line) in lines.iter().enumerate() { (line.draw(&frame, i as f64)) }
            }
        }
    }

    /// The rules as lines of (length, gap).
    fn lines(&self) -> Vec<Line> {
        let (from, to) = self.ends();
        let (spec, wood) = (&self.spec, self.wood);
        let line = |class, name, dashes, gap: &dyn Fn(Millimetres) -> Millimetres| Line {
            class,
            name,
            dashes,
            points: samples(from, to, PIECES).map(|length| (length, gap(spec.wear(length)))).collect(),
        };
        let mut lines = vec![
            line("fixed", "fixed gap", "none", &|_| spec.fixed_gap(wood)),
            line("scaled", "wear-scaled gap", "9 3", &|wear| spec.scaled_gap(wood, wear)),
        ];
        if let Some(plate) = spec.plate {
            lines.push(line("plate", "plate gauge", "3 3", &|wear| plate.gap(spec, wear)));
        }
        lines
    }

    fn frame(&self, lines: &[Line], unit: Unit) -> Frame {
        let (from, to) = self.ends();
        let gaps = || lines.iter().flat_map(|line| line.points.iter().map(|(_, gap)| gap.get()));
        let step = gap_step(unit).get();
        let low = gaps().fold(0.0, f64::min);
        let high = gaps().fold(step, f64::max);
        Frame { from, to, low: (low / step).floor() * step, high: (high / step).ceil() * step, unit }
    }

    /// Where the changeover points and the witness mark stand, each label on a row of its own.
    fn turns(&self, frame: &Frame) -> Markup {
        let stages = [(Stage::Worth, "worth", 0.0), (Stage::Due, "due", 1.0), (Stage::Retire, "mark", 2.0)];
        let inside = |at: &Millimetres| (frame.to..=frame.from).contains(at);
        html! {
            @for (stage, word, row) in stages { @if let Some(at) = self.begins(stage).filter(inside) {
                @let x = frame.x(at);
                // To the left of its line, unless the edge of the drawing is there.
                @let (label_x, anchor) = if x > LEFT + 80.0 { (x - 4.0, "end") } else { (x + 4.0, "start") };
                line class="turn" stroke="currentColor" stroke-dasharray="2 3" x1=(tenth(x)) y1=(TOP) x2=(tenth(x))
                    y2=(BOTTOM) {}
                (text((label_x, BOTTOM - 6.0 - 12.0 * row), anchor, &format!("{word} {}", frame.unit.show(at))))
            } }
        }
    }
}

struct Line {
    class: &'static str,
    name: &'static str,
    dashes: &'static str,
    points: Vec<(Millimetres, Millimetres)>,
}

impl Line {
    fn sentence(&self, unit: Unit) -> String {
        let end = |point: Option<&(Millimetres, Millimetres)>| {
            point.map_or_else(String::new, |(_, gap)| unit.show_named(*gap))
        };
        format!("{}: {} to {}.", self.name, end(self.points.first()), end(self.points.last()))
    }

    /// The line and its place in the key above the drawing.
    fn draw(&self, frame: &Frame, place: f64) -> Markup {
        let x = LEFT + 170.0 * place;
        let class = format!("rule {}", self.class);
        let drawn = points(self.points.iter().map(|&(length, gap)| (frame.x(length), frame.y(gap))));
        // Said here and not only in the page's style, so that a viewer without styles draws lines and not areas.
        html! {
            polyline class=(class) fill="none" stroke="currentColor" stroke-width="2" stroke-dasharray=(self.dashes)
                points=(drawn) {}
            line class=(class) fill="none" stroke="currentColor" stroke-width="2" stroke-dasharray=(self.dashes)
                x1=(x) y1="14" x2=(x + 36.0) y2="14" {}
            text x=(x + 42.0) y="18" { (self.name) }
        }
    }
}

/// Gap between two lines of the grid.
const fn gap_step(unit: Unit) -> Millimetres {
    match unit {
        Unit::Mm => Millimetres::new(0.25),
        Unit::Inch => Millimetres::from_inches(0.01),
    }
}

/// Cutter length between two lines of the grid: a round one that gives at most about ten.
fn length_step(range: Millimetres, unit: Unit) -> Millimetres {
    let steps = match unit {
        Unit::Mm => [0.1, 0.2, 0.5, 1.0, 2.0, 5.0].map(Millimetres::new),
        Unit::Inch => [0.005, 0.01, 0.02, 0.05, 0.1, 0.2].map(Millimetres::from_inches),
    };
    steps.into_iter().find(|step| range.get() / step.get() <= 10.0).unwrap_or(range)
}

/// Multiples of `step` from `low` to `high`.
fn multiples(low: f64, high: f64, step: f64) -> impl Iterator<Item = Millimetres> {
    let first = (low / step - 1e-9).ceil();
    (0..200)
        .map(move |i| (first + f64::from(i)) * step)
        .take_while(move |at| *at <= high + step * 1e-6)
        .map(Millimetres::new)
}

fn grid(frame: &Frame) -> Markup {
    let (decimals_gap, decimals_length) = match frame.unit {
        Unit::Mm => (2, 1),
        Unit::Inch => (2, 3),
    };
    let number = |length: Millimetres, decimals: usize| match frame.unit {
        Unit::Mm => format!("{:.decimals$}", length.get()),
        Unit::Inch => format!("{:.decimals$}", length.inches()),
    };
    let gaps = multiples(frame.low, frame.high, gap_step(frame.unit).get());
    let step = length_step(frame.from - frame.to, frame.unit).get();
    let unit = frame.unit.of_lengths();
    html! {
        @for gap in gaps {
            @let y = frame.y(gap);
            line class="grid" stroke="currentColor" x1=(LEFT) y1=(tenth(y)) x2=(RIGHT) y2=(tenth(y)) {}
            text x=(LEFT - 6.0) y=(tenth(y + 4.0)) text-anchor="end" { (number(gap, decimals_gap)) }
        }
        @for length in multiples(frame.to.get(), frame.from.get(), step) {
            @let x = tenth(frame.x(length));
            line class="grid" stroke="currentColor" x1=(x) y1=(TOP) x2=(x) y2=(BOTTOM) {}
            text x=(x) y=(BOTTOM + 16.0) text-anchor="middle" { (number(length, decimals_length)) }
        }
        text x=(f64::midpoint(LEFT, RIGHT)) y=(BOTTOM + 36.0) text-anchor="middle" { "cutter length, " (unit) }
        (upward(f64::midpoint(TOP, BOTTOM), &format!("raker gap, {unit}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::{Wood, profile::built_in};
    use crate::units::mm;

    /// The drawing's own numbers, read back from its text and turned to millimetres by the labels of its grid.
    #[test]
    fn the_drawn_lines_are_the_rules() {
        let profile = built_in::named("three-eighths").unwrap();
        let table = GapTable::new(&profile, Wood::Any, None, None, mm(0.5), None).unwrap();
        let svg = table.curve(Unit::Mm).into_string();
        let (spec, frame) = (profile.spec(), table.frame(&table.lines(), Unit::Mm));
        assert_eq!((frame.low, frame.high), (0.0, 1.5));
        for (class, gap) in [
            ("fixed", (|spec, _| crate::chain::Spec::fixed_gap(spec, Wood::Any)) as fn(&crate::chain::Spec, _) -> _),
            ("scaled", |spec, wear| spec.scaled_gap(Wood::Any, wear)),
            ("plate", |spec, wear| spec.plate.unwrap().gap(spec, wear)),
        ] {
            let line = svg.split_once(&format!("<polyline class=\"rule {class}\"")).unwrap().1;
            let points = line.split_once("points=\"").unwrap().1.split_once('"').unwrap().0;
            assert_eq!(points.split(' ').count(), 71);
            for point in points.split(' ') {
                let (x, y) = point.split_once(',').unwrap();
                let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                let length = mm(10.0 - 7.0 * (x - LEFT) / (RIGHT - LEFT));
                let drawn = 1.5 * (BOTTOM - y) / (BOTTOM - TOP);
                assert!((drawn - gap(spec, spec.wear(length)).get()).abs() < 1e-3, "{class} at {length:?}");
            }
        }
    }

    #[test]
    fn the_grid_is_round_and_not_crowded() {
        for range in [0.3, 1.0, 7.0, 8.5, 39.0] {
            for unit in [Unit::Mm, Unit::Inch] {
                let step = length_step(mm(range), unit);
                assert!(multiples(0.0, range, step.get()).count() <= 11, "{range} {unit:?}");
            }
        }
        let at: Vec<f64> = multiples(3.0, 5.0, 1.0).map(Millimetres::get).collect();
        assert_eq!(at, [3.0, 4.0, 5.0]);
    }
}
