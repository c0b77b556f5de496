//! The whole data folder in one file, and back.

use std::path::Path;

use chrono::{DateTime, Utc};

use super::Workshop;
use crate::record::{Backup, Rack, RackError};

impl Workshop {
    /// Writes a backup of the whole data folder to a file that must not be there yet.
    ///
    /// # Errors
    /// There is no data folder, or the file is there or lies in it; a file cannot be read; the disk fails; it was stopped: no
    /// backup is left.
    pub fn back_up(&self, to: &Path, now: DateTime<Utc>) -> Result<Backup, RackError> {
        self.rack.back_up(to, now, &mut |done, total| self.ear.hear("files kept", done, total))
    }

    /// Holds every file of a backup against its sum. Nothing is written.
    ///
    /// # Errors
    /// It cannot be read, was cut short or changed, or holds what no backup holds; it was stopped.
    pub fn check_backup(&self, from: &Path) -> Result<Backup, RackError> {
        Rack::check_backup(from, &mut |done, total| self.ear.hear("files checked", done, total))
    }

    /// Checks a backup and brings it back into this data folder, which must hold nothing.
    ///
    /// # Errors
    /// The folder holds something; as [`Workshop::check_backup`]; the disk fails. Then the folder stays as it was.
    pub fn bring_back(&self, from: &Path) -> Result<Backup, RackError> {
        let hear = |what| move |done, total| self.ear.hear(what, done, total);
        self.rack.bring_back(from, &mut hear("files checked"), &mut hear("files brought back"))
    }
}
