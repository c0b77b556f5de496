//! Numbers and cells as programs and spreadsheets read them.

use std::fmt;

use serde::{Serialize, Serializer};

use super::made::FIELD;
use crate::units::{Degrees, Millimetres};

/// A number kept in full and written with at most four decimals, a tenth of a micrometre; never `-0`.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(crate) struct Number(pub f64);

impl Number {
    /// As it is written.
    pub(crate) fn rounded(self) -> f64 {
        (self.0 * 1e4).round() / 1e4 + 0.0
    }
}

impl From<f64> for Number {
    fn from(number: f64) -> Self {
        Self(number)
    }
}

/// In mm.
impl From<Millimetres> for Number {
    fn from(length: Millimetres) -> Self {
        Self(length.get())
    }
}

/// In degrees.
impl From<Degrees> for Number {
    fn from(angle: Degrees) -> Self {
        Self(angle.get())
    }
}

/// A figure that may be absent.
pub(crate) fn number(figure: Option<impl Into<Number>>) -> Option<Number> {
    figure.map(Into::into)
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.rounded().fmt(f)
    }
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.rounded())
    }
}

/// A number that may be absent, as a cell: empty where it is.
pub(crate) fn number_cell(number: Option<Number>) -> String {
    number.map(|number| number.to_string()).unwrap_or_default()
}

/// A text as a cell. One that a spreadsheet would take for a formula gets an apostrophe before it.
pub(crate) fn text_cell(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}

/// Header and rows as CSV.
pub(crate) fn csv<const N: usize>(header: [&str; N], rows: impl Iterator<Item = [String; N]>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    written(writer.write_record(header));
    for row in rows {
        written(writer.write_record(row));
    }
    let bytes = written(writer.into_inner().map_err(csv::IntoInnerError::into_error));
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The fields as JSON, one a line, with a line end; the first of a document says what made it.
pub(crate) fn json(fields: &impl Serialize) -> String {
    let mut text = written(serde_json::to_string_pretty(fields));
    if text.starts_with("{\n") {
        text.insert_str(2, &format!("  {FIELD}\n"));
    }
    text.push('\n');
    text
}

/// Writing plain fields to memory has no way to fail.
fn written<T, E: fmt::Debug>(result: Result<T, E>) -> T {
    result.expect("plain fields written to memory")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_to_a_tenth_of_a_micrometre() {
        assert_eq!(Number(8.123_449).to_string(), "8.1234");
        assert_eq!(Number(-0.000_01).to_string(), "0");
        assert_eq!(json(&Some(Number(0.1 + 0.2))), "0.3\n");
        assert_eq!(json(&Number(f64::NAN)), "null\n");
        assert_eq!(number_cell(None), "");
    }

    #[test]
    fn no_cell_is_taken_for_a_formula() {
        for text in ["=1+1", "+1", "-1", "@x", "\tx", "\rx"] {
            assert_eq!(text_cell(text), format!("'{text}"));
        }
        assert_eq!(text_cell("cutter 4 = hit"), "cutter 4 = hit");
        let text = csv(["a", "b"], [["1".to_owned(), text_cell("=\"x\", y")]].into_iter());
        assert_eq!(text, "a,b\n1,\"'=\"\"x\"\", y\"\n");
    }
}
