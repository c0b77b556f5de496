//! The whole data folder in one file, and back.
//!
//! A backup is a tar archive, compressed by gzip, of every file of the folder but those that are derived; its last entry is a
//! list of them with size and SHA-256 (FIPS 180-4). Any program that reads such archives opens it. It is read back only into a
//! folder that holds nothing, and only after all of it was read and every sum was right: until then nothing is written. Links,
//! devices and names that lead out of the folder are refused, whatever the list says.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Component, Path, PathBuf};

use chrono::{DateTime, Utc};
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use sha2::{Digest, Sha256};
use tar::{Archive, Builder, Entry, EntryType, Header};

use super::data_dir::{HISTORY, INDEX, JOINING, SAW_INDEX};
use super::rack::Rack;
use super::{Hear, RackError, RecordError, files, go_on};
use crate::units::clean::clean;

/// Name of the list at the end of the archive.
const LIST: &str = "evenbite-backup.txt";
/// How the list begins; the number is that of its format.
const HEAD: &str = "evenbite backup 1";
/// Largest file that is kept or read back, in bytes.
const MAX: u64 = 64 * 1024 * 1024;
/// Largest list, in bytes: some hundred thousand files.
const MAX_LIST: u64 = 64 * 1024 * 1024;
/// Most files.
const MOST: usize = 500_000;

/// What a backup holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Backup {
    /// How many files.
    pub files: usize,
    /// How many bytes they hold together.
    pub bytes: u64,
    /// What was left out: links, and files that are too large.
    pub left_out: Vec<String>,
}

/// Size and sum of each file, by its name in the archive.
type Sums = BTreeMap<String, (u64, String)>;

/// Takes one file of a backup: its name, and what it holds.
type Take<'a> = &'a mut dyn FnMut(&str, &[u8]) -> Result<(), RackError>;

/// True for what is made anew, or lies there only while something is being written.
fn is_derived(name: &str) -> bool {
    let last = name.rsplit('/').next().unwrap_or(name);
    let passing =
        last.starts_with(".new-") || name.starts_with(&format!("{JOINING}/")) || name.starts_with("loops.new/");
    passing || [HISTORY, INDEX, SAW_INDEX].contains(&last)
}

impl Rack {
    /// Writes a backup of the whole data folder to a file that must not be there yet. `hear` is told how many files are in it.
    ///
    /// # Errors
    /// There is no data folder; a file of that name is there, or lies in the folder itself; a file cannot be read; the disk
    /// fails; it was stopped. Then no backup is left.
    pub fn back_up(&self, to: &Path, now: DateTime<Utc>, hear: Hear<'_>) -> Result<Backup, RackError> {
        if files::exists(to)? {
            return Err(RecordError::Exists { path: to.to_owned() }.into());
        }
        if !files::exists(self.root())? {
            return Err(refused(self.root(), "there is no data folder: nothing can be kept of it"));
        }
        if files::is_below(to, self.root())? {
            return Err(refused(to, "lies in the data folder itself: name a file elsewhere"));
        }
        let mut done = Backup::default();
        let all = self.all_files(&mut done)?;
        let mut stopped = false;
        let made = files::replace_with(to, |out| {
            let mut archive = Builder::new(GzEncoder::new(BufWriter::new(out), Compression::default()));
            let mut sums = Sums::new();
            for (at, (name, path)) in all.iter().enumerate() {
                // A round that is at the bench may grow: what is kept is what was read at once.
                let bytes = files::read(path, MAX).map_err(io::Error::other)?;
                add(&mut archive, name, &bytes, now)?;
                done.bytes += bytes.len() as u64;
                sums.insert(name.clone(), (bytes.len() as u64, sum(&bytes)));
                stopped = !hear(at + 1, all.len());
                if stopped {
                    return Err(io::ErrorKind::Interrupted.into());
                }
            }
            done.files = sums.len();
            add(&mut archive, LIST, list_of(&sums).as_bytes(), now)?;
            archive.into_inner()?.finish()?.into_inner().map_err(io::IntoInnerError::into_error)?.flush()
        });
        go_on(!stopped)?;
        made?;
        Ok(done)
    }

    /// Every file that is kept, with its name in the archive.
    fn all_files(&self, done: &mut Backup) -> Result<Vec<(String, PathBuf)>, RackError> {
        let (mut all, mut folders) = (Vec::new(), vec![(String::new(), self.root().to_owned())]);
        while let Some((above, folder)) = folders.pop() {
            for name in files::names(&folder)? {
                let path = folder.join(&name);
                let name = format!("{above}{name}");
                match files::kind(&path)? {
                    files::Found::Folder => folders.push((format!("{name}/"), path)),
                    files::Found::File(_) if is_derived(&name) => {}
                    files::Found::File(size) if size <= MAX && is_plain(&name) => all.push((name, path)),
                    files::Found::File(_) | files::Found::Other => done.left_out.push(clean(&name)),
                }
            }
        }
        all.sort();
        Ok(all)
    }

    /// Reads a backup and holds every file of it against its sum. Nothing is written. `hear` is told how many were; how many
    /// there are is not known before the end.
    ///
    /// # Errors
    /// It cannot be read, was cut short or changed, or holds what no backup holds; it was stopped.
    pub fn check_backup(from: &Path, hear: Hear<'_>) -> Result<Backup, RackError> {
        let sums = walk(from, &mut |_, _| Ok(()), &mut |files| hear(files, 0))?;
        let bytes = sums.values().map(|(size, _)| size).sum();
        Ok(Backup { files: sums.len(), bytes, left_out: Vec::new() })
    }

    /// Reads a backup into this data folder, which must hold nothing. It is checked first (`checked` hears of that), made ready
    /// beside the folder (`ready` hears of that), synced, and put in its place at once.
    ///
    /// # Errors
    /// The folder holds something; as [`Rack::check_backup`]; the disk fails. Then the folder stays as it was.
    pub fn bring_back(&self, from: &Path, checked: Hear<'_>, ready: Hear<'_>) -> Result<Backup, RackError> {
        let root = self.root();
        if !files::names(root)?.is_empty() {
            return Err(refused(root, "is not empty: a backup is brought back only into a folder that holds nothing"));
        }
        let done = Self::check_backup(from, checked)?;
        let root = &files::whole_path(root)?;
        let mut name = root.file_name().unwrap_or_default().to_owned();
        name.push(".restoring");
        let stage = root.with_file_name(name);
        if files::exists(&stage)? {
            files::remove_folder(&stage)?; // of one that was stopped
        }
        files::create_folder(&stage)?;
        let written = match make_ready(from, &stage, &mut |files| ready(files, done.files)) {
            Ok(written) => written,
            Err(error) => {
                let _ = files::remove_folder(&stage); // nothing of it counts
                return Err(error);
            }
        };
        files::sync_many(&written)?;
        files::remove_empty(root)?;
        files::move_folder(&stage, root)?;
        Ok(done)
    }
}

/// Writes the files of a backup that was checked below a folder.
fn make_ready(from: &Path, stage: &Path, hear: &mut dyn FnMut(usize) -> bool) -> Result<Vec<PathBuf>, RackError> {
    let (mut written, mut folders) = (Vec::new(), BTreeSet::new());
    walk(
        from,
        &mut |name, bytes| {
            let path = stage.join(name);
            let folder = files::folder_of(&path).to_owned();
            if folders.insert(folder.clone()) {
                files::create_folder(&folder)?;
            }
            files::put(&path, bytes)?;
            written.push(path);
            Ok(())
        },
        hear,
    )?;
    written.extend(folders);
    Ok(written)
}

fn add(archive: &mut Builder<impl Write>, name: &str, bytes: &[u8], now: DateTime<Utc>) -> io::Result<()> {
    let mut header = Header::new_gnu();
    header.set_entry_type(EntryType::Regular);
    header.set_size(bytes.len() as u64);
    header.set_mode(0o600);
    header.set_mtime(u64::try_from(now.timestamp()).unwrap_or_default());
    archive.append_data(&mut header, name, bytes)
}

fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The list as `sha256sum` writes one, with its head and a last line that tells that it is whole.
fn list_of(sums: &Sums) -> String {
    let lines: String = sums.iter().map(|(name, (size, sum))| format!("{sum}  {size}  {name}\n")).collect();
    format!("{HEAD}\n{lines}files {}\n", sums.len())
}

/// True for a name that stays in its folder on every system.
fn is_plain(name: &str) -> bool {
    let parts = || name.split('/');
    let odd = |c: char| c.is_control() || matches!(c, '\\' | ':');
    !name.is_empty()
        && !name.contains(odd)
        && parts().all(|part| !part.is_empty() && part != "." && part != "..")
        && Path::new(name).components().all(|part| matches!(part, Component::Normal(_)))
}

fn refused(path: &Path, what: &str) -> RackError {
    RackError::Backup { path: path.to_owned(), what: what.to_owned() }
}

/// Hands over one file of a backup after the other; what it holds is held against its list at the end. `hear` is told how many.
fn walk(from: &Path, take: Take<'_>, hear: &mut dyn FnMut(usize) -> bool) -> Result<Sums, RackError> {
    let spoilt =
        |error: io::Error| refused(from, &format!("cannot be read to its end ({})", clean(&error.to_string())));
    let mut archive = Archive::new(GzDecoder::new(BufReader::new(files::open(from)?)));
    let (mut found, mut list) = (Sums::new(), None);
    for entry in archive.entries().map_err(spoilt)? {
        let mut entry = entry.map_err(spoilt)?;
        let name = name_of(&entry, from)?;
        if list.is_some() || found.contains_key(&name) || found.len() >= MOST {
            return Err(refused(from, "holds a file twice, or more after its list"));
        }
        let most = if name == LIST { MAX_LIST } else { MAX };
        let mut bytes = Vec::new();
        entry.by_ref().take(most + 1).read_to_end(&mut bytes).map_err(spoilt)?;
        if bytes.len() as u64 > most {
            return Err(refused(
                from,
                &format!("holds {}, which is larger than any file of a data folder", clean(&name)),
            ));
        }
        if name == LIST {
            list = Some(bytes);
            continue;
        }
        take(&name, &bytes)?;
        found.insert(name, (bytes.len() as u64, sum(&bytes)));
        go_on(hear(found.len()))?;
    }
    // What follows the last entry has a check sum too.
    io::copy(&mut archive.into_inner(), &mut io::sink()).map_err(spoilt)?;
    let list =
        list.ok_or_else(|| refused(from, "has no list of its files at its end: it was cut short, or is no backup"))?;
    if String::from_utf8(list).ok().as_deref() != Some(list_of(&found).as_str()) {
        return Err(refused(
            from,
            "does not hold what its list says: it is damaged, or was changed, or a newer version made it",
        ));
    }
    Ok(found)
}

/// The name of an entry that is a plain file and stays in its folder.
fn name_of(entry: &Entry<'_, GzDecoder<BufReader<File>>>, from: &Path) -> Result<String, RackError> {
    let name = String::from_utf8_lossy(&entry.path_bytes()).into_owned();
    if entry.header().entry_type() != EntryType::Regular {
        return Err(refused(from, &format!("holds {}, which is no plain file", clean(&name))));
    }
    if !is_plain(&name) {
        return Err(refused(from, &format!("holds {}, a name that leads out of the folder", clean(&name))));
    }
    Ok(name)
}
