//! The median length round by round, and ahead of it the forecast as a fan down to the witness mark.

use maud::{Markup, html};

use super::History;
use crate::report::data::Number;
use crate::report::drawing::{Axis, FIELD, FIELD_HEIGHT, Field, dashed, fine, line, named, per, points, svg, text};
use crate::round::Tool;
use crate::units::Unit;

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
            self.ahead.line
        );
        let drawn = points(known.iter().map(|(round, length, _)| field.place(*round, length.0)));
        let body = html! {
            (field.grid("round", 1.0, &format!("median length, {}", unit.name()), per(unit)))
            @for (word, at) in [("witness mark", self.mark_length_mm), ("changeover", self.worth_length_mm)] {
                @let y = field.y.place(at.0);
                (line("soft", (FIELD.0, y), (FIELD.1, y), dashed("7 3")))
                (text((FIELD.0 + 4.0, y - 4.0), "start", word))
            }
            @if self.retired.is_none() { (self.rays(&field, (last, length.0))) }
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
        let ahead = [self.ahead.low, self.ahead.rounds_left, self.ahead.high];
        let furthest = ahead.into_iter().flatten().max().filter(|_| self.retired.is_none()).unwrap_or(0);
        let lengths = self.rounds.iter().filter_map(|row| Some(row.median_after_mm?.0));
        let ends = [self.mark_length_mm.0, self.new_length_mm.0];
        Field {
            x: Axis { from: 0.0, to: last + f64::from(furthest) + 1.0, at: (left, right) },
            y: Axis::around(lengths.chain(ends), (bottom, top)),
        }
    }

    /// From the last length down to the mark: fewest, most likely and most rounds.
    fn rays(&self, field: &Field, from: (f64, f64)) -> Markup {
        let ends = [
            ("low", self.ahead.low, "2 3"),
            ("best", self.ahead.rounds_left, "none"),
            ("high", self.ahead.high, "2 3"),
        ];
        let (x, y) = field.place(from.0, from.1);
        html! {
            @for (name, rounds, dashes) in ends { @if let Some(rounds) = rounds {
                @let to = field.place(from.0 + f64::from(rounds), self.mark_length_mm.0);
                line class="two" stroke="currentColor" x1=(fine(x)) y1=(fine(y)) x2=(fine(to.0)) y2=(fine(to.1))
                    stroke-dasharray=(dashes) data-ray=(name) data-rounds=(rounds) {}
            } }
        }
    }
}
