//! Linux, macOS and their like.

use std::fs::{self, DirBuilder, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, IsTerminal, Read};
use std::os::fd::AsFd;
use std::os::unix::fs::{DirBuilderExt, FileTypeExt, MetadataExt, OpenOptionsExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::thread;
use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::io::Errno;
use rustix::process::{Pid, Signal as Kill, kill_process_group};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH, SIGXFSZ};
use signal_hook::iterator::Signals;

use super::Signal;

/// True where a program can give the terminal to the shell and come back.
pub(crate) const CAN_SUSPEND: bool = true;

/// Tells of every signal from now on, from a thread that only waits, until `tell` returns false.
///
/// # Errors
/// The system does not let signals be watched.
pub(crate) fn watch_signals(tell: impl Fn(Signal) -> bool + Send + 'static) -> io::Result<()> {
    let mut signals = Signals::new([SIGHUP, SIGTERM, SIGINT, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH])?;
    thread::spawn(move || {
        for signal in signals.forever() {
            let heard = tell(match signal {
                SIGHUP => Signal::HangUp,
                SIGTSTP => Signal::Suspend,
                SIGCONT => Signal::Continue,
                SIGWINCH => Signal::Resized,
                _ => Signal::End,
            });
            if !heard {
                return;
            }
        }
    });
    Ok(())
}

/// Has this done before a signal ends the program, which then ends as it would have ended without this.
///
/// # Errors
/// The system does not let signals be watched.
pub(crate) fn before_end(last: impl Fn() + Send + 'static) -> io::Result<()> {
    let mut signals = Signals::new([SIGHUP, SIGTERM, SIGINT, SIGQUIT])?;
    thread::spawn(move || {
        for signal in signals.forever() {
            last();
            let _ = signal_hook::low_level::emulate_default_handler(signal);
        }
    });
    Ok(())
}

/// Sets `stop` at the first signal that asks the program to end; the second one ends it.
///
/// # Errors
/// The system does not let signals be watched.
pub(crate) fn stop_asked(stop: &Arc<AtomicBool>) -> io::Result<()> {
    for signal in [SIGINT, SIGTERM, SIGHUP] {
        // In this order: the second signal finds what the first one set.
        signal_hook::flag::register_conditional_default(signal, Arc::clone(stop))?;
        signal_hook::flag::register(signal, Arc::clone(stop))?;
    }
    Ok(())
}

/// Starts a program with all that it may start itself as a group that can be ended as one.
///
/// # Errors
/// It cannot be started.
pub(crate) fn start_apart(command: &mut Command) -> io::Result<Child> {
    command.process_group(0).spawn()
}

/// Ends a program that was started apart, and all that it started.
pub(crate) fn end_apart(child: &mut Child) {
    if let Some(group) = i32::try_from(child.id()).ok().and_then(Pid::from_raw) {
        let _ = kill_process_group(group, Kill::KILL);
    }
    let _ = child.wait();
}

/// True for a named pipe, which waits to be opened until somebody writes.
pub(crate) fn is_pipe(found: fs::FileType) -> bool {
    found.is_fifo()
}

/// The terminal as a source of bytes.
pub(crate) struct Typing(File);

/// Standard input where it is the terminal, else the terminal of the program. `None` where keys come as such.
///
/// # Errors
/// There is no terminal.
pub(crate) fn typing() -> io::Result<Option<Typing>> {
    let stdin = io::stdin();
    let terminal =
        if stdin.is_terminal() { File::from(stdin.as_fd().try_clone_to_owned()?) } else { File::open("/dev/tty")? };
    Ok(Some(Typing(terminal)))
}

impl Typing {
    /// Waits for bytes, for ever or at most this long; `None` once that time is over.
    ///
    /// # Errors
    /// The terminal is gone.
    pub(crate) fn wait(&self, at_most: Option<Duration>) -> io::Result<Option<Vec<u8>>> {
        if let Some(at_most) = at_most {
            let at_most = Timespec::try_from(at_most).map_err(io::Error::other)?;
            let mut fds = [PollFd::new(&self.0, PollFlags::IN)];
            loop {
                match poll(&mut fds, Some(&at_most)) {
                    Ok(0) => return Ok(None),
                    Ok(_) => break,
                    Err(Errno::INTR) => {}
                    Err(error) => return Err(error.into()),
                }
            }
        }
        let mut bytes = vec![0; 1024];
        loop {
            match (&self.0).read(&mut bytes) {
                Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
                Ok(count) => {
                    bytes.truncate(count);
                    return Ok(Some(bytes));
                }
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
    }
}

/// Tells when the terminal at standard input hangs up, from a thread that only waits: reading alone may spin on a dead
/// terminal. Where the system cannot tell that of a terminal, nothing is told, and the signal must do.
pub(crate) fn watch_hangup(tell: impl FnOnce() + Send + 'static) {
    thread::spawn(move || {
        let stdin = io::stdin();
        loop {
            let mut fds = [PollFd::new(&stdin, PollFlags::empty())];
            match poll(&mut fds, None) {
                Err(Errno::INTR) => {}
                Ok(_) if fds[0].revents().intersects(PollFlags::HUP | PollFlags::ERR) => return tell(),
                _ => return,
            }
        }
    });
}

/// Stops here until the shell continues the program.
///
/// # Errors
/// The system refuses.
pub(crate) fn suspend() -> io::Result<()> {
    signal_hook::low_level::emulate_default_handler(SIGTSTP)
}

/// Has a write past the limit of a file's size, or past a quota, fail like any other instead of ending the program.
///
/// # Errors
/// The system does not let the signal be taken.
pub(crate) fn fail_at_file_limit() -> io::Result<()> {
    signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false))).map(drop)
}

/// Options that open a file to write in it; [`lock`] must follow.
pub(crate) fn writing() -> OpenOptions {
    let mut options = OpenOptions::new();
    options.read(true).write(true);
    options
}

/// Options that make a new file for this user alone and open it to write in it; [`lock`] must follow.
pub(crate) fn making() -> OpenOptions {
    let mut options = writing();
    options.create_new(true).mode(0o600);
    options
}

/// What makes a folder for this user alone.
pub(crate) fn making_folder() -> DirBuilder {
    let mut builder = DirBuilder::new();
    builder.mode(0o700);
    builder
}

/// Takes the one writer's lock of an open file; it goes with the handle, also when the program is killed.
///
/// # Errors
/// Another handle has it, or the system refuses.
pub(crate) fn lock(file: &File) -> Result<(), TryLockError> {
    // A program that is being started anywhere in this one holds, for a moment, all that is open here. A lock that another
    // really has is still there after that.
    for _ in 0..5 {
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(20)),
            done => return done,
        }
    }
    file.try_lock()
}

/// True if opening failed because another program has the file open as its writer; here that is what [`lock`] finds.
pub(crate) const fn is_in_use(_: &io::Error) -> bool {
    false
}

/// True if putting a new file in place failed only because another program has the old one open.
pub(crate) const fn is_held(_: &io::Error) -> bool {
    false
}

/// Makes the names in a folder last through a power cut.
///
/// # Errors
/// The system refuses.
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    match File::open(folder)?.sync_all() {
        // Some network and user-space file systems have no such thing: there is nothing more that can be done.
        Err(e) if matches!(e.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
        done => done,
    }
}

/// Makes files and folders last through a power cut, what they hold and what they are called.
///
/// # Errors
/// The system refuses.
pub(crate) fn sync_many(paths: &[PathBuf]) -> io::Result<()> {
    #[cfg(target_os = "linux")]
    if let Some(first) = paths.first().filter(|_| paths.len() > super::MANY) {
        return Ok(rustix::fs::syncfs(File::open(first)?)?);
    }
    paths.iter().try_for_each(|path| sync_folder(path))
}

/// Makes the new name of a file last through a power cut; the folder is that of the name.
///
/// # Errors
/// The system refuses.
pub(crate) fn sync_renamed(_: &File, folder: &Path) -> io::Result<()> {
    sync_folder(folder)
}

/// True if this open file is what stands at the path, no link followed.
///
/// # Errors
/// Nothing stands there, or the system refuses.
pub(crate) fn is_same(file: &File, path: &Path) -> io::Result<bool> {
    let (open, there) = (file.metadata()?, fs::symlink_metadata(path)?);
    Ok((open.dev(), open.ino()) == (there.dev(), there.ino()))
}

/// True if users other than the owner can change what is in a folder; `None` where that cannot be known.
pub(crate) fn others_can_write(folder: &Path) -> Option<bool> {
    let mode = fs::symlink_metadata(folder).ok()?.permissions().mode();
    Some(mode & 0o022 != 0)
}
