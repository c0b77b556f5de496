//! When a loop was given back to the bench, for reports.

use serde::Serialize;

use crate::advice::say::status;
use crate::round::Release;
use crate::units::clean::clean;

/// One release.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct ReleasePart {
    pub at: String,
    pub by: String,
    pub replaced: String,
    /// In words.
    #[serde(skip)]
    pub line: String,
}

impl ReleasePart {
    /// A release as reports tell it.
    pub(super) fn of(release: &Release) -> Self {
        Self {
            at: release.at.to_rfc3339(),
            by: clean(&release.by),
            replaced: clean(&release.replaced),
            line: status::released(release),
        }
    }
}
