//! Keys of a block as the type that they stand for.

use std::path::Path;

use serde::de::value::MapDeserializer;
use serde::{Serialize, de::DeserializeOwned};
use toml::{Table, Value};

use super::RecordError;
use super::contents::one_line;
use super::lines::Scalar;

/// Turn keys into a type that must know every one of them. A type that reads less than it was given would drop what a
/// newer version wrote, so what it read is turned into keys again and compared.
pub(super) fn understand<T: Serialize + DeserializeOwned>(
    path: &Path,
    line: usize,
    table: &Table,
) -> Result<T, RecordError> {
    let value: T = table.clone().try_into().map_err(|e: toml::de::Error| misread(path, line, table, e.message()))?;
    let again = Table::try_from(&value).map_err(|e| RecordError::damaged(path, line, one_line(&e.to_string())))?;
    match unknown(table, &again) {
        None => Ok(value),
        Some(key) => Err(RecordError::newer(path, line, one_line(&format!("the key `{key}` is unknown")))),
    }
}

/// Sets of keys that a type is known to know, every one of them, and with them kinds of events: the comparison of
/// [`understand`] is made once for each.
#[derive(Default)]
pub(super) struct Shapes<'a>(Vec<Shape<'a>>);

struct Shape<'a> {
    kind: Option<&'a str>,
    keys: Vec<&'a str>,
}

fn kind<'a>(own: &[(&'a str, Scalar<'a>)]) -> Option<&'a str> {
    own.iter().find(|(key, _)| *key == "kind")?.1.text()
}

impl<'a> Shapes<'a> {
    /// Keys that were understood.
    pub(super) fn learn(&mut self, own: &[(&'a str, Scalar<'a>)]) {
        if !self.knows(own) {
            self.0.push(Shape { kind: kind(own), keys: own.iter().map(|(key, _)| *key).collect() });
        }
    }

    fn knows(&self, own: &[(&'a str, Scalar<'a>)]) -> bool {
        let kind = kind(own);
        let same = |shape: &Shape<'_>| shape.keys.iter().eq(own.iter().map(|(key, _)| key));
        self.0.iter().any(|shape| shape.kind == kind && same(shape))
    }

    /// Keys of a known set as the type that they stand for; `None` where the set is not known, or a value is at fault.
    pub(super) fn understand<T: DeserializeOwned>(&self, own: &[(&'a str, Scalar<'a>)]) -> Option<T> {
        self.knows(own).then(|| T::deserialize(MapDeserializer::new(own.iter().copied())).ok()).flatten()
    }
}

/// Why keys of a whole block cannot be understood: a kind or a key that this version does not know is a newer one's, any other
/// value is told with what is allowed.
fn misread(path: &Path, line: usize, table: &Table, message: &str) -> RecordError {
    let quoted = |start: &str| message.strip_prefix(start)?.split_once('`').map(|(word, _)| word);
    let variant = quoted("unknown variant `");
    let newer = |what: String| RecordError::newer(path, line, one_line(&what));
    if let Some(kind) = variant.filter(|word| table.get("kind").and_then(Value::as_str) == Some(*word)) {
        return newer(format!("the kind `{kind}` is unknown"));
    }
    if let Some(key) = quoted("unknown field `") {
        return newer(format!("the key `{key}` is unknown"));
    }
    let is_meant = |value: &Value| match value {
        Value::String(text) => variant == Some(text.as_str()) || message.contains(&format!("string {text:?}")),
        Value::Integer(n) => message.contains(&format!("integer `{n}`")),
        Value::Float(n) => message.contains(&format!("floating point `{n:?}`")),
        Value::Boolean(is) => message.contains(&format!("boolean `{is}`")),
        _ => false,
    };
    let allowed = message.split_once(", expected ").map_or(message, |(_, allowed)| match allowed {
        "f64" => "a number",
        "u8" | "u16" | "u32" | "u64" | "i64" | "usize" => "a whole number",
        "a string" | "string" => "text",
        other => other,
    });
    let told = match table.iter().find(|(_, value)| is_meant(value)) {
        Some((key, value)) => format!("`{key}` is {value}; allowed: {allowed}"),
        None => message.to_owned(),
    };
    // The check sum is right: a word that is not known here was written so.
    if variant.is_some() { newer(told) } else { RecordError::damaged(path, line, one_line(&told)) }
}

/// The first key that is in one table and not in the other, at any depth.
fn unknown(read: &Table, known: &Table) -> Option<String> {
    read.iter().find_map(|(key, value)| match known.get(key) {
        None => Some(key.clone()),
        Some(other) => unknown_in(value, other).map(|inner| format!("{key}.{inner}")),
    })
}

fn unknown_in(read: &Value, known: &Value) -> Option<String> {
    match (read, known) {
        (Value::Table(read), Value::Table(known)) => unknown(read, known),
        (Value::Array(read), Value::Array(known)) => read.iter().zip(known).find_map(|(r, k)| unknown_in(r, k)),
        _ => None,
    }
}
