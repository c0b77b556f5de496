//! Windows.

use std::fs::{self, DirBuilder, File, OpenOptions, TryLockError};
use std::io;
use std::os::windows::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use same_file::Handle;

use super::Signal;

/// True where a program can give the terminal to the shell and come back.
pub(crate) const CAN_SUSPEND: bool = false;

/// Others may read the file.
const SHARE_READ: u32 = 1;
/// Others may rename and delete it.
const SHARE_DELETE: u32 = 4;

/// "Access is denied": also what a rename over an open file says.
const ACCESS_DENIED: i32 = 5;
/// "The process cannot access the file because it is being used by another process."
const SHARING_VIOLATION: i32 = 32;
/// "The process cannot access the file because another process has locked a portion of the file."
const LOCK_VIOLATION: i32 = 33;

/// Tells of every console control event from now on, from a thread that only waits. Which event it was is not told;
/// after the closing of the window, log-off and shut-down the system ends the program at once.
///
/// # Errors
/// The system does not let the events be watched, or they are watched already.
pub(crate) fn watch_signals(tell: impl Fn(Signal) -> bool + Send + 'static) -> io::Result<()> {
    let told = move || {
        tell(Signal::End);
    };
    ctrlc::try_set_handler(told).map_err(io::Error::other)
}

/// Has this done before a console control event ends the program.
///
/// # Errors
/// The system does not let the events be watched, or they are watched already.
pub(crate) fn before_end(last: impl Fn() + Send + 'static) -> io::Result<()> {
    let told = move || {
        last();
        std::process::exit(1);
    };
    ctrlc::try_set_handler(told).map_err(io::Error::other)
}

/// Sets `stop` at the first console control event; the second one ends the program.
///
/// # Errors
/// The system does not let the events be watched, or they are watched already.
pub(crate) fn stop_asked(stop: &Arc<AtomicBool>) -> io::Result<()> {
    let stop = Arc::clone(stop);
    let told = move || {
        if stop.swap(true, Ordering::Relaxed) {
            std::process::exit(1);
        }
    };
    ctrlc::try_set_handler(told).map_err(io::Error::other)
}

/// Starts a program that can be ended.
///
/// # Errors
/// It cannot be started.
pub(crate) fn start_apart(command: &mut Command) -> io::Result<Child> {
    command.spawn()
}

/// Ends a program that was started apart.
pub(crate) fn end_apart(child: &mut Child) {
    let _ = child.kill();
    let _ = child.wait();
}

/// True for a named pipe that waits to be opened: here none does.
pub(crate) const fn is_pipe(_: fs::FileType) -> bool {
    false
}

/// Nothing to read bytes from: the console hands keys over as such.
pub(crate) enum Typing {}

/// `None`: the console hands keys over as such.
///
/// # Errors
/// None here.
pub(crate) const fn typing() -> io::Result<Option<Typing>> {
    Ok(None)
}

impl Typing {
    /// Nobody has one to wait with.
    ///
    /// # Errors
    /// None here.
    pub(crate) const fn wait(&self, _: Option<Duration>) -> io::Result<Option<Vec<u8>>> {
        match *self {}
    }
}

/// Nothing to wait for: the end of a console comes as an event to [`watch_signals`].
pub(crate) fn watch_hangup(_: impl FnOnce() + Send + 'static) {}

/// There is no such thing here: comes back at once.
///
/// # Errors
/// Never.
pub(crate) const fn suspend() -> io::Result<()> {
    Ok(())
}

/// There is no such limit here, and a full quota is an error as it is.
///
/// # Errors
/// Never.
pub(crate) const fn fail_at_file_limit() -> io::Result<()> {
    Ok(())
}

/// Options that open a file to write in it: it opens for one writer at a time. A lock on a range would keep others
/// from reading as well.
pub(crate) fn writing() -> OpenOptions {
    let mut options = OpenOptions::new();
    options.read(true).write(true).share_mode(SHARE_READ | SHARE_DELETE);
    options
}

/// Options that make a new file and open it to write in it, for one writer. It has the rights of its folder.
pub(crate) fn making() -> OpenOptions {
    let mut options = writing();
    options.create_new(true);
    options
}

/// What makes a folder, with the rights of the one above.
pub(crate) fn making_folder() -> DirBuilder {
    DirBuilder::new()
}

/// Whoever opened with [`writing`] or [`making`] is the one writer.
///
/// # Errors
/// Never.
pub(crate) const fn lock(_: &File) -> Result<(), TryLockError> {
    Ok(())
}

/// True if opening failed because another program has the file open as its writer.
pub(crate) fn is_in_use(error: &io::Error) -> bool {
    matches!(error.raw_os_error(), Some(SHARING_VIOLATION | LOCK_VIOLATION))
}

/// True if putting a new file in place failed only because another program has the old one open.
pub(crate) fn is_held(error: &io::Error) -> bool {
    is_in_use(error) || error.raw_os_error() == Some(ACCESS_DENIED)
}

/// Folders cannot be synced here.
///
/// # Errors
/// Never.
pub(crate) const fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Makes files last through a power cut, what they hold and what they are called.
///
/// # Errors
/// The system refuses.
pub(crate) fn sync_many(paths: &[PathBuf]) -> io::Result<()> {
    let files = paths.iter().filter(|path| !path.is_dir());
    files.into_iter().try_for_each(|path| OpenOptions::new().write(true).open(path)?.sync_all())
}

/// Makes the new name of a file last through a power cut: flushing a file also writes what the file system has noted
/// of its name.
///
/// # Errors
/// The system refuses.
pub(crate) fn sync_renamed(file: &File, _: &Path) -> io::Result<()> {
    file.sync_all()
}

/// True if this open file is what stands at the path, no link followed.
///
/// # Errors
/// Nothing stands there, or the system refuses.
pub(crate) fn is_same(file: &File, path: &Path) -> io::Result<bool> {
    if fs::symlink_metadata(path)?.is_symlink() {
        return Ok(false);
    }
    Ok(Handle::from_file(file.try_clone()?)? == Handle::from_path(path)?)
}

/// Not known here: rights are lists that the standard library does not read.
pub(crate) const fn others_can_write(_: &Path) -> Option<bool> {
    None
}
