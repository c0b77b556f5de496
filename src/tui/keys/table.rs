//! The rows of the one key table, put together from its parts.
//!
//! What the file is for: what holds on every screen, and the order of the parts. It must not know what an action
//! does.

mod beside;
mod pages;
mod rack;
mod round;

use super::row::{Action, Leaf, Place, Row, WHERE_HELP, ch, ctrl, f, row};

/// What holds on every screen.
const EVERYWHERE: &[Row] = &[
    row(Place::Everywhere, Action::Model, &[f(3)], "lessons", "The wear model and ten short lessons.", false),
    row(Place::Everywhere, Action::Why, &[f(2)], "why", WHERE_HELP, false),
    row(Place::Everywhere, Action::Open(Leaf::Words), &[f(4)], "glossary", "Each trade word in one line.", false),
    row(Place::Everywhere, Action::Keys, &[f(1), ch('?')], "keys", "This page.", true),
    row(
        Place::Everywhere,
        Action::Quit,
        &[ctrl('c')],
        "quit",
        "Leave the program. A round is paused, nothing is lost.",
        false,
    ),
    row(Place::Everywhere, Action::Suspend, &[ctrl('z')], "shell", "Go to the shell; fg comes back.", false),
];

const PARTS: [&[Row]; 5] = [round::ROUND, rack::RACK, pages::PAGES, beside::BESIDE, EVERYWHERE];

/// All rows. Order is the order of the footer.
pub(crate) const TABLE: &[Row] = &joined::<{ count() }>();

const fn count() -> usize {
    let (mut part, mut rows) = (0, 0);
    while part < PARTS.len() {
        rows += PARTS[part].len();
        part += 1;
    }
    rows
}

/// The parts one after another; they are joined by the compiler.
const fn joined<const N: usize>() -> [Row; N] {
    let mut all = [EVERYWHERE[0]; N];
    let (mut part, mut row, mut at) = (0, 0, 0);
    while at < N {
        if row == PARTS[part].len() {
            (part, row) = (part + 1, 0);
        } else {
            all[at] = PARTS[part][row];
            (row, at) = (row + 1, at + 1);
        }
    }
    all
}
