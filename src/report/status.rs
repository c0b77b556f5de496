//! How a loop stands, for sheets and tags.

use serde::Serialize;

use crate::advice::{Status, StatusWord};

/// How a loop stands: in a word, with reasons, and as a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StatusPart {
    pub word: StatusWord,
    /// Why it must not be used, else what is to be watched; each in a few words.
    pub why: Vec<String>,
    pub line: String,
}

impl StatusPart {
    /// True where the loop must not go back on a saw.
    pub(crate) const fn is_stop(&self) -> bool {
        matches!(self.word, StatusWord::DoNotUse)
    }
}

impl From<&Status> for StatusPart {
    fn from(status: &Status) -> Self {
        Self { word: status.word, why: status.reasons(), line: status.line() }
    }
}
