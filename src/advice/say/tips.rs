//! Tips in words, with the side that they are for: short enough to stand behind a verdict.

use super::{bare, length};
use crate::advice::tips::{Habit, Hint, Tip};
use crate::units::{Unit, mm};

impl Hint {
    /// In a sentence or two.
    pub(crate) fn words(&self, unit: Unit) -> String {
        match self {
            Self::Do(tip) => tip.words(unit),
            Self::Came { of, now, helped } => {
                let what = if *helped { "The tip helped" } else { "The tip did not help yet" };
                let (now, then) = match of.habit {
                    Habit::Turned { .. } => (format!("{now:.1}"), format!("{:.1} deg", of.found)),
                    _ => (bare(unit, mm(*now)), length(unit, mm(of.found))),
                };
                format!("{what}, {} side: {} {now} now, {then} then.", of.side, of.habit.figure())
            }
        }
    }
}

impl Habit {
    const fn figure(self) -> &'static str {
        match self {
            Self::Past => "under by",
            Self::Apart => "apart by",
            Self::Light => "less a cutter by",
            Self::Turned { .. } => "angles off by",
            Self::Low => "rakers low by",
        }
    }
}

impl Tip {
    fn words(&self, unit: Unit) -> String {
        let (side, found, saves) = (self.side, bare(unit, mm(self.found)), length(unit, self.saves));
        match self.habit {
            Habit::Past => format!(
                "Tip, {side} side: 4 ended {found} under. Stop a stroke early, then one light. Saves {saves} in all."
            ),
            Habit::Apart => format!(
                "Tip, {side} side: 4 end {found} apart. Same strokes, same pressure, count. Evens {saves} in all."
            ),
            Habit::Light => format!(
                "Tip, {side} side: strokes take {found} less a cutter than {}. Step round, do not reach.",
                side.other()
            ),
            Habit::Turned { large } => format!(
                "Tip, {side} side: angles run {:.1} deg {}. Elbow along the line, then push. Saves up to {saves} in all.",
                self.found,
                if large { "large" } else { "small" }
            ),
            Habit::Low => format!(
                "Tip, {side} side: 4 rakers end {found} low. Two strokes, then look. Saves up to {saves} of tooth in all."
            ),
        }
    }
}
