//! Keys of one's own: a small file in the data folder over the one key table.
//!
//! ```toml
//! [round]
//! "back" = ["/", "Backspace"]
//! pause = ["p"]
//! ```
//!
//! A table is a place, a key the name in the footer, a value the keys that do it from now on. Nothing is taken from a file
//! with a fault: a bench must not find half its keys moved.

use std::collections::BTreeMap;

use toml::Spanned;

use super::keys::{self, Place, Press, Row};
use crate::care::Kept;
use crate::units::clean::clean;

/// The file in the data folder.
pub(crate) const FILE: Kept = Kept { name: "keys.toml", most: 64 * 1024 };

/// A file that was not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}:{line}: {problem} The usual keys are used.", FILE.name)]
pub struct KeyFileError {
    /// Line, from 1.
    pub line: usize,
    /// What was read and what is allowed, a sentence.
    pub problem: String,
}

type Wishes = BTreeMap<String, BTreeMap<String, Spanned<Vec<String>>>>;

/// Whether a text can be taken.
///
/// # Errors
/// [`KeyFileError`] for an unknown place, name or key, a key that belongs to the reading, and a key with two meanings.
pub fn check(text: &str) -> Result<(), KeyFileError> {
    parse(text).map(drop)
}

/// The table with the wishes of a file in it.
///
/// # Errors
/// [`KeyFileError`] for an unknown place, name or key, a key that belongs to the reading, and a key with two meanings.
pub(crate) fn parse(text: &str) -> Result<Vec<Row>, KeyFileError> {
    let line = |at: usize| text.as_bytes().iter().take(at).filter(|&&b| b == b'\n').count() + 1;
    let wrong = |at: usize, problem: String| KeyFileError { line: line(at), problem };
    let wishes: Wishes = toml::from_str(text)
        .map_err(|error| wrong(error.span().map_or(0, |span| span.start), format!("{}.", clean(error.message()))))?;
    let mut rows: Vec<Row> = keys::TABLE.to_vec();
    let mut asked = Vec::new();
    for (place_name, entries) in &wishes {
        for (name, wanted) in entries {
            let at = wanted.span().start;
            let place = Place::ALL.into_iter().find(|place| place.key() == place_name).ok_or_else(|| {
                let known = Place::ALL.map(Place::key).join(", ");
                wrong(at, format!("\"{}\" is not a place; allowed: {known}.", clean(place_name)))
            })?;
            let row = rows.iter_mut().find(|row| row.place == place && row.name == name).ok_or_else(|| {
                let known: Vec<&str> =
                    keys::TABLE.iter().filter(|row| row.place == place).map(|row| row.name).collect();
                wrong(at, format!("\"{}\" cannot be done there; allowed: {}.", clean(name), known.join(", ")))
            })?;
            let presses = presses(place, wanted.get_ref()).map_err(|problem| wrong(at, problem))?;
            row.presses = Vec::leak(presses);
            asked.push((at, place, row.name));
        }
    }
    for (at, place, name) in asked {
        if let Some((press, other)) = clash(&rows, place, name) {
            return Err(wrong(at, format!("{} would be both \"{name}\" and \"{other}\" there.", press.label())));
        }
    }
    Ok(rows)
}

fn presses(place: Place, names: &[String]) -> Result<Vec<Press>, String> {
    if names.is_empty() {
        return Err("at least one key is needed.".to_owned());
    }
    names
        .iter()
        .map(|name| {
            let press = Press::named(name).ok_or_else(|| {
                format!("\"{}\" is not a key; allowed: a character, Enter, Esc, F1, Ctrl-C and the like.", clean(name))
            })?;
            if press.is_for_readings()
                && matches!(place, Place::Round | Place::Question | Place::Meant | Place::Everywhere)
            {
                return Err(format!("\"{}\" belongs to readings.", clean(name)));
            }
            Ok(press)
        })
        .collect()
}

/// A key of this row that another row reachable from the same place has too.
fn clash(rows: &[Row], place: Place, name: &str) -> Option<(Press, &'static str)> {
    let row = rows.iter().find(|row| row.place == place && row.name == name)?;
    let meet = |other: &&Row| {
        let beside = other.place == place || other.place == Place::Everywhere || place == Place::Everywhere;
        beside && !(other.place == place && other.name == name)
    };
    rows.iter().filter(meet).find_map(|other| {
        row.presses.iter().find(|press| other.presses.contains(press)).map(|press| (*press, other.name))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::keys::Action;

    #[test]
    fn the_usual_keys_can_be_written_down_as_they_are_shown() {
        let mut text = String::new();
        for place in Place::ALL {
            text.push_str(&format!("[{}]\n", place.key()));
            for row in keys::TABLE.iter().filter(|row| row.place == place && !row.presses.is_empty()) {
                let names: Vec<String> = row.presses.iter().map(|press| format!("{:?}", press.label())).collect();
                text.push_str(&format!("{:?} = [{}]\n", row.name, names.join(", ")));
            }
        }
        assert_eq!(check(&text), Ok(()), "{text}");
    }

    #[test]
    fn a_wish_moves_a_key_and_leaves_the_rest() {
        let rows = parse("[round]\nback = [\"b\", \"Ctrl-B\"]\n").unwrap();
        let back = rows.iter().find(|row| row.action == Action::TakeBack).unwrap();
        assert_eq!(back.presses.iter().map(|press| press.label()).collect::<Vec<_>>(), ["b", "Ctrl-B"]);
        let others = rows.iter().zip(keys::TABLE).filter(|(a, b)| a.presses != b.presses).count();
        assert_eq!(others, 1);
    }

    #[test]
    fn faults_are_told_with_their_line() {
        for (text, line, phrase) in [
            ("[round]\nback = [\"p\"]\n", 2, "both \"back\" and \"pause\""),
            ("\n[round]\nback = [\"F1\"]\n", 3, "both"),
            ("[round]\nback = [\"5\"]\n", 2, "belongs to readings"),
            ("[round]\nback = []\n", 2, "at least one"),
            ("[round]\nback = [\"Hyper-Q\"]\n", 2, "not a key"),
            ("[bench]\nback = [\"b\"]\n", 2, "not a place"),
            ("[round]\nwhistle = [\"b\"]\n", 2, "cannot be done there"),
            ("[everywhere]\nkeys = [\"n\"]\n", 2, "both"),
            ("[round\n", 1, "."),
        ] {
            let error = parse(text).unwrap_err();
            assert_eq!(error.line, line, "{text:?}: {error}");
            assert!(error.problem.contains(phrase), "{text:?}: {error}");
        }
    }
}
