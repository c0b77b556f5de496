//! The lessons by name: what an advice points at, and what the coach's lessons are called.

use serde::{Deserialize, Serialize};

/// How far somebody is in the lessons, as it is kept from one day to the next.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reached {
    /// Lessons whose question was answered.
    pub done: Vec<Lesson>,
    /// The lesson that was left in the middle.
    pub left: Option<Lesson>,
    /// Guesses made at it.
    pub guesses: usize,
}

/// A lesson. Names are a file's format: add, never rename.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lesson {
    /// Why the gap shrinks.
    Shrinks,
    /// Gap growth and tip drop.
    Growth,
    /// The rocking cutter.
    Rocks,
    /// Fixed against wear-scaled.
    Rules,
    /// What a plate really does.
    Plate,
    /// What unequal lengths do in height.
    Unequal,
    /// What a raker that is too low costs.
    TooDeep,
    /// Reading a caliper on a cutter.
    Caliper,
    /// Why measure again.
    Again,
    /// One light hand: unequal strokes become unequal height.
    LightHand,
}

impl Lesson {
    /// All lessons, in order.
    pub const ALL: [Self; 10] = [
        Self::Shrinks,
        Self::Growth,
        Self::Rocks,
        Self::Rules,
        Self::Plate,
        Self::Unequal,
        Self::TooDeep,
        Self::Caliper,
        Self::Again,
        Self::LightHand,
    ];

    /// Its number, from 1.
    pub fn number(self) -> usize {
        1 + Self::ALL.iter().position(|other| *other == self).unwrap_or(0)
    }

    /// The next one, `None` after the last.
    pub fn next(self) -> Option<Self> {
        Self::ALL.get(self.number()).copied()
    }

    /// Heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Shrinks => "Why the gap shrinks",
            Self::Growth => "Gap growth and tip drop",
            Self::Rocks => "The rocking cutter",
            Self::Rules => "Fixed gap against wear-scaled gap",
            Self::Plate => "What a plate gauge really does",
            Self::Unequal => "What unequal lengths do in height",
            Self::TooDeep => "Too deep: what goes wrong, and what it costs",
            Self::Caliper => "Reading a caliper on a cutter",
            Self::Again => "Why measure again",
            Self::LightHand => "One light hand",
        }
    }
}
