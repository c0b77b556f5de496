//! A file of readings by the name that a person types or drops for it.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::{ImportError, Whole, read_text, whole, without_unit};
use crate::record::files;
use crate::units::clean::clean;

/// A file of readings that was read.
#[derive(Debug, Clone)]
pub(crate) struct ReadFile {
    /// Its name, without folders, safe to show.
    pub name: String,
    /// All of it.
    pub text: String,
    /// Names of its length columns that do not say their unit.
    pub without_unit: Vec<String>,
    /// What its columns say of the whole round.
    pub whole: Whole,
}

/// Reads the file of a typed or pasted name, and finds which of its columns do not say their unit.
///
/// # Errors
/// Why it cannot be read or understood, in a sentence that names it.
pub(crate) fn read_named(name: &str, now: DateTime<FixedOffset>) -> Result<ReadFile, String> {
    let path = spelled(name);
    let read = read_text(&path).and_then(|text| {
        let without_unit = without_unit(&text)?;
        let whole = whole(&text, now)?;
        Ok(ReadFile { name: file_name(&path), text, without_unit, whole })
    });
    read.map_err(|error| match error {
        // The files' own words name the path already.
        ImportError::Rack(error) => error.to_string(),
        other => format!("{}: {other}", file_name(&path)),
    })
}

fn file_name(path: &Path) -> String {
    let name = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    clean(&name)
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
    // What cannot be looked at is told when it is read, by the name that was typed.
    if files::is_free(&path) { unescaped(&path).filter(|path| !files::is_free(path)).unwrap_or(path) } else { path }
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
