//! The cutter that wants attention most, from the side and to scale, over the outline of a new one.
//!
//! Exact are what the arithmetic knows: length, back slope, reach, raker gap. The rest is a plain cutter of our own in
//! shares of its span.

use maud::{Markup, html};

use crate::chain::Spec;
use crate::chain::geometry::bite_angle;
use crate::report::drawing::{Stroke, WIDTH, dashed, fine, line, named, points, svg, text, wide};
use crate::report::sheet::model::{CutterPart, Sheet};
use crate::units::{Millimetres, mm};

const HEIGHT: f64 = 280.0;
/// Room round the drawing.
const MARGIN: f64 = 46.0;

/// A cutter's outline in mm: along the chain from the rear edge of the top plate, up from the line of the rivets.
struct Outline {
    corner: (f64, f64),
    raker: (f64, f64),
    around: Vec<(f64, f64)>,
}

impl Outline {
    fn new(spec: &Spec, length: Millimetres, gap: Millimetres) -> Self {
        let wear = spec.wear(length);
        let span = (spec.new_length + spec.reach_new).get();
        let high = 0.5 * span;
        let corner = (length.get(), high - spec.tip_drop(wear).get());
        let heel = (0.0, high - spec.tip_drop(spec.new_length).get());
        let raker = (corner.0 + spec.reach(wear).get(), corner.1 - gap.get());
        // The gullet may not rise above a raker, however deep it was filed.
        let floor = (0.16 * span).min(raker.1 - 0.03 * span);
        let front = spec.new_length.get() + spec.reach_new.get() + 0.13 * span;
        let around = vec![
            corner,
            (corner.0 - 0.03 * span, corner.1 - 0.10 * span),
            (corner.0 + 0.03 * span, floor + 0.04 * span),
            (corner.0 + 0.10 * span, floor),
            ((raker.0 - 0.10 * span).max(corner.0 + 0.12 * span), floor),
            ((raker.0 - 0.05 * span).max(corner.0 + 0.13 * span), raker.1 - 0.02 * span),
            raker,
            (raker.0 + 0.05 * span, raker.1 - 0.02 * span),
            (front.max(raker.0 + 0.07 * span), floor.min(0.1 * span)),
            (front, -0.12 * span),
            (-0.04 * span, -0.12 * span),
            (-0.05 * span, 0.05 * span),
            heel,
        ];
        Self { corner, raker, around }
    }
}

/// From mm to the drawing: one scale both ways.
struct Scale {
    per_mm: f64,
    left: f64,
    base: f64,
}

impl Scale {
    fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.left + x * self.per_mm, self.base - y * self.per_mm)
    }

    fn around(outlines: [&Outline; 2]) -> Self {
        let all = || outlines.iter().flat_map(|outline| outline.around.iter());
        let x = all().fold((0.0_f64, 0.0_f64), |(low, high), point| (low.min(point.0), high.max(point.0)));
        let y = all().fold((0.0_f64, 0.0_f64), |(low, high), point| (low.min(point.1), high.max(point.1)));
        let per_mm = ((WIDTH - 2.0 * MARGIN) / (x.1 - x.0)).min((HEIGHT - 2.0 * MARGIN) / (y.1 - y.0));
        let left = WIDTH / 2.0 - per_mm * f64::midpoint(x.0, x.1);
        Self { per_mm, left, base: HEIGHT - MARGIN + per_mm * y.0 }
    }
}

impl Sheet {
    /// `None` where no cutter was measured.
    pub(in crate::report::sheet) fn worst_cutter(&self) -> Option<Markup> {
        let worst = self.worst.as_ref()?;
        let cutter = self.cutters.iter().find(|cutter| cutter.number == worst.cutter)?;
        let length = mm(cutter.length_mm?.0);
        let spec = &self.spec;
        // A raker that was not measured is drawn as it should be.
        let gap = mm(cutter.gap_mm.or(cutter.target_gap_mm).map_or(spec.base_gap.get(), |gap| gap.0));
        let (worn, new) = (Outline::new(spec, length, gap), Outline::new(spec, spec.new_length, spec.base_gap));
        let scale = Scale::around([&worn, &new]);
        let desc = self.cutter_words(cutter, length, gap);
        let around = |outline: &Outline| points(outline.around.iter().map(|point| scale.place(*point)));
        let body = html! {
            polygon class="grid" fill="none" stroke="currentColor" stroke-dasharray="3 3" points=(around(&new)) {}
            polygon class="soft" fill="currentColor" fill-opacity="0.1" stroke="currentColor" stroke-width="1.6"
                data-cutter=(cutter.number) data-length-mm=[cutter.length_mm] data-gap-mm=[cutter.gap_mm]
                data-target-gap-mm=[cutter.target_gap_mm] points=(around(&worn)) {}
            (self.measures(cutter, &worn, &scale))
            (scale_bar(&scale))
        };
        Some(svg("cutter", HEIGHT, &format!("Cutter {} to scale", cutter.number), &desc, &body))
    }

    fn cutter_words(&self, cutter: &CutterPart, length: Millimetres, gap: Millimetres) -> String {
        let unit = self.units;
        let reach = self.spec.reach(self.spec.wear(length));
        let raker = match cutter.gap_mm {
            Some(_) => format!("raker gap {}, bite angle {}", unit.show_named(gap), bite_angle(gap, reach)),
            None => "raker gap not measured, drawn as it should be".to_owned(),
        };
        format!(
            "Side view of cutter {}, a new one dashed behind it: length {}, reach {}, {raker}.",
            cutter.number,
            unit.show_named(length),
            unit.show_named(reach)
        )
    }

    /// Lines and numbers for length, gap, reach and the witness mark.
    fn measures(&self, cutter: &CutterPart, worn: &Outline, scale: &Scale) -> Markup {
        let unit = self.units;
        let (corner, raker) = (scale.place(worn.corner), scale.place(worn.raker));
        let (heel_x, _) = scale.place((0.0, 0.0));
        let top = corner.1 - 22.0;
        let (length, reach) = (worn.corner.0, worn.raker.0 - worn.corner.0);
        let gap = match cutter.gap_mm {
            Some(gap) => format!("gap {}", named(unit, gap.0)),
            None => "gap not measured".to_owned(),
        };
        // The witness mark, on the line of the top plate.
        let mark = self.spec.mark_length.get();
        let on_plate = worn.corner.1 - (worn.corner.0 - mark) * self.spec.fall();
        let (from, to) = (scale.place((mark, on_plate)), scale.place((mark, on_plate - 1.2)));
        let over = |a: f64, b: f64| (f64::midpoint(a, b), top - 4.0);
        html! {
            (line("soft", (heel_x, top), (corner.0, top), Stroke::default()))
            (text(over(heel_x, corner.0), "middle", &format!("length {}", named(unit, length))))
            (text(over(corner.0, raker.0), "middle", &format!("reach {}", named(unit, reach))))
            (text((raker.0 + 8.0, f64::midpoint(corner.1, raker.1) - 2.0), "start", &gap))
            (line("soft", (corner.0, top), (raker.0, top), dashed("4 2")))
            (line("one", corner, (raker.0 + 6.0, corner.1), dashed("2 2")))
            (line("two", (raker.0 + 4.0, corner.1), (raker.0 + 4.0, raker.1), wide("2")))
            (line("bad", from, to, wide("2")))
            (text((to.0, to.1 + 12.0), "middle", "witness mark"))
        }
    }
}

/// Five millimetres, or two tenths of an inch for those who think in it: the drawing is true to itself at any size.
fn scale_bar(scale: &Scale) -> Markup {
    let (x, y) = (MARGIN, HEIGHT - 14.0);
    let end = x + 5.0 * scale.per_mm;
    html! {
        line stroke="currentColor" x1=(fine(x)) y1=(fine(y)) x2=(fine(end)) y2=(fine(y)) stroke-width="2"
            data-scale-mm="5" {}
        (text((end + 6.0, y + 4.0), "start", "5 mm (0.197 in)"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;

    #[test]
    fn length_reach_gap_and_slope_are_drawn_as_the_arithmetic_has_them() {
        for profile in built_in::all() {
            let spec = profile.spec();
            for share in [0.0, 0.4, 1.0] {
                let length = spec.new_length - spec.usable() * share;
                let drawn = Outline::new(spec, length, mm(0.7));
                let heel = drawn.around[drawn.around.len() - 1];
                let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
                assert!(near(drawn.corner.0 - heel.0, length.get()));
                assert!(near(drawn.raker.0 - drawn.corner.0, spec.reach(spec.wear(length)).get()));
                assert!(near(drawn.corner.1 - drawn.raker.1, 0.7));
                let slope = ((drawn.corner.1 - heel.1) / (drawn.corner.0 - heel.0)).atan().to_degrees();
                assert!(near(slope, spec.back_slope.get()), "{}: {slope}", profile.name);
                assert!(drawn.around.iter().filter(|p| p.0 > drawn.corner.0).all(|p| p.1 <= drawn.raker.1));
            }
        }
    }
}
