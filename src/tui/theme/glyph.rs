//! Signs, each in a form with lines and in one of plain ASCII.

use strum::VariantArray;

/// A sign by its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Glyph {
    /// The start mark of a loop.
    Start,
    /// A measured point.
    Point,
    /// The value in hand on a scale.
    Here,
    /// More than is shown.
    More,
    /// Leads on to the right.
    Forward,
    /// Leads on to the left.
    Back,
    /// Upward.
    Up,
    /// Downward.
    Down,
    /// Horizontal line.
    Line,
    /// Vertical line.
    Bar,
    /// Upper left corner.
    UpperLeft,
    /// Upper right corner.
    UpperRight,
    /// Lower left corner.
    LowerLeft,
    /// Lower right corner.
    LowerRight,
    /// A tick on an upright axis.
    TickLeft,
    /// A tick under a level axis.
    TickDown,
    /// A target on a scale.
    Target,
    /// Inside a tolerance zone.
    Zone,
    /// Done part of a bar.
    Full,
    /// Part of a bar still to do.
    Empty,
    /// Faint dot of a background line.
    Faint,
    /// Taken, done.
    Done,
    /// Separates short notes.
    Bullet,
    /// Left end of a dimension.
    EndLeft,
    /// Its right end.
    EndRight,
    /// Where two dimensions meet.
    EndBoth,
    /// Upper end of an upright one.
    EndTop,
    /// Its lower end.
    EndBottom,
    /// The thin line from a dimension to its point.
    Thin,
}

impl Glyph {
    /// Unicode and ASCII form.
    pub(super) const fn forms(self) -> (&'static str, &'static str) {
        match self {
            Self::Start => ("║", "|"),
            Self::Point => ("•", "o"),
            Self::Here => ("●", "x"),
            Self::More => ("…", "~"),
            Self::Forward => ("→", ">"),
            Self::Back => ("←", "<"),
            Self::Up => ("↑", "^"),
            Self::Down => ("↓", "v"),
            Self::Line => ("─", "-"),
            Self::Bar => ("│", "|"),
            Self::UpperLeft => ("╭", "."),
            Self::UpperRight => ("╮", "."),
            Self::LowerLeft => ("╰", "'"),
            Self::LowerRight => ("╯", "'"),
            Self::TickLeft => ("┤", "+"),
            Self::TickDown => ("┬", "+"),
            Self::Target => ("┼", "|"),
            Self::Zone => ("═", "="),
            Self::Full => ("█", "#"),
            Self::Empty => ("░", "."),
            Self::Faint => ("·", "."),
            Self::Done => ("✓", "*"),
            Self::Bullet => ("·", "-"),
            Self::EndLeft => ("├", "|"),
            Self::EndRight => ("┤", "|"),
            Self::EndBoth => ("┼", "+"),
            Self::EndTop => ("┬", "-"),
            Self::EndBottom => ("┴", "-"),
            Self::Thin => ("┊", ":"),
        }
    }
}
