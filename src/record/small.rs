//! Small TOML files that people may edit: read with the line at fault, written with the number of their format.

use std::path::Path;

use serde::Serialize;
use serde::de::DeserializeOwned;
use toml::de::{DeTable, Deserializer};

use super::{RackError, RecordError, files};
use crate::units::clean::clean;

/// The format that is written. A file without a number is of this one: earlier versions wrote none, and people need not.
const FORMAT: i64 = 1;
/// Largest file of this kind, in bytes.
pub(super) const MAX: u64 = 1024 * 1024;

/// Reads a file as text.
pub(super) fn text(path: &Path) -> Result<String, RackError> {
    Ok(files::read_text(path, MAX)?)
}

/// Turns text into a type that knows all its keys but `format`. `path` is for messages.
///
/// # Errors
/// The text is not TOML, has a key that is unknown or at fault, or is of a later format.
pub(crate) fn parse<T: DeserializeOwned>(path: &Path, text: &str) -> Result<T, RackError> {
    let line_at = |at: usize| text.as_bytes().iter().take(at).filter(|&&b| b == b'\n').count() + 1;
    let fault = |error: &toml::de::Error| {
        RackError::line(path, line_at(error.span().map_or(0, |span| span.start)), error.message())
    };
    let mut table = DeTable::parse(text).map_err(|error| fault(&error))?;
    if let Some(format) = table.get_mut().remove("format") {
        let line = line_at(format.span().start);
        match format.get_ref().as_integer().and_then(|n| i64::from_str_radix(n.as_str(), n.radix()).ok()) {
            Some(FORMAT) => {}
            Some(later) if later > FORMAT => return Err(RecordError::later(path, line, later, FORMAT).into()),
            _ => return Err(RackError::line(path, line, &format!("format is not {FORMAT}. Allowed: {FORMAT}."))),
        }
    }
    T::deserialize(Deserializer::from(table)).map_err(|mut error| {
        error.set_input(Some(text));
        fault(&error)
    })
}

/// The text that [`parse`] reads back the same.
///
/// # Errors
/// A value that TOML cannot hold.
pub(crate) fn render<T: Serialize>(value: &T) -> Result<String, RecordError> {
    let unwritable = |error: toml::ser::Error| RecordError::Unwritable { what: clean(&error.to_string()) };
    Ok(format!("format = {FORMAT}\n{}", toml::to_string(value).map_err(unwritable)?))
}

/// The line that gives a key, from 1; the first line where none does.
pub(crate) fn line_of(text: &str, key: &str) -> usize {
    let gives = |line: &str| line.trim_start().strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with('='));
    text.lines().position(gives).map_or(1, |index| index + 1)
}
