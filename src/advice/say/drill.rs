//! Drills in words: what each is, when it is passed, which comes next, how the next set is told.
//!
//! What the file is for: what holds of a drill before a set of it is begun. It must not know what was entered in one: what a set
//! asks stands in `asked`, what came of it in `came`.

mod asked;
mod came;

use crate::drill::{Drill, MOST_A_DAY, Next, NextWhy, NoSet, Stage, StageWhy};
use crate::units::{Unit, mm};

pub(crate) use asked::{at_mark, guessed, no_gap_left, no_room, over_cap, place, question};
pub(crate) use came::{apart, curve, curve_line, item, set, tip, together};

/// Name of a drill.
pub(crate) const fn name(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => "Measure twice",
        Drill::FindShort => "Find the short one",
        Drill::SameStrokes => "Same strokes",
        Drill::HoldAngle => "Hold the angle",
        Drill::StopAtLength => "Stop at the length",
        Drill::SetGap => "Set the gap",
        Drill::SeeEdge => "See the edge",
    }
}

/// What it trains.
pub(crate) const fn trains(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => "readings that repeat",
        Drill::FindShort => "the eye before the caliper",
        Drill::SameStrokes => "equal steel on both sides",
        Drill::HoldAngle => "both wrists alike",
        Drill::StopAtLength => "filing down to a length and not past it",
        Drill::SetGap => "lowering a raker step by step, never past its gap",
        Drill::SeeEdge => "file height, and an edge that is sharp all along",
    }
}

/// What is done, on a practice loop in the vice.
pub(crate) const fn how(drill: Drill) -> &'static str {
    match drill {
        Drill::MeasureTwice => {
            "Number six cutters. Wipe the jaws, zero the caliper. Each cutter is asked for three times in shuffled order; earlier figures are not shown."
        }
        Drill::FindShort => {
            "Number the cutters of a side. Name the shortest by eye, then measure it and the two that look next shortest. Five sides."
        }
        Drill::SameStrokes => {
            "Twelve cutters, six a side. Measure each three times, file each exactly six strokes, one side, turn, the other side; then measure each three times again."
        }
        Drill::HoldAngle => {
            "Lay a printed card with lines from 25 to 35 degrees under the loop. Twelve cutters, six a side; a partner reads the angle. First without cutting, later with three strokes."
        }
        Drill::StopAtLength => {
            "Twelve cutters, six a side. Measure one; the program says what length to file to. Say how many strokes it will take, file, measure: three visits at most."
        }
        Drill::SetGap => {
            "Twelve rakers, six a side. Lay a straight-edge across neighbouring corners and measure with a depth rod. Measure, file, round the front, measure twice. Three sets a loop."
        }
        Drill::SeeEdge => {
            "Draw a pen mark over the top plate's edge and the side plate. File until it is gone at the corner, then look against the light at three places. Twelve cutters."
        }
    }
}

/// What it costs in steel; nothing where none comes off.
pub(crate) fn costs(drill: Drill, unit: Unit) -> Option<String> {
    let named = |length: f64| unit.show_named(mm(length));
    match drill {
        Drill::SameStrokes => {
            Some(format!("A set takes about {} off each cutter, and stops at the witness mark.", named(0.44)))
        }
        Drill::StopAtLength => Some(format!(
            "A set takes {} to {} off each cutter, and stops at the witness mark.",
            unit.show(mm(0.2)),
            named(0.4)
        )),
        Drill::SetGap => Some(format!(
            "Steel taken off a raker cannot return: {} of gap costs about {} of cutter to regain. The maker's limit comes first.",
            named(0.1),
            unit.rough(mm(0.6))
        )),
        Drill::SeeEdge => Some("A set takes a few strokes off each cutter: stop at the witness mark.".to_owned()),
        Drill::MeasureTwice | Drill::FindShort | Drill::HoldAngle => None,
    }
}

/// When it is passed.
pub(crate) fn passes(drill: Drill, unit: Unit) -> String {
    let named = |length: f64| unit.show_named(mm(length));
    match drill {
        Drill::MeasureTwice => {
            format!("the readings of a cutter scatter by {} or less, and the closed jaws read zero", named(0.04))
        }
        Drill::FindShort => {
            format!("on four sides of five the cutter named is within {} of the shortest measured", named(0.1))
        }
        Drill::SameStrokes => "two sets running in which the sides differ by 10 % or less".to_owned(),
        Drill::HoldAngle => {
            "two sets running in which the mean of each side is within 1.5 degrees and at most 2 of 12 are off by more than 4"
                .to_owned()
        }
        Drill::StopAtLength => format!(
            "two sets running in which at most 2 of 12 end more than {} too short or {} too long",
            named(0.05),
            named(0.1)
        ),
        Drill::SetGap => format!(
            "two sets running in which at most 2 of 12 miss (more than {} too high), and none is more than {} too low",
            named(0.1),
            named(0.05)
        ),
        Drill::SeeEdge => "12 of 12 without a mark left".to_owned(),
    }
}

/// How soon the learner is told.
pub(crate) const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Each => "told at each",
        Stage::Outside => "told only where it is a miss",
        Stage::Halves => "told after 6 and 12",
        Stage::End => "told at the end",
    }
}

/// How the next set is told, and why.
pub(crate) fn next(next: Next) -> String {
    let why = match next.why {
        StageWhy::First => "the first set".to_owned(),
        StageWhy::Less => "one step less than last time, so that the hand learns to judge for itself".to_owned(),
        StageWhy::Least => "as last time".to_owned(),
        StageWhy::Back { more } => format!("{more} more misses than the set before: one step back"),
        StageWhy::Chosen => "chosen by the instructor".to_owned(),
        StageWhy::Always => "always in this drill".to_owned(),
    };
    format!("{}: {why}", stage(next.stage))
}

/// Why no set may be begun.
pub(crate) fn no_set(why: NoSet) -> String {
    match why {
        NoSet::MeasureFirst => {
            "Not begun: pass Measure twice first. Without it an error of reading would count against a good hand."
                .to_owned()
        }
        NoSet::EnoughToday(done) => {
            format!(
                "Not begun: {done} sets of this drill were done today, and {MOST_A_DAY} are enough. Come back tomorrow."
            )
        }
    }
}

/// Why this drill comes next.
pub(crate) fn why_next(why: NextWhy) -> &'static str {
    match why {
        NextWhy::Gate => "own readings come first: without them an error of reading counts against a good hand",
        NextWhy::Relapsed => "it was steady and is no longer",
        NextWhy::Begun => "it was begun and is not passed yet",
        NextWhy::Next => "it is the next that is not passed",
        NextWhy::Keep => "all are passed: keep the one that was left longest",
    }
}
