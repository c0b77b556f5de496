//! The append-only record of one round or one saw, open for writing.
//!
//! [`Journal::append`] returns only when the event is on the disk. When the disk fails, the whole record so far goes to
//! a new file; when that fails too, the caller learns that the event is not stored.

use super::contents::{Stamped, header_keys, parse};
use super::events::{self, event_keys};
use super::store::Store;
use super::{MAX_EVENTS, MAX_FILE, RecordError, block, files, series};
use chrono::{DateTime, FixedOffset, Utc};
use serde::{Serialize, de::DeserializeOwned};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};
use toml::{Table, Value};
use uuid::Uuid;

/// A record open for writing, under a lock that ends with it.
#[derive(Debug)]
pub struct Journal<H, E> {
    store: Store,
    /// All whole blocks, as they stand in the file: at most [`MAX_FILE`] bytes.
    text: Vec<u8>,
    head_len: usize,
    id: Option<Uuid>,
    head: Table,
    next: u32,
    /// Name of the newest file of this round on the disk: that of the store, unless a failed move left one behind.
    newest: String,
    types: PhantomData<fn() -> (H, E)>,
}

/// What opening a record found.
#[derive(Debug)]
pub struct Opened<H, E> {
    /// The header block.
    pub header: H,
    /// The events, in order.
    pub entries: Vec<Stamped<E>>,
    /// The torn end that was moved aside, if there was one.
    pub recovered: Option<Recovered>,
}

/// A torn end that was moved aside: an event that was never acknowledged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recovered {
    /// Its length.
    pub bytes: u64,
    /// The file that holds it now.
    pub moved_to: PathBuf,
}

/// An event that is on the disk.
#[derive(Debug)]
pub struct Ack<E> {
    /// The event, as reading the file would give it.
    pub stamped: Stamped<E>,
    /// Set when the record had to go on in a new file; say so to the user.
    pub moved: Option<Moved>,
}

/// The record goes on in a new file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The file that could not be written any more; it is kept.
    pub from: PathBuf,
    /// The file that holds the whole record now.
    pub to: PathBuf,
    /// What went wrong.
    pub reason: String,
}

impl<H, E> Journal<H, E>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    /// Make a new record. The folder must exist.
    ///
    /// # Errors
    /// The name is taken, the header cannot be written as TOML, or the disk fails; then nothing, or an unstarted
    /// file, is left behind.
    pub fn create(path: &Path, header: &H) -> Result<Self, RecordError> {
        let head = Table::try_from(header).map_err(|e| unwritable(&e))?;
        let id = Some(Uuid::new_v4());
        let text = header_block(path, id, None, &head)?;
        // What this header says must be what reading it back says.
        parse::<H, E>(path, &text).map_err(|e| unwritable(&e))?;
        let file = files::create_new(path, &text)?;
        let store = Store::new(path.to_owned(), file);
        let newest = series::name_of(path);
        Ok(Self { store, head_len: text.len(), text, id, head, next: 1, newest, types: PhantomData })
    }

    /// Open a record for writing: lock it, read it, and move a torn end aside. `now` names the file for that end.
    ///
    /// # Errors
    /// It is in use, continued by another file, unstarted, no record, damaged before its end, from a newer version,
    /// or the disk fails. In none of these cases is the file changed, except that a torn end may have been copied.
    pub fn open(path: &Path, now: DateTime<Utc>) -> Result<(Self, Opened<H, E>), RecordError> {
        let mut file = files::open_locked(path)?;
        // What this folder shows now, a file that was taken away included, must still be so after a power cut.
        let folder = files::folder_of(path);
        files::sync_folder(folder).map_err(RecordError::io("sync the folder", folder))?;
        if let Some(by) = series::successor(path)? {
            return Err(RecordError::Superseded { path: path.to_owned(), by });
        }
        files::sweep(folder, now);
        let mut text = files::read_from(&mut file, path, MAX_FILE)?;
        let parsed = parse::<H, E>(path, &text)?;
        let tail = text.split_off(parsed.good_len);
        let mut recovered = None;
        if !tail.is_empty() {
            let moved_to = files::aside_name(path, now)?;
            files::write_new(&moved_to, &tail)?;
            files::cut(&file, text.len() as u64).map_err(RecordError::io("cut off its torn end", path))?;
            files::sync(&file).map_err(RecordError::io("sync it", path))?;
            recovered = Some(Recovered { bytes: tail.len() as u64, moved_to });
        }
        let contents = parsed.contents;
        let journal = Self {
            store: Store::new(path.to_owned(), file),
            text,
            head_len: parsed.head_len,
            id: contents.id,
            head: parsed.head,
            next: contents.entries.last().map_or(1, |last| last.seq + 1),
            newest: series::name_of(path),
            types: PhantomData,
        };
        Ok((journal, Opened { header: contents.header, entries: contents.entries, recovered }))
    }

    /// Add an event: by whom where that is not the record's own person, and the raw text typed if there was any. It is
    /// on the disk when this returns `Ok`.
    ///
    /// # Errors
    /// The event cannot be written as TOML or the record is full (nothing happened), or
    /// [`RecordError::NotStored`]: the same call may be made again.
    pub fn append(
        &mut self,
        at: DateTime<FixedOffset>,
        by: Option<&str>,
        event: &E,
        typed: Option<&str>,
    ) -> Result<Ack<E>, RecordError> {
        if self.next > MAX_EVENTS {
            return Err(RecordError::Full { path: self.store.path.clone() });
        }
        let block = event_block(self.next, at, by, event, typed)?;
        let stamped = self.as_read(&block)?;
        let mut bytes = vec![b'\n'];
        bytes.extend(block);
        if (self.text.len() + bytes.len()) as u64 > MAX_FILE {
            return Err(RecordError::Full { path: self.store.path.clone() });
        }
        let moved = match self.store.append(self.text.len() as u64, &bytes) {
            Ok(()) => {
                self.text.extend(bytes);
                None
            }
            Err(reason) => Some(self.move_on(&bytes, reason)?),
        };
        self.next += 1;
        Ok(Ack { stamped, moved })
    }

    /// The file that is being written.
    pub fn path(&self) -> &Path {
        &self.store.path
    }

    /// The block as a reader will understand it; an event that could not be read again is not written.
    fn as_read(&self, block: &[u8]) -> Result<Stamped<E>, RecordError> {
        match block::pieces(block).as_slice() {
            [block::Piece { what: Ok(whole), .. }] => {
                events::event(&self.store.path, 1, whole).map_err(|e| unwritable(&e))
            }
            _ => Err(unwritable(&"the event does not make one block")),
        }
    }

    /// Write the whole record and the new block to a new file and go on there.
    fn move_on(&mut self, bytes: &[u8], reason: String) -> Result<Moved, RecordError> {
        let from = self.store.path.clone();
        let to = series::next_free(&from.with_file_name(&self.newest));
        let mut text = header_block(&to, self.id, Some(&self.newest), &self.head)?;
        let head_len = text.len();
        text.extend(&self.text[self.head_len..]);
        text.extend(bytes);
        if text.len() as u64 > MAX_FILE {
            return Err(RecordError::Full { path: from });
        }
        match files::place_new(&to, &text) {
            Ok(file) => {
                self.newest = series::name_of(&to);
                self.store = Store::new(to.clone(), file);
                self.text = text;
                self.head_len = head_len;
                Ok(Moved { from, to, reason })
            }
            Err(failed) => {
                if failed.may_exist {
                    // A power cut could bring the new name back; the old file must not grow beside it.
                    self.store.spend(&reason);
                    if !files::is_free(&to) {
                        self.newest = series::name_of(&to);
                    }
                }
                Err(RecordError::NotStored { path: from, reason, second: failed.error.to_string() })
            }
        }
    }
}

pub(super) fn header_block(
    path: &Path,
    id: Option<Uuid>,
    continues: Option<&str>,
    head: &Table,
) -> Result<Vec<u8>, RecordError> {
    let keys = header_keys(id, continues, head.clone()).map_err(|what| unwritable(&what))?;
    rendered(series::header_of(path), &keys)
}

pub(super) fn event_block<E: Serialize>(
    seq: u32,
    at: DateTime<FixedOffset>,
    by: Option<&str>,
    event: &E,
    typed: Option<&str>,
) -> Result<Vec<u8>, RecordError> {
    let own = Table::try_from(event).map_err(|e| unwritable(&e))?;
    let keys = event_keys(seq, at, by, own, typed).map_err(|what| unwritable(&what))?;
    rendered(block::EVENT, &keys)
}

fn rendered(start: &str, keys: &[(String, Value)]) -> Result<Vec<u8>, RecordError> {
    block::render(start, keys.iter().map(|(key, value)| (key.as_str(), value))).map_err(|what| unwritable(&what))
}

pub(super) fn unwritable(what: &dyn std::fmt::Display) -> RecordError {
    RecordError::Unwritable { what: what.to_string() }
}
