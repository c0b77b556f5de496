//! How far people are in the lessons: one small file, a row per person.

use std::path::Path;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::data_dir::LESSONS;
use super::rack::Rack;
use super::{RackError, files, small};
use crate::advice::lesson::{Lesson, Reached};
use crate::units::clean::clean;

/// One person. `by` is the key under which a name is found wherever it stands; empty where nobody has given one.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(default)]
    by: String,
    #[serde(default)]
    done: Vec<Lesson>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    left: Option<Lesson>,
    #[serde(default)]
    guesses: usize,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    #[serde(default)]
    person: Vec<Row>,
}

/// Checks the file: how many people it tells of.
pub(super) fn parse(path: &Path, text: &str) -> Result<usize, RackError> {
    small::parse::<List>(path, text).map(|list| list.person.len())
}

impl Rack {
    /// How far a person is in the lessons; nothing done where nothing is known.
    ///
    /// # Errors
    /// The file cannot be read or understood.
    pub fn reached(&self, who: &str) -> Result<Reached, RackError> {
        let who = clean(who);
        let row = self.reached_by_all()?.person.into_iter().find(|row| row.by == who);
        let reached = |Row { done, left, guesses, .. }| Reached { done, left, guesses };
        Ok(row.map(reached).unwrap_or_default())
    }

    /// Keeps how far a person is. A file that cannot be understood is set aside under a name made from `now`, not written over.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn keep_reached(&self, who: &str, reached: &Reached, now: DateTime<Utc>) -> Result<(), RackError> {
        let path = self.root().join(LESSONS);
        let by = clean(who);
        files::create_folder(self.root())?;
        let mut list = match self.reached_by_all() {
            Ok(list) => list,
            Err(_) => {
                files::set_aside(&path, now)?;
                List::default()
            }
        };
        list.person.retain(|row| row.by != by);
        let Reached { done, left, guesses } = reached.clone();
        list.person.push(Row { by, done, left, guesses });
        Ok(files::replace(&path, small::render(&list)?.as_bytes())?)
    }

    fn reached_by_all(&self) -> Result<List, RackError> {
        let path = self.root().join(LESSONS);
        if !files::exists(&path)? {
            return Ok(List::default());
        }
        small::parse(&path, &small::text(&path)?)
    }
}
