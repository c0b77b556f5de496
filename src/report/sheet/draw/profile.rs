//! Length over the loop, before and after, with the tolerance band round the length that cutters are held against.

use maud::{Markup, html};

use super::{Mark, mark};
use crate::report::data::Number;
use crate::report::drawing::{Axis, FIELD, FIELD_HEIGHT, Field, Stroke, dashed, fine, line, named, per, svg, text};
use crate::report::sheet::model::{CutterPart, Sheet};
use crate::report::sheet::promise::Greatest;

impl Sheet {
    pub(in crate::report::sheet) fn length_profile(&self) -> Markup {
        let field = self.profile_field();
        let unit = self.units;
        let body = html! {
            (self.band(&field))
            (field.grid("cutter", 1.0, &format!("cutter length, {}", unit.name()), per(unit)))
            @for cutter in &self.cutters { (marks(cutter, &field)) }
        };
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
        let spread = |of: Option<Greatest>| of.map_or("not measured".to_owned(), |of| self.apart(of));
        format!(
            "Length of each cutter in loop order. Longest less shortest before filing: {}, after{}: {}.{}",
            spread(self.greatest_before()),
            self.aside(),
            spread(self.greatest_after()),
            self.evenness.reference_mm.map_or_else(String::new, |mm| format!(
                " Band: {} either way of {}.",
                named(unit, self.evenness.tolerance_mm.0),
                named(unit, mm.0)
            ))
        )
    }

    fn band(&self, field: &Field) -> Markup {
        let Some(reference) = self.evenness.reference_mm else { return html! {} };
        let (left, right, ..) = FIELD;
        let tolerance = self.evenness.tolerance_mm;
        let (high, low) = (field.y.place(reference.0 + tolerance.0), field.y.place(reference.0 - tolerance.0));
        let middle = field.y.place(reference.0);
        let words = format!("{} +/- {}", named(self.units, reference.0), named(self.units, tolerance.0));
        html! {
            rect class="band" fill-opacity="0.8" x=(left) y=(fine(high)) width=(right - left) height=(fine(low - high))
                data-reference-mm=(reference) data-tolerance-mm=(tolerance) {}
            (line("one", (left, middle), (right, middle), dashed("7 3")))
            (text((left + 4.0, low - 4.0), "start", &words))
        }
    }
}

/// Hollow as it came, full after filing.
fn marks(cutter: &CutterPart, field: &Field) -> Markup {
    let x = f64::from(cutter.number.get());
    let at = |value: Number| field.place(x, value.0);
    let put = |value, drawn| mark(cutter.number, cutter.side, at(value), &drawn);
    let (before_mm, after_mm) = (cutter.before_mm, cutter.after_mm);
    html! {
        @if let (Some(before), Some(after)) = (before_mm, after_mm) {
            (line("grid", at(before), at(after), Stroke::default()))
        }
        @if let Some(before) = before_mm { (put(before, Mark { fill: "none", before_mm, ..Mark::default() })) }
        @if let Some(after) = after_mm { (put(after, Mark { fill: "currentColor", after_mm, ..Mark::default() })) }
    }
}
