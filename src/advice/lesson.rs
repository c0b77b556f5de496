//! The lessons by name: what an advice points at, and what the lessons of the coach are called by.

/// A lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
}

impl Lesson {
    /// All lessons, in order.
    pub const ALL: [Self; 6] = [Self::Shrinks, Self::Growth, Self::Rocks, Self::Rules, Self::Plate, Self::Unequal];

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
        }
    }
}
