//! The three gaps over cutter length as a drawing inside the page.
//!
//! New is at the left and the witness mark at the right, as a cutter's life runs. Lines differ in their dashes as well as
//! in their colour, so that the drawing reads in black and white.

use super::{GapTable, plural, samples};
use crate::chain::Stage;
use crate::report::format::escape_html;
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
    pub(super) fn curve(&self, unit: Unit) -> String {
        let lines = self.lines();
        let frame = self.frame(&lines, unit);
        let summary = format!(
            "Raker gap over cutter length from {} to {}. {}",
            unit.show_named(frame.from),
            unit.show_named(frame.to),
            lines.iter().map(|line| line.sentence(unit)).collect::<Vec<_>>().join(" ")
        );
        let mut out = String::from(
            "<svg viewBox=\"0 0 720 232\" font-size=\"11\" fill=\"currentColor\" stroke-width=\"0.6\" role=\"img\" aria-labelledby=\"curve-title curve-text\">\n\
             <title id=\"curve-title\">Raker gap over cutter length</title>\n",
        );
        out.push_str(&format!("<desc id=\"curve-text\">{}</desc>\n", escape_html(&summary)));
        out.push_str(&grid(&frame));
        out.push_str(&self.turns(&frame));
        for (i, line) in lines.iter().enumerate() {
            out.push_str(&line.draw(&frame, i as f64));
        }
        out.push_str("</svg>\n");
        out
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
    fn turns(&self, frame: &Frame) -> String {
        let mut out = String::new();
        for (stage, word, row) in [(Stage::Worth, "worth", 0.0), (Stage::Due, "due", 1.0), (Stage::Retire, "mark", 2.0)]
        {
            let Some(at) = self.begins(stage).filter(|at| (frame.to..=frame.from).contains(at)) else { continue };
            let (x, label_y) = (frame.x(at), BOTTOM - 6.0 - 12.0 * row);
            // To the left of its line, unless the edge of the drawing is there.
            let (label_x, anchor) = if x > LEFT + 80.0 { (x - 4.0, "end") } else { (x + 4.0, "start") };
            out.push_str(&format!(
                "<line class=\"turn\" stroke=\"currentColor\" stroke-dasharray=\"2 3\" x1=\"{x:.1}\" y1=\"{TOP}\" x2=\"{x:.1}\" y2=\"{BOTTOM}\"/>\n\
                 <text x=\"{label_x:.1}\" y=\"{label_y:.1}\" text-anchor=\"{anchor}\">{word} {}</text>\n",
                frame.unit.show(at)
            ));
        }
        out
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
    fn draw(&self, frame: &Frame, place: f64) -> String {
        let points: Vec<String> =
            self.points.iter().map(|&(length, gap)| format!("{:.2},{:.2}", frame.x(length), frame.y(gap))).collect();
        let x = LEFT + 170.0 * place;
        // Said here and not only in the page's style, so that a viewer without styles draws lines and not areas.
        let stroke =
            format!("fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-dasharray=\"{}\"", self.dashes);
        format!(
            "<polyline class=\"rule {class}\" {stroke} points=\"{points}\"/>\n\
             <line class=\"rule {class}\" {stroke} x1=\"{x}\" y1=\"14\" x2=\"{}\" y2=\"14\"/>\n\
             <text x=\"{}\" y=\"18\">{}</text>\n",
            x + 36.0,
            x + 42.0,
            self.name,
            class = self.class,
            points = points.join(" "),
        )
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

fn grid(frame: &Frame) -> String {
    let mut out = String::new();
    let (decimals_gap, decimals_length) = match frame.unit {
        Unit::Mm => (2, 1),
        Unit::Inch => (2, 3),
    };
    let number = |length: Millimetres, decimals: usize| match frame.unit {
        Unit::Mm => format!("{:.decimals$}", length.get()),
        Unit::Inch => format!("{:.decimals$}", length.inches()),
    };
    for gap in multiples(frame.low, frame.high, gap_step(frame.unit).get()) {
        let y = frame.y(gap);
        out.push_str(&format!(
            "<line class=\"grid\" stroke=\"currentColor\" x1=\"{LEFT}\" y1=\"{y:.1}\" x2=\"{RIGHT}\" y2=\"{y:.1}\"/>\n\
             <text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n",
            LEFT - 6.0,
            y + 4.0,
            number(gap, decimals_gap)
        ));
    }
    for length in multiples(frame.to.get(), frame.from.get(), length_step(frame.from - frame.to, frame.unit).get()) {
        let x = frame.x(length);
        out.push_str(&format!(
            "<line class=\"grid\" stroke=\"currentColor\" x1=\"{x:.1}\" y1=\"{TOP}\" x2=\"{x:.1}\" y2=\"{BOTTOM}\"/>\n\
             <text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{}</text>\n",
            BOTTOM + 16.0,
            number(length, decimals_length)
        ));
    }
    let unit = plural(frame.unit);
    out.push_str(&format!(
        "<text x=\"{:.0}\" y=\"{}\" text-anchor=\"middle\">cutter length, {unit}</text>\n\
         <text transform=\"translate(12 {:.0}) rotate(-90)\" text-anchor=\"middle\">raker gap, {unit}</text>\n",
        f64::midpoint(LEFT, RIGHT),
        BOTTOM + 36.0,
        f64::midpoint(TOP, BOTTOM)
    ));
    out
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
        let svg = table.curve(Unit::Mm);
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
                assert!((drawn - gap(spec, spec.wear(length)).get()).abs() < 1e-3, "{class} at {length}");
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
