//! Lines as this program writes most of them, `key = value`, read without the TOML library: that takes most of the time of a
//! rebuild. Only what can mean one thing in TOML is read here; any other text is left to the library.

use toml::{Table, Value};

/// The keys of a text; `None` where a line is of another form, or a key comes twice.
pub(super) fn keys(text: &str) -> Option<Table> {
    let mut table = Table::new();
    for line in text.lines() {
        let (key, value) = line.split_once(" = ")?;
        let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
        if !bare || table.insert(key.to_owned(), scalar(value)?).is_some() {
            return None;
        }
    }
    Some(table)
}

/// Text without an escape, a plain number, true or false.
fn scalar(text: &str) -> Option<Value> {
    if let Some(rest) = text.strip_prefix('"') {
        let inner = rest.strip_suffix('"')?;
        let plain = !inner.contains(|c: char| c == '"' || c == '\\' || c.is_control());
        return plain.then(|| Value::String(inner.to_owned()));
    }
    match text {
        "true" => return Some(Value::Boolean(true)),
        "false" => return Some(Value::Boolean(false)),
        _ => {}
    }
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let whole = |part: &str| digits(part) && (part.len() == 1 || !part.starts_with('0'));
    match unsigned.split_once('.') {
        None if whole(unsigned) => text.parse().ok().map(Value::Integer),
        Some((before, after)) if whole(before) && digits(after) => text.parse().ok().map(Value::Float),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Whatever is read here the library reads alike.
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
