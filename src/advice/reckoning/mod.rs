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
mod rakers;
mod runners;
#[cfg(test)]
mod tests;

use super::Lesson;
use crate::chain::profile::Standing;
use crate::chain::{CutterNumber, Origin, Rule};
use crate::round::Reading;
use crate::units::{Degrees, Millimetres};

pub(crate) use book::Book;
pub(crate) use runners::of_runners;

/// Lines of a reckoning, at most.
pub const MOST_LINES: usize = 6;

/// A number, and what it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A length.
    Length(Millimetres),
    /// An angle.
    Angle(Degrees),
    /// A ratio, or so much for each.
    Ratio(f64),
    /// Things: strokes, rounds, cutters; whole or not yet.
    Count(f64),
    /// A share or a probability, 0 to 1.
    Share(f64),
}

impl Value {
    /// The bare number: mm, degrees, or as it is.
    pub const fn get(self) -> f64 {
        match self {
            Self::Length(length) => length.get(),
            Self::Angle(angle) => angle.get(),
            Self::Ratio(number) | Self::Count(number) | Self::Share(number) => number,
        }
    }
}

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Source {
    /// The line of that place, from 0.
    Line(usize),
    /// Read in this round.
    Read,
    /// The best value of what was read and filed so far.
    Best,
    /// Chosen in this round.
    Chosen,
    /// Known of this loop better than the profile tells.
    Loop(Origin),
    /// A limit on the loop's card.
    Card,
    /// The profile, and how far its figure can be trusted where that is known.
    Profile(Option<Standing>),
    /// Nobody publishes it: chosen for this program.
    Proposal,
    /// Earlier rounds of this loop.
    Past,
    /// Worked out from the readings or the chain's figures by more than one step.
    Reckoned,
}

/// What a number or a line is called.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "`say::reckoning` has the words of each, and nothing else tells them apart")]
pub enum Term {
    All,
    AllowedOver,
    Along,
    AngleNow,
    AngleWanted,
    AtLeastOne,
    AtMost,
    AwayBy,
    BandHalf,
    BaseGap,
    BiteAngle,
    Chance,
    Chosen,
    ChosenBy(bool),
    CornerDrop,
    Cutters,
    DueLife,
    Each,
    FallPerMm,
    File,
    FileFrom(bool),
    FileShare,
    Foot,
    ForAll,
    FromLife,
    Further,
    GapNow,
    GapPerMm,
    GapRise,
    GapWanted,
    Half,
    HalfWidth,
    HeightAbove,
    HeightNow,
    HeightStep,
    HeldBack,
    High,
    Inside,
    LeftLessRight,
    LeftMean,
    LeftToMark,
    LengthForAll,
    LengthNow,
    LengthThen,
    LengthWithout(Vec<CutterNumber>),
    LessLife,
    LifeLeft(String),
    LifeShare,
    LoseMore,
    Low,
    LowBy,
    Margin,
    MarkLength,
    MayBeShort,
    MayEndAt,
    MiddleLength,
    MoreLife,
    MoreThanWorth,
    MustSave,
    Need,
    NewLength,
    Off(bool),
    OneInTwelve,
    Outside,
    OverLimit,
    OverTolerance,
    PastBy,
    PastStep,
    PerRound,
    PlateHeight,
    PlateSlot,
    Prior,
    PriorRounds,
    PriorTaken,
    RampAt,
    RampShare,
    Reach,
    ReachAtShare,
    ReachGrew,
    ReachGrowth,
    ReachNew,
    Reference,
    RegainPerMm,
    RightMean,
    Risk,
    RiskOver,
    Room,
    Rounds,
    RoundsLeft,
    RoundsNear,
    Saved,
    ShareOfTwelve,
    Shorter(CutterNumber),
    Smallest,
    SpentOf(String),
    SpentShare,
    StrokeTakes,
    StrokesNear,
    StrokesTold,
    StrokesWished,
    Taken,
    TakenTogether,
    Target,
    ToMiddle,
    ToTake,
    Together,
    Tolerance,
    TooLittle,
    ToothOff,
    Typical,
    U,
    UMedian,
    UWorth,
    Uncapped,
    UnderMark,
    Usable,
    Weight,
    Worn,
    Worth,
}

/// A number that a line works on.
#[derive(Debug, Clone, PartialEq)]
pub struct Operand {
    /// What it is.
    pub term: Term,
    /// The number.
    pub value: Value,
    /// Where it comes from.
    pub source: Source,
}

/// One operation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Op {
    /// The number as it stands.
    AsIs,
    /// The first and the second together.
    Plus,
    /// The first less the second.
    Less,
    /// The first times the second.
    Times,
    /// The first by the second.
    Over,
    /// The tangent of an angle.
    Tangent,
    /// The smaller of two.
    Least,
    /// The larger of two.
    Greatest,
    /// Two uncertainties that know nothing of each other: the root of their squares.
    Root,
    /// The nearest whole number, not below nought.
    Nearest,
    /// The whole part.
    Whole,
    /// The chance that a value of this size, known to this standard uncertainty, is above nought.
    Chance,
}

impl Op {
    /// The result; what has no second number takes none.
    pub fn of(self, a: f64, b: Option<f64>) -> f64 {
        let second = b.unwrap_or_default();
        match self {
            Self::AsIs => a,
            Self::Plus => a + second,
            Self::Less => a - second,
            Self::Times => a * second,
            Self::Over => a / second,
            Self::Tangent => a.to_radians().tan(),
            Self::Least => a.min(second),
            Self::Greatest => a.max(second),
            Self::Root => a.hypot(second),
            Self::Nearest => a.round().max(0.0),
            Self::Whole => f64::from(super::say::whole(a)),
            Self::Chance => crate::stats::quantile::normal_cdf(a / second),
        }
    }
}

/// A line: one operation and its result.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What the result is called.
    pub term: Term,
    /// The operation.
    pub op: Op,
    /// The number that it works on.
    pub a: Operand,
    /// The second number, where the operation has one.
    pub b: Option<Operand>,
    /// The result.
    pub result: Value,
}

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
    /// The length is known so well; that moves the figure so much.
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
}
