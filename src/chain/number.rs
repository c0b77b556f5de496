//! The number of a cutter.

use std::fmt;
use std::num::NonZeroU16;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// A cutter's number: 1 at the start mark, counting on in running direction. There is no cutter 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u16", into = "u16")]
pub struct CutterNumber(NonZeroU16);

/// A number that no cutter has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a cutter's number is a whole number from 1")]
pub struct NoCutterNumber;

impl CutterNumber {
    /// The cutter at the start mark.
    pub const FIRST: Self = Self(NonZeroU16::MIN);

    /// The cutter that stands at this place of a list, 0 the first.
    pub fn at_index(index: usize) -> Self {
        let number = u16::try_from(index).unwrap_or(u16::MAX).saturating_add(1);
        Self(NonZeroU16::new(number).unwrap_or(NonZeroU16::MAX))
    }

    /// The bare number.
    pub const fn get(self) -> u16 {
        self.0.get()
    }

    /// Its place in a list of all cutters, 0 the first.
    pub fn index(self) -> usize {
        usize::from(self.get()) - 1
    }

    /// Numbers 1 to `count`.
    pub fn up_to(count: u16) -> impl Iterator<Item = Self> + Clone {
        (1..=count).filter_map(NonZeroU16::new).map(Self)
    }
}

impl TryFrom<u16> for CutterNumber {
    type Error = NoCutterNumber;

    fn try_from(number: u16) -> Result<Self, NoCutterNumber> {
        NonZeroU16::new(number).map(Self).ok_or(NoCutterNumber)
    }
}

impl From<CutterNumber> for u16 {
    fn from(number: CutterNumber) -> Self {
        number.get()
    }
}

impl FromStr for CutterNumber {
    type Err = NoCutterNumber;

    fn from_str(text: &str) -> Result<Self, NoCutterNumber> {
        text.parse().map(Self).map_err(|_| NoCutterNumber)
    }
}

impl PartialEq<u16> for CutterNumber {
    fn eq(&self, other: &u16) -> bool {
        self.get() == *other
    }
}

impl fmt::Display for CutterNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Shorthand for the number of a cutter that is known to be there, as in a simulated bench.
///
/// # Panics
/// There is no cutter 0.
pub const fn nth(number: u16) -> CutterNumber {
    match NonZeroU16::new(number) {
        Some(number) => CutterNumber(number),
        None => panic!("there is no cutter 0"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_no_cutter_nought() {
        assert_eq!(CutterNumber::try_from(0), Err(NoCutterNumber));
        for text in ["0", "00", "-1", "", "1.5", "70000", "x"] {
            assert!(text.parse::<CutterNumber>().is_err(), "{text}");
        }
        assert_eq!("7".parse(), Ok(nth(7)));
        assert_eq!(serde_json::from_str::<CutterNumber>("0").unwrap_err().to_string(), NoCutterNumber.to_string());
        assert_eq!(serde_json::to_string(&nth(7)).unwrap(), "7");
    }

    #[test]
    fn number_and_place_in_a_list_agree() {
        assert_eq!(CutterNumber::FIRST.index(), 0);
        assert_eq!(CutterNumber::up_to(400).map(CutterNumber::index).collect::<Vec<_>>(), (0..400).collect::<Vec<_>>());
        assert!(CutterNumber::up_to(400).all(|number| CutterNumber::at_index(number.index()) == number));
    }
}
