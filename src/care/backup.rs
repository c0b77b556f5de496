//! The whole data folder in one file, and back.

use std::path::Path;

use chrono::{DateTime, Utc};

use super::Workshop;
use crate::record::{Backup, Rack, RackError};

impl Workshop {
    /// Writes a backup of the whole data folder to a file that must not be there yet.
    ///
    /// # Errors
    /// There is no data folder, or the file is there or lies in it; a file cannot be read; the disk fails: no backup is left.
    pub fn back_up(
        &self,
        to: &Path,
        now: DateTime<Utc>,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Backup, RackError> {
        self.rack.back_up(to, now, progress)
    }

    /// Holds every file of a backup against its sum. Nothing is written.
    ///
    /// # Errors
    /// It cannot be read, was cut short or changed, or holds what no backup holds.
    pub fn check_backup(from: &Path, progress: &mut dyn FnMut(usize)) -> Result<Backup, RackError> {
        Rack::check_backup(from, progress)
    }

    /// Checks a backup and brings it back into this data folder, which must hold nothing.
    ///
    /// # Errors
    /// The folder holds something; as [`Workshop::check_backup`]; the disk fails. Then the folder stays as it was.
    pub fn bring_back(&self, from: &Path, progress: &mut dyn FnMut(usize)) -> Result<Backup, RackError> {
        self.rack.bring_back(from, progress)
    }
}
