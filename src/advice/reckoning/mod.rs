//! Reckonings: how a figure of the advice came about, in at most six lines of one operation each, on this cutter's own numbers.
//!
//! What the room is for: whoever is told to file four strokes, or that a raker wants 0.93 mm, may ask why. The answer is a value:
//! each line's numbers with where they come from, the operation and its result; how sure it is; what would change it; which
//! picture shows it and which lesson teaches it. It decides nothing: the figure that a reckoning ends at is the one that the advice
//! shows, handed in by the function that made it, and a test reckons every line again.

mod book;
mod lengths;
mod life;
mod lines;
mod parts;
mod rakers;
mod runners;
#[cfg(test)]
mod tests;

use super::{Lesson, Skill};
use crate::chain::{CutterNumber, Rule};
use crate::round::Reading;
use crate::units::Millimetres;

pub(crate) use book::Book;
pub use parts::{Line, Op, Operand, Source, Term, Value};
pub(crate) use runners::of_runners;

/// Lines of a reckoning, at most.
pub const MOST_LINES: usize = 6;

/// What is reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The gap that a raker wants, and by which rule.
    Gap(CutterNumber, Rule),
    /// What a raker that is too low asks of its tooth.
    LowRaker(CutterNumber),
    /// The length to file to.
    Length,
    /// The length that the cutters allow, where another one was chosen.
    Allowed,
    /// Whether cutters are left short.
    LeftShort,
    /// Strokes to give.
    Strokes(CutterNumber),
    /// Whether a cutter is even.
    Even(CutterNumber),
    /// Why a reading is asked for once more.
    Again(CutterNumber, Reading),
    /// Left against right.
    Balance,
    /// Whether the wear-scaled gap is worth using.
    Changeover,
    /// Rounds left.
    Rounds,
    /// Size of the file.
    File,
    /// Which loop to run next.
    Rotation,
}

impl Subject {
    /// The lesson that it belongs to.
    pub const fn lesson(self) -> Lesson {
        match self {
            Self::Gap(_, Rule::Fixed | Rule::Setting) | Self::Rounds | Self::File => Lesson::Shrinks,
            Self::Gap(_, Rule::Scaled) => Lesson::Growth,
            Self::Gap(_, Rule::Plate) => Lesson::Plate,
            Self::Changeover => Lesson::Rules,
            Self::LowRaker(_) => Lesson::TooDeep,
            Self::Again(..) => Lesson::Again,
            Self::Strokes(_) | Self::Balance => Lesson::LightHand,
            _ => Lesson::Unequal,
        }
    }

    /// The picture that shows it.
    pub const fn picture(self) -> Picture {
        match self {
            Self::Strokes(_) => Picture::Tooth,
            Self::Changeover => Picture::Curve,
            Self::Again(_, Reading::Angle) => Picture::Above,
            Self::Gap(..) | Self::LowRaker(_) | Self::Again(_, Reading::GapBefore | Reading::GapAfter) => {
                Picture::Raker
            }
            Self::Length | Self::Allowed | Self::LeftShort | Self::Even(_) | Self::Again(..) | Self::Balance => {
                Picture::Lengths
            }
            Self::Rounds | Self::File => Picture::Cutter,
            Self::Rotation => Picture::None,
        }
    }

    /// True where how sure it is rests on how well one length reading repeats.
    const fn rests_on_lengths(self) -> bool {
        match self {
            Self::Gap(..) | Self::Length | Self::Allowed | Self::LeftShort | Self::Strokes(_) | Self::Even(_) => true,
            Self::Again(_, reading) => matches!(reading, Reading::LengthBefore | Reading::LengthAfter),
            _ => false,
        }
    }

    /// The cutter that it is about.
    pub const fn cutter(self) -> Option<CutterNumber> {
        match self {
            Self::Gap(number, _)
            | Self::LowRaker(number)
            | Self::Strokes(number)
            | Self::Even(number)
            | Self::Again(number, _) => Some(number),
            _ => None,
        }
    }
}

/// What shows it best.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// Corner and raker from the side.
    Raker,
    /// The tooth and what is to come off it.
    Tooth,
    /// The whole cutter.
    Cutter,
    /// The cutter from above.
    Above,
    /// Gap by length.
    Curve,
    /// Lengths round the loop.
    Lengths,
    /// None.
    None,
}

/// How sure the figure is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sure {
    /// A number that was set: no reading moves it.
    Set,
    /// The length is known this well; that moves the figure this much.
    Moves {
        /// Standard uncertainty of the length.
        length: Millimetres,
        /// What that makes of the figure.
        figure: Millimetres,
    },
    /// Standard uncertainty of the figure.
    Within(Millimetres),
    /// Nine in ten lie between these.
    Between(Value, Value),
    /// The chance that the value is within tolerance.
    Chance(f64),
    /// The chance that the loop is past the changeover.
    IsPast(f64),
    /// The shortest of uncertain lengths, so that it most likely ends a little under the figure.
    Shortest {
        /// Standard uncertainty of the shortest.
        u: Millimetres,
        /// Cutters not measured.
        unmeasured: usize,
    },
    /// A table of the profile.
    Table,
    /// As well as the shortest cutters tell the loops' lives.
    Lives,
}

/// What would change it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// The length, the rule, the wood; the maker's limit.
    GapWanted,
    /// A second reading of the raker, or a tooth that comes down.
    LowRaker,
    /// A second reading of the cutter that sets it, or one cutter left short.
    Length {
        /// That cutter, where it was read once.
        again: Option<CutterNumber>,
    },
    /// A shorter cutter yet, or less to take off the damaged one.
    LeftShort,
    /// The next filing that is measured.
    Strokes,
    /// One reading more: how well it is known then.
    OneMore {
        /// Standard uncertainty now.
        now: Value,
        /// With one reading more.
        then: Value,
    },
    /// One reading more of one cutter settles what all are filed to.
    Sets,
    /// More cutters measured on both sides, or the file.
    Balance,
    /// A new cutter measured: more readings will not.
    NewCutter,
    /// It is measured: more wear.
    Wear,
    /// Rounds that take less.
    Rounds,
    /// A round on one of them.
    Turn,
}

/// How a figure came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoning {
    /// What is reckoned.
    pub subject: Subject,
    /// The figure that the advice shows.
    pub shown: Value,
    /// The line that it stands in, from 0.
    pub answer: usize,
    /// The lines.
    pub lines: Vec<Line>,
    /// How sure it is.
    pub sure: Sure,
    /// What would change it.
    pub change: Change,
    /// Whose own reading spread it rests on, and that; none where it rests on none, or on the proposed one.
    pub judged: Option<(String, Skill)>,
}
