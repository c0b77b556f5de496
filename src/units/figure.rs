//! What people type into a form: a length, an angle or an amount, held to a range. A unit that is written with a length counts.

use super::reading::{self, Kind, ReadingError, Value};
use super::{Degrees, Millimetres, Unit};

/// A length, in `unit` where the text names none; `None` for an empty text.
///
/// # Errors
/// What was read and what is allowed, where it is no length or outside `low` to `high` mm.
pub(crate) fn length(text: &str, unit: Unit, (low, high): (f64, f64)) -> Result<Option<Millimetres>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = match reading::parse(text, Kind::Length, unit) {
        // Nobody who writes the unit is asked whether it is meant.
        Err(ReadingError::OtherUnit { reading, .. }) => Ok(*reading),
        read => read,
    };
    match read.map(|read| read.value) {
        Ok(Value::Length(mm)) if (low..=high).contains(&mm.get()) => Ok(Some(mm)),
        Ok(_) => {
            let allowed = unit.range(Millimetres::new(low), Millimetres::new(high));
            Err(format!("{text} was read. Allowed: {allowed}."))
        }
        Err(error) => Err(error.to_string()),
    }
}

/// An angle in degrees; `None` for an empty text.
///
/// # Errors
/// What was read and what is allowed, where it is no angle or outside `low` to `high` degrees.
pub(crate) fn angle(text: &str, (low, high): (f64, f64)) -> Result<Option<Degrees>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    match reading::parse(text, Kind::Angle, Unit::Mm).map(|read| read.value) {
        Ok(Value::Angle(deg)) if (low..=high).contains(&deg.get()) => Ok(Some(deg)),
        Ok(_) => Err(format!("{text} was read. Allowed: {low} to {high} degrees.")),
        Err(error) => Err(error.to_string()),
    }
}

/// A number of 0 or more, such as a price or hours; `None` for an empty text.
///
/// # Errors
/// What was read, where it is no such number.
pub(crate) fn amount(text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    // Typed like a length: digits with a point or a comma.
    match reading::parse(text, Kind::Length, Unit::Mm).map(|read| read.value) {
        Ok(Value::Length(amount)) if amount.get() >= 0.0 => Ok(Some(amount.get())),
        _ => Err(format!("{text} was read. Type a number such as 24.50.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_takes_the_unit_that_is_written() {
        let range = (0.2, 1.2);
        let read = |text: &str, unit| length(text, unit, range).map(|mm| mm.map(|mm| (mm.get() * 1000.0).round()));
        assert_eq!(read("0,65", Unit::Mm), Ok(Some(650.0)));
        assert_eq!(read("0.025", Unit::Inch), Ok(Some(635.0)));
        assert_eq!(read("25 thou", Unit::Mm), Ok(Some(635.0)));
        assert_eq!(read("0.65 mm", Unit::Inch), Ok(Some(650.0)));
        assert_eq!(read("", Unit::Inch), Ok(None));
        assert_eq!(read("0.65", Unit::Inch), Err("0.65 was read. Allowed: 0.008 to 0.047 in.".to_owned()));
        assert!(read("x", Unit::Inch).unwrap_err().contains("a length such as 0.317"));
    }
}
