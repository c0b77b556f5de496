//! The ends of a file outside the data folder: by them the program knows again what it wrote.

use std::io::{Read, Seek, SeekFrom};
use std::path::Path;

use super::{RecordError, files};

/// How much of either end is looked at, in bytes.
const MOST: u64 = 4096;

/// The beginning and the end of a plain file; nothing where none is there.
///
/// # Errors
/// Something other than a plain file stands there, or it cannot be read.
pub(crate) fn ends(path: &Path) -> Result<Option<(String, String)>, RecordError> {
    if !files::exists(path)? {
        return Ok(None);
    }
    let mut file = files::open(path)?;
    let read = || -> std::io::Result<(String, String)> {
        let size = file.metadata()?.len();
        let mut end = |from: u64| {
            let mut bytes = Vec::new();
            file.seek(SeekFrom::Start(from))?;
            (&mut file).take(MOST).read_to_end(&mut bytes)?;
            std::io::Result::Ok(String::from_utf8_lossy(&bytes).into_owned())
        };
        Ok((end(0)?, end(size.saturating_sub(MOST))?))
    };
    let mut read = read;
    read().map(Some).map_err(RecordError::io("read it", path))
}
