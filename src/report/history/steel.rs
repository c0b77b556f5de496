//! Where the steel of each round went, as stacked bars, and beside it by how much the left side was longer than the right.

use maud::{Markup, html};

use super::{History, Row};
use crate::report::drawing::{Axis, dashed, fine, line, named, svg, text, wide};
use crate::report::words::day;
use crate::units::{Unit, mm};

/// Most rounds drawn: the last ones.
const MOST: usize = 24;
/// Height of a round, and of what stands above the first.
const ROW: f64 = 18.0;
const TOP: f64 = 20.0;
/// Where the bars lie, and the strips.
const BARS: (f64, f64) = (78.0, 420.0);
const STRIPS: (f64, f64) = (500.0, 660.0);

impl History {
    /// `None` where there is no round of which both lengths are known.
    pub(super) fn steel(&self, unit: Unit) -> Option<Markup> {
        let told: Vec<&Row> = self.rounds.iter().filter(|row| row.is_signed() && row.removed.is_some()).collect();
        let told = &told[told.len().saturating_sub(MOST)..];
        let most = told.iter().filter_map(|row| Some(row.removed?.all_mm.0)).fold(0.0, f64::max);
        if most <= 0.0 {
            return None;
        }
        let apart = told.iter().filter_map(|row| Some(row.left_less_right_mm?.0.abs())).fold(0.1, f64::max);
        let bars = Axis { from: 0.0, to: most, at: BARS };
        let strips = Axis { from: -apart, to: apart, at: STRIPS };
        let height = TOP + ROW * told.len() as f64 + 6.0;
        let middle = strips.place(0.0);
        let desc = format!(
            "Steel taken off all cutters together in each of {} rounds, split into wear, damage and evening-up; and left less right after it, at most {}.",
            told.len(),
            named(unit, apart)
        );
        let body = html! {
            (text((BARS.0, 12.0), "start", &format!("steel off, {}", unit.of_lengths())))
            (text((middle, 12.0), "middle", "right longer | left longer"))
            (line("soft", (middle, TOP - 2.0), (middle, height - 4.0), dashed("2 3")))
            @for (row, y) in told.iter().zip((0..).map(|n| TOP + ROW * f64::from(n))) {
                (text((0.0, y + 12.0), "start", &day(&row.started)))
                (stacked(row, &bars, y, unit))
                @if let Some(apart) = row.left_less_right_mm {
                    (line("one", (middle, y + 8.0), (strips.place(apart.0), y + 8.0), wide("5")))
                    (text((STRIPS.1 + 8.0, y + 12.0), "start", &unit.show(mm(apart.0))))
                }
            }
        };
        Some(svg("steel", height, "Where the steel of each round went", &desc, &body))
    }
}

/// One bar: wear full, damage in strokes, evening-up hollow.
fn stacked(row: &Row, bars: &Axis, y: f64, unit: Unit) -> Markup {
    let Some(removed) = row.removed else { return html! {} };
    let parts = [("wear", removed.wear_mm), ("damage", removed.damage_mm), ("evening", removed.evening_mm)];
    let ends: Vec<f64> = parts
        .iter()
        .scan(0.0, |sum, (_, mm)| {
            *sum += mm.0.max(0.0);
            Some(*sum)
        })
        .collect();
    let whole = bars.place(ends[2]);
    html! {
        @for ((name, part), end) in parts.iter().zip(&ends) { @if part.0 > 0.0 {
            @let (from, to) = (bars.place(end - part.0), bars.place(*end));
            @let fill = if *name == "wear" { "currentColor" } else { "none" };
            rect class="one" x=(fine(from)) y=(fine(y + 2.0)) width=(fine(to - from)) height="12" fill=(fill)
                stroke="currentColor" data-part=(name) data-mm=(part) {}
            @if *name == "damage" {
                line class="one" x1=(fine(from)) y1=(fine(y + 8.0)) x2=(fine(to)) y2=(fine(y + 8.0)) stroke="currentColor"
                    stroke-width="12" stroke-dasharray="1.5 3" {}
            }
        } }
        (text((whole + 6.0, y + 12.0), "start", &unit.show(mm(removed.all_mm.0))))
    }
}
