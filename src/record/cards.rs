//! Loop cards as files: read, checked, written.

use std::path::Path;

use super::small::{self, line_of};
use super::{RackError, RecordError};
use crate::chain::profile::FIELDS;
use crate::round::{Card, Visit};
use crate::units::clean::{clean, is_slug};
use crate::units::{Degrees, Millimetres};

/// Reads and checks a card. Free text in it is made safe to print.
pub(super) fn read(path: &Path) -> Result<Card, RackError> {
    parse(path, &small::text(path)?)
}

/// The card in a text. `path` is for messages.
pub(super) fn parse(path: &Path, text: &str) -> Result<Card, RackError> {
    let card = tidy(small::parse(path, text)?);
    match fault(&card) {
        None => Ok(card),
        Some((key, fault)) => Err(RackError::line(path, line_of(text, key), &fault)),
    }
}

/// The card as text that [`parse`] reads back the same.
pub(super) fn render(card: &Card) -> Result<(Card, String), RackError> {
    let card = tidy(card.clone());
    let unwritable = |what| RackError::from(RecordError::Unwritable { what });
    if let Some((_, what)) = fault(&card) {
        return Err(unwritable(what));
    }
    let text = small::render(&card)?;
    Ok((card, text))
}

fn tidy(mut card: Card) -> Card {
    for text in [&mut card.name, &mut card.owner, &mut card.saw, &mut card.start_mark] {
        *text = clean(text);
    }
    if let Some(scrapped) = &mut card.scrapped {
        scrapped.reason = clean(&scrapped.reason);
    }
    for release in &mut card.releases {
        for text in [&mut release.by, &mut release.replaced] {
            *text = clean(text);
        }
        if let Some(scrapped) = &mut release.scrapped {
            scrapped.reason = clean(&scrapped.reason);
        }
    }
    tidy_visit(&mut card.visit);
    card.visit.before.iter_mut().for_each(tidy_visit);
    if card.name.is_empty() {
        card.name.clone_from(&card.tag);
    }
    card
}

fn tidy_visit(visit: &mut Visit) {
    for text in [&mut visit.brought_by, &mut visit.fetched_by] {
        *text = clean(text);
    }
}

/// The key at fault, and what was read and what is allowed.
fn fault(card: &Card) -> Option<(&'static str, String)> {
    if !is_slug(&card.tag) {
        return Some(("tag", RackError::BadTag(clean(&card.tag)).to_string()));
    }
    if !is_slug(&card.profile) {
        let text = format!("profile \"{}\" cannot be a name. Allowed: 1 to 40 of a-z, 0-9 and -.", card.profile);
        return Some(("profile", text));
    }
    if let Err(error) = card.layout() {
        let key = if matches!(error, crate::chain::layout::LayoutError::Links(_)) { "links" } else { "sequence" };
        return Some((key, error.to_string()));
    }
    own_fault(card).or_else(|| measures_fault(card)).or_else(|| price_fault(card))
}

/// A loop's own figure is held to the range of the profile key that it replaces.
fn own_fault(card: &Card) -> Option<(&'static str, String)> {
    let own = &card.own;
    let plate = own.plate;
    let figures = [
        ("new_length_mm", own.new_length.map(Millimetres::get)),
        ("reach_new_mm", own.reach_new.map(Millimetres::get)),
        ("reach_mark_mm", own.reach_mark.map(Millimetres::get)),
        ("back_slope_deg", own.back_slope.map(Degrees::get)),
        ("base_gap_mm", own.base_gap.map(Millimetres::get)),
        ("gap_max_mm", own.largest_gap.map(Millimetres::get)),
        ("plate_foot_mm", plate.map(|x| x.foot).or(own.plate_foot).map(Millimetres::get)),
        ("plate_height_mm", plate.map(|x| x.height.get())),
        ("plate_slot_mm", plate.map(|x| x.slot.get())),
    ];
    figures.into_iter().find_map(|(key, value)| {
        let value = value?;
        let field = FIELDS.iter().find(|field| field.key == key)?;
        let (low, high) = field.range;
        let key = if key == "gap_max_mm" { "largest_gap_mm" } else { key.strip_prefix("plate_").unwrap_or(key) };
        let text = || format!("{key} is {value}. Allowed: {low} to {high} {}.", field.unit);
        (!(low..=high).contains(&value)).then(|| (key, text()))
    })
}

/// Smallest and largest of what is measured on a cutter for its geometry, mm.
const MEASURES: [(&str, f64, f64); 3] =
    [("length_mm", 0.5, 42.0), ("reach_mm", 1.0, 60.0), ("plate_gap_mm", -1.0, 3.0)];

fn measures_fault(card: &Card) -> Option<(&'static str, String)> {
    card.own.measured.iter().find_map(|row| {
        let values = [Some(row.length), row.reach, row.plate_gap];
        MEASURES.into_iter().zip(values).find_map(|((key, low, high), value)| {
            let value = value?.get();
            let text = || format!("{key} is {value}. Allowed: {low} to {high} mm.");
            (!(low..=high).contains(&value)).then(|| (key, text()))
        })
    })
}

fn price_fault(card: &Card) -> Option<(&'static str, String)> {
    let prices = &card.prices;
    let figures = [("new_loop", prices.new_loop), ("round", prices.round), ("hours_between", prices.hours_between)];
    figures.into_iter().find_map(|(key, value)| {
        let value = value.filter(|value| !(value.is_finite() && *value >= 0.0))?;
        Some((key, format!("{key} is {value}. Allowed: 0 or more.")))
    })
}
