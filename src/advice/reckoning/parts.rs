//! What a line of a reckoning is made of: its numbers, where they come from, the operation, the result.

use crate::chain::profile::Standing;
use crate::chain::{CutterNumber, Origin};
use crate::units::{Degrees, Millimetres};

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
    /// Less than it must save by this, which the readings leave in doubt.
    InDoubt,
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
            Self::Whole => f64::from(crate::advice::say::whole(a)),
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
