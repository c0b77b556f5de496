//! The loop as it lies on the bar: the nose to the right, cutter 1 at the top left, left cutters outside of the line and
//! right ones inside.

use std::f64::consts::PI;

use maud::{Markup, html};

use crate::chain::{CutterNumber, Side};
use crate::report::drawing::{WIDTH, line, svg, tenth, text, wide};
use crate::report::sheet::model::{CutterPart, Sheet};
use crate::report::sheet::signs;

const HEIGHT: f64 = 232.0;
const MIDDLE: f64 = 116.0;
/// Ends of the straight parts and radius of the turns.
const ENDS: (f64, f64) = (112.0, 608.0);
const RADIUS: f64 = 74.0;
/// How far cutters stand from the line, and numbers beyond them.
const OFF: f64 = 11.0;
const NUMBER_OFF: f64 = 27.0;

impl Sheet {
    pub(in crate::report::sheet) fn loop_map(&self) -> Markup {
        let fault = |look: &str| self.cutters.iter().filter(|c| signs::of_cutter(c).look == look).count();
        let desc = format!(
            "{} cutters on the bar, the nose to the right. {} without fault, {} to look at, {} dangerous. Each cutter's verdicts stand in the table.",
            self.cutters.len(),
            fault("good"),
            fault("warn"),
            fault("bad")
        );
        let spacing = length() / self.cutters.len().max(1) as f64;
        // A number needs about 18 to be read.
        let each = [1, 2, 5, 10, 20].into_iter().find(|n| f64::from(*n) * spacing >= 18.0).unwrap_or(50);
        let radius = (spacing * 0.45).clamp(2.5, 8.0);
        let body = html! {
            (track())
            @for cutter in &self.cutters {
                (self.cell(cutter, radius, cutter.number == CutterNumber::FIRST || cutter.number.get().is_multiple_of(each)))
            }
        };
        svg("map", HEIGHT, "Loop map", &desc, &body)
    }

    fn cell(&self, cutter: &CutterPart, radius: f64, numbered: bool) -> Markup {
        let sign = signs::of_cutter(cutter);
        // A cutter stands on two drive links.
        let share = (f64::from(cutter.link) + 1.0) / f64::from(self.round.links.max(1));
        let (at, out) = along(share);
        let way = if cutter.side == Side::Left { 1.0 } else { -1.0 };
        let put = |off: f64| (at.0 + out.0 * off * way, at.1 + out.1 * off * way);
        let (place, number) = (put(OFF), put(NUMBER_OFF));
        let length =
            cutter.length_mm.map_or("not measured".to_owned(), |n| self.units.show_named(crate::units::mm(n.0)));
        let title = format!("Cutter {}, {}, {}: {length}, {}", cutter.number, cutter.side, cutter.state, sign.word);
        html! {
            g class=(sign.look) data-cutter=(cutter.number) data-sign=(sign.word) data-length-mm=[cutter.length_mm]
                data-gap-mm=[cutter.gap_mm] {
                title { (title) }
                circle cx=(tenth(place.0)) cy=(tenth(place.1)) r=(tenth(radius)) fill="none" stroke="currentColor" {}
                text x=(tenth(place.0)) y=(tenth(place.1 + radius * 0.55)) text-anchor="middle"
                    font-size=(tenth(radius * 1.7)) { (sign.mark) }
            }
            @if numbered { (text((number.0, number.1 + 3.5), "middle", &cutter.number.to_string())) }
        }
    }
}

/// Length of the line.
fn length() -> f64 {
    2.0 * (ENDS.1 - ENDS.0) + 2.0 * PI * RADIUS
}

/// Place and outward direction at a share of the line, from the top left in running direction.
fn along(share: f64) -> ((f64, f64), (f64, f64)) {
    let (straight, turn) = (ENDS.1 - ENDS.0, PI * RADIUS);
    let s = share.rem_euclid(1.0) * length();
    if s < straight {
        return ((ENDS.0 + s, MIDDLE - RADIUS), (0.0, -1.0));
    }
    if s < straight + turn {
        return on_turn(ENDS.1, (s - straight) / RADIUS - PI / 2.0);
    }
    if s < 2.0 * straight + turn {
        return ((ENDS.1 - (s - straight - turn), MIDDLE + RADIUS), (0.0, 1.0));
    }
    on_turn(ENDS.0, (s - 2.0 * straight - turn) / RADIUS + PI / 2.0)
}

fn on_turn(centre: f64, angle: f64) -> ((f64, f64), (f64, f64)) {
    let (sin, cos) = angle.sin_cos();
    ((centre + RADIUS * cos, MIDDLE + RADIUS * sin), (cos, sin))
}

fn track() -> Markup {
    let (top, bottom) = (MIDDLE - RADIUS, MIDDLE + RADIUS);
    let (left, right) = ENDS;
    let turn = format!("A{RADIUS} {RADIUS} 0 0 1");
    html! {
        path class="soft" fill="none" stroke="currentColor"
            d=(format!("M{left} {top} H{right} {turn} {right} {bottom} H{left} {turn} {left} {top}")) {}
        (line("soft", (left, top - 20.0), (left, top + 20.0), wide("2")))
        (text((left - 6.0, top - 16.0), "end", "start mark"))
        (text((f64::midpoint(0.0, WIDTH), MIDDLE + 4.0), "middle", "sprocket  <   chain runs this way above   >  nose"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_is_closed_and_even() {
        let steps = 1000;
        let places: Vec<(f64, f64)> = (0..=steps).map(|i| along(f64::from(i) / f64::from(steps)).0).collect();
        let step = length() / f64::from(steps);
        for pair in places.windows(2) {
            let apart = (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
            assert!((apart - step).abs() < 0.01 * step, "{apart} {step}");
        }
        let (first, last) = (places[0], places[places.len() - 1]);
        assert!((first.0 - last.0).abs() < 1e-6 && (first.1 - last.1).abs() < 1e-6);
        assert!((along(0.25).0.0 - WIDTH / 2.0).abs() > 1.0);
    }
}
