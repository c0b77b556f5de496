//! The one key table. What a key does, the footer, the key page and the help in every place come from these rows.
//!
//! A row belongs to a place. Letters act only while the field is empty; digits, signs and points always go to
//! the field. What is needed with a gloved hand is on the number pad too.

mod row;
mod table;

use std::sync::OnceLock;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

pub(crate) use row::{Action, Leaf, Place, Press, Row};
pub(crate) use table::TABLE;

use crate::system::CAN_SUSPEND;

/// The table in use: the one of the program, or the sharpener's own over it.
static OWN: OnceLock<Vec<Row>> = OnceLock::new();

/// Takes a changed table into use, once, before the first key.
pub(crate) fn take(rows: Vec<Row>) {
    let _ = OWN.set(rows);
}

/// The rows in use, without those that this system cannot do.
pub(crate) fn table() -> impl Iterator<Item = &'static Row> {
    OWN.get().map_or(TABLE, Vec::as_slice).iter().filter(|row| is_offered(row.action, CAN_SUSPEND))
}

fn is_offered(action: Action, can_suspend: bool) -> bool {
    can_suspend || action != Action::Suspend
}

/// Rows of a place, its own first, then those that hold everywhere.
pub(crate) fn rows(place: Place) -> impl Iterator<Item = &'static Row> {
    let own = table().filter(move |row| row.place == place && place != Place::Everywhere);
    own.chain(table().filter(|row| row.place == Place::Everywhere))
}

/// The action of a key in a place. While something stands in the field, plain characters belong to the field.
pub(crate) fn action(place: Place, event: KeyEvent, field_has_text: bool) -> Option<Action> {
    let held = event.modifiers.contains(KeyModifiers::CONTROL);
    let code = match event.code {
        KeyCode::Char(c) if held => KeyCode::Char(c.to_ascii_lowercase()),
        code => code,
    };
    let for_field = matches!(code, KeyCode::Char(_)) && !held;
    let types = place == Place::Text || field_has_text;
    rows(place)
        .find(|row| {
            row.presses.iter().any(|press| {
                press.code == code
                    && press.ctrl == held
                    && !(types && for_field && !acts_on_text(place, row.action, code))
            })
        })
        .map(|row| row.action)
}

/// Characters that act though the field holds something: the space of a foot switch, and the number pad's
/// take-back and pause, which no reading contains.
fn acts_on_text(place: Place, action: Action, code: KeyCode) -> bool {
    place == Place::Round
        && match action {
            Action::Next => true,
            Action::TakeBack => code == KeyCode::Char('/'),
            Action::Pause => code == KeyCode::Char('*'),
            _ => false,
        }
}

#[cfg(test)]
mod tests;
