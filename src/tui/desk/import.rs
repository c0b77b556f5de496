//! Reading a file of readings, looking at it, taking it.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::super::effect::{Answer, ReadFile};
use crate::care::Workshop;
use crate::care::files::{ImportError, Look, Wish, read_table, whole, without_unit};

/// Reads the file of a typed or pasted name, and finds which of its columns do not say their unit.
pub(super) fn read(name: &str, now: DateTime<FixedOffset>) -> Answer {
    let path = spelled(name);
    let read = read_table(&path).and_then(|text| {
        let without_unit = without_unit(&text)?;
        let whole = whole(&text, now)?;
        Ok(ReadFile { name: file_name(&path), text, without_unit, whole })
    });
    Answer::FileRead(read.map(Box::new).map_err(|error| match error {
        // The files' own words name the path already.
        ImportError::Rack(error) => error.to_string(),
        other => format!("{}: {other}", file_name(&path)),
    }))
}

pub(super) fn look(care: &Workshop, text: &str, wish: &Wish) -> Answer {
    Answer::Looked(care.look(text, wish).map(Box::new))
}

pub(super) fn take(care: &Workshop, look: &Look) -> Answer {
    Answer::Created(care.take(look).map(|_| ()).map_err(|error| error.to_string()))
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.to_string_lossy().into_owned(), |name| name.to_string_lossy().into_owned())
}

/// A path as people and terminals spell it: in quotes, with `~` for the home folder, blanks after a backslash where a
/// file was dropped on the window.
fn spelled(name: &str) -> PathBuf {
    let name = name.trim();
    let bare = [('\'', '\''), ('"', '"')]
        .iter()
        .find_map(|(open, close)| name.strip_prefix(*open)?.strip_suffix(*close))
        .unwrap_or(name);
    let bare = bare.strip_prefix("file://").unwrap_or(bare);
    let path = match bare.strip_prefix("~/").zip(directories::BaseDirs::new()) {
        Some((rest, dirs)) => dirs.home_dir().join(rest),
        None => PathBuf::from(bare),
    };
    if path.exists() { path } else { unescaped(&path).filter(|path| path.exists()).unwrap_or(path) }
}

fn unescaped(path: &Path) -> Option<PathBuf> {
    let text = path.to_str()?;
    text.contains("\\ ").then(|| PathBuf::from(text.replace("\\ ", " ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_found_as_they_are_spelled() {
        let file = tempfile::Builder::new().prefix("my table ").suffix(".csv").tempfile().unwrap();
        let path = file.path();
        let shown = path.to_str().unwrap();
        for name in [shown.to_owned(), format!("'{shown}'"), format!("\"{shown}\" "), shown.replace(' ', "\\ ")] {
            assert_eq!(spelled(&name), path, "{name}");
        }
        assert_eq!(spelled("~/x.csv"), directories::BaseDirs::new().unwrap().home_dir().join("x.csv"));
        assert_eq!(spelled("x'.csv"), PathBuf::from("x'.csv"));
    }
}
