//! The drawings of the page. What they show stands in the table too; a drawing is one picture to a screen reader, with
//! a title and a sentence.
//!
//! Every mark carries the values it was drawn from as `data-` attributes, in mm and degrees as in the JSON.

mod cutter;
mod gaps;
mod loop_map;
mod profile;

use maud::{Markup, html};

use crate::chain::{CutterNumber, Side};
use crate::report::data::Number;
use crate::report::drawing::fine;

/// A cutter in a field: left ones round, right ones square.
#[derive(Default)]
struct Mark<'a> {
    fill: &'a str,
    class: Option<&'static str>,
    before_mm: Option<Number>,
    after_mm: Option<Number>,
    length_mm: Option<Number>,
    gap_mm: Option<Number>,
    verdict: Option<&'static str>,
}

fn mark(cutter: CutterNumber, side: Side, (x, y): (f64, f64), mark: &Mark) -> Markup {
    let Mark { fill, class, before_mm, after_mm, length_mm, gap_mm, verdict } = mark;
    match side {
        Side::Left => html! {
            circle class=[class] data-cutter=(cutter) data-before-mm=[before_mm] data-after-mm=[after_mm]
                data-length-mm=[length_mm] data-gap-mm=[gap_mm] data-verdict=[verdict]
                cx=(fine(x)) cy=(fine(y)) r="3" fill=(fill) stroke="currentColor" {}
        },
        Side::Right => html! {
            rect class=[class] data-cutter=(cutter) data-before-mm=[before_mm] data-after-mm=[after_mm]
                data-length-mm=[length_mm] data-gap-mm=[gap_mm] data-verdict=[verdict]
                x=(fine(x - 2.7)) y=(fine(y - 2.7)) width="5.4" height="5.4" fill=(fill) stroke="currentColor" {}
        },
    }
}
