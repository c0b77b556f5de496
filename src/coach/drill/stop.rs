//! Where a drill stops: at the witness mark and at the loop's limit, for steel does not come back.

use super::DrillBench;
use crate::advice::say::drill as words;
use crate::drill::{Ask, Drill, Given, Set, Slot};
use crate::units::{Millimetres, mm};

/// Rounding of readings in hundredths must not decide at a limit.
const HAIR: Millimetres = mm(5e-5);

/// The most that a set takes off a cutter.
const fn most_taken(drill: Drill) -> Millimetres {
    match drill {
        Drill::StopAtLength => mm(0.40),
        Drill::SameStrokes => mm(0.44),
        _ => mm(0.0),
    }
}

impl DrillBench {
    /// Why the set goes no further: a cutter at its mark, or a gap over the loop's limit, was read after filing.
    pub(super) fn stopped(&self) -> Option<String> {
        let set = self.learner.open()?;
        set.answered().iter().find_map(|(ask, given)| {
            let Given::Mm(read) = *given else { return None };
            match ask.slot {
                Slot::After => {
                    let mark = set.up.mark.filter(|mark| read <= *mark + HAIR)?;
                    Some(words::at_mark(ask.number, mark, self.unit))
                }
                Slot::GapAfter => {
                    let cap = set.up.cap.filter(|cap| read > *cap + HAIR)?;
                    Some(words::over_cap(ask.number, cap, self.unit))
                }
                _ => None,
            }
        })
    }

    /// Why this cutter or raker cannot be filed in this set, where what was read before filing leaves no room for it.
    pub(super) fn no_room(&self, ask: Ask, given: Given) -> Option<String> {
        let set: &Set = self.learner.open()?;
        let Given::Mm(read) = given else { return None };
        match ask.slot {
            Slot::Before => {
                let (mark, most) = (set.up.mark?, most_taken(set.up.drill));
                (read - most < mark - HAIR).then(|| words::no_room(read, most, mark, self.unit))
            }
            Slot::GapBefore => {
                let cap = set.up.cap.filter(|cap| read >= *cap - HAIR)?;
                Some(words::no_gap_left(cap, self.unit))
            }
            _ => None,
        }
    }
}
