//! The one place that makes, writes, renames and reads files.
//!
//! Files and folders are for their user alone. Links, pipes, devices and folders are refused where a plain file is wanted. What is
//! written is synced and read back before it counts, and a new name is synced with its folder. A sync that failed is
//! never tried again on the same handle: systems may drop the data and report success the second time (Rebello et al.,
//! "Can Applications Recover from fsync Failures?", USENIX ATC 2020).

mod batch;

use super::RecordError;
use super::faults;
use crate::system;
use chrono::{DateTime, TimeDelta, Utc};
use crc32fast::Hasher;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, BufRead, BufReader, BufWriter, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;
use tempfile::NamedTempFile;

pub(super) use batch::{
    Found, is_below, is_same_folder, kind, move_new, move_over, names, put, remove_empty, sync_many, whole_path,
};

/// How often a file that another program holds is tried again, and how long to wait each time.
const HELD_TRIES: u32 = 50;
const HELD_PAUSE: Duration = Duration::from_millis(20);
/// What a file is called until it is put in place, around something random.
const NEW: &str = ".new-";
const NEW_END: &str = ".tmp";

/// Make a folder, and those above it, for this user alone. A real folder that exists is left as it is.
///
/// # Errors
/// Something other than a folder stands there, a link included, or the system refuses.
pub fn create_folder(path: &Path) -> Result<(), RecordError> {
    match fs::symlink_metadata(path) {
        Ok(found) if found.is_dir() => return Ok(()),
        Ok(found) => return Err(wrong_kind(path, &found, "a real folder")),
        Err(e) if e.kind() == ErrorKind::NotFound => {}
        Err(e) => return Err(RecordError::io("look at it", path)(e)),
    }
    let above = folder_of(path);
    if !exists(above)? {
        create_folder(above)?;
    }
    match faults::point().and_then(|()| system::making_folder().create(path)) {
        Ok(()) => sync_folder(above).map_err(RecordError::io("sync the folder", above)),
        Err(e) if e.kind() == ErrorKind::AlreadyExists => create_folder(path), // another window was quicker
        Err(e) => Err(RecordError::io("make the folder", path)(e)),
    }
}

/// Read a whole small file.
///
/// # Errors
/// It is not a plain file, is larger than `cap` bytes, or cannot be read.
pub fn read(path: &Path, cap: u64) -> Result<Vec<u8>, RecordError> {
    read_from(&mut open(path)?, path, cap)
}

/// Read the first bytes of a file, at most `most`.
pub(super) fn read_start(path: &Path, most: u64) -> Result<Vec<u8>, RecordError> {
    let (mut file, mut bytes) = (open(path)?, Vec::with_capacity(usize::try_from(most).unwrap_or(0)));
    let read = faults::point().and_then(|()| (&mut file).take(most).read_to_end(&mut bytes));
    read.map_err(RecordError::io("read it", path))?;
    Ok(bytes)
}

/// Read a whole small text file.
///
/// # Errors
/// As [`read`], and when it is not UTF-8.
pub fn read_text(path: &Path, cap: u64) -> Result<String, RecordError> {
    String::from_utf8(read(path, cap)?).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        RecordError::NotText { path: path.to_owned(), line: good.split(|b| *b == b'\n').count() }
    })
}

/// Write a file that must not exist yet, whole and synced.
///
/// # Errors
/// [`RecordError::Exists`], or the system refuses; then no file of that name is left behind if that can be helped.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), RecordError> {
    create_new(path, bytes).map(drop)
}

/// Replace a plain file, or make it, in one step: readers see the old or the new text and never a mixture.
///
/// # Errors
/// Something other than a plain file stands there, or the system refuses; then the old file stays as it was.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), RecordError> {
    replace_by(path, |file| write_checked(file, bytes))
}

/// As [`replace`], for a text that is never whole in memory: `write` gives it piece by piece.
///
/// # Errors
/// As [`replace`], and where `write` fails.
pub fn replace_with<T>(path: &Path, write: impl FnOnce(&mut dyn Write) -> io::Result<T>) -> Result<T, RecordError> {
    replace_by(path, |file| {
        let mut out = BufWriter::new(Summed { file, sum: Hasher::new() });
        let done = write(&mut out)?;
        let Summed { file, sum } = out.into_inner().map_err(io::IntoInnerError::into_error)?;
        faults::point()?;
        file.sync_all()?;
        file.seek(SeekFrom::Start(0))?;
        let (mut found, mut reader, made) = (Hasher::new(), BufReader::new(file), sum.finalize());
        loop {
            let piece = reader.fill_buf()?;
            if piece.is_empty() {
                break;
            }
            found.update(piece);
            let len = piece.len();
            reader.consume(len);
        }
        if found.finalize() == made { Ok(done) } else { Err(not_the_same()) }
    })
}

/// Writes on, and keeps the check sum of what was written.
struct Summed<'a> {
    file: &'a mut File,
    sum: Hasher,
}

impl Write for Summed<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        faults::write(self.file, bytes)?;
        self.sum.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

fn replace_by<T>(path: &Path, write: impl FnOnce(&mut File) -> io::Result<T>) -> Result<T, RecordError> {
    match fs::symlink_metadata(path) {
        Ok(found) if !found.is_file() => return Err(wrong_kind(path, &found, "a plain file")),
        _ => {}
    }
    let folder = folder_of(path);
    let mut temp = temp_in(folder).map_err(RecordError::io("make a new file beside it", path))?;
    let done = write(temp.as_file_mut()).map_err(RecordError::io("write it", path))?;
    let file = faults::point()
        .and_then(|()| put_over(temp, path))
        .map_err(RecordError::io("put the new text in place", path))?;
    faults::point()
        .and_then(|()| system::sync_renamed(&file, folder))
        .map_err(RecordError::io("sync the folder", folder))?;
    Ok(done)
}

/// Take away the files that a program which was stopped left half written in a folder, an hour old by then. Nothing ever
/// held what was in them, so it does not matter where this fails.
pub(super) fn sweep(folder: &Path, now: DateTime<Utc>) {
    let old = |path: &Path| {
        let found = fs::symlink_metadata(path).ok().filter(fs::Metadata::is_file);
        let changed = found.and_then(|found| found.modified().ok()).map(DateTime::<Utc>::from);
        changed.is_some_and(|changed| now - changed > TimeDelta::hours(1))
    };
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with(NEW) && name.ends_with(NEW_END) && old(&entry.path()) {
            let _ = remove(&entry.path());
        }
    }
}

/// Renames over what stands at the path. Where a program that only looks at the old file keeps it from being replaced,
/// it is tried again for a second.
fn put_over(mut temp: NamedTempFile, path: &Path) -> io::Result<File> {
    let mut tries = 0;
    loop {
        match temp.persist(path) {
            Err(failed) if system::is_held(&failed.error) && tries < HELD_TRIES => {
                tries += 1;
                thread::sleep(HELD_PAUSE);
                temp = failed.file;
            }
            done => return done.map_err(|failed| failed.error),
        }
    }
}

/// Delete a plain file.
///
/// # Errors
/// The system refuses.
pub(super) fn remove(path: &Path) -> Result<(), RecordError> {
    faults::point().and_then(|()| fs::remove_file(path)).map_err(RecordError::io("delete it", path))
}

/// Delete a folder with all that is in it; links in it are deleted, not followed.
///
/// # Errors
/// The system refuses.
pub(super) fn remove_folder(path: &Path) -> Result<(), RecordError> {
    faults::point().and_then(|()| fs::remove_dir_all(path)).map_err(RecordError::io("delete the folder", path))
}

/// Rename a folder to a name that is free, and sync both places.
///
/// # Errors
/// [`RecordError::Exists`], or the system refuses.
pub(super) fn move_folder(from: &Path, to: &Path) -> Result<(), RecordError> {
    if exists(to)? {
        return Err(RecordError::Exists { path: to.to_owned() });
    }
    faults::point().and_then(|()| fs::rename(from, to)).map_err(RecordError::io("put the folder in place", to))?;
    [folder_of(to), folder_of(from)]
        .into_iter()
        .try_for_each(|folder| sync_folder(folder).map_err(RecordError::io("sync the folder", folder)))
}

/// Rename a file out of the way, to `<name>.tail-<time>`, keeping all its bytes. Returns the new name.
///
/// # Errors
/// The system refuses.
pub fn set_aside(path: &Path, now: DateTime<Utc>) -> Result<PathBuf, RecordError> {
    let to = aside_name(path, now)?;
    faults::point().and_then(|()| fs::rename(path, &to)).map_err(RecordError::io("set it aside", path))?;
    let folder = folder_of(path);
    sync_folder(folder).map_err(RecordError::io("sync the folder", folder))?;
    Ok(to)
}

/// The first free name `<name>.tail-<time>`, `<name>.tail-<time>-2`, ... A name taken between here and its use makes
/// that use fail or, at worst, renames over another torn end; the record's lock keeps other windows out.
///
/// # Errors
/// A name cannot be looked at.
pub(super) fn aside_name(path: &Path, now: DateTime<Utc>) -> Result<PathBuf, RecordError> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".tail-{}", now.format("%Y%m%dT%H%M%SZ")));
    let (mut free, mut number) = (path.with_file_name(&name), 1);
    while exists(&free)? {
        number += 1;
        let mut name = name.clone();
        name.push(format!("-{number}"));
        free = path.with_file_name(name);
    }
    Ok(free)
}

/// Open a plain file that exists to read it, following no link.
pub(super) fn open(path: &Path) -> Result<File, RecordError> {
    open_with(path, File::options().read(true))
}

/// Open a plain file that exists as its one writer, following no link. The lock goes with the handle, also when the
/// program is killed.
pub(super) fn open_locked(path: &Path) -> Result<File, RecordError> {
    let file = open_with(path, &system::writing())?;
    lock(&file, path)?;
    Ok(file)
}

fn open_with(path: &Path, options: &OpenOptions) -> Result<File, RecordError> {
    let found = fs::symlink_metadata(path).map_err(RecordError::io("open it", path))?;
    if !found.is_file() {
        return Err(wrong_kind(path, &found, "a plain file"));
    }
    let file = faults::point().and_then(|()| options.open(path)).map_err(|e| match e {
        e if system::is_in_use(&e) => RecordError::InUse { path: path.to_owned() },
        e => RecordError::io("open it", path)(e),
    })?;
    // A link could have been put there between the look and the opening.
    match stands_at(&file, path) {
        Ok(true) => Ok(file),
        Ok(false) => Err(RecordError::io("open it", path)(io::Error::other("it was swapped while being opened"))),
        Err(e) => Err(RecordError::io("look at it", path)(e)),
    }
}

/// All bytes of an open file, at most `cap`.
pub(super) fn read_from(file: &mut File, path: &Path, cap: u64) -> Result<Vec<u8>, RecordError> {
    let size = file.metadata().map_err(RecordError::io("look at it", path))?.len();
    let mut bytes = Vec::new();
    if size <= cap {
        // Room for all of it and for the end to be seen: without it a file comes in pieces of 32 bytes and up.
        bytes.reserve_exact(usize::try_from(size).map_or(0, |size| size + 1));
        let read = faults::point().and_then(|()| file.take(cap + 1).read_to_end(&mut bytes));
        read.map_err(RecordError::io("read it", path))?;
    }
    if size > cap || bytes.len() as u64 > cap {
        return Err(RecordError::TooLarge { path: path.to_owned(), cap });
    }
    Ok(bytes)
}

/// Make a new file, locked, written, synced and its folder synced. On failure it is taken away again.
pub(super) fn create_new(path: &Path, bytes: &[u8]) -> Result<File, RecordError> {
    let mut file = faults::point().and_then(|()| system::making().open(path)).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => RecordError::Exists { path: path.to_owned() },
        _ => RecordError::io("make the file", path)(e),
    })?;
    let done = lock(&file, path)
        .and_then(|()| write_checked(&mut file, bytes).map_err(RecordError::io("write it", path)))
        .and_then(|()| sync_folder(folder_of(path)).map_err(RecordError::io("sync the folder of it", path)));
    match done {
        Ok(()) => Ok(file),
        Err(e) => {
            // Best effort: what stays behind has no whole header, or one and no event.
            let _ = fs::remove_file(path);
            Err(e)
        }
    }
}

/// Why a new file is not safely in place.
pub(super) struct Unplaced {
    pub error: io::Error,
    /// True if the name may exist, now or after a power cut.
    pub may_exist: bool,
}

/// Put a new whole file in place in one step, locked, under a name that must be free.
pub(super) fn place_new(path: &Path, bytes: &[u8]) -> Result<File, Unplaced> {
    let folder = folder_of(path);
    let place = || {
        let mut temp = temp_in(folder)?;
        system::lock(temp.as_file()).map_err(io::Error::from)?;
        write_checked(temp.as_file_mut(), bytes)?;
        faults::point()?;
        temp.persist_noclobber(path).map_err(|e| e.error)
    };
    let file = place().map_err(|error| Unplaced { error, may_exist: false })?;
    faults::point().and_then(|()| system::sync_renamed(&file, folder)).map_err(|error| {
        // A name that may vanish in a power cut must not be built upon.
        let _ = faults::point().and_then(|()| fs::remove_file(path));
        Unplaced { error, may_exist: true }
    })?;
    Ok(file)
}

fn lock(file: &File, path: &Path) -> Result<(), RecordError> {
    let tried = faults::point().map_err(TryLockError::Error).and_then(|()| system::lock(file));
    tried.map_err(|e| match e {
        TryLockError::WouldBlock => RecordError::InUse { path: path.to_owned() },
        TryLockError::Error(e) => RecordError::io("lock it", path)(e),
    })
}

/// Write at a place in the file.
pub(super) fn write_at(file: &mut File, at: u64, bytes: &[u8]) -> io::Result<()> {
    file.seek(SeekFrom::Start(at))?;
    faults::write(file, bytes)
}

/// Read back what was just written at the end of the file: a write that was cut short, lost or claimed is found here.
pub(super) fn read_back(file: &mut File, at: u64, bytes: &[u8]) -> io::Result<()> {
    faults::point()?;
    file.seek(SeekFrom::Start(at))?;
    let mut found = Vec::with_capacity(bytes.len() + 1);
    file.take(bytes.len() as u64 + 1).read_to_end(&mut found)?;
    if found == bytes { Ok(()) } else { Err(not_the_same()) }
}

fn not_the_same() -> io::Error {
    io::Error::other("what was written does not read back the same")
}

/// Sync a file's contents and length.
pub(super) fn sync(file: &File) -> io::Result<()> {
    faults::point()?;
    file.sync_data()
}

/// Cut a file to a length.
pub(super) fn cut(file: &File, len: u64) -> io::Result<()> {
    faults::point()?;
    file.set_len(len)
}

/// Make the names in a folder last through a power cut.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    faults::point()?;
    system::sync_folder(folder)
}

/// True if something stands there, whatever it is.
///
/// # Errors
/// It cannot be looked at. Whoever asks must not go on: what is there may be all that there is of a list, and nothing may be what
/// was to be found.
pub fn exists(path: &Path) -> Result<bool, RecordError> {
    match faults::point().and_then(|()| fs::symlink_metadata(path)) {
        Ok(_) => Ok(true),
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Ok(false),
        Err(e) => Err(RecordError::io("look at it", path)(e)),
    }
}

/// True for a name that nothing can have: one that cannot be looked at is not free.
pub(super) fn is_free(path: &Path) -> bool {
    exists(path).is_ok_and(|there| !there)
}

/// The folder a path lies in.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// True if the open file is the plain file that now stands at the path: an editor that saves by renaming, or a
/// deletion, leaves a handle on a file without a name.
pub(super) fn stands_at(file: &File, path: &Path) -> io::Result<bool> {
    match fs::symlink_metadata(path) {
        Ok(there) => Ok(there.is_file() && system::is_same(file, path)?),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(false),
        Err(e) => Err(e),
    }
}

fn temp_in(folder: &Path) -> io::Result<NamedTempFile> {
    faults::point()?;
    tempfile::Builder::new().prefix(NEW).suffix(NEW_END).make_in(folder, |path| system::making().open(path))
}

fn write_checked(file: &mut File, bytes: &[u8]) -> io::Result<()> {
    write_at(file, 0, bytes)?;
    faults::point()?;
    file.sync_all()?;
    read_back(file, 0, bytes)
}

fn wrong_kind(path: &Path, found: &fs::Metadata, wanted: &'static str) -> RecordError {
    let kind = found.file_type();
    let found = match () {
        () if kind.is_symlink() => "a link",
        () if kind.is_dir() => "a folder",
        () if kind.is_file() => "a file",
        () => "a pipe, a socket or a device",
    };
    RecordError::WrongKind { path: path.to_owned(), found, wanted }
}
