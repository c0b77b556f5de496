//! The page of trade words.

use super::page::Page;
use crate::coach::glossary::WORDS;

/// The page.
pub(super) fn words_page() -> Page {
    let lines: Vec<String> = WORDS.iter().map(|(word, meaning)| format!("{word:<17}{meaning}")).collect();
    Page::new("Words of the trade, and ours", &[lines.join("\n")])
}
