//! What the fields of a form hold, read as lengths, angles and amounts. One reader for every form.

use super::super::keys::Action;
use super::form::{Field, Form};
use crate::chain::layout::LayoutError;
use crate::chain::{Corner, FIELDS, Layout, LowerKickback, Sequence, Side};
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

/// The orders of cutters that have a name, and one to be written out.
pub(super) const SEQUENCES: [&str; 4] = ["full", "semi-skip", "skip", "written order"];

/// Fields for how the cutters of a loop stand, as they stand now.
pub(super) fn stand(links: &str, sequence: &Sequence, first: Side) -> [Field; 4] {
    let named = SEQUENCES.iter().position(|name| *name == sequence.to_string());
    let order = if named.is_some() { String::new() } else { sequence.to_string() };
    [
        Field::text("links", "Drive links", links, "Count the tangs that run in the bar, 20 to 400."),
        Field::choice(
            "sequence",
            "Cutters",
            SEQUENCES,
            named.unwrap_or(SEQUENCES.len() - 1),
            "Full: one every two drive links. Skip: one every three.",
        ),
        Field::text(
            "order",
            "Written order",
            &order,
            "L or R a cutter, - a plain link: all of it, such as LR-LR-, or the part that repeats, such as L R.",
        ),
        Field::choice(
            "first",
            "Cutter 1 is",
            ["left", "right"],
            usize::from(first == Side::Right),
            "Hand of the first cutter after the start mark.",
        ),
    ]
}

/// True where the order of cutters is written out.
pub(super) fn is_written(form: &Form) -> bool {
    form.chosen("sequence") == SEQUENCES.len() - 1
}

/// How the cutters stand, as filled in there.
///
/// # Errors
/// Links that are no number or out of range, or an order that does not fill them.
pub(super) fn read_stand(form: &Form) -> Result<(Sequence, Side, Layout), Fault> {
    let links: u16 =
        form.value("links").parse().map_err(|_| ("links", "A whole number from 20 to 400 is needed.".to_owned()))?;
    let written = is_written(form);
    let text = form.value(if written { "order" } else { "sequence" });
    let key = if written { "order" } else { "links" };
    let first = if form.chosen("first") == 0 { Side::Left } else { Side::Right };
    let sequence: Sequence = text.parse().map_err(|error: LayoutError| (key, error.to_string()))?;
    let sequence = sequence.over(links);
    let layout = Layout::new(links, &sequence, first).map_err(|error| (key, error.to_string()))?;
    Ok((sequence, first, layout))
}

/// How many cutters that makes, and whether two of one hand are neighbours.
pub(super) fn comes_to(layout: &Layout) -> String {
    let [left, right] = [Side::Left, Side::Right].map(|side| layout.count_of(side));
    let twins = layout.same_hand_neighbours();
    let pair =
        twins.first().map_or_else(String::new, |(a, b)| format!(" Cutters {a} and {b} are neighbours of one hand."));
    format!("{} cutters: {left} left, {right} right.{pair}", layout.count())
}

/// What is unlikely about the number of drive links in the field that is being left: asked once for each number.
pub(super) fn unlikely(form: &Form, action: Action, asked: &mut Option<u16>) -> Option<String> {
    let leaves = form.current() == "links" && matches!(action, Action::Next | Action::Down);
    let links: u16 = form.value("links").parse().ok().filter(|links| leaves && *asked != Some(*links))?;
    let sequence = if is_written(form) { Sequence::Custom(String::new()) } else { Sequence::Full };
    let why = sequence.unlikely(links)?;
    *asked = Some(links);
    Some(format!("{why} Enter again keeps {links}."))
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
