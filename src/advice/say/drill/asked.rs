//! A set of a drill while it is done, in words: what is asked, where the learner stands, where the file must stop, a guess held
//! against what came.
//!
//! What the file is for: what is said from one answer to the next. It must not know what a whole set comes to, nor any set before.

use super::name;
use crate::drill::{Drill, Item, Mistake, Slot};
use crate::units::{Millimetres, Unit};

/// The three answers of a guess: short or small, right, long or large.
const fn sides_of(drill: Drill) -> (&'static str, &'static str) {
    match drill {
        Drill::HoldAngle => ("smaller", "larger"),
        Drill::SetGap => ("raker too high", "raker too low"),
        _ => ("too short", "too long"),
    }
}

/// What is asked.
pub(crate) fn question(drill: Drill, slot: Slot, time: usize) -> String {
    let (under, over) = sides_of(drill);
    let again = if time > 1 { " again" } else { "" };
    match slot {
        Slot::Zero => "Close the jaws: what do they read?".to_owned(),
        Slot::Length | Slot::NamedLength => "Its length.".to_owned(),
        Slot::Before => format!("Measure it{again}."),
        Slot::After if drill == Drill::StopAtLength && time > 1 => {
            "Still too long: one more visit, then measure.".to_owned()
        }
        Slot::After if drill == Drill::StopAtLength => "File, then measure.".to_owned(),
        Slot::After => format!("Filed: measure it{again}."),
        Slot::Say => "How many strokes will it take?".to_owned(),
        Slot::Angle => "Its top-plate angle.".to_owned(),
        Slot::GapBefore => "The gap before filing.".to_owned(),
        Slot::GapAfter => format!("File, round the front, then measure the gap{again}."),
        Slot::Named => "Which cutter of this side is the shortest, by eye?".to_owned(),
        Slot::OtherLength => {
            format!("The length of {} that might be shorter.", if time > 1 { "another" } else { "one" })
        }
        Slot::Corner => "Is the mark gone at the working corner?".to_owned(),
        Slot::TopPlate => "Is it gone along the top plate, against the light?".to_owned(),
        Slot::SidePlate => "Is it gone along the side plate?".to_owned(),
        Slot::Guess => format!("Before you are told: how did it come out? 1 {under}, 2 right, 3 {over}."),
    }
}

/// Where the learner stands in a set.
pub(crate) fn place(drill: Drill, slot: Slot, item: usize, number: usize) -> String {
    let name = name(drill);
    match (drill, slot) {
        (_, Slot::Zero) => format!("{name}, zero"),
        (Drill::MeasureTwice, _) => format!("{name}, cutter {number}, reading {} of {}", item + 1, drill.items()),
        (Drill::FindShort, _) => format!("{name}, side {number} of {}", drill.items()),
        _ => {
            let side = drill.side(item).map(|side| format!(", {side} side")).unwrap_or_default();
            let what = if drill == Drill::SetGap { "raker" } else { "cutter" };
            format!("{name}, {what} {number} of {}{side}", drill.items())
        }
    }
}

/// A guess against what came.
pub(crate) fn guessed(drill: Drill, guess: Mistake, item: &Item) -> Option<String> {
    let error = item.error?;
    let came = match (item.missed, error < 0.0) {
        (false, _) => Mistake::Right,
        (true, true) => Mistake::Under,
        (true, false) => Mistake::Over,
    };
    let (under, over) = sides_of(drill);
    let word = |guess| match guess {
        Mistake::Under => under,
        Mistake::Right => "right",
        Mistake::Over => over,
    };
    Some(if guess == came {
        "You judged it right.".to_owned()
    } else {
        format!("You said {}; it came out {}.", word(guess), word(came))
    })
}

/// That a cutter was filed to its witness mark.
pub(crate) fn at_mark(cutter: usize, mark: Millimetres, unit: Unit) -> String {
    format!(
        "STOP: cutter {cutter} is at the witness mark, {}. File this loop no more: break the set off, or take a wrong reading back.",
        unit.show_named(mark)
    )
}

/// That a raker was filed below what the loop allows.
pub(crate) fn over_cap(raker: usize, cap: Millimetres, unit: Unit) -> String {
    format!(
        "STOP: raker {raker} leaves more than this loop's limit of {}. File no raker further: break the set off, or take a wrong reading back.",
        unit.show_named(cap)
    )
}

/// That a cutter is too short to be filed in a set.
pub(crate) fn no_room(read: Millimetres, most: Millimetres, mark: Millimetres, unit: Unit) -> String {
    format!(
        "At {} a set, which takes up to {}, would file it past the witness mark, {}: measure another cutter in its place, or break the set off.",
        unit.show_named(read),
        unit.show_named(most),
        unit.show_named(mark)
    )
}

/// That a raker stands at the loop's limit before it is filed.
pub(crate) fn no_gap_left(cap: Millimetres, unit: Unit) -> String {
    format!(
        "That is this loop's limit of {} already: leave this raker, measure another in its place, or break the set off.",
        unit.show_named(cap)
    )
}
