//! The raker gap over a cutter's life by each rule, with the loop's own cutters on it.

use maud::{Markup, html};

use super::{Mark, mark};
use crate::advice::GapWord;
use crate::chain::Rule;
use crate::report::drawing::{Axis, FIELD, FIELD_HEIGHT, Field, dashed, fine, line, per, points, svg, text};
use crate::report::sheet::model::{CutterPart, Sheet};
use crate::units::{Millimetres, mm};

/// Pieces of each line.
const PIECES: u32 = 60;

impl Sheet {
    pub(in crate::report::sheet) fn gap_curve(&self) -> Markup {
        let field = self.gap_field();
        let unit = self.units;
        let measured: Vec<&CutterPart> =
            self.present().filter(|c| c.gap_mm.is_some() && c.length_mm.is_some()).collect();
        let desc = format!(
            "Raker gap over cutter length, new at the left and the witness mark at the right, by each rule. {} of {} cutters are drawn: {} good, {} too high, {} too low.",
            measured.len(),
            self.present().count(),
            self.rakers.good,
            self.rakers.high,
            self.rakers.low
        );
        let name = unit.name();
        let body = html! {
            (field.grid(&format!("cutter length, {name}"), per(unit), &format!("raker gap, {name}"), per(unit)))
            (self.turns(&field))
            @for (place, (rule, class, dashes)) in self.rules().into_iter().enumerate() {
                (self.rule_line(&field, rule, class, dashes, place))
            }
            @for cutter in measured { @if let Some(drawn) = point(cutter, &field) { (drawn) } }
        };
        svg("gaps", FIELD_HEIGHT, "Raker gaps of this loop", &desc, &body)
    }

    /// The rules that this chain has, each with its look.
    fn rules(&self) -> Vec<(Rule, &'static str, &'static str)> {
        let mut rules = vec![(Rule::Fixed, "soft", "none"), (Rule::Scaled, "one", "9 3")];
        if self.spec.plate.is_some() {
            rules.push((Rule::Plate, "two", "3 3"));
        }
        rules
    }

    fn target(&self, rule: Rule, length: Millimetres) -> Option<f64> {
        self.spec.target_gap(rule, self.round.wood, self.spec.wear(length)).map(Millimetres::get)
    }

    fn gap_field(&self) -> Field {
        let (left, right, top, bottom) = FIELD;
        let measured = self.cutters.iter().filter_map(|cutter| Some(cutter.gap_mm?.0));
        let ends = [self.spec.new_length, self.spec.mark_length];
        let drawn = self.rules().into_iter().flat_map(|(rule, ..)| ends.map(|length| self.target(rule, length)));
        let lengths = self.cutters.iter().filter_map(|cutter| Some(cutter.length_mm?.0));
        // The life of a cutter, and what was measured beyond it.
        let (longest, shortest) =
            lengths.fold((ends[0].get(), ends[1].get()), |(high, low), length| (high.max(length), low.min(length)));
        Field {
            x: Axis { from: longest, to: shortest, at: (left, right) },
            y: Axis::around(measured.chain(drawn.flatten()).chain([0.0]), (bottom, top)),
        }
    }

    fn rule_line(&self, field: &Field, rule: Rule, class: &str, dashes: &str, place: usize) -> Markup {
        let (new, mark) = (self.spec.new_length, self.spec.mark_length);
        let along = (0..=PIECES).map(|i| mm(new.get() + (mark - new).get() * f64::from(i) / f64::from(PIECES)));
        let drawn = along.filter_map(|length| Some(field.place(length.get(), self.target(rule, length)?)));
        let (x, y) = (FIELD.0 + 8.0 + 150.0 * place as f64, FIELD.2 + 6.0);
        html! {
            polyline class=(class) stroke="currentColor" data-rule=(rule.word()) fill="none" stroke-width="2"
                stroke-dasharray=(dashes) points=(points(drawn)) {}
            line class=(class) stroke="currentColor" x1=(fine(x)) y1=(fine(y)) x2=(fine(x + 30.0)) y2=(fine(y))
                fill="none" stroke-width="2" stroke-dasharray=(dashes) {}
            (text((x + 36.0, y + 4.0), "start", rule.word()))
        }
    }

    /// Where the changeover lies.
    fn turns(&self, field: &Field) -> Markup {
        let new = self.spec.new_length.get();
        html! {
            @for (word, wear, row) in [("worth", self.changeover.worth_mm, 0.0), ("due", self.changeover.due_mm, 1.0)] {
                @let x = field.x.place(new - wear.0);
                @if (FIELD.0..=FIELD.1).contains(&x) {
                    (line("soft", (x, FIELD.2), (x, FIELD.3), dashed("2 3")))
                    (text((x - 4.0, FIELD.3 - 6.0 - 12.0 * row), "end", word))
                }
            }
        }
    }
}

/// Too high or too low hollow.
fn point(cutter: &CutterPart, field: &Field) -> Option<Markup> {
    let (length, gap) = (cutter.length_mm?, cutter.gap_mm?);
    let (fill, look) = match cutter.verdicts.gap {
        GapWord::Low => ("none", "bad"),
        GapWord::High => ("none", "warn"),
        _ => ("currentColor", "good"),
    };
    let drawn = Mark {
        fill,
        class: Some(look),
        length_mm: Some(length),
        gap_mm: Some(gap),
        verdict: Some(cutter.verdicts.gap.into()),
        ..Mark::default()
    };
    Some(mark(cutter.number, cutter.side, field.place(length.0, gap.0), &drawn))
}
