//! Length over the loop, before and after, with the tolerance band round the length that cutters are held against.

use super::data;
use crate::chain::Side;
use crate::report::drawing::{Axis, FIELD, FIELD_HEIGHT, Field, line, named, per, svg, text};
use crate::report::sheet::model::{CutterPart, Sheet};

impl Sheet {
    pub(in crate::report::sheet) fn length_profile(&self) -> String {
        let field = self.profile_field();
        let unit = self.units;
        let mut body = self.band(&field);
        body.push_str(&field.grid("cutter", 1.0, &format!("cutter length, {}", unit.name()), per(unit)));
        for cutter in &self.cutters {
            body.push_str(&marks(cutter, &field));
        }
        svg("profile", FIELD_HEIGHT, "Length profile", &self.profile_words(), &body)
    }

    fn profile_field(&self) -> Field {
        let (left, right, top, bottom) = FIELD;
        let even = &self.evenness;
        let reference = even.reference_mm.map(|mm| [mm.0 - even.tolerance_mm.0, mm.0 + even.tolerance_mm.0]);
        let measured =
            self.cutters.iter().flat_map(|cutter| [cutter.before_mm, cutter.after_mm]).flatten().map(|mm| mm.0);
        Field {
            x: Axis { from: 0.0, to: self.cutters.len() as f64 + 1.0, at: (left, right) },
            y: Axis::around(measured.chain(reference.into_iter().flatten()), (bottom, top)),
        }
    }

    fn profile_words(&self) -> String {
        let unit = self.units;
        let spread =
            |mm: Option<crate::report::data::Number>| mm.map_or("not measured".to_owned(), |mm| named(unit, mm.0));
        format!(
            "Length of each cutter in loop order. Longest less shortest before filing: {}, after: {}.{}",
            spread(self.round.spread_before_mm),
            spread(self.round.spread_after_mm),
            self.evenness.reference_mm.map_or_else(String::new, |mm| format!(
                " Band: {} either way of {}.",
                named(unit, self.evenness.tolerance_mm.0),
                named(unit, mm.0)
            ))
        )
    }

    fn band(&self, field: &Field) -> String {
        let Some(reference) = self.evenness.reference_mm else { return String::new() };
        let (left, right, ..) = FIELD;
        let tolerance = self.evenness.tolerance_mm;
        let (high, low) = (field.y.place(reference.0 + tolerance.0), field.y.place(reference.0 - tolerance.0));
        let middle = field.y.place(reference.0);
        format!(
            "<rect class=\"band\" fill-opacity=\"0.8\" x=\"{left}\" y=\"{high:.2}\" width=\"{}\" height=\"{:.2}\"{}{}/>\n{}",
            right - left,
            low - high,
            data("reference-mm", Some(reference)),
            data("tolerance-mm", Some(tolerance)),
            line("one", (left, middle), (right, middle), "stroke-dasharray=\"7 3\"")
        ) + &text(
            (left + 4.0, low - 4.0),
            "start",
            &format!("{} +/- {}", named(self.units, reference.0), named(self.units, tolerance.0)),
        )
    }
}

/// Hollow as it came, full after filing; left cutters round, right ones square.
fn marks(cutter: &CutterPart, field: &Field) -> String {
    let x = f64::from(cutter.number.get());
    let mark = |when: &str, value: crate::report::data::Number, fill: &str| {
        let (x, y) = field.place(x, value.0);
        let values = format!("data-cutter=\"{}\"{}", cutter.number, data(when, Some(value)));
        match cutter.side {
            Side::Left => {
                format!(
                    "<circle {values} cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"3\" fill=\"{fill}\" stroke=\"currentColor\"/>\n"
                )
            }
            Side::Right => format!(
                "<rect {values} x=\"{:.2}\" y=\"{:.2}\" width=\"5.4\" height=\"5.4\" fill=\"{fill}\" stroke=\"currentColor\"/>\n",
                x - 2.7,
                y - 2.7
            ),
        }
    };
    let mut out = String::new();
    if let (Some(before), Some(after)) = (cutter.before_mm, cutter.after_mm) {
        out.push_str(&line("grid", field.place(x, before.0), field.place(x, after.0), ""));
    }
    out.push_str(&cutter.before_mm.map(|value| mark("before-mm", value, "none")).unwrap_or_default());
    out.push_str(&cutter.after_mm.map(|value| mark("after-mm", value, "currentColor")).unwrap_or_default());
    out
}
