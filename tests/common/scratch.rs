//! Folders of one test each.

use std::env;
use std::path::Path;

/// Room that the tests of one program may take together, bytes: several times what they do.
#[cfg(unix)]
const ROOM: u64 = 32 << 20;

/// A folder for one test, gone with what it returns. It lies in memory where the system has a place for that, for nothing
/// in it is to outlive the machine: every sync is still asked for and none waits for a disk. `TMPDIR` says another place.
pub(crate) fn folder() -> tempfile::TempDir {
    let memory = Path::new("/dev/shm");
    if env::var_os("TMPDIR").is_none() && has_room(memory) {
        tempfile::tempdir_in(memory).or_else(|_| tempfile::tempdir()).unwrap()
    } else {
        tempfile::tempdir().unwrap()
    }
}

#[cfg(unix)]
fn has_room(folder: &Path) -> bool {
    rustix::fs::statvfs(folder).is_ok_and(|found| found.f_bavail.saturating_mul(found.f_frsize) >= ROOM)
}

#[cfg(not(unix))]
fn has_room(_folder: &Path) -> bool {
    false
}
