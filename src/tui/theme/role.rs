//! What a piece of the screen is for, and how it is told apart.

use ratatui::style::Modifier;
use strum::VariantArray;

use super::palette::Tone;
use crate::chain::Side;
use crate::drawing::Ink;

/// What a piece of the screen is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Role {
    /// Ordinary text.
    Text,
    /// Text that can wait.
    Quiet,
    /// Heading of a screen or part.
    Title,
    /// What to do now.
    Now,
    /// Where a reading is typed.
    Field,
    /// As it should be.
    Good,
    /// Wants a look.
    Warn,
    /// Wrong, or dangerous.
    Bad,
    /// A key to press.
    Key,
    /// What that key does.
    KeyName,
    /// Left-hand cutters.
    Left,
    /// Right-hand cutters.
    Right,
    /// The row that a list stands on.
    Selected,
    /// The cutter in hand.
    Current,
    /// Lines and axes.
    Frame,
    /// The witness mark.
    Mark,
    /// First curve.
    Curve1,
    /// Second curve.
    Curve2,
    /// Third curve.
    Curve3,
    /// Not measured yet.
    Unmeasured,
    /// A question that must be answered.
    Question,
    /// The raker gap in a drawing.
    Gap,
    /// Shape: the cutter in hand.
    Steel,
    /// Shape: its top plate.
    Plate,
    /// Shape: rivets.
    Rivet,
    /// Shape: links beside it.
    Link,
    /// Shape: the bar.
    Bar,
    /// Shape: wood.
    Wood,
    /// Line: its grain.
    Grain,
    /// Shape: the chip.
    Chip,
    /// Shape: what is to be filed away.
    Filed,
    /// Shape: a gauge laid on.
    Gauge,
}

impl Role {
    /// The role of cutters of that hand.
    pub const fn of_side(side: Side) -> Self {
        match side {
            Side::Left => Self::Left,
            Side::Right => Self::Right,
        }
    }

    /// The role of an ink.
    pub const fn of_ink(ink: Ink) -> Self {
        match ink {
            Ink::Steel => Self::Steel,
            Ink::Plate => Self::Plate,
            Ink::Rivet => Self::Rivet,
            Ink::Link => Self::Link,
            Ink::Bar => Self::Bar,
            Ink::Wood => Self::Wood,
            Ink::Grain => Self::Grain,
            Ink::Chip => Self::Chip,
            Ink::Filed => Self::Filed,
            Ink::Gauge => Self::Gauge,
            Ink::New | Ink::Quiet => Self::Quiet,
            Ink::Unmeasured => Self::Unmeasured,
            Ink::Measure => Self::Text,
            Ink::Gap => Self::Gap,
            Ink::Bite => Self::Curve2,
            Ink::Target => Self::Curve3,
            Ink::Mark => Self::Mark,
        }
    }
}

/// Tone, modifiers beside the colour, modifiers that carry the role alone.
pub(super) const fn look(role: Role) -> (Option<Tone>, Modifier, Modifier) {
    const NONE: Modifier = Modifier::empty();
    const BOLD: Modifier = Modifier::BOLD;
    const DIM: Modifier = Modifier::DIM;
    const LINED: Modifier = Modifier::BOLD.union(Modifier::UNDERLINED);
    const TURNED: Modifier = Modifier::REVERSED;
    const LOUD: Modifier = Modifier::BOLD.union(Modifier::REVERSED);
    match role {
        Role::Text | Role::KeyName => (None, NONE, NONE),
        Role::Quiet | Role::Frame | Role::Unmeasured => (Some(Tone::Quiet), NONE, DIM),
        Role::Title | Role::Key | Role::Curve1 => (None, BOLD, BOLD),
        Role::Now | Role::Current => (None, LOUD, LOUD),
        Role::Field => (None, LINED, LINED),
        Role::Selected => (None, TURNED, TURNED),
        Role::Good => (Some(Tone::Good), NONE, NONE),
        Role::Warn => (Some(Tone::Warn), NONE, BOLD),
        Role::Bad => (Some(Tone::Bad), BOLD, LINED),
        Role::Mark => (Some(Tone::Mark), NONE, BOLD),
        Role::Left => (Some(Tone::Left), NONE, NONE),
        Role::Right => (Some(Tone::Right), NONE, NONE),
        Role::Question => (Some(Tone::Ask), LOUD, LOUD),
        Role::Curve2 => (Some(Tone::Bite), NONE, NONE),
        Role::Curve3 => (Some(Tone::Aim), NONE, NONE),
        Role::Gap => (Some(Tone::Gap), BOLD, BOLD),
        Role::Steel => (Some(Tone::Steel), NONE, NONE),
        Role::Plate => (Some(Tone::Plate), NONE, NONE),
        Role::Rivet => (Some(Tone::Rivet), NONE, NONE),
        Role::Link => (Some(Tone::Link), NONE, NONE),
        Role::Bar => (Some(Tone::Bar), NONE, NONE),
        Role::Wood => (Some(Tone::Wood), NONE, NONE),
        Role::Grain => (Some(Tone::Grain), NONE, NONE),
        Role::Chip => (Some(Tone::Chip), NONE, NONE),
        Role::Filed => (Some(Tone::Filed), NONE, NONE),
        Role::Gauge => (Some(Tone::Gauge), NONE, NONE),
    }
}
