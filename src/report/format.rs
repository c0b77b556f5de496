//! The formats of a report, which of them one has, and what they share: wrapping, plain letters.

use std::borrow::Cow;
use std::str::FromStr;

use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};
use textwrap::{Options, WordSplitter, WrapAlgorithm};

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Format {
    /// At most 80 columns.
    #[default]
    Text,
    /// HTML.
    Html,
    /// Cells with commas between them.
    Csv,
    /// JSON.
    Json,
}

/// Every format there is: what can be asked for, of which each report has some.
#[derive(Debug, Clone, Copy, PartialEq, Eq, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Asked {
    /// At most 80 columns.
    #[strum(message = "At most 80 columns, for a terminal or a plain printer")]
    Text,
    /// HTML.
    #[strum(message = "One page that needs nothing else")]
    Html,
    /// Cells with commas between them.
    #[strum(message = "One row per line, for a spreadsheet")]
    Csv,
    /// JSON.
    #[strum(message = "For programs")]
    Json,
    /// SVG.
    #[strum(message = "A picture, of the screens of a rehearsal")]
    Svg,
}

/// The formats of the screens of a rehearsal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum ScreenFormat {
    /// Its rows, one under the other.
    #[default]
    Text,
    /// A picture.
    Svg,
}

/// The formats of what only people read: the owner's sheet, a blank bench sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum PageFormat {
    /// At most 80 columns.
    #[default]
    Text,
    /// One page that needs nothing else.
    Html,
}

/// The formats of what only programs read: an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum DataFormat {
    /// One row per line.
    Csv,
    /// JSON Lines.
    #[default]
    Json,
}

/// The formats of a list that scripts take on: one for people, two for programs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum ListFormat {
    /// At most 80 columns.
    #[default]
    Text,
    /// One row per line.
    Csv,
    /// One JSON document.
    Json,
}

/// The one format of what is only told on the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Told {
    /// Lines of text.
    #[default]
    Text,
}

/// A format that a report does not have.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what} has no format {asked}; {}", allowed(.has))]
pub(crate) struct NoSuchFormat {
    what: &'static str,
    asked: &'static str,
    has: Vec<&'static str>,
}

fn allowed(has: &[&str]) -> String {
    match has {
        [one] => format!("its only format is {one}"),
        [first @ .., last] => format!("allowed: {} and {last}", first.join(", ")),
        [] => "it has none".to_owned(),
    }
}

/// The format asked for as one of those that a report has, its first choice where none was asked for. `what` begins the sentence that refuses.
///
/// # Errors
/// The report does not have that format.
pub(crate) fn format_of<F>(what: &'static str, asked: Option<Asked>) -> Result<F, NoSuchFormat>
where
    F: Copy + Default + FromStr + Into<&'static str> + VariantArray,
{
    let Some(asked) = asked.map(<&str>::from) else { return Ok(F::default()) };
    let has = || F::VARIANTS.iter().map(|format| (*format).into()).collect();
    asked.parse().map_err(|_| NoSuchFormat { what, asked, has: has() })
}

/// Columns of a text report.
pub(crate) const TEXT_WIDTH: usize = 80;

/// The text with everything outside ASCII as `?`, where `ascii` asks for it.
pub(crate) fn plain(text: &str, ascii: bool) -> String {
    if ascii { text.chars().map(|c| if c.is_ascii() { c } else { '?' }).collect() } else { text.to_owned() }
}

/// Units that stay on the line of their figure.
const UNITS: [&str; 4] = ["mm", "in", "%", "deg"];
/// A blank at which no line ends.
const TIED: char = '\u{a0}';

/// The text in lines of at most `width` columns, later lines set in by `indent`; blanks are drawn together, a figure keeps its
/// unit, and a longer word is cut.
pub(crate) fn wrap(text: &str, width: usize, indent: usize) -> Vec<String> {
    let mut line = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        let unit = UNITS.contains(&word.trim_end_matches([',', '.', ';', ':', ')']));
        if !line.is_empty() {
            line.push(if unit && line.ends_with(|end: char| end.is_ascii_digit()) { TIED } else { ' ' });
        }
        line.push_str(word);
    }
    fold(&line, width, indent).into_iter().map(|line| line.replace(TIED, " ")).collect()
}

/// As [`wrap`] with the blanks inside a line kept, so that columns stay columns.
pub(crate) fn fold(text: &str, width: usize, indent: usize) -> Vec<String> {
    let lead = " ".repeat(indent);
    let options = Options::new(width.max(indent + 2))
        .subsequent_indent(&lead)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::wrap(text, options).into_iter().map(Cow::into_owned).collect()
}

/// `text` with a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use unicode_width::UnicodeWidthStr;

    #[test]
    fn a_figure_keeps_its_unit_on_its_line() {
        let lines = wrap("leaving one short saves 0.17 mm, and 1 % of life", 28, 2);
        assert_eq!(lines, ["leaving one short saves", "  0.17 mm, and 1 % of life"]);
    }

    #[test]
    fn a_report_takes_the_formats_it_has_and_names_them_where_it_refuses() {
        assert_eq!(format_of("an export", None), Ok(DataFormat::Json));
        assert_eq!(format_of("an export", Some(Asked::Csv)), Ok(DataFormat::Csv));
        assert_eq!(format_of("the owner's sheet", Some(Asked::Html)), Ok(PageFormat::Html));
        let refused = |asked| format_of::<PageFormat>("the owner's sheet", Some(asked)).unwrap_err().to_string();
        assert_eq!(refused(Asked::Csv), "the owner's sheet has no format csv; allowed: text and html");
        let told = format_of::<Told>("a check", Some(Asked::Json)).unwrap_err().to_string();
        assert_eq!(told, "a check has no format json; its only format is text");
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
        assert_eq!(fold("a  b  c", 6, 3), ["a  b", "   c"], "columns stay columns");
    }

    #[test]
    fn plain_letters_only_where_asked() {
        assert_eq!(plain("3/8 inch — é", true), "3/8 inch ? ?");
        assert_eq!(plain("é", false), "é");
        assert_eq!(capital("common practice"), "Common practice");
    }
}
