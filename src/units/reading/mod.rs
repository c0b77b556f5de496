//! The one parser for everything that is typed, pasted or sent by an instrument as a reading.
//!
//! What the room is for: one line of text in, one exact value or one plain refusal out. It must not
//! know where the line came from, nor which values are plausible (see [`super::plausible`]).
//!
//! Numbers are read digit by digit into whole counts: 1 count is 0.1 µm for lengths and 0.001 degree
//! for angles. Nothing is read by a general float parser, which would also take `nan`, `inf` and `1e9`.
//!
//! Line forms taken, in either case of letters, with a point or a comma:
//!
//! | form | example |
//! |---|---|
//! | typed | `8.05`, `8,05 mm`, `.317"`, `25 thou`, `650 um`, `30°15'`, `30:15:30` |
//! | sign, padded number, comma, unit | `+  8.0500 ,MM` |
//! | sign and number | `-012.340` |
//! | feature number, value, unit, tolerance | `1 +012.34 mm =` (several joined by `;` are refused) |
//! | mode letter, value, unit letter, limit letter | `N+ 12.345MO` |
//! | mode letter and number | `A+12.345`, `ANMG+12.345` (mode, unit and judgement letters) |
//! | channel, `A`, zero-padded value | `01A+00012.34` |
//! | keyboard adapter with a trailing comma | `12.34,` |
//!
//! A channel or a letter in front counts only before an explicit sign, or when a single letter is
//! followed by a blank: otherwise `1e5` would be channel 1 with the value 5.

mod error;
mod layout;
mod line;
mod number;
#[cfg(test)]
mod tests;

pub(crate) use error::ReadingError;
pub(crate) use layout::LayoutHint;

use std::fmt;

use super::clean::clean;
use super::{Degrees, Millimetres, Unit};
use line::{Prefix, Suffix};
use number::Number;

/// Longest line read, in bytes, and longest text kept of it, in characters.
pub(crate) const MAX_LINE: usize = 64;

/// Largest number of strokes that can be given.
pub(crate) const MAX_COUNT: u32 = 999;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A length, in the unit of the round.
    Length,
    /// An angle, in degrees.
    Angle,
    /// A whole number of strokes, 0 to [`MAX_COUNT`].
    Count,
}

/// What is asked for, and in which unit lengths are: an example must be one that could be typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// What is asked for.
    pub kind: Kind,
    /// The unit of a bare length.
    pub unit: Unit,
}

impl Wanted {
    /// What has no unit to choose.
    const fn of(kind: Kind) -> Self {
        Self { kind, unit: Unit::Mm }
    }

    /// A number that could be typed.
    const fn example(self) -> &'static str {
        match self.kind {
            Kind::Length => self.unit.example(),
            Kind::Angle => "30.5",
            Kind::Count => "12",
        }
    }
}

impl fmt::Display for Wanted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind {
            Kind::Length => write!(f, "a length such as {}", self.unit.example()),
            Kind::Angle => f.write_str("an angle such as 30 or 30:15"),
            Kind::Count => f.write_str("a whole number from 0 to 999"),
        }
    }
}

/// What was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Value {
    /// A length, to 0.1 µm.
    Length(Millimetres),
    /// An angle, to 0.001 degree.
    Angle(Degrees),
    /// A number of strokes.
    Count(u32),
}

/// A unit written with the number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum GivenUnit {
    /// `mm`, or `M` of an instrument.
    Mm,
    /// `in`, `inch`, `"`, or `I` of an instrument.
    Inch,
    /// `um`.
    Micrometre,
    /// `thou`: 0.001 in.
    Thou,
    /// `deg`, `°`, or minutes and seconds.
    Degree,
    /// `rad`.
    Radian,
}

impl GivenUnit {
    /// The unit of a round to which it belongs; none for angles.
    pub(crate) const fn system(self) -> Option<Unit> {
        match self {
            Self::Mm | Self::Micrometre => Some(Unit::Mm),
            Self::Inch | Self::Thou => Some(Unit::Inch),
            Self::Degree | Self::Radian => None,
        }
    }

    /// Counts (0.1 µm or 0.001 degree) in a thousand of this unit. 1 in = 25.4 mm exactly; a radian
    /// is rounded to 57.295780 degrees, 4e-7 degree too much at most.
    const fn counts_in_thousand(self) -> i64 {
        match self {
            Self::Mm => 10_000_000,
            Self::Inch => 254_000_000,
            Self::Micrometre => 10_000,
            Self::Thou => 254_000,
            Self::Degree => 1_000_000,
            Self::Radian => 57_295_780,
        }
    }
}

impl From<Unit> for GivenUnit {
    fn from(unit: Unit) -> Self {
        match unit {
            Unit::Mm => Self::Mm,
            Unit::Inch => Self::Inch,
        }
    }
}

impl fmt::Display for GivenUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Mm => "mm",
            Self::Inch => "inches",
            Self::Micrometre => "micrometres",
            Self::Thou => "thou",
            Self::Degree => "degrees",
            Self::Radian => "radians",
        })
    }
}

/// Something worth telling about a reading that was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Note {
    /// `-0.00`: taken as 0; the gauge sits a hair below its zero.
    MinusZero,
    /// The instrument marked the value as beyond its warning limit.
    WarningLimit,
}

/// One value with all that came along with it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Reading {
    /// The value.
    pub value: Value,
    /// The text as it came, made safe to print, at most [`MAX_LINE`] characters.
    pub raw: String,
    /// The unit written with it, if any.
    pub unit_given: Option<GivenUnit>,
    /// Digits typed after the point. Angles in minutes count as 2, with seconds as 3.
    pub decimals: u8,
    /// What is worth telling.
    pub notes: Vec<Note>,
    /// Tolerance judgement of the instrument, in capitals: `<`, `=`, `>` or a letter.
    pub judge: Option<char>,
    /// Channel or feature number of the instrument.
    pub channel: Option<u8>,
}

/// Reads one line. A bare length is in `unit`, the unit of the round.
///
/// # Errors
/// [`ReadingError`], one variant for each way a line can be wrong. A length whose written unit is of
/// the other system, and an angle in radians, come back as [`ReadingError::OtherUnit`] with the
/// reading inside, for the person to confirm: nothing is converted silently.
pub(crate) fn parse(text: &str, kind: Kind, unit: Unit) -> Result<Reading, ReadingError> {
    if text.len() > MAX_LINE {
        return Err(ReadingError::TooLong { bytes: text.len() });
    }
    let body = text.trim_matches(is_padding);
    let read = shown(body);
    if body.is_empty() {
        return Err(ReadingError::Empty { wanted: Wanted { kind, unit } });
    }
    if let Some(hint) = layout::hint(body) {
        return Err(ReadingError::KeyboardLayout { hint });
    }
    let wanted = Wanted { kind, unit };
    let line = line::normalise(body);
    if line::is_fault(&line) {
        return Err(ReadingError::InstrumentFault { text: read });
    }
    line::refuse_spelling(&line, &read, wanted)?;
    match kind {
        Kind::Length => length(&line, read, unit),
        Kind::Angle => angle(&line, read),
        Kind::Count => count(&line, read),
    }
}

fn length(line: &str, read: String, unit: Unit) -> Result<Reading, ReadingError> {
    let wanted = Wanted { kind: Kind::Length, unit };
    let (prefix, rest) = line::prefix(line, &read, wanted)?;
    let (number, rest) = number::scan(rest, &read, wanted)?;
    let suffix = line::suffix(rest, &number, &prefix, &read, wanted)?;
    let given = match (prefix.unit, suffix.unit) {
        (Some(before), Some(after)) if before != after => return Err(ReadingError::Unreadable { read, wanted }),
        (before, after) => after.or(before),
    };
    let used = given.unwrap_or(unit.into());
    let Some(system) = used.system() else {
        return Err(ReadingError::UnitNotAllowed { read, unit: used.to_string(), wanted });
    };
    let millimetres = number.counts(used.counts_in_thousand()) as f64 / 10_000.0;
    let Ok(value) = Millimetres::checked(millimetres) else {
        return Err(ReadingError::TooLarge { read, limit: unit.largest() });
    };
    let reading = assemble(Value::Length(value), read, given, &number, &prefix, &suffix);
    if system == unit {
        Ok(reading)
    } else {
        Err(ReadingError::OtherUnit { given: used, asked: unit.into(), reading: Box::new(reading) })
    }
}

fn angle(line: &str, read: String) -> Result<Reading, ReadingError> {
    let wanted = Wanted::of(Kind::Angle);
    let (prefix, rest) = line::prefix(line, &read, wanted)?;
    let (mut number, mut rest) = number::scan(rest, &read, wanted)?;
    let split = number::minutes_and_seconds(&number, rest, &read)?;
    if let Some((whole, after)) = &split {
        (number, rest) = (*whole, after);
    }
    let suffix = line::suffix(rest, &number, &prefix, &read, wanted)?;
    let written = if split.is_some() { Some(GivenUnit::Degree) } else { None };
    let used = suffix.unit.or(prefix.unit).or(written).unwrap_or(GivenUnit::Degree);
    if used.system().is_some() {
        return Err(ReadingError::UnitNotAllowed { read, unit: used.to_string(), wanted });
    }
    if suffix.sexagesimal != split.is_some() && (suffix.sexagesimal || used == GivenUnit::Radian) {
        return Err(ReadingError::Unreadable { read, wanted });
    }
    let degrees = number.counts(used.counts_in_thousand()) as f64 / 1000.0;
    let Ok(value) = Degrees::checked(degrees) else {
        return Err(ReadingError::TooLarge { read, limit: "360 degrees" });
    };
    let given = suffix.unit.or(prefix.unit).or(written);
    let reading = assemble(Value::Angle(value), read, given, &number, &prefix, &suffix);
    if used == GivenUnit::Degree {
        Ok(reading)
    } else {
        Err(ReadingError::OtherUnit { given: used, asked: GivenUnit::Degree, reading: Box::new(reading) })
    }
}

/// Strokes are typed by a person, so no instrument prefix is looked for.
fn count(line: &str, read: String) -> Result<Reading, ReadingError> {
    let wanted = Wanted::of(Kind::Count);
    let prefix = Prefix::default();
    let (number, rest) = number::scan(line, &read, wanted)?;
    let suffix = line::suffix(rest, &number, &prefix, &read, wanted)?;
    if let Some(unit) = suffix.unit {
        return Err(ReadingError::UnitNotAllowed { read, unit: unit.to_string(), wanted });
    }
    if number.decimals > 0 {
        return Err(ReadingError::NotWhole { read });
    }
    match u32::try_from(number.counts(1000)) {
        Ok(value) if value <= MAX_COUNT => Ok(assemble(Value::Count(value), read, None, &number, &prefix, &suffix)),
        _ => Err(ReadingError::CountOutOfRange { read }),
    }
}

fn assemble(
    value: Value,
    raw: String,
    unit_given: Option<GivenUnit>,
    number: &Number,
    prefix: &Prefix,
    suffix: &Suffix,
) -> Reading {
    let mut notes = Vec::new();
    if number.is_minus_zero() {
        notes.push(Note::MinusZero);
    }
    if suffix.warning {
        notes.push(Note::WarningLimit);
    }
    let decimals = number.decimals;
    Reading { value, raw, unit_given, decimals, notes, judge: suffix.judge.or(prefix.judge), channel: prefix.channel }
}

/// What surrounds a line without being part of it: blanks, line ends, NUL, STX, ETX and the byte-order mark.
fn is_padding(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\0' | '\u{2}' | '\u{3}' | '\u{FEFF}')
}

fn shown(body: &str) -> String {
    clean(body).chars().take(MAX_LINE).collect()
}
