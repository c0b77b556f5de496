//! A file written all at once: it is there whole, or not at all.

use std::path::Path;

use serde::{Serialize, de::DeserializeOwned};
use toml::Table;
use uuid::Uuid;

use super::contents::{Stamped, parse};
use super::journal::{event_block, header_block, unwritable};
use super::{MAX_FILE, RecordError, files};

/// The bytes that a journal of this header and these events holds.
pub(super) fn text<H, E>(
    path: &Path,
    id: Option<Uuid>,
    header: &H,
    entries: &[Stamped<E>],
) -> Result<Vec<u8>, RecordError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    let head = Table::try_from(header).map_err(|e| unwritable(&e))?;
    let mut text = header_block(path, id, None, &head)?;
    for entry in entries {
        text.push(b'\n');
        text.extend(event_block(entry.seq, entry.at, entry.by.as_deref(), &entry.event, entry.typed.as_deref())?);
    }
    if text.len() as u64 > MAX_FILE {
        return Err(RecordError::Full { path: path.to_owned() });
    }
    // What cannot be read again is not written.
    parse::<H, E>(path, &text).map_err(|e| unwritable(&e))?;
    Ok(text)
}

/// Puts a whole file in place under a name that must be free.
pub(super) fn place(path: &Path, text: &[u8]) -> Result<(), RecordError> {
    if files::exists(path)? {
        return Err(RecordError::Exists { path: path.to_owned() });
    }
    match files::place_new(path, text) {
        Ok(_) => Ok(()),
        Err(failed) if failed.error.kind() == std::io::ErrorKind::AlreadyExists => {
            Err(RecordError::Exists { path: path.to_owned() })
        }
        Err(failed) => Err(RecordError::io("put it in place", path)(failed.error)),
    }
}
