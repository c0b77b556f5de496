//! The formats of a report, and what they share: escaping, wrapping, plain letters.

use std::fmt;
use std::str::FromStr;

use clap::ValueEnum;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Format {
    /// At most 80 columns, for a terminal or a plain printer.
    #[default]
    Text,
    /// One page that needs nothing else.
    Html,
    /// One row a line, for a spreadsheet.
    Csv,
    /// For programs.
    Json,
}

/// A word that is no format.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a format: allowed are text, html, csv and json.")]
pub struct UnknownFormat(pub String);

impl Format {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Html => "html",
            Self::Csv => "csv",
            Self::Json => "json",
        }
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl FromStr for Format {
    type Err = UnknownFormat;

    fn from_str(text: &str) -> Result<Self, UnknownFormat> {
        <Self as ValueEnum>::from_str(text.trim(), true).map_err(|_| UnknownFormat(crate::units::clean::clean(text)))
    }
}

/// Columns of a text report.
pub const TEXT_WIDTH: usize = 80;

/// The text with the five characters that mean something in a page written out.
pub fn escape_html(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// The text with everything outside ASCII as `?`, where `ascii` asks for it.
pub fn plain(text: &str, ascii: bool) -> String {
    if ascii { text.chars().map(|c| if c.is_ascii() { c } else { '?' }).collect() } else { text.to_owned() }
}

/// The text in lines of at most `width` columns, later lines set in by `indent`; a longer word is cut.
pub fn wrap(text: &str, width: usize, indent: usize) -> Vec<String> {
    let width = width.max(indent + 2);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.trim().is_empty() && line.width() + 1 + word.width() > width {
            lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
        } else if !line.trim().is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            if line.width() + c.width().unwrap_or(0) > width {
                lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
            }
            line.push(c);
        }
    }
    lines.push(line);
    lines
}

/// `text` with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formats_read_as_they_are_written() {
        for format in Format::value_variants() {
            assert_eq!(format.to_string().parse::<Format>(), Ok(*format));
            assert_eq!(format.to_possible_value().unwrap().get_name(), format.word());
        }
        assert_eq!(" HTML ".parse::<Format>(), Ok(Format::Html));
        assert_eq!("pdf\u{1b}".parse::<Format>(), Err(UnknownFormat("pdf\\u{1b}".to_owned())));
    }

    #[test]
    fn markup_is_shown_and_not_obeyed() {
        assert_eq!(escape_html("<b a=\"1\">&'x'"), "&lt;b a=&quot;1&quot;&gt;&amp;&#39;x&#39;");
    }

    #[test]
    fn lines_keep_to_their_width_and_lose_nothing() {
        let text = "the quick saw 日本語日本語日本語 cuts abcdefghijklmnopqrstuvwxyz  well";
        for width in 0..40 {
            let lines = wrap(text, width, 2);
            assert!(lines.iter().all(|line| line.width() <= width.max(4)), "{lines:?}");
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert_eq!(wrap("a b", 80, 2), ["a b"]);
    }

    #[test]
    fn plain_letters_only_where_asked() {
        assert_eq!(plain("3/8 inch — é", true), "3/8 inch ? ?");
        assert_eq!(plain("é", false), "é");
        assert_eq!(capital("common practice"), "Common practice");
    }
}
