//! What a round reckons with, and how well that is known.

use super::super::model::{GeometryPart, Known, SeenSlope};
use crate::advice::{Findings, slope};
use crate::chain::Origin;
use crate::report::data::Number;
use crate::round::Header;

pub(super) fn part(header: &Header, found: &Findings) -> GeometryPart {
    let (spec, known) = (&header.spec, &header.spec.known);

    let said = slope::counted_with(spec, header.units);
    let differs = found.slope.as_ref().and_then(|seen| slope::differs(spec, seen));
    GeometryPart {
        new_length_mm: with(spec.new_length.get(), known.new_length.u.get(), known.new_length.from),
        reach_new_mm: with(spec.reach_new.get(), known.reach.u.get(), known.reach.from),
        reach_growth: Number(spec.reach_growth()),
        back_slope_deg: with(spec.back_slope.get(), known.back_slope.u.get(), known.back_slope.from),
        seen_slope: found.slope.map(|seen| SeenSlope {
            value_deg: Number(seen.value.get()),
            low_deg: Number(seen.interval.low.get()),
            high_deg: Number(seen.interval.high.get()),
            pairs: seen.pairs,
        }),
        lines: said.into_iter().chain(differs).collect(),
    }
}

const fn with(value: f64, u: f64, from: Origin) -> Known {
    Known { value: Number(value), u: Number(u), from }
}
