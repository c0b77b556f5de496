//! Copies of a record that sync programs and people leave beside it.
//!
//! Two files are of one record where both have its id. Where neither has one, they are so by the part of the name that
//! tells when it began and by what their headers say. Of the files of one record, the one that holds all that the
//! others hold counts; the others are told, kept and not used. Where each holds what the other does not, the one with most entries
//! stays in sight, so that nothing depends on which was here first, and [`RecordError::Differ`] stops both from being written
//! until a person has chosen.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::{Serialize, de::DeserializeOwned};
use uuid::Uuid;

use super::series::{self, name_of};
use super::{Contents, RecordError, contents, files};

/// Bytes from the start of a file that hold its id: three short lines.
const START: u64 = 256;

/// A record that counts.
#[derive(Debug)]
pub(super) struct Listed {
    pub path: PathBuf,
    pub id: Option<Uuid>,
}

/// The records of a folder.
#[derive(Debug)]
pub(super) struct Sorted {
    /// Those that count, in the order of their names.
    pub files: Vec<Listed>,
    /// The copies that do not, each with what it is.
    pub copies: Vec<(PathBuf, RecordError)>,
}

/// What tells that two files are of one record.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    Id(Uuid),
    Began(String, u32),
}

/// The records of a folder whose names end so, without those that are continued by another and without copies. `id` says
/// what is known of a file already; [`id_of`] where nothing is.
///
/// # Errors
/// The folder cannot be listed.
pub(super) fn sort_out<H, E>(
    folder: &Path,
    suffix: &str,
    id: &dyn Fn(&Path) -> Option<Uuid>,
) -> Result<Sorted, RecordError>
where
    H: Serialize + DeserializeOwned + PartialEq,
    E: Serialize + DeserializeOwned + PartialEq,
{
    Ok(sort_out_of::<H, E>(series::current_of(folder, suffix)?, id))
}

/// As [`sort_out`], of the records of a folder as [`series::current_of`] listed them.
pub(super) fn sort_out_of<H, E>(listed: Vec<PathBuf>, id: &dyn Fn(&Path) -> Option<Uuid>) -> Sorted
where
    H: Serialize + DeserializeOwned + PartialEq,
    E: Serialize + DeserializeOwned + PartialEq,
{
    let mut groups: BTreeMap<Key, Vec<Listed>> = BTreeMap::new();
    for path in listed {
        let id = id(&path);
        let key = key_by(&path, id);
        groups.entry(key).or_default().push(Listed { path, id });
    }
    join_unknown(&mut groups);
    let mut sorted = Sorted { files: Vec::new(), copies: Vec::new() };
    for group in groups.into_values() {
        if group.len() == 1 {
            sorted.files.extend(group);
        } else {
            choose::<H, E>(group, &mut sorted);
        }
    }
    sorted.files.sort_by(|a, b| a.path.cmp(&b.path));
    sorted.copies.sort_by(|a, b| a.0.cmp(&b.0));
    sorted
}

/// Puts a file whose id is not known, as when its start could not be read, beside the one that by its name began at the
/// same moment: read whole, it proves to be another record or a copy.
fn join_unknown(groups: &mut BTreeMap<Key, Vec<Listed>>) {
    let of = |path: &Path| key_by(path, None);
    let unknown: Vec<Key> = groups.keys().filter(|key| matches!(key, Key::Began(..))).cloned().collect();
    for began in unknown {
        let known = groups
            .iter()
            .find(|(key, group)| matches!(key, Key::Id(_)) && group.iter().any(|listed| of(&listed.path) == began));
        if let Some(key) = known.map(|(key, _)| key.clone())
            && let Some(more) = groups.remove(&began)
        {
            groups.entry(key).or_default().extend(more);
        }
    }
}

/// What tells which record a file is of.
///
/// # Errors
/// The file cannot be read.
pub(super) fn key_of(path: &Path) -> Result<Key, RecordError> {
    Ok(key_by(path, id_in(&files::read_start(path, START)?)))
}

fn key_by(path: &Path, id: Option<Uuid>) -> Key {
    let began = || {
        let (start, number) = series::began(&name_of(path));
        Key::Began(start, number)
    };
    id.map_or_else(began, Key::Id)
}

/// The id at the start of a file; nothing where it has none or cannot be read, which its reader will tell.
pub(super) fn id_of(path: &Path) -> Option<Uuid> {
    id_in(&files::read_start(path, START).ok()?)
}

fn id_in(start: &[u8]) -> Option<Uuid> {
    let text = String::from_utf8_lossy(start);
    let value = text.lines().take(3).find_map(|line| line.strip_prefix("id = \"")?.strip_suffix('"'))?;
    Uuid::try_parse(value).ok()
}

/// Tells the record from its copies.
fn choose<H, E>(mut group: Vec<Listed>, sorted: &mut Sorted)
where
    H: Serialize + DeserializeOwned + PartialEq,
    E: Serialize + DeserializeOwned + PartialEq,
{
    group.sort_by_cached_key(|file| (!series::is_plain(&name_of(&file.path)), name_of(&file.path)));
    let mut chosen: Option<(Listed, Contents<H, E>)> = None;
    let (mut older, mut other) = (Vec::new(), Vec::new());
    let mut read = Vec::with_capacity(group.len());
    for file in group {
        match contents::read::<H, E>(&file.path) {
            Ok(contents) => read.push((file, contents)),
            Err(_) => sorted.files.push(file), // its reader tells why
        }
    }
    // Of several of one length, the one that was last gone on with.
    read.sort_by_key(|(_, contents)| {
        let last = contents.entries.last();
        std::cmp::Reverse((contents.entries.len(), last.map(|last| last.at), last.and_then(|last| last.by.clone())))
    });
    for (file, contents) in read {
        let Some((_, held)) = &chosen else {
            chosen = Some((file, contents));
            continue;
        };
        if held.header != contents.header {
            sorted.files.push(file); // another record, begun in the same second
            continue;
        }
        let same = held.entries.iter().zip(&contents.entries).take_while(|(a, b)| a == b).count();
        if same == contents.entries.len() {
            older.push((file.path, same));
        } else {
            other.push((file.path, same));
        }
    }
    let Some((best, held)) = chosen else { return };
    let of = &best.path;
    sorted.copies.extend(older.into_iter().map(|(path, entries)| {
        let fewer = held.entries.len() - entries;
        (path.clone(), RecordError::Copy { path, of: of.clone(), fewer })
    }));
    sorted.copies.extend(other.into_iter().map(|(path, same)| {
        let entry = same + 1;
        (path.clone(), RecordError::Differ { path, of: of.clone(), entry })
    }));
    sorted.files.push(best);
}
