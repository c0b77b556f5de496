//! What the fields of a form hold, read as lengths, angles and amounts. One reader for every form.

use super::form::{Field, Form};
use crate::chain::{Corner, FIELDS, LowerKickback};
use crate::round::card::Own;
use crate::units::reading::{self, Kind, Value};
use crate::units::{Degrees, Millimetres, Unit};

/// The field at fault, and why it is not taken.
pub(super) type Fault = (&'static str, String);

/// A length in mm unless the text names another unit; `None` for an empty field.
///
/// # Errors
/// What was read and what is allowed, where it is no length or outside `low` to `high` mm.
pub(super) fn length(form: &Form, key: &'static str, (low, high): (f64, f64)) -> Result<Option<Millimetres>, Fault> {
    let text = form.value(key);
    if text.is_empty() {
        return Ok(None);
    }
    match reading::parse(&text, Kind::Length, Unit::Mm).map(|read| read.value) {
        Ok(Value::Length(mm)) if (low..=high).contains(&mm.get()) => Ok(Some(mm)),
        Ok(_) => Err((key, format!("{text} was read. Allowed are {low} to {high} mm."))),
        Err(error) => Err((key, error.to_string())),
    }
}

/// An angle in degrees; `None` for an empty field.
///
/// # Errors
/// What was read and what is allowed, where it is no angle or outside `low` to `high` degrees.
pub(super) fn angle(form: &Form, key: &'static str, (low, high): (f64, f64)) -> Result<Option<Degrees>, Fault> {
    let text = form.value(key);
    if text.is_empty() {
        return Ok(None);
    }
    match reading::parse(&text, Kind::Angle, Unit::Mm).map(|read| read.value) {
        Ok(Value::Angle(deg)) if (low..=high).contains(&deg.get()) => Ok(Some(deg)),
        Ok(_) => Err((key, format!("{text} was read. Allowed are {low} to {high} degrees."))),
        Err(error) => Err((key, error.to_string())),
    }
}

/// A number of 0 or more, such as a price or hours; `None` for an empty field.
///
/// # Errors
/// What was read, where it is no such number.
pub(super) fn amount(form: &Form, key: &'static str) -> Result<Option<f64>, Fault> {
    let text = form.value(key);
    if text.is_empty() {
        return Ok(None);
    }
    // Typed like a length: digits with a point or a comma.
    match reading::parse(&text, Kind::Length, Unit::Mm).map(|read| read.value) {
        Ok(Value::Length(amount)) if amount.get() >= 0.0 => Ok(Some(amount.get())),
        _ => Err((key, format!("{text} was read. A number such as 24.50 is needed."))),
    }
}

/// What a profile may hold under a key: a loop's own figure is held to the same.
pub(super) fn range(profile_key: &str) -> (f64, f64) {
    FIELDS.iter().find(|field| field.key == profile_key).map_or((f64::MIN, f64::MAX), |field| field.range)
}

/// What is asked of a loop's own limits, in order; `gap_hint` says what serves where no gap is stamped.
pub(super) fn limits(own: &Own, gap_hint: &str) -> [Field; 4] {
    let shown = |gap: Option<Millimetres>| gap.map_or_else(String::new, |gap| gap.get().to_string());
    let at = |found: Option<usize>| found.unwrap_or(0);
    let kickback = at(LowerKickback::ALL.iter().position(|(answer, _)| *answer == own.lower_kickback));
    let corner = at(Corner::ALL.iter().position(|(answer, _)| *answer == own.corner));
    [
        Field::text("gap", "Raker gap stamped", &shown(own.base_gap), gap_hint),
        Field::text(
            "largest",
            "Maker's largest gap",
            &shown(own.largest_gap),
            "mm, if the chain's maker names one: no rule goes above it. May stay empty.",
        ),
        Field::choice(
            "kickback",
            "Lower-kickback chain",
            LowerKickback::ALL.map(|(_, word)| word),
            kickback,
            "Yes: its rakers are never set above its gap. Right or Space for the next.",
        ),
        Field::choice(
            "corner",
            "Working corner",
            Corner::ALL.map(|(_, word)| word),
            corner,
            "A square one keeps its top-plate angle in hardwood too.",
        ),
    ]
}

/// What was filled in there, in place of what `own` holds.
///
/// # Errors
/// What was read and what is allowed, where a gap cannot be.
pub(super) fn read_limits(form: &Form, own: Own) -> Result<Own, Fault> {
    let base_gap = length(form, "gap", range("base_gap_mm"))?;
    let largest_gap = length(form, "largest", range("gap_max_mm"))?;
    if let (Some(base), Some(largest)) = (base_gap, largest_gap)
        && largest < base
    {
        return Err(("largest", format!("{largest} is less than the stamped gap, {base}.")));
    }
    let lower_kickback = LowerKickback::ALL.get(form.chosen("kickback")).map(|(answer, _)| *answer).unwrap_or_default();
    let corner = Corner::ALL.get(form.chosen("corner")).map(|(answer, _)| *answer).unwrap_or_default();
    Ok(Own { base_gap, largest_gap, lower_kickback, corner, ..own })
}
