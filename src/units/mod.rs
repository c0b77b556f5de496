//! Lengths and angles, and what people and instruments type for them.
//!
//! What the room is for: a number without its unit is the commonest error at the bench, so nothing
//! past this room carries a bare one. It must not know chains, rounds, files or terminals.
//!
//! All lengths are millimetres and all angles degrees, whatever was typed; [`Unit`] only says how a
//! person wants to type and read them.

pub(crate) mod clean;
pub(crate) mod day;
pub(crate) mod figure;
pub(crate) mod plausible;
pub(crate) mod reading;
mod written;

pub use clean::is_unsafe;
pub use written::pitch_as_sold;

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Sub};

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

/// Millimetres in one inch (exact by definition, international inch of 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// A finite number that a file or a person gave could not be used as a length or an angle.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{value} is not a usable {what}; allowed: a finite number between -{limit} and {limit}")]
pub struct OutOfRange {
    /// The number as read.
    pub value: f64,
    /// `length in mm` or `angle in degrees`.
    pub what: &'static str,
    /// Largest magnitude allowed.
    pub limit: f64,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $limit:expr, $what:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// The largest magnitude that a value read from outside may have.
            pub const LIMIT: f64 = $limit;

            /// A value computed inside the program.
            pub const fn new(value: f64) -> Self {
                Self(value)
            }

            /// A value that came from a file or a person.
            ///
            /// # Errors
            /// [`OutOfRange`] when it is not finite or larger than [`Self::LIMIT`].
            pub fn checked(value: f64) -> Result<Self, OutOfRange> {
                if value.is_finite() && value.abs() <= Self::LIMIT {
                    Ok(Self(value))
                } else {
                    Err(OutOfRange { value, what: $what, limit: Self::LIMIT })
                }
            }

            /// The bare number, for arithmetic and printing.
            pub const fn get(self) -> f64 {
                self.0
            }

            /// Magnitude.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// An order of all values, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        /// How many times the one goes into the other.
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                Self(values.map(Self::get).sum())
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_f64(self.0)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let value = f64::deserialize(deserializer)?;
                Self::checked(value).map_err(serde::de::Error::custom)
            }
        }
    };
}

quantity!(
    /// A length in millimetres.
    Millimetres,
    10_000.0,
    "length in mm"
);
quantity!(
    /// An angle in degrees.
    Degrees,
    360.0,
    "angle in degrees"
);

impl Millimetres {
    /// From inches.
    pub const fn from_inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }

    /// In inches.
    pub const fn inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }
}

impl Degrees {
    /// From radians.
    pub fn from_radians(radians: f64) -> Self {
        Self(radians.to_degrees())
    }

    /// In radians.
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

/// Shorthand for a length known to the program.
pub const fn mm(value: f64) -> Millimetres {
    Millimetres::new(value)
}

/// Shorthand for an angle known to the program.
pub const fn deg(value: f64) -> Degrees {
    Degrees::new(value)
}

/// A range of a quantity, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span<Q> {
    /// Lower end.
    pub low: Q,
    /// Upper end.
    pub high: Q,
}

/// How a person types and reads lengths during one round. Asked once, never guessed.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    Serialize,
    Deserialize,
    EnumMessage,
    EnumString,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Unit {
    /// Millimetres, two decimals.
    #[default]
    Mm,
    /// Decimal inches, four decimals.
    Inch,
}

impl Unit {
    /// The length as a person reads it, without the unit's name: `8.05` or `0.3169`.
    pub fn show(self, length: Millimetres) -> String {
        match self {
            Self::Mm => unsigned_zero(format!("{:.2}", length.get())),
            Self::Inch => unsigned_zero(format!("{:.4}", length.inches())),
        }
    }

    /// The length with the unit's name: `8.05 mm` or `0.3169 in`.
    pub fn show_named(self, length: Millimetres) -> String {
        format!("{} {}", self.show(length), self.name())
    }

    /// `mm` or `inches`: in a sentence, after "in".
    pub const fn of_lengths(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "inches",
        }
    }

    /// `mm` or `in`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }

    /// One step of the last digit shown.
    pub const fn step(self) -> Millimetres {
        match self {
            Self::Mm => Millimetres::new(0.01),
            Self::Inch => Millimetres::from_inches(0.0005),
        }
    }
}

/// `-0.00` frightens a reader and means nothing more than `0.00`.
fn unsigned_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

impl fmt::Display for Degrees {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&unsigned_zero(format!("{:.1}", self.0)))?;
        f.write_str(" deg")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inch_sizes_of_gaps_and_files_in_millimetres() {
        // T1 and T2: exact arithmetic with 25.4 mm to the inch.
        for (inch, expected) in [
            (0.025, 0.635),
            (0.026, 0.660),
            (0.031, 0.787),
            (0.018, 0.457),
            (0.037, 0.940),
            (5.0 / 32.0, 3.969),
            (11.0 / 64.0, 4.366),
            (3.0 / 16.0, 4.763),
            (13.0 / 64.0, 5.159),
            (7.0 / 32.0, 5.556),
        ] {
            assert!((Millimetres::from_inches(inch).get() - expected).abs() < 6e-4, "{inch} in");
        }
    }

    #[test]
    fn a_length_reads_back_the_same_in_both_units() {
        assert_eq!(Unit::Mm.show_named(mm(8.05)), "8.05 mm");
        assert_eq!(Unit::Inch.show_named(mm(8.05)), "0.3169 in");
        assert_eq!(Unit::Mm.show(mm(-0.001)), "0.00");
    }

    #[test]
    fn nonsense_from_outside_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e9] {
            assert!(Millimetres::checked(bad).is_err(), "{bad}");
            assert!(Degrees::checked(bad).is_err(), "{bad}");
        }
    }
}
