//! Names that are on their way to another: written down before the first file is, gone once no file has the old one.
//!
//! Whoever was stopped half way, or met a file that is open elsewhere, says the same again and goes on to the same name: one person has
//! one name in place of theirs.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::data_dir::NAMES;
use super::rack::Rack;
use super::{RackError, files, small};

/// A name, and what takes its place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    pub was: String,
    pub becomes: String,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    #[serde(default)]
    name: Vec<Row>,
}

/// Checks the file: how many names are on their way.
pub(super) fn parse(path: &Path, text: &str) -> Result<usize, RackError> {
    small::parse::<List>(path, text).map(|list| list.name.len())
}

impl Rack {
    fn names_path(&self) -> PathBuf {
        self.root().join(NAMES)
    }

    /// The names that are on their way.
    pub(super) fn half_named(&self) -> Result<Vec<Row>, RackError> {
        let path = self.names_path();
        if !files::exists(&path)? {
            return Ok(Vec::new());
        }
        small::parse::<List>(&path, &small::text(&path)?).map(|list| list.name)
    }

    /// Writes down that a name is on its way.
    pub(super) fn name_sets_out(&self, was: &str, becomes: &str) -> Result<(), RackError> {
        let row = Row { was: was.to_owned(), becomes: becomes.to_owned() };
        let mut name = self.half_named()?;
        if name.contains(&row) {
            return Ok(());
        }
        name.push(row);
        self.write_names(name)
    }

    /// No file has the old name any more.
    pub(super) fn name_arrived(&self, was: &str) -> Result<(), RackError> {
        let mut name = self.half_named()?;
        name.retain(|row| row.was != was);
        if name.is_empty() { Ok(files::remove(&self.names_path())?) } else { self.write_names(name) }
    }

    fn write_names(&self, name: Vec<Row>) -> Result<(), RackError> {
        Ok(files::replace(&self.names_path(), small::render(&List { name })?.as_bytes())?)
    }
}
