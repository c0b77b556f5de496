//! One sign per verdict, so that a table of many cutters stays narrow and a drawing reads without colour.

use super::model::CutterPart;
use crate::advice::{AngleWord, GapWord, LengthWord};
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

pub(super) const fn length(verdict: LengthWord) -> Sign {
    match verdict {
        LengthWord::Even => sign("=", "even", "good"),
        LengthWord::Long => sign(">", "too long", "warn"),
        LengthWord::Short => sign("<", "too short", "warn"),
        LengthWord::Again => sign("?", "measure again", "warn"),
        LengthWord::Unmeasured => sign(".", "not measured", "quiet"),
    }
}

pub(super) const fn angle(verdict: AngleWord) -> Sign {
    match verdict {
        AngleWord::True => sign("=", "true", "good"),
        AngleWord::Off => sign("/", "angle off", "warn"),
        AngleWord::Again => sign("?", "measure again", "warn"),
        AngleWord::Unmeasured => sign(".", "not measured", "quiet"),
    }
}

pub(super) const fn gap(verdict: GapWord) -> Sign {
    match verdict {
        GapWord::Good => sign("=", "good", "good"),
        GapWord::High => sign("^", "raker too high", "warn"),
        GapWord::Low => sign("v", "raker too low", "bad"),
        GapWord::Again => sign("?", "measure again", "warn"),
        GapWord::Unmeasured => sign(".", "not measured", "quiet"),
    }
}

/// The one sign of a cutter that matters most.
pub(super) const fn of_cutter(cutter: &CutterPart) -> Sign {
    let verdicts = cutter.verdicts;
    match (cutter.state, verdicts.gap) {
        (CutterState::Missing, _) => return sign("x", "missing", "quiet"),
        (_, GapWord::Low) => return gap(GapWord::Low),
        (CutterState::LeftShort, _) => return sign("s", "left short", "quiet"),
        (CutterState::Kept | CutterState::Damaged, _) => {}
    }
    // A hand protractor is too coarse to prove an angle: only one that is proven off is shown.
    match (verdicts.length, verdicts.angle, verdicts.gap) {
        (LengthWord::Long | LengthWord::Short, ..) => length(verdicts.length),
        (_, AngleWord::Off, _) => angle(AngleWord::Off),
        (.., GapWord::High) => gap(GapWord::High),
        (LengthWord::Again, ..) | (.., GapWord::Again) => length(LengthWord::Again),
        _ => length(verdicts.length),
    }
}
