//! Copies of a record that sync programs and people leave beside it.
//!
//! Two files are of one record where both have its id. Where neither has one, they are so by the part of the name that
//! tells when it began and by what their headers say. Of the files of one record that one counts which holds all that
//! the others hold; those are told, kept and not used. Where each holds what the other does not, the one of the plain
//! name stays in sight, and [`RecordError::Differ`] stops both from being written until a person has chosen.

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

/// What two files of one record are told by.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Key {
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
    let mut groups: BTreeMap<Key, Vec<Listed>> = BTreeMap::new();
    for path in series::current_of(folder, suffix)? {
        let id = id(&path);
        let key = id.map_or_else(
            || {
                let (start, number) = series::began(&name_of(&path));
                Key::Began(start, number)
            },
            Key::Id,
        );
        groups.entry(key).or_default().push(Listed { path, id });
    }
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
    Ok(sorted)
}

/// The id at the start of a file; nothing where it has none or cannot be read, which its reader will tell.
pub(super) fn id_of(path: &Path) -> Option<Uuid> {
    let start = files::read_start(path, START).ok()?;
    let text = String::from_utf8_lossy(&start);
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
    for file in group {
        let Ok(contents) = contents::read::<H, E>(&file.path) else {
            sorted.files.push(file); // its reader tells why
            continue;
        };
        let Some((best, held)) = &mut chosen else {
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
        } else if same == held.entries.len() {
            older.push((std::mem::replace(best, file).path, same));
            *held = contents;
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
