//! The records of one folder, rounds or saws, and those that another holds.
//!
//! Of a record that both hold the longer stays where it holds all that the other does; where each holds what the other does
//! not, both stay. A version that somebody set aside (`*.left-<sum>`) stays aside wherever it comes from. What is then held is
//! the same in whatever order folders are joined: the versions that no other continues.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::{Serialize, de::DeserializeOwned};

use super::super::copies::{self, Key};
use super::super::series::{self, name_of};
use super::super::{Contents, MAX_FILE, RackError, RecordError, contents, files, whole};

/// What follows the name of the record in the name of a version that was set aside.
pub(crate) const LEFT: &str = ".left-";

/// What is to be done with one file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Act {
    /// Name of the file in the folder that is joined to.
    pub name: String,
    pub what: What,
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum What {
    /// A record that is not here.
    Add(Source),
    /// A longer version of one that is here.
    Replace(Source),
    /// A version set aside there, kept as such.
    Left(Source),
    /// A version that was set aside there stands here: it is set aside under this name.
    SetAside(String),
}

/// Where bytes come from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Source {
    pub path: PathBuf,
    /// Check sum of the bytes that were looked at.
    pub sum: u32,
    /// How many bytes of the file count; absent where the record is written anew, without what it continued.
    pub len: Option<usize>,
}

/// What joining two folders of records comes to.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Acts {
    pub todo: Vec<Act>,
    /// Records that both hold alike, or of which ours is the longer.
    pub same: usize,
    /// Records of which several versions stand, by the names of their files.
    pub differ: Vec<Vec<String>>,
}

/// One version of a record.
struct Version<H, E> {
    path: PathBuf,
    here: bool,
    contents: Contents<H, E>,
    sum: u32,
    len: Option<usize>,
}

impl<H, E> Version<H, E>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    fn read(path: &Path, here: bool) -> Result<Self, RecordError> {
        let (contents, bytes) = bytes_of(path)?;
        let len = contents.continues.is_none().then_some(bytes.len());
        Ok(Self { path: path.to_owned(), here, contents, sum: crc32fast::hash(&bytes), len })
    }
}

/// A record, and the bytes of it that count: its whole blocks, as a record that continues no other.
pub(crate) fn bytes_of<H, E>(path: &Path) -> Result<(Contents<H, E>, Vec<u8>), RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    let mut bytes = files::read(path, MAX_FILE)?;
    let parsed = contents::parse::<H, E>(path, &bytes)?;
    let contents = parsed.contents;
    if contents.continues.is_some() {
        // What it continues lies in the other folder: here it stands alone.
        bytes = whole::text(path, contents.id, &contents.header, &contents.entries)?;
    } else {
        bytes.truncate(parsed.good_len);
    }
    Ok((contents, bytes))
}

/// True where the one version holds all that the other does: equal ones hold each other.
pub(crate) fn holds<H: PartialEq, E: PartialEq>(long: &Contents<H, E>, short: &Contents<H, E>) -> bool {
    long.entries.len() >= short.entries.len() && long.entries[..short.entries.len()] == short.entries[..]
}

/// Says what is wrong with a record that can be read.
type Check<'a, H, E> = &'a dyn Fn(&Path, &Contents<H, E>) -> Result<(), RackError>;

/// What is to be done in the folder `here` so that it holds the records of `there` too. `check` says what is wrong with one
/// that can be read; records that cannot be taken are told in `refused`.
///
/// # Errors
/// A folder cannot be listed, or a file of ours cannot be read: what is in it is not known, and nothing is held against it.
pub(crate) fn look<H, E>(
    (here, there): (&Path, &Path),
    suffix: &str,
    check: Check<'_, H, E>,
    refused: &mut Vec<(PathBuf, RackError)>,
) -> Result<Acts, RecordError>
where
    H: Serialize + DeserializeOwned + PartialEq,
    E: Serialize + DeserializeOwned + PartialEq,
{
    let mut acts = Acts::default();
    let mut theirs: BTreeMap<Key, Vec<PathBuf>> = BTreeMap::new();
    for path in series::current_of(there, suffix)? {
        match copies::key_of(&path) {
            Ok(key) => theirs.entry(key).or_default().push(path),
            Err(error) => refused.push((path, error.into())),
        }
    }
    let mut ours: BTreeMap<Key, Vec<PathBuf>> = BTreeMap::new();
    for path in series::current_of(here, suffix)? {
        ours.entry(copies::key_of(&path)?).or_default().push(path);
    }
    let (left_here, left_there) = (left_of(here, suffix)?, left_of(there, suffix)?);
    let mut names = Names { folder: here, taken: Vec::new() };
    for (key, paths) in theirs {
        let mine = ours.get(&key).map(Vec::as_slice).unwrap_or_default();
        if let ([their], [our]) = (paths.as_slice(), mine)
            && let (Ok(a), Ok(b)) = (files::read(their, MAX_FILE), files::read(our, MAX_FILE))
            && a == b
        {
            acts.same += 1;
            continue;
        }
        let mut versions: Vec<Version<H, E>> = Vec::new();
        for path in mine {
            // What is wrong with a record of ours is told wherever it is looked at.
            versions.extend(Version::read(path, true).ok());
        }
        let broken = versions.len() < mine.len();
        for path in paths {
            let read = Version::read(&path, false).map_err(RackError::from).and_then(|version| {
                check(&path, &version.contents)?;
                Ok(version)
            });
            match read {
                Ok(_) if broken => refused.push((path, beside_broken(mine))),
                Ok(version) => versions.push(version),
                Err(error) => refused.push((path, error)),
            }
        }
        let mut left = Vec::new();
        for path in left_here.iter().chain(&left_there) {
            if copies::key_of(path)? == key {
                left.push(bytes_of(path)?.0);
            }
        }
        settle(versions, &left, &mut names, &mut acts)?;
    }
    let set_aside: Vec<String> = acts
        .todo
        .iter()
        .filter_map(|act| if let What::SetAside(to) = &act.what { Some(to.clone()) } else { None })
        .collect();
    for path in left_there {
        let name = name_of(&path);
        if set_aside.contains(&name) || files::exists(&here.join(&name))? {
            continue;
        }
        match files::read(&path, MAX_FILE) {
            Ok(bytes) => {
                let (sum, len) = (crc32fast::hash(&bytes), Some(bytes.len()));
                let what = What::Left(Source { path: path.clone(), sum, len });
                acts.todo.push(Act { name: name_of(&path), what });
            }
            Err(error) => refused.push((path, error.into())),
        }
    }
    Ok(acts)
}

fn beside_broken(mine: &[PathBuf]) -> RackError {
    let path = mine.first().cloned().unwrap_or_default();
    RackError::line(
        &path,
        1,
        "this file of the same record cannot be read here, so that the two cannot be held together",
    )
}

/// The versions that were set aside in a folder.
pub(crate) fn left_of(folder: &Path, suffix: &str) -> Result<Vec<PathBuf>, RecordError> {
    let mark = format!("{suffix}{LEFT}");
    Ok(files::names(folder)?.into_iter().filter(|name| name.contains(&mark)).map(|name| folder.join(name)).collect())
}

/// Names that are free in a folder.
struct Names<'a> {
    folder: &'a Path,
    taken: Vec<String>,
}

impl Names<'_> {
    fn free(&mut self, wanted: impl IntoIterator<Item = String>) -> Result<String, RecordError> {
        let mut free = String::new();
        for name in wanted {
            if !self.taken.contains(&name) && !files::exists(&self.folder.join(&name))? {
                free = name;
                break;
            }
        }
        self.taken.push(free.clone());
        Ok(free)
    }
}

/// What is to be done for the versions of one record.
fn settle<H: PartialEq, E: PartialEq>(
    versions: Vec<Version<H, E>>,
    left: &[Contents<H, E>],
    names: &mut Names<'_>,
    acts: &mut Acts,
) -> Result<(), RecordError> {
    // Records without an id that began in one second may be different ones.
    let mut records: Vec<Vec<Version<H, E>>> = Vec::new();
    for version in versions {
        match records.iter_mut().find(|record| record[0].contents.header == version.contents.header) {
            Some(record) => record.push(version),
            None => records.push(vec![version]),
        }
    }
    for record in records {
        let before = acts.todo.len();
        let came = record.iter().any(|version| !version.here);
        one(&record, left, names, acts)?;
        acts.same += usize::from(came && acts.todo.len() == before);
    }
    Ok(())
}

fn one<H: PartialEq, E: PartialEq>(
    record: &[Version<H, E>],
    left: &[Contents<H, E>],
    names: &mut Names<'_>,
    acts: &mut Acts,
) -> Result<(), RecordError> {
    let first_of = |at: usize| !record[..at].iter().any(|other| other.contents.entries == record[at].contents.entries);
    let longest = |at: &usize| {
        let is_longer = |other: &Version<H, E>| {
            other.contents.entries.len() > record[*at].contents.entries.len()
                && holds(&other.contents, &record[*at].contents)
        };
        first_of(*at) && !record.iter().any(is_longer)
    };
    let ends: Vec<usize> = (0..record.len()).filter(longest).collect();
    let is_left = |at: &usize| {
        let of = &record[*at].contents;
        left.iter().any(|left| left.header == of.header && holds(left, of))
    };
    let standing: Vec<usize> = ends.iter().copied().filter(|at| !is_left(at)).collect();
    // Where all of them were set aside, by one here and by another there, nobody has chosen.
    let standing = if standing.is_empty() { ends } else { standing };
    let mut stays: Vec<String> = Vec::new();
    let mut given: Vec<usize> = Vec::new();
    for at in &standing {
        let version = &record[*at];
        if version.here {
            stays.push(name_of(&version.path));
            continue;
        }
        let source = Source { path: version.path.clone(), sum: version.sum, len: version.len };
        let shorter = (0..record.len()).find(|other| {
            let of = &record[*other];
            of.here && !given.contains(other) && !standing.contains(other) && holds(&version.contents, &of.contents)
        });
        let (name, what) = match shorter {
            Some(other) => {
                given.push(other);
                (name_of(&record[other].path), What::Replace(source))
            }
            None => (names.free(names_for(version))?, What::Add(source)),
        };
        stays.push(name.clone());
        acts.todo.push(Act { name, what });
    }
    for (at, version) in record.iter().enumerate().filter(|(_, version)| version.here) {
        if !standing.contains(&at) && !given.contains(&at) && is_left(&at) {
            let to = left_name(&version.path, version.sum);
            acts.todo.push(Act { name: name_of(&version.path), what: What::SetAside(to) });
        }
    }
    if stays.len() > 1 {
        stays.sort();
        acts.differ.push(stays);
    }
    Ok(())
}

/// What a version is called that is set aside: the same wherever that is done.
pub(crate) fn left_name(path: &Path, sum: u32) -> String {
    let (base, suffix) = plain(path);
    format!("{base}{suffix}{LEFT}{sum:08x}")
}

/// The plain name of a record, and how it ends.
fn plain(path: &Path) -> (String, &'static str) {
    let name = name_of(path);
    let known = [series::SAW_SUFFIX, series::LEARNER_SUFFIX];
    let suffix = known.into_iter().find(|suffix| name.contains(suffix)).unwrap_or(series::SUFFIX);
    let (start, number) = series::began(&name);
    (if number > 1 { format!("{start}-{number}") } else { start }, suffix)
}

/// What a record from elsewhere may be called here: as there, without what continued it; else with what tells it from others.
fn names_for<H, E>(version: &Version<H, E>) -> impl Iterator<Item = String> + use<H, E> {
    let (base, suffix) = plain(&version.path);
    let known = version.contents.id.map_or(version.sum, |id| crc32fast::hash(id.as_bytes()));
    let sum = version.sum;
    let told = [format!("{base}{suffix}"), format!("{base}.{known:08x}{suffix}"), format!("{base}.{sum:08x}{suffix}")];
    told.into_iter().chain((2..).map(move |n| format!("{base}.{sum:08x}.{n}{suffix}")))
}
