//! Small files that a face keeps in the data folder: settings, keys of one's own. What they mean, the face says.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::Workshop;
use crate::record::merge::merge;
use crate::record::{Changed, RackError, files, small};

/// A small file of the data folder.
#[derive(Debug, Clone, Copy)]
pub struct Kept {
    /// Its name.
    pub name: &'static str,
    /// Largest that is read, in bytes.
    pub most: u64,
}

impl Kept {
    /// The text of such a file, wherever it lies.
    ///
    /// # Errors
    /// It cannot be read, is too large, or is not UTF-8 text.
    pub fn text(&self, path: &Path) -> Result<String, RackError> {
        Ok(files::read_text(path, self.most)?)
    }

    /// What such a file says, wherever it lies.
    ///
    /// # Errors
    /// As [`Kept::text`]; it is not TOML, has a key that is unknown or at fault, or is of a later format.
    pub fn read<T: DeserializeOwned>(&self, path: &Path) -> Result<T, RackError> {
        small::parse(path, &self.text(path)?)
    }
}

impl Workshop {
    fn place_of(&self, file: &Kept) -> Result<Option<PathBuf>, RackError> {
        let path = self.rack.root().join(file.name);
        Ok(files::exists(&path)?.then_some(path))
    }

    /// The text of a small file; nothing where it is not there.
    ///
    /// # Errors
    /// As [`Kept::text`].
    pub fn kept_text(&self, file: &Kept) -> Result<Option<String>, RackError> {
        self.place_of(file)?.map(|path| file.text(&path)).transpose()
    }

    /// What a small file says; nothing where it is not there.
    ///
    /// # Errors
    /// As [`Kept::read`].
    pub fn kept<T: DeserializeOwned>(&self, file: &Kept) -> Result<Option<T>, RackError> {
        self.place_of(file)?.map(|path| file.read(&path)).transpose()
    }

    /// Writes a small file: `read` is what it said when it was read here. What another window changed meanwhile is kept, and
    /// told. A file that cannot be understood is not written over: it is set aside under a name made from `now`.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn keep<T: Serialize + DeserializeOwned>(
        &self,
        file: &Kept,
        read: &T,
        wish: &T,
        now: DateTime<Utc>,
    ) -> Result<Written<T>, RackError> {
        let root = self.rack.root();
        files::create_folder(root)?;
        let (mut aside, mut changed, mut disk) = (None, Vec::new(), None);
        if let Some(path) = self.place_of(file)? {
            match file.read::<T>(&path) {
                Ok(there) => disk = Some(there),
                Err(_) => aside = Some(files::set_aside(&path, now)?),
            }
        }
        let mut text = small::render(wish)?;
        if let Some(disk) = disk {
            let (merged, others) = merge(read, wish, &disk, &[])?;
            (text, changed) = (small::render(&merged)?, others);
        }
        let path = root.join(file.name);
        files::replace(&path, text.as_bytes())?;
        Ok(Written { value: small::parse(&path, &text)?, changed, aside })
    }
}

/// A small file that was written.
#[derive(Debug)]
pub struct Written<T> {
    /// What it says now.
    pub value: T,
    /// What another window had changed, and was kept.
    pub changed: Vec<Changed>,
    /// Where the earlier file that could not be understood now lies.
    pub aside: Option<PathBuf>,
}
