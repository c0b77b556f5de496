//! Digits to exact counts.

use super::{Kind, ReadingError, Wanted};

/// Most digits before the point, leading zeros of instruments included.
const MAX_WRITTEN: usize = 8;
/// Most digits before the point without leading zeros.
const MAX_WHOLE: usize = 6;
/// Most digits after the point.
const MAX_FRACTION: usize = 5;

/// A decimal number as written: `numerator / denominator`, both whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Number {
    minus: bool,
    numerator: i64,
    denominator: i64,
    /// Digits after the point.
    pub(super) decimals: u8,
    /// A point or a comma was written.
    pub(super) separator: bool,
}

impl Number {
    /// The number times `counts_in_thousand` / 1000, to the nearest whole count, halves away from zero.
    pub(super) fn counts(&self, counts_in_thousand: i64) -> i64 {
        // The products need more than 64 bits before they are divided.
        let numerator = i128::from(self.numerator) * i128::from(counts_in_thousand);
        let denominator = i128::from(self.denominator) * 1000;
        let size = (numerator + denominator / 2) / denominator;
        // 11 digits in inches are below 3e11 counts before the decimals are taken off: no value saturates.
        let size = i64::try_from(size).unwrap_or(i64::MAX);
        if self.minus { -size } else { size }
    }

    pub(super) const fn is_minus_zero(&self) -> bool {
        self.minus && self.numerator == 0
    }
}

/// Takes as many digits as there are.
fn digits(text: &str) -> (&str, &str) {
    text.split_at(text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len()))
}

/// The value of digits, of which there are few enough.
fn value(digits: &str) -> i64 {
    digits.bytes().fold(0, |sum, b| sum * 10 + i64::from(b - b'0'))
}

/// Reads sign, blanks, digits, separator, digits; returns what follows.
pub(super) fn scan<'a>(text: &'a str, read: &str, wanted: Wanted) -> Result<(Number, &'a str), ReadingError> {
    let text = text.trim_start();
    let minus = text.starts_with('-');
    let text = text.strip_prefix(['+', '-']).unwrap_or(text).trim_start();
    unsigned(text, minus, read, wanted)
}

fn unsigned<'a>(text: &'a str, minus: bool, read: &str, wanted: Wanted) -> Result<(Number, &'a str), ReadingError> {
    let (whole, rest) = digits(text);
    let after = rest.strip_prefix(['.', ',']);
    let (fraction, rest) = after.map_or(("", rest), digits);
    if whole.is_empty() && fraction.is_empty() {
        return Err(ReadingError::Unreadable { read: read.to_owned(), wanted });
    }
    if whole.len() > MAX_WRITTEN || whole.trim_start_matches('0').len() > MAX_WHOLE || fraction.len() > MAX_FRACTION {
        return Err(ReadingError::TooManyDigits { read: read.to_owned() });
    }
    let denominator = fraction.bytes().fold(1, |power, _| power * 10);
    let numerator = value(whole) * denominator + value(fraction);
    // At most MAX_FRACTION, so it fits.
    let decimals = u8::try_from(fraction.len()).unwrap_or(u8::MAX);
    Ok((Number { minus, numerator, denominator, decimals, separator: after.is_some() }, rest))
}

/// Reads what may follow whole degrees: `:15`, `:15:30`, `°15'`, `°15'30"`. The last part may have
/// decimals. `None` when no minutes follow.
pub(super) fn minutes_and_seconds<'a>(
    degrees: &Number,
    rest: &'a str,
    read: &str,
) -> Result<Option<(Number, &'a str)>, ReadingError> {
    let Some(minutes) = part(rest, &[':', '°']).filter(|_| !degrees.separator) else { return Ok(None) };
    let (minutes, rest) = sixtieths(minutes, read)?;
    let seconds = if minutes.separator { None } else { part(rest, &[':', '\'']) };
    let Some(seconds) = seconds else {
        let sum = joined(degrees, &minutes, 60, 2);
        return Ok(Some((sum, rest.strip_prefix('\'').unwrap_or(rest))));
    };
    let (seconds, rest) = sixtieths(seconds, read)?;
    let minutes = joined(&minutes, &seconds, 60, 3);
    Ok(Some((joined(degrees, &minutes, 60, 3), rest.strip_prefix('"').unwrap_or(rest))))
}

/// What follows one of `marks` when that is a digit.
fn part<'a>(text: &'a str, marks: &[char]) -> Option<&'a str> {
    text.strip_prefix(marks).map(str::trim_start).filter(|after| after.starts_with(|c: char| c.is_ascii_digit()))
}

fn sixtieths<'a>(text: &'a str, read: &str) -> Result<(Number, &'a str), ReadingError> {
    let (number, rest) = unsigned(text, false, read, Wanted::of(Kind::Angle))?;
    if number.numerator >= 60 * number.denominator {
        return Err(ReadingError::SixtyOrMore { read: read.to_owned() });
    }
    Ok((number, rest))
}

/// `whole + part / ratio`, with the sign of `whole`, which has no decimals.
fn joined(whole: &Number, part: &Number, ratio: i64, decimals: u8) -> Number {
    let denominator = part.denominator * ratio;
    Number { numerator: whole.numerator * denominator + part.numerator, denominator, decimals, ..*whole }
}
