//! The median length round by round, and ahead of it the forecast as a fan to the end of life.

use maud::{Markup, html};

use super::History;
use crate::advice::forecast::way;
use crate::report::data::Number;
use crate::report::drawing::{Axis, FIELD, FIELD_HEIGHT, Field, dashed, fine, line, named, per, points, svg, text};
use crate::round::Tool;
use crate::units::{Unit, mm};

impl History {
    /// `None` where no length was measured.
    pub(super) fn fan(&self, unit: Unit) -> Option<Markup> {
        let known: Vec<(f64, Number, Tool)> = self.known();
        let &(last, length, _) = known.last()?;
        let field = self.field(last);
        let desc = format!(
            "Median cutter length after each of {} rounds, from {} to {}. The witness mark lies at {}. {}",
            known.len(),
            named(unit, known[0].1.0),
            named(unit, length.0),
            named(unit, self.mark_length_mm.0),
            if self.expected.is_empty() { "" } else { &self.ahead.line }
        );
        let drawn = points(known.iter().map(|(round, length, _)| field.place(*round, length.0)));
        let body = html! {
            (field.grid("round", 1.0, &format!("median length, {}", unit.name()), per(unit)))
            @for (word, at) in [("witness mark", self.mark_length_mm), ("changeover", self.worth_length_mm)] {
                @let (y, words) = (field.y.place(at.0), format!("{word} {}", named(unit, at.0)));
                @if y >= FIELD.2 {
                    (line("soft", (FIELD.0, y), (FIELD.1, y), dashed("7 3")))
                    (text((FIELD.0 + 4.0, y - 4.0), "start", &words))
                } @else {
                    // Lengths above every reading would press the readings flat.
                    (text((FIELD.0 + 4.0, FIELD.2 + 11.0), "start", &format!("{words}, above")))
                }
            }
            (self.ways(&field, (last, length.0)))
            polyline class="one" stroke="currentColor" fill="none" stroke-width="2" points=(drawn) {}
            @for (round, length, tool) in &known {
                @let (x, y) = field.place(*round, length.0);
                @let fill = if *tool == Tool::File { "currentColor" } else { "none" };
                circle data-round=(round) data-median-after-mm=(length) cx=(fine(x)) cy=(fine(y)) r="3" fill=(fill)
                    stroke="currentColor" {}
            }
        };
        Some(svg("fan", FIELD_HEIGHT, "Length over the rounds, and ahead", &desc, &body))
    }

    /// Signed rounds with a length: place in the history, from 1.
    fn known(&self) -> Vec<(f64, Number, Tool)> {
        let placed = self.rounds.iter().enumerate().filter(|(_, row)| row.is_signed());
        placed.filter_map(|(i, row)| Some(((i + 1) as f64, row.median_after_mm?, row.tool))).collect()
    }

    fn field(&self, last: f64) -> Field {
        let (left, right, top, bottom) = FIELD;
        let lengths = self.rounds.iter().filter_map(|row| Some(row.median_after_mm?.0));
        Field {
            x: Axis { from: 0.0, to: last + self.expected.len() as f64 + 1.0, at: (left, right) },
            y: Axis::around(lengths.chain([self.mark_length_mm.0]), (bottom, top)),
        }
    }

    /// From the last length to the end of life: fewest, most likely and most rounds, each with its own dashes and its number.
    fn ways(&self, field: &Field, from: (f64, f64)) -> Markup {
        let drawn = |pick| -> Vec<(f64, f64)> {
            let way = way(mm(from.1), &self.expected, pick).into_iter();
            way.map(|(rounds, length)| field.place(from.0 + rounds, length.get())).collect()
        };
        let ways = [
            ("low", "fewest", self.ahead.low, "1.5 3", drawn(|round| round.low)),
            ("best", "likely", self.ahead.rounds_left, "none", drawn(|round| round.middle)),
            ("high", "most", self.ahead.high, "8 3", drawn(|round| round.high)),
        ];
        html! {
            @for (row, (name, word, rounds, dashes, way)) in ways.into_iter().enumerate() {
                @if let Some((&(x, y), rounds)) = way.last().zip(rounds) {
                    // Each word in a row of its own: three ends may lie close together.
                    @let above = FIELD.2 + 24.0 + 13.0 * row as f64;
                    (line("soft", (x, y), (x, above), dashed("1 4")))
                    (text((x - 3.0, above + 4.0), "end", &format!("{word} {rounds}")))
                    polyline class="two" stroke="currentColor" fill="none" points=(points(way.into_iter()))
                        stroke-dasharray=(dashes) data-ray=(name) data-rounds=(rounds) {}
                }
            }
        }
    }
}
