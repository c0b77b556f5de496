//! The sheet of a round: what was found, what was done, how sure that is and what comes next.
//!
//! One model under every format: [`Sheet::of`] gathers plain values from round and advice, the formats write them down
//! and decide nothing. The owner's version says the same in plain words on half a page.

mod build;
mod csv;
mod draw;
mod facts;
mod html;
mod judged;
mod model;
mod owner;
mod promise;
mod sections;
mod signs;
mod text;

pub use model::Sheet;

use super::format::{Format, PageFormat};

/// Which sheet, in which of its formats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Version {
    /// Everything.
    Full(Format),
    /// The owner's half page: for people only.
    Owner(PageFormat),
}

impl Sheet {
    /// The sheet in a version and format; `ascii` keeps a text to plain letters and lines.
    pub fn render(&self, version: Version, ascii: bool) -> String {
        match version {
            Version::Full(Format::Text) => self.text(ascii),
            Version::Full(Format::Html) => self.html(),
            Version::Full(Format::Csv) => self.csv(),
            Version::Full(Format::Json) => self.json(),
            Version::Owner(PageFormat::Text) => self.owner_text(ascii),
            Version::Owner(PageFormat::Html) => self.owner_html(),
        }
    }

    /// The sheet under the names of its model; absent is `null`, numbers have at most four decimals.
    pub fn json(&self) -> String {
        super::data::json(self)
    }
}
