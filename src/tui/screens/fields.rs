//! What the fields of a form hold, read as lengths, angles and amounts. One reader for every form.

use super::super::keys::Action;
use super::form::{Field, Form};
use crate::chain::layout::LayoutError;
use crate::chain::{Layout, Profile, Sequence, Side, Spec};
use crate::coach::card::{self as entry, Entry};
use crate::round::Card;
use crate::units::figure;
use crate::units::{Millimetres, Unit};

/// The field at fault, and why it is not taken.
pub(super) type Fault = (&'static str, String);

/// A length in the unit of the form unless the text names another; `None` for an empty field.
///
/// # Errors
/// What was read and what is allowed, where it is no length or outside `low` to `high` mm.
pub(super) fn length(form: &Form, key: &'static str, range: (f64, f64)) -> Result<Option<Millimetres>, Fault> {
    figure::length(&form.value(key), form.unit(), range).map_err(|why| (key, why))
}

/// The field of a card's entry. What is chosen steps with Right or Space.
pub(super) fn of(entry: Entry, card: &Card, usual: &Spec, unit: Unit) -> Field {
    let (value, hint) = (entry.show(card, unit), entry.hint(usual, unit));
    let options = entry.options();
    if options.is_empty() {
        return Field::text(entry.key(), entry.label(), &value, &hint);
    }
    let at = options.iter().position(|option| *option == value).unwrap_or(0);
    Field::choice(entry.key(), entry.label(), options, at, &format!("{hint} {STEPS}"))
}

/// The chain types, to choose from.
pub(super) fn chains(profiles: &[Profile], at: usize) -> Field {
    let titles: Vec<String> = profiles.iter().map(|profile| profile.title.clone()).collect();
    Field::choice(
        Entry::Chain.key(),
        Entry::Chain.label(),
        titles,
        at,
        &format!("{STEPS} Pitch: distance over three rivets, halved."),
    )
}

/// Writes what such fields hold onto the card.
///
/// # Errors
/// The field at fault, and why.
pub(super) fn take(form: &Form, entries: &[Entry], card: &mut Card, profiles: &[Profile]) -> Result<(), Fault> {
    for entry in entries {
        entry.take(card, &form.value(entry.key()), profiles, form.unit()).map_err(|why| (entry.key(), why))?;
    }
    match entry::fault(card, form.unit()) {
        Some((entry, why)) => Err((entry.key(), why)),
        None => Ok(()),
    }
}

/// How a choice is stepped through.
const STEPS: &str = "Right or Space for the next.";

/// The orders of cutters that have a name, and one to be written out.
pub(super) const SEQUENCES: [&str; 4] = ["full", "semi-skip", "skip", "written order"];

/// Fields for how the cutters of a loop stand, as they stand now.
pub(super) fn stand(links: &str, sequence: &Sequence, first: Side) -> [Field; 4] {
    let named = SEQUENCES.iter().position(|name| *name == sequence.to_string());
    let order = if named.is_some() { String::new() } else { sequence.to_string() };
    [
        Field::text(Entry::Links.key(), Entry::Links.label(), links, "Count the tangs that run in the bar, 20 to 400."),
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
    let links: u16 = entry::links(&form.value("links")).map_err(|why| ("links", why))?;
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
    let leaves = form.leaves("links", action);
    let links: u16 = form.value("links").parse().ok().filter(|links| leaves && *asked != Some(*links))?;
    let sequence = if is_written(form) { Sequence::Custom(String::new()) } else { Sequence::Full };
    let why = sequence.unlikely(links)?;
    *asked = Some(links);
    Some(format!("{why} Enter again keeps {links}."))
}
