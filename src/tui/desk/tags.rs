//! Tags of loops: which ones, and where the page to print goes.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::super::effect::Answer;
use super::super::screens::page::Page;
use super::super::screens::rack_rows::{Filter, Sort};
use super::{Desk, rows_of};
use crate::chain::Profile;
use crate::record::{Rack, RackError, files};
use crate::report::tags::{Tag, Tags};

/// Name of the page to print in the data folder.
const PAGE: &str = "tags.html";

/// Tags of the loops that pass the filter, by name; of these loops alone where any are named.
///
/// # Errors
/// A loop that is named and is not there.
pub fn tags(rack: &Rack, named: &[String], filter: Filter, now: DateTime<FixedOffset>) -> Result<Tags, RackError> {
    let profiles: BTreeMap<String, Profile> = rack.profiles().0.into_iter().map(|p| (p.name.clone(), p)).collect();
    let shelves = rack.shelves().shelves;
    let known: BTreeSet<&str> = shelves.iter().map(|shelf| shelf.card.tag.as_str()).collect();
    if let Some(missing) = named.iter().find(|tag| !known.contains(tag.as_str())) {
        return Err(RackError::NoLoop(crate::units::clean::clean(missing)));
    }
    let named: BTreeSet<&str> = named.iter().map(String::as_str).collect();
    let rows = rows_of(&shelves, &profiles, &rack.saws().saws, now);
    let mut wanted: Vec<_> = rows.iter().zip(&shelves).filter(|(row, _)| filter.takes(row)).collect();
    wanted.retain(|(row, _)| named.is_empty() || named.contains(row.tag.as_str()));
    wanted.sort_by(|a, b| Sort::Name.order(a.0, b.0));
    let of = |(_, shelf): (_, &crate::record::Shelf)| Tag::of(shelf, profiles.get(&shelf.card.profile));
    Ok(Tags::new(wanted.into_iter().map(of).collect(), now))
}

impl Desk {
    /// Shows the tags of the loops named, and puts them into the data folder as a page to print.
    pub(super) fn tags(&self, named: &[String], filter: Filter, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let made = tags(&self.rack, named, filter, now).and_then(|tags| Ok((self.put_page(&tags)?, tags)));
        match made {
            Err(error) => vec![Answer::Notice(error.to_string())],
            Ok((path, tags)) => {
                let title = format!("{}. To print: {}", tags.count(), path.display());
                let text = tags.text(self.settings.units, self.settings.theme.ascii());
                vec![Answer::Push(Box::new(Page::new(&title, &text)))]
            }
        }
    }

    fn put_page(&self, tags: &Tags) -> Result<PathBuf, RackError> {
        let path = self.rack.root().join(PAGE);
        files::replace(&path, tags.html(self.settings.units).as_bytes())?;
        Ok(path)
    }
}
