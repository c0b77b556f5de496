//! What the numbers and lines of a reckoning are called.
//!
//! What the file is for: one name for each `Term`, short enough for its column. It must not know the value, its source or the line that
//! it stands in.

use super::super::cutters;
use crate::advice::reckoning::Term;
use crate::units::Unit;

/// What a number or a line is called.
pub(super) fn term(term: &Term, unit: Unit) -> String {
    let text = match term {
        Term::FallPerMm => return per_mm("height lost", unit),
        Term::GapPerMm => return per_mm("gap wanted", unit),
        Term::GapRise => return per_mm("gap wanted rises", unit),
        Term::RegainPerMm => return per_mm("regained", unit),
        Term::Shorter(number) => return format!("cutter {number} now"),
        Term::LifeLeft(name) => return format!("life left, {name}"),
        Term::SpentOf(name) => return format!("life spent of {name}"),
        Term::LengthWithout(short) => return format!("without {}", cutters(short)),
        other => fixed(other),
    };
    text.to_owned()
}

fn per_mm(what: &str, unit: Unit) -> String {
    format!("{what} {}", if unit == Unit::Mm { "per mm" } else { "per inch" })
}

#[allow(clippy::too_many_lines, reason = "a list of words")]
const fn fixed(term: &Term) -> &'static str {
    match term {
        Term::All => "all",
        Term::AllowedOver => "may end above it by",
        Term::Along => "raker to corner and foot",
        Term::AngleNow => "angle",
        Term::AngleWanted => "angle wanted",
        Term::AtLeastOne => "at least, to sharpen it",
        Term::AtMost => "the most allowed",
        Term::AwayBy => "apart by",
        Term::BandHalf => "half the band to end in",
        Term::BaseGap => "gap when new",
        Term::BiteAngle => "bite angle to keep",
        Term::Chance => "past it: chance",
        Term::Chosen => "length chosen",
        Term::ChosenBy(true) => "you chose lower, by",
        Term::ChosenBy(false) => "you chose higher, by",
        Term::CornerDrop => "drop of the corner",
        Term::Cutters => "cutters",
        Term::DueLife => "of its life: due anyway",
        Term::Each => "off each, on average",
        Term::File => "file",
        Term::FileFrom(true) => "file from there on",
        Term::FileFrom(false) => "file from new on",
        Term::FileShare => "of it above the plate",
        Term::Foot => "foot ahead of the raker",
        Term::ForAll => "that, on all of them",
        Term::FromLife => "spent where this file begins",
        Term::Further => "further from the raker",
        Term::GapNow => "gap now",
        Term::GapWanted => "gap wanted",
        Term::Half => "half of it, either way",
        Term::HalfWidth => "scatter of the readings",
        Term::HeightAbove => "stands above the top plate",
        Term::HeightNow => "corner above the foot",
        Term::HeightStep => "in height",
        Term::HeldBack => "kept back: might pass it",
        Term::High => "at most",
        Term::Inside => "within tolerance: chance",
        Term::LeftLessRight => "left less right",
        Term::LeftMean => "left, mean",
        Term::LeftToMark => "left to the mark",
        Term::LengthForAll => "with all kept",
        Term::LengthNow => "length now",
        Term::LengthThen => "length then",
        Term::LessLife => "less life left",
        Term::LifeShare => "of a cutter's life",
        Term::LoseMore => "each other one loses more",
        Term::Low => "at least",
        Term::LowBy => "too low by",
        Term::Margin => "alike within",
        Term::MarkLength => "witness mark",
        Term::MayBeShort => "may be left short",
        Term::MayEndAt => "sharp at",
        Term::MiddleLength => "middle length",
        Term::MoreLife => "more life left",
        Term::MoreThanWorth => "more than a round by",
        Term::MustSave => "has to save a round's wear",
        Term::Need => "to take to be sharp",
        Term::NewLength => "length when new",
        Term::Off(true) => "longer by",
        Term::Off(false) => "shorter by",
        Term::OneInTwelve => "one in so many",
        Term::Outside => "outside tolerance: chance",
        Term::OverLimit => "over the most allowed by",
        Term::OverTolerance => "over the tolerance by",
        Term::PastBy => "past it by",
        Term::PastStep => "past where it begins by",
        Term::PerRound => "wear of a round",
        Term::PlateHeight => "corner above foot, new",
        Term::PlateSlot => "slot above the plate's line",
        Term::Prior => "usual wear of a round",
        Term::PriorRounds => "rounds that it counts for",
        Term::PriorTaken => "usual wear, weighed",
        Term::RampAt => "corner above plate's line",
        Term::RampShare => "the raker's part of that",
        Term::Reach => "reach",
        Term::ReachAtShare => "reach where the bite fades",
        Term::ReachGrew => "reach grew by",
        Term::ReachGrowth => "reach grows with wear",
        Term::ReachNew => "reach when new",
        Term::Reference => "length to be",
        Term::RightMean => "right, mean",
        Term::Risk => "risk that is taken",
        Term::RiskOver => "more than the risk taken",
        Term::Room => "inside the limit by",
        Term::Rounds => "in usual rounds",
        Term::RoundsLeft => "rounds left",
        Term::RoundsNear => "rounds in that",
        Term::Saved => "saved on each other one",
        Term::ShareOfTwelve => "one in twelve of them",
        Term::Smallest => "the shortest reads short",
        Term::SpentShare => "of its life is spent",
        Term::StrokeTakes => "a stroke of yours takes",
        Term::StrokesNear => "strokes in that",
        Term::StrokesTold => "strokes to give",
        Term::StrokesWished => "whole strokes",
        Term::Taken => "taken by the rounds so far",
        Term::TakenTogether => "together",
        Term::Target => "length to file to",
        Term::ToMiddle => "to the middle of the band",
        Term::ToTake => "to come off",
        Term::Together => "both uncertain, together",
        Term::Tolerance => "tolerance",
        Term::TooLittle => "less than that by",
        Term::InDoubt => "short of it, in doubt",
        Term::ToothOff => "off the tooth",
        Term::Typical => "a usual round takes",
        Term::U => "how well it is known",
        Term::UMedian => "middle length, uncertain",
        Term::UWorth => "changeover, uncertain",
        Term::Uncapped => "gap without the limit",
        Term::UnderMark => "under the mark by",
        Term::Usable => "from new to the mark",
        Term::Weight => "rounds, the usual among them",
        Term::Worn => "worn",
        Term::Worth => "worth it from",
        Term::FallPerMm
        | Term::GapPerMm
        | Term::GapRise
        | Term::RegainPerMm
        | Term::Shorter(_)
        | Term::LifeLeft(_)
        | Term::SpentOf(_)
        | Term::LengthWithout(_) => "",
    }
}
