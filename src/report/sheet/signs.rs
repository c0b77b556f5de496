//! One sign a verdict, so that a table of many cutters stays narrow and a drawing reads without colour.

use super::model::CutterPart;
use crate::round::CutterState;

/// A sign and what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sign {
    pub mark: &'static str,
    pub word: &'static str,
    /// Name of its look in a page: `good`, `warn`, `bad` or `quiet`.
    pub look: &'static str,
}

const fn sign(mark: &'static str, word: &'static str, look: &'static str) -> Sign {
    Sign { mark, word, look }
}

/// The signs of the columns, for a legend.
pub(super) const LEGEND: &str = "L length: = even, > long, < short. A angle: = true, / off. G raker gap: = good, \
                                 ^ raker too high, v raker TOO LOW. ? measure again, . not measured.";

pub(super) fn length(verdict: &str) -> Sign {
    match verdict {
        "even" => sign("=", "even", "good"),
        "long" => sign(">", "too long", "warn"),
        "short" => sign("<", "too short", "warn"),
        "again" => sign("?", "measure again", "warn"),
        _ => sign(".", "not measured", "quiet"),
    }
}

pub(super) fn angle(verdict: &str) -> Sign {
    match verdict {
        "true" => sign("=", "true", "good"),
        "off" => sign("/", "angle off", "warn"),
        "again" => sign("?", "measure again", "warn"),
        _ => sign(".", "not measured", "quiet"),
    }
}

pub(super) fn gap(verdict: &str) -> Sign {
    match verdict {
        "good" => sign("=", "good", "good"),
        "high" => sign("^", "raker too high", "warn"),
        "low" => sign("v", "raker too low", "bad"),
        "again" => sign("?", "measure again", "warn"),
        _ => sign(".", "not measured", "quiet"),
    }
}

/// The one sign of a cutter that matters most.
pub(super) fn of_cutter(cutter: &CutterPart) -> Sign {
    let verdicts = cutter.verdicts;
    match cutter.state {
        CutterState::Missing => return sign("x", "missing", "quiet"),
        _ if verdicts.gap == "low" => return gap("low"),
        CutterState::LeftShort => return sign("s", "left short", "quiet"),
        CutterState::Kept | CutterState::Damaged => {}
    }
    // A hand protractor is too coarse to prove an angle: only one that is proven off is shown.
    match (verdicts.length, verdicts.angle, verdicts.gap) {
        ("long" | "short", ..) => length(verdicts.length),
        (_, "off", _) => angle("off"),
        (.., "high") => gap("high"),
        ("again", ..) | (.., "again") => length("again"),
        _ => length(verdicts.length),
    }
}
