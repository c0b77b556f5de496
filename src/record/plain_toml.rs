//! Small TOML files that people may edit: read with the line at fault.

use std::path::Path;

use serde::de::DeserializeOwned;

use super::{RackError, files};

/// Largest file of this kind, in bytes.
pub(super) const MAX: u64 = 1024 * 1024;

/// Reads a file as text.
pub(super) fn text(path: &Path) -> Result<String, RackError> {
    Ok(files::read_text(path, MAX)?)
}

/// Turns text into a type that knows all its keys. `path` is for messages.
pub(super) fn parse<T: DeserializeOwned>(path: &Path, text: &str) -> Result<T, RackError> {
    toml::from_str(text).map_err(|error| {
        let at = error.span().map_or(0, |span| span.start);
        let line = text.as_bytes().iter().take(at).filter(|&&b| b == b'\n').count() + 1;
        RackError::line(path, line, error.message())
    })
}

/// The line that gives a key, from 1; the first line where none does.
pub(super) fn line_of(text: &str, key: &str) -> usize {
    let gives = |line: &str| line.trim_start().strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with('='));
    text.lines().position(gives).map_or(1, |index| index + 1)
}
