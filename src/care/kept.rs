//! Small files that a face keeps in the data folder: settings, keys of one's own. What they mean, the face says.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::Workshop;
use crate::record::{RackError, files, small};

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
    /// It cannot be read, is too large, or is no UTF-8 text.
    pub fn text(&self, path: &Path) -> Result<String, RackError> {
        Ok(files::read_text(path, self.most)?)
    }

    /// What such a file says, wherever it lies.
    ///
    /// # Errors
    /// As [`Kept::text`]; it is no TOML, has a key that is unknown or at fault, or is of a later format.
    pub fn read<T: DeserializeOwned>(&self, path: &Path) -> Result<T, RackError> {
        small::parse(path, &self.text(path)?)
    }
}

impl Workshop {
    fn place_of(&self, file: &Kept) -> Option<PathBuf> {
        Some(self.rack.root().join(file.name)).filter(|path| files::exists(path))
    }

    /// The text of a small file; nothing where it is not there.
    ///
    /// # Errors
    /// As [`Kept::text`].
    pub fn kept_text(&self, file: &Kept) -> Result<Option<String>, RackError> {
        self.place_of(file).map(|path| file.text(&path)).transpose()
    }

    /// What a small file says; nothing where it is not there.
    ///
    /// # Errors
    /// As [`Kept::read`].
    pub fn kept<T: DeserializeOwned>(&self, file: &Kept) -> Result<Option<T>, RackError> {
        self.place_of(file).map(|path| file.read(&path)).transpose()
    }

    /// Writes a small file. One that cannot be understood is not written over: it is set aside under a name made from
    /// `now`, which comes back.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn keep<T: Serialize + DeserializeOwned>(
        &self,
        file: &Kept,
        value: &T,
        now: DateTime<Utc>,
    ) -> Result<Option<PathBuf>, RackError> {
        let text = small::render(value)?;
        let root = self.rack.root();
        files::create_folder(root)?;
        let faulty = self.place_of(file).filter(|path| file.read::<T>(path).is_err());
        let aside = faulty.map(|path| files::set_aside(&path, now)).transpose()?;
        files::replace(&root.join(file.name), text.as_bytes())?;
        Ok(aside)
    }
}
