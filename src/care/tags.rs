//! Tags of loops: which ones, and the page to print.

use std::collections::BTreeSet;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::Workshop;
use super::life::sentences;
use super::rows::{Filter, Sort, rows_of};
use crate::record::{RackError, files};
use crate::report::tags::{Tag, Tags};
use crate::units::Unit;
use crate::units::clean::clean;

/// Name of the page to print in the data folder.
const PAGE: &str = "tags.html";

impl Workshop {
    /// Tags of the loops that pass the filter, by name; of these loops alone where any are named.
    ///
    /// # Errors
    /// A loop that is named and is not there.
    pub fn tags(&self, named: &[String], filter: Filter, now: DateTime<FixedOffset>) -> Result<Tags, RackError> {
        let found = self.shelves();
        let (profiles, at_fault) = self.profiles_of(&found.shelves);
        let people = self.people_at_fault();
        let not_read = sentences(found.problems.iter().chain(&found.saws.problems).chain(&at_fault).chain(&people));
        let shelves = found.shelves;
        let known: BTreeSet<&str> = shelves.iter().map(|shelf| shelf.card.tag.as_str()).collect();
        if let Some(missing) = named.iter().find(|tag| !known.contains(tag.as_str())) {
            return Err(RackError::NoLoop(clean(missing)));
        }
        let named: BTreeSet<&str> = named.iter().map(String::as_str).collect();
        let rows = rows_of(&shelves, &profiles, &found.saws.saws, now);
        let mut wanted: Vec<_> = rows.iter().zip(&shelves).filter(|(row, _)| filter.takes(row)).collect();
        wanted.retain(|(row, _)| named.is_empty() || named.contains(row.tag.as_str()));
        wanted.sort_by(|a, b| Sort::Name.order(a.0, b.0));
        let of = |(_, shelf): (_, &crate::record::Shelf)| {
            Tag::of(shelf, profiles.get(&shelf.card.profile), now.date_naive())
        };
        Ok(Tags::new(wanted.into_iter().map(of).collect(), now).without(not_read).with_demo(self.rack.is_demo()))
    }

    /// Puts tags into the data folder as a page to print; says where.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn put_tags(&self, tags: &Tags, unit: Unit) -> Result<PathBuf, RackError> {
        let path = self.rack.root().join(PAGE);
        files::replace(&path, tags.html(unit).as_bytes())?;
        Ok(path)
    }
}
