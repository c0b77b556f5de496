//! The things of a data folder that have fields, and where they lie.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use toml::{Table, Value};

use super::super::data_dir::{self, CARD, CHANGES, PEOPLE_CHANGES, PROFILE_CHANGES, SHARPENERS};
use super::super::history::Stamp;
use super::super::people::{self, Sharpener};
use super::super::{RackError, RecordError, cards, files, rack, small};
use super::called;
use super::values::{Kept, Kind, Values};
use crate::chain::Profile;
use crate::round::Card;
use crate::units::clean::clean;

/// Something whose fields folders may hold differently.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// The card of a loop, by tag.
    Card(String),
    /// The list of those who file.
    People,
    /// A chain type of one's own, by name.
    Profile(String),
}

/// A thing as a folder holds it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Loaded {
    pub values: Values,
    /// What it says: where a join was stopped, not yet what its values come to.
    pub read: Table,
    /// Check sum of its text.
    pub sum: String,
    /// What is written beside it.
    pub kept: Option<Kept>,
}

impl Thing {
    pub(crate) const fn kind(&self) -> Kind {
        match self {
            Self::Card(_) => Kind::Card,
            Self::People => Kind::People,
            Self::Profile(_) => Kind::Profile,
        }
    }

    /// Where it lies.
    pub(crate) fn path(&self, root: &Path) -> PathBuf {
        match self {
            Self::Card(tag) => data_dir::loops(root).join(tag).join(CARD),
            Self::People => root.join(SHARPENERS),
            Self::Profile(name) => data_dir::profiles(root).join(format!("{name}.toml")),
        }
    }

    /// Where what is written beside it lies.
    pub(crate) fn beside(&self, root: &Path) -> PathBuf {
        match self {
            Self::Card(tag) => data_dir::loops(root).join(tag).join(CHANGES),
            Self::People => root.join(PEOPLE_CHANGES),
            Self::Profile(name) => data_dir::profiles(root).join(format!("{name}{PROFILE_CHANGES}")),
        }
    }

    /// The thing as the folder `root`, which is called `folder`, holds it; nothing where it has none.
    pub(crate) fn load(&self, root: &Path, folder: &str) -> Result<Option<Loaded>, RackError> {
        let path = self.path(root);
        if !files::exists(&path)? {
            return Ok(None);
        }
        let changed = DateTime::<Utc>::from_timestamp_nanos(Stamp::of(&path)?.changed_ns);
        let text = small::text(&path)?;
        let table = self.table(&path, &text)?;
        let beside = self.beside(root);
        let mut kept = if files::exists(&beside)? { Some(read_kept(&beside)?) } else { None };
        if let Some(kept) = &mut kept {
            // What stands there is the name that it has where nobody gives another.
            kept.rename(&called(root, 1), folder);
        }
        let sum = sum_of(&text);
        let values = Values::of(self.kind(), &table, kept.as_ref(), &sum, (folder, changed));
        Ok(Some(Loaded { values, read: table, sum, kept }))
    }

    /// Its fields, read from its text.
    fn table(&self, path: &Path, text: &str) -> Result<Table, RackError> {
        match self {
            Self::Card(tag) => {
                let card = cards::parse(path, text)?;
                if card.tag != *tag {
                    let fault = format!("tag is {}, but the card lies in the folder of {tag}", card.tag);
                    return Err(RackError::line(path, 1, &fault));
                }
                table_of(&card)
            }
            Self::People => people::parse(path, text)?
                .iter()
                .map(|person| {
                    let mut figures = table_of(person)?;
                    figures.remove("name");
                    Ok((person.name.clone(), Value::Table(figures)))
                })
                .collect(),
            Self::Profile(_) => {
                toml::from_str(&rack::read_profile(path)?.to_toml()).map_err(|error| unwritable(&error))
            }
        }
    }

    /// Its text, made of its fields: what cannot be is refused.
    pub(crate) fn text(&self, table: &Table) -> Result<String, RackError> {
        match self {
            Self::Card(_) => {
                let card: Card = table.clone().try_into().map_err(|error| unwritable(&error))?;
                Ok(cards::render(&card)?.1)
            }
            Self::People => {
                let person = |(name, figures): (&String, &Value)| {
                    let mut figures = figures.as_table().cloned().unwrap_or_default();
                    figures.insert("name".to_owned(), Value::String(name.clone()));
                    figures.try_into::<Sharpener>().map_err(|error| unwritable(&error))
                };
                people::render(table.iter().map(person).collect::<Result<_, _>>()?)
            }
            Self::Profile(name) => {
                let text = toml::to_string(table).map_err(|error| unwritable(&error))?;
                Ok(Profile::parse(name, &text)?.to_toml())
            }
        }
    }
}

pub(crate) fn table_of<T: serde::Serialize>(value: &T) -> Result<Table, RackError> {
    Table::try_from(value).map_err(|error| unwritable(&error))
}

fn unwritable(what: &dyn std::fmt::Display) -> RackError {
    RecordError::Unwritable { what: clean(&what.to_string()) }.into()
}

/// What tells a text from others.
pub(crate) fn sum_of(text: &str) -> String {
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}

/// Reads what is written beside a thing.
pub(crate) fn read_kept(path: &Path) -> Result<Kept, RackError> {
    small::parse(path, &small::text(path)?)
}

/// What is to be written beside a thing.
pub(crate) fn kept_text(kept: &Kept) -> Result<String, RackError> {
    Ok(small::render(kept)?)
}
