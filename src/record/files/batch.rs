//! Many files at once: written first, synced together, then put in place.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::thread;

use super::{HELD_PAUSE, HELD_TRIES, exists, folder_of, read_back, wrong_kind};
use crate::record::{RecordError, faults};
use crate::system;

/// Write a new file that is not synced yet: [`sync_many`] must follow before it counts.
///
/// # Errors
/// The name is taken, or the system refuses.
pub(in crate::record) fn put(path: &Path, bytes: &[u8]) -> Result<(), RecordError> {
    let put = || {
        faults::point()?;
        let mut file = system::making().open(path)?;
        faults::write(&mut file, bytes)?;
        read_back(&mut file, 0, bytes)
    };
    put().map_err(RecordError::io("write it", path))
}

/// Make files and folders last through a power cut, what they hold and how they are called.
///
/// # Errors
/// The system refuses.
pub(in crate::record) fn sync_many(paths: &[PathBuf]) -> Result<(), RecordError> {
    let Some(first) = paths.first() else { return Ok(()) };
    faults::point().and_then(|()| system::sync_many(paths)).map_err(RecordError::io("sync it and others", first))
}

/// Rename a file to a name that must be free. The folder is not synced.
///
/// # Errors
/// [`RecordError::Exists`], or the system refuses.
pub(in crate::record) fn move_new(from: &Path, to: &Path) -> Result<(), RecordError> {
    if exists(to)? {
        return Err(RecordError::Exists { path: to.to_owned() });
    }
    rename(from, to)
}

/// Rename a file over a plain one, or to a name that is free. The folder is not synced.
///
/// # Errors
/// Something other than a plain file stands there, or the system refuses.
pub(in crate::record) fn move_over(from: &Path, to: &Path) -> Result<(), RecordError> {
    match fs::symlink_metadata(to) {
        Ok(found) if !found.is_file() => Err(wrong_kind(to, &found, "a plain file")),
        _ => rename(from, to),
    }
}

fn rename(from: &Path, to: &Path) -> Result<(), RecordError> {
    let mut tries = 0;
    loop {
        match faults::point().and_then(|()| fs::rename(from, to)) {
            Err(failed) if system::is_held(&failed) && tries < HELD_TRIES => {
                tries += 1;
                thread::sleep(HELD_PAUSE);
            }
            done => return done.map_err(RecordError::io("put it in place", to)),
        }
    }
}

/// True where both paths lead to one folder that is there.
///
/// # Errors
/// One of them cannot be looked at.
pub(in crate::record) fn is_same_folder(a: &Path, b: &Path) -> Result<bool, RecordError> {
    let (a, b) = (real(a)?, real(b)?);
    Ok(a.is_some() && a == b)
}

/// The names in a folder, in order; none where it is not there.
///
/// # Errors
/// The folder cannot be listed.
pub(in crate::record) fn names(folder: &Path) -> Result<Vec<String>, RecordError> {
    let list = || -> io::Result<Vec<String>> {
        faults::point()?;
        fs::read_dir(folder)?.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned())).collect()
    };
    let mut names = match list() {
        Err(error) if error.kind() == ErrorKind::NotFound => Vec::new(),
        listed => listed.map_err(RecordError::io("list the folder", folder))?,
    };
    names.sort();
    Ok(names)
}

/// What stands at a path, no link followed.
pub(in crate::record) enum Found {
    /// A folder.
    Folder,
    /// A plain file, and its size in bytes.
    File(u64),
    /// A link, a pipe, a device.
    Other,
}

/// What stands at a path.
///
/// # Errors
/// Nothing does, or it cannot be looked at.
pub(in crate::record) fn kind(path: &Path) -> Result<Found, RecordError> {
    let found = faults::point().and_then(|()| fs::symlink_metadata(path));
    let found = found.map_err(RecordError::io("look at it", path))?;
    Ok(match () {
        () if found.is_dir() => Found::Folder,
        () if found.is_file() => Found::File(found.len()),
        () => Found::Other,
    })
}

/// A path from the root of the file system; it need not be there.
///
/// # Errors
/// The system does not tell where this program stands.
pub(in crate::record) fn whole_path(path: &Path) -> Result<PathBuf, RecordError> {
    std::path::absolute(path).map_err(RecordError::io("find out where it is", path))
}

/// True where the file would lie in the folder or below it.
///
/// # Errors
/// One of them cannot be looked at.
pub(in crate::record) fn is_below(file: &Path, folder: &Path) -> Result<bool, RecordError> {
    Ok(real(folder_of(file))?.zip(real(folder)?).is_some_and(|(file, folder)| file.starts_with(folder)))
}

/// Where a path leads; nothing where nothing is there.
fn real(path: &Path) -> Result<Option<PathBuf>, RecordError> {
    match faults::point().and_then(|()| fs::canonicalize(path)) {
        Ok(real) => Ok(Some(real)),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Ok(None),
        Err(error) => Err(RecordError::io("look at it", path)(error)),
    }
}

/// Take away an empty folder, if there is one.
///
/// # Errors
/// There is something in it, or the system refuses.
pub(in crate::record) fn remove_empty(folder: &Path) -> Result<(), RecordError> {
    if !exists(folder)? {
        return Ok(());
    }
    faults::point().and_then(|()| fs::remove_dir(folder)).map_err(RecordError::io("take the empty folder away", folder))
}
