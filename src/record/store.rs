//! The open, locked file of one record: add a block at its end so that it is there, or find out that it is not.

use super::files;
use std::fs::File;
use std::io;
use std::path::PathBuf;

/// An open file under the writer's lock.
#[derive(Debug)]
pub(super) struct Store {
    pub path: PathBuf,
    file: File,
    /// Set after a failed sync or anything else that makes this handle unfit to be trusted again.
    spent: Option<String>,
}

/// How an attempt failed.
enum Failed {
    /// Nothing was claimed: after cutting the file back, it may be tried again.
    Again(io::Error),
    /// This handle must not be used again.
    Never(io::Error),
}

impl Store {
    pub(super) fn new(path: PathBuf, file: File) -> Self {
        Self { path, file, spent: None }
    }

    /// Never write through this handle again.
    pub(super) fn spend(&mut self, reason: &str) {
        self.spent.get_or_insert_with(|| reason.to_owned());
    }

    /// Add bytes after the first `good` ones: written, synced, read back, and the file still where it was. After an
    /// error the file ends after the `good` bytes if that can be helped.
    pub(super) fn append(&mut self, good: u64, bytes: &[u8]) -> Result<(), String> {
        if let Some(reason) = &self.spent {
            return Err(reason.clone());
        }
        let mut first = None;
        loop {
            let failed = match self.attempt(good, bytes) {
                Ok(()) => return Ok(()),
                Err(failed) => failed,
            };
            let cut = files::cut(&self.file, good);
            match failed {
                Failed::Again(e) if cut.is_ok() => match first {
                    None => first = Some(e),
                    Some(first) => return Err(first.to_string()),
                },
                Failed::Again(e) | Failed::Never(e) => {
                    self.spend(&e.to_string());
                    return Err(e.to_string());
                }
            }
        }
    }

    fn attempt(&mut self, good: u64, bytes: &[u8]) -> Result<(), Failed> {
        let len = self.file.metadata().map_err(Failed::Never)?.len();
        if len != good {
            let what = format!("its length was changed from {good} to {len} bytes by something else");
            return Err(Failed::Never(io::Error::other(what)));
        }
        files::write_at(&mut self.file, good, bytes).map_err(Failed::Again)?;
        files::sync(&self.file).map_err(Failed::Never)?;
        files::read_back(&mut self.file, good, bytes).map_err(Failed::Again)?;
        match files::stands_at(&self.file, &self.path) {
            Ok(true) => Ok(()),
            Ok(false) => Err(Failed::Never(io::Error::other("it was moved, replaced or deleted by something else"))),
            Err(e) => Err(Failed::Never(e)),
        }
    }
}
