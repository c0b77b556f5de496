//! Lines as this program writes most of them, `key = value`, read without the TOML library: that takes most of the time of a
//! rebuild. Only what can mean one thing in TOML is read here; any other text is left to the library.

use serde::Deserializer;
use serde::de::value::{BorrowedStrDeserializer, Error};
use serde::de::{IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;
use toml::{Table, Value};

/// What stands after a key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scalar<'a> {
    /// Text without an escape and without control characters.
    Text(&'a str),
    /// A whole number.
    Whole(i64),
    /// A number with a point.
    Real(f64),
    /// True or false.
    Flag(bool),
}

impl<'a> Scalar<'a> {
    /// The text, where it is one.
    pub(super) const fn text(self) -> Option<&'a str> {
        if let Self::Text(text) = self { Some(text) } else { None }
    }

    fn of(text: &'a str) -> Option<Self> {
        if let Some(rest) = text.strip_prefix('"') {
            let inner = rest.strip_suffix('"')?;
            let is_odd = |b: u8| b == b'"' || b == b'\\' || b.is_ascii_control();
            let plain = !inner.bytes().any(is_odd) && (inner.is_ascii() || !inner.contains(char::is_control));
            return plain.then_some(Self::Text(inner));
        }
        match text {
            "true" => return Some(Self::Flag(true)),
            "false" => return Some(Self::Flag(false)),
            _ => {}
        }
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        let unsigned = text.strip_prefix('-').unwrap_or(text);
        let whole = |part: &str| digits(part) && (part.len() == 1 || !part.starts_with('0'));
        match unsigned.split_once('.') {
            None if whole(unsigned) => text.parse().ok().map(Self::Whole),
            Some((before, after)) if whole(before) && digits(after) => text.parse().ok().map(Self::Real),
            _ => None,
        }
    }
}

impl From<Scalar<'_>> for Value {
    fn from(scalar: Scalar<'_>) -> Self {
        match scalar {
            Scalar::Text(text) => Self::String(text.to_owned()),
            Scalar::Whole(number) => Self::Integer(number),
            Scalar::Real(number) => Self::Float(number),
            Scalar::Flag(is) => Self::Boolean(is),
        }
    }
}

/// As the library's values are turned into types.
impl<'de> Deserializer<'de> for Scalar<'de> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Text(text) => visitor.visit_borrowed_str(text),
            Self::Whole(number) => visitor.visit_i64(number),
            Self::Real(number) => visitor.visit_f64(number),
            Self::Flag(is) => visitor.visit_bool(is),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Text(text) => BorrowedStrDeserializer::new(text).deserialize_enum(name, variants, visitor),
            other => other.deserialize_any(visitor),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}

impl<'de> IntoDeserializer<'de, Error> for Scalar<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

/// The keys of a text in their order; `None` where a line is of another form, or a key comes twice.
pub(super) fn pairs(text: &str) -> Option<Vec<(&str, Scalar<'_>)>> {
    let mut found: Vec<(&str, Scalar<'_>)> = Vec::with_capacity(8);
    for line in text.lines() {
        let (key, rest) = line.split_once(' ')?;
        let value = rest.strip_prefix("= ")?;
        let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
        if !bare || found.iter().any(|(known, _)| *known == key) {
            return None;
        }
        found.push((key, Scalar::of(value)?));
    }
    Some(found)
}

/// The same as the library's table.
pub(super) fn keys(text: &str) -> Option<Table> {
    Some(pairs(text)?.into_iter().map(|(key, value)| (key.to_owned(), value.into())).collect())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Whatever is read here, the library reads the same way.
        #[test]
        fn what_is_read_is_what_the_library_reads(
            lines in proptest::collection::vec(("[a-z_]{1,3}", prop_oneof![
                "-?[0-9]{1,20}", "-?[0-9]{1,20}\\.[0-9]{0,20}", "[+-]?[0-9._e]{1,9}", "\"[^\n]{0,9}\"", "\"[ -~]{0,9}\"",
                "true|false|inf|nan|\\[1\\]|\\{ a = 1 \\}|1979-05-27|'x'|\"\"\"x\"\"\"",
            ]), 0..5)
        ) {
            let text: String = lines.iter().map(|(key, value)| format!("{key} = {value}\n")).collect();
            if let Some(read) = keys(&text) {
                prop_assert_eq!(toml::from_str::<Table>(&text).ok(), Some(read), "{}", text);
            }
        }
    }

    #[test]
    fn an_event_is_read_here_and_odd_forms_are_not() {
        let event = "seq = 12\nat = \"2026-03-01T08:00:00+01:00\"\nkind = \"length\"\nagain = true\nmm = -8.05\n";
        assert_eq!(keys(event), toml::from_str(event).ok());
        for odd in [
            "a = 01\n",
            "a = \"\\u001b\"\n",
            "a = [1]\n",
            "a=1\n",
            "a = 1 # x\n",
            "a = 1\na = 1\n",
            "a.b = 1\n",
            "a = 1.\n",
        ] {
            assert_eq!(keys(odd), None, "{odd}");
        }
    }
}
