//! Every way a reading can be refused, in words that a person at the bench can act on.

use super::{GivenUnit, Kind, LayoutHint, Reading, Value, Wanted};
use crate::units::Unit;

/// Why a line was not taken. Each text says what was read and what is allowed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum ReadingError {
    /// Nothing but blanks.
    #[error("Nothing was read. Allowed: {wanted}.")]
    Empty {
        /// What was asked for.
        wanted: Wanted,
    },
    /// More than a reading can be.
    #[error("{bytes} characters were read. Allowed: at most 64.")]
    TooLong {
        /// Bytes received.
        bytes: usize,
    },
    /// The number is right but belongs to another unit than the one asked for. Holds the converted
    /// reading, to be taken only when the person confirms it.
    #[error("'{}' is in {given}, but {asked} are asked for. It would be {}.", reading.raw, converted(reading, *asked))]
    OtherUnit {
        /// The unit written with the number.
        given: GivenUnit,
        /// The unit asked for.
        asked: GivenUnit,
        /// The reading, converted.
        reading: Box<Reading>,
    },
    /// A unit that does not belong to what is asked for, or that is not known.
    #[error("'{read}' is in {unit}. Allowed: {}.", units_of(wanted.kind))]
    UnitNotAllowed {
        /// The line.
        read: String,
        /// The unit found.
        unit: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `1,234.56` or `8..05`.
    #[error("'{read}' has two decimal signs. Allowed: one point or one comma, such as {}.", wanted.example())]
    TwoSeparators {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `1 234` or `1'234`.
    #[error("'{read}' has a gap between digits. Allowed: one number without gaps, such as {}.", wanted.example())]
    Grouping {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `1e5`.
    #[error("'{read}' has an exponent. Allowed: plain digits, such as {}.", wanted.example())]
    Exponent {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `0x1F`.
    #[error("'{read}' is a hexadecimal number. Allowed: plain digits, such as {}.", wanted.example())]
    Hex {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `1_000`.
    #[error("'{read}' has an underscore. Allowed: plain digits, such as {}.", wanted.example())]
    Underscore {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `nan` or `inf`.
    #[error("'{read}' is not a number. Allowed: {wanted}.")]
    NotANumber {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// `5/32`, or the halving suffix `/2` that some keyboard adapters type.
    #[error("'{read}' has a fraction. Allowed: decimals, such as 0.156 in for 5/32 in.")]
    Fraction {
        /// The line.
        read: String,
    },
    /// Text without any digit.
    #[error("'{read}' has no digits. Allowed: {wanted}.")]
    NoDigits {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
    /// A stuck key, or more digits than any gauge has.
    #[error("'{read}' has too many digits. Allowed: 6 before and 5 after the point.")]
    TooManyDigits {
        /// The line.
        read: String,
    },
    /// Beyond what the units hold.
    #[error("'{read}' is too large. Allowed: at most {limit}.")]
    TooLarge {
        /// The line.
        read: String,
        /// The limit with its unit.
        limit: &'static str,
    },
    /// Minutes or seconds of 60 or more.
    #[error("'{read}' has 60 or more minutes or seconds. Allowed: 0 to 59.")]
    SixtyOrMore {
        /// The line.
        read: String,
    },
    /// A number of strokes with decimals.
    #[error("'{read}' is not a whole number. Allowed: whole numbers from 0 to 999.")]
    NotWhole {
        /// The line.
        read: String,
    },
    /// A number of strokes below 0 or above 999.
    #[error("'{read}' is out of range. Allowed: whole numbers from 0 to 999.")]
    CountOutOfRange {
        /// The line.
        read: String,
    },
    /// Several values in one line.
    #[error("'{read}' holds several readings. Allowed: one at a time.")]
    SeveralReadings {
        /// The line.
        read: String,
    },
    /// The instrument sent a fault code instead of a value.
    #[error("The instrument reported a fault: '{text}'. No value was taken; measure again.")]
    InstrumentFault {
        /// The line.
        text: String,
    },
    /// The keys that arrived are not the ones that were meant.
    #[error("{hint}")]
    KeyboardLayout {
        /// What is likely wrong.
        hint: LayoutHint,
    },
    /// Anything else.
    #[error("'{read}' could not be read. Allowed: {wanted}.")]
    Unreadable {
        /// The line.
        read: String,
        /// What was asked for.
        wanted: Wanted,
    },
}

fn converted(reading: &Reading, asked: GivenUnit) -> String {
    match reading.value {
        Value::Length(length) if asked == GivenUnit::Inch => Unit::Inch.show_named(length),
        Value::Length(length) => Unit::Mm.show_named(length),
        Value::Angle(angle) => angle.to_string(),
        Value::Count(count) => count.to_string(),
    }
}

const fn units_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Length => "mm, um, in and thou",
        Kind::Angle => "degrees, or degrees:minutes",
        Kind::Count => "a whole number from 0 to 999 without a unit",
    }
}
