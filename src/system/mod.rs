//! What depends on the operating system, and nothing else.
//!
//! What the room is for: every other room is the same everywhere; where a system does a thing in its own way, that way
//! stands here, once, under one name. It must not know rounds, screens or records.
//!
//! | what | Linux | macOS | Windows |
//! |---|---|---|---|
//! | asked to end ([`watch_signals`]) | `SIGINT`, `SIGTERM`, `SIGQUIT` | the same | Ctrl-Break, log-off, shut-down; Ctrl-C where it does not come as a key |
//! | the terminal is gone ([`watch_signals`], [`watch_hangup`]) | `SIGHUP`; standard input hangs up | `SIGHUP`; standard input hangs up, where the system can tell of a terminal | closing the window: as asked to end, but the system ends the program at once |
//! | what is typed ([`typing`]) | bytes of the terminal, its own replies among them; a new size of the window by `SIGWINCH` | the same | the console hands keys and sizes over as such |
//! | before a signal ends the plain face ([`before_end`]) | the same signals, and `SIGHUP` | the same | the same events |
//! | long work on the command line is to stop ([`stop_asked`]) | `SIGINT`, `SIGTERM`, `SIGHUP`; the second one ends the program | the same | the same events as above |
//! | a program apart, and its end ([`start_apart`], [`end_apart`]) | a process group | the same | the program alone |
//! | a named pipe ([`is_pipe`]) | waits to be opened | the same | does not |
//! | to the shell and back ([`suspend`]) | `SIGTSTP`, `SIGCONT` | the same | there is no such thing: no key offers it ([`CAN_SUSPEND`]) |
//! | a file grows past its limit ([`fail_at_file_limit`]) | `SIGXFSZ` is taken, the write fails | the same | there is no such limit |
//! | one writer of a file ([`writing`], [`lock`], [`is_in_use`]) | advisory lock | the same | opened so that nobody else can open it to write; reading and renaming stay free |
//! | for this user alone ([`making`], [`making_folder`]) | files 0600, folders 0700 | the same | the rights of the folder above: in the user's own data folder the user, the system and administrators |
//! | others can write there ([`others_can_write`]) | mode bits | the same | not known |
//! | contents last (`File::sync_data`, `sync_all`) | `fdatasync`, `fsync` | `F_FULLFSYNC` | `FlushFileBuffers` |
//! | names last ([`sync_folder`], [`sync_renamed`]) | the folder is synced | the same | folders cannot be synced: the file is flushed before it is renamed and again after |
//! | many files last at once ([`sync_many`]) | few: each; many: the file system as a whole | each | each |
//! | a new text takes the place of the old ([`is_held`]) | always | always | refused while another program holds the old file: tried again for a second |
//! | same file ([`is_same`]) | device and inode | the same | volume and file index |
//! | a key held and let go (`tui::app`) | comes once | comes once | comes twice, the release is left out |
//! | data folder (`directories`) | `~/.local/share/evenbite` | `~/Library/Application Support/evenbite` | `%APPDATA%\evenbite\data` |
//!
//! Names are the same everywhere: a tag is a slug that no system refuses ([`crate::units::clean::is_slug`]), and no file has a
//! colon in its name, so that a data folder can be carried from one system to another.
//!
//! Wherever a program is ended without a word (a kill, a closed window, a power cut), nothing acknowledged is lost: a
//! reading is on the disk before it is acknowledged.

#[cfg(unix)]
mod unix;
#[cfg(unix)]
use unix as here;
#[cfg(windows)]
mod windows;
#[cfg(windows)]
use windows as here;

pub(crate) use here::{
    CAN_SUSPEND, Typing, before_end, end_apart, fail_at_file_limit, is_held, is_in_use, is_pipe, is_same, lock, making,
    making_folder, others_can_write, start_apart, stop_asked, suspend, sync_folder, sync_many, sync_renamed, typing,
    watch_hangup, watch_signals, writing,
};

#[cfg_attr(not(target_os = "linux"), expect(dead_code, reason = "elsewhere each is synced"))]
/// From this many files on, one word to the file system is cheaper than one for each.
const MANY: usize = 64;

/// What the system tells the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(windows, expect(dead_code, reason = "there the system only ever says that it is to end"))]
pub(crate) enum Signal {
    /// It is to end.
    End,
    /// Its terminal is gone.
    HangUp,
    /// It is to give the terminal to the shell.
    Suspend,
    /// It has the terminal again.
    Continue,
    /// The window has another size.
    Resized,
}
