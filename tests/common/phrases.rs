//! A phrase book: every distinct line that is said, digits as #, by place, for a reader to go through at a sitting.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use regex_lite::Regex;

/// What was heard so far.
#[derive(Default)]
pub(crate) struct Book {
    lines: BTreeMap<String, BTreeSet<String>>,
}

/// A line with its figures, and the names of sides and cutters, made the same.
fn pattern(line: &str) -> Option<String> {
    static DIGITS: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"\d+(?:[.,]\d+)?").unwrap());
    static LISTS: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"#(?: to #)?(?:(?:, | and )#(?: to #)?)+").unwrap());
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = LISTS.replace_all(&DIGITS.replace_all(&line, "#"), "#, #").into_owned();
    let letters = line.chars().filter(|c| c.is_alphabetic()).count();
    (letters > 2).then_some(line)
}

/// The sentences of a paragraph: each ends with a full stop before a capital letter.
pub(crate) fn sentences(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(at) =
        rest.match_indices(". ").map(|(at, _)| at).find(|at| rest[at + 2..].starts_with(char::is_uppercase))
    {
        out.push(&rest[..=at]);
        rest = &rest[at + 2..];
    }
    out.push(rest);
    out
}

impl Book {
    /// A line said in a place.
    pub(crate) fn line(&mut self, place: &str, line: &str) {
        if let Some(line) = pattern(line) {
            self.lines.entry(place.to_owned()).or_default().insert(line);
        }
    }

    /// The whole book as text.
    pub(crate) fn text(&self) -> String {
        let mut out = String::new();
        for (place, lines) in &self.lines {
            out.push_str(&format!("== {place} ==\n"));
            for line in lines {
                out.push_str(&format!("{line}\n"));
            }
            out.push('\n');
        }
        out
    }
}
