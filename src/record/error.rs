//! What can go wrong with a file, told so that a person can act on it.

use super::{MAX_EVENTS, MAX_FILE};
use crate::units::clean::{MAX_TEXT, clean};
use std::io;
use std::path::{Path, PathBuf};

/// Why a file could not be read, written or trusted.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RecordError {
    /// The operating system refused.
    #[error("{}: could not {action}: {source}", show(path))]
    Io {
        /// What was tried, as in "could not ...".
        action: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
    /// A new file was to be made and the name is taken.
    #[error("{}: exists already and is not overwritten", show(path))]
    Exists {
        /// The taken name.
        path: PathBuf,
    },
    /// Something else stands where a plain file or a real folder is needed.
    #[error("{}: is {found}; only {wanted} is used here", show(path))]
    WrongKind {
        /// Where.
        path: PathBuf,
        /// What stands there.
        found: &'static str,
        /// What is allowed.
        wanted: &'static str,
    },
    /// A file larger than its cap is not read.
    #[error("{}: is larger than {cap} bytes, the most that is read", show(path))]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// The most allowed, in bytes.
        cap: u64,
    },
    /// A text file is not UTF-8.
    #[error("{}:{line}: is not UTF-8 text", show(path))]
    NotText {
        /// The file.
        path: PathBuf,
        /// The first bad line, from 1.
        line: usize,
    },
    /// Another process has the record open for writing.
    #[error("{}: is open in another window or program; close it there first", show(path))]
    InUse {
        /// The file.
        path: PathBuf,
    },
    /// The program stopped while the file was being made: no whole header and no event.
    #[error("{}: was never started: its header is not whole and it holds no event; it can be set aside", show(path))]
    Unstarted {
        /// The file.
        path: PathBuf,
    },
    /// The file does not begin like a record.
    #[error(
        "{}:1: is not a record of this program: the first line must be `{}`",
        show(path),
        super::series::header_of(path)
    )]
    NotARecord {
        /// The file.
        path: PathBuf,
    },
    /// An editor saved the file in another form.
    #[error("{}:{line}: was saved by another program with {what}; save it as UTF-8 with LF line ends", show(path))]
    Converted {
        /// The file.
        path: PathBuf,
        /// First line found changed, from 1.
        line: usize,
        /// What the editor did.
        what: &'static str,
    },
    /// A block cannot be trusted and is not just the torn end: nothing is dropped, nothing is written.
    #[error("{}:{line}: {fault}; the file is damaged or was edited, and is left as it is", show(path))]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What was read and what is allowed.
        fault: String,
    },
    /// A whole block that this version does not understand: never dropped.
    #[error("{}:{line}: {what}; the file was written by a newer version of this program", show(path))]
    Newer {
        /// The file.
        path: PathBuf,
        /// First line of the block, from 1.
        line: usize,
        /// What is not understood.
        what: String,
    },
    /// The end of the file is not a whole block (reported by [`super::check`]; opening for writing mends it).
    #[error("{}:{line}: the last {bytes} bytes are not a whole event, as after a crash while writing", show(path))]
    Torn {
        /// The file.
        path: PathBuf,
        /// First line of the torn end, from 1.
        line: usize,
        /// Length of the torn end.
        bytes: u64,
    },
    /// The record goes on in another file after a disk fault.
    #[error("{}: goes on in {}; open that file", show(path), show(by))]
    Superseded {
        /// The file asked for.
        path: PathBuf,
        /// The file that continues it.
        by: PathBuf,
    },
    /// The file holds nothing that another of the same record does not hold too.
    #[error("{}: is a copy of {}{}; it is kept and not used", show(path), show(of), fewer_entries(*fewer))]
    Copy {
        /// The copy.
        path: PathBuf,
        /// The file that is used.
        of: PathBuf,
        /// How many entries that one has beyond those of the copy.
        fewer: usize,
    },
    /// Two files of one record each hold what the other does not.
    #[error(
        "{}: is of the same record as {}, and from entry {entry} on they differ; neither is written until one of them is \
         chosen",
        show(path),
        show(of)
    )]
    Differ {
        /// The file that is not shown.
        path: PathBuf,
        /// The file that is shown.
        of: PathBuf,
        /// The first entry that differs, from 1.
        entry: usize,
    },
    /// No more events fit.
    #[error("{}: is full: a file holds at most {MAX_EVENTS} events and {MAX_FILE} bytes", show(path))]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// A value that a record cannot hold; nothing was written.
    #[error("cannot be recorded: {what}")]
    Unwritable {
        /// Which value and what is allowed.
        what: String,
    },
    /// The event is not on the disk: the caller must keep it and say so.
    #[error("{}: could not be written: {reason}; a new file beside it failed too: {second}", show(path))]
    NotStored {
        /// The record.
        path: PathBuf,
        /// Why the record could not be written.
        reason: String,
        /// Why the new file could not be written.
        second: String,
    },
}

impl RecordError {
    /// An operating-system error, told with the path and what was tried.
    pub(super) fn io(action: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        move |source| Self::Io { action, path: path.to_owned(), source }
    }

    /// A fault in the middle of a file.
    pub(super) fn damaged(path: &Path, line: usize, fault: impl Into<String>) -> Self {
        Self::Damaged { path: path.to_owned(), line, fault: fault.into() }
    }

    /// A file of a format that only a newer version knows.
    pub(super) fn later(path: &Path, line: usize, format: i64, known: i64) -> Self {
        Self::newer(path, line, format!("is of format {format}, and this version reads format {known}"))
    }

    /// A block from a newer version.
    pub(super) fn newer(path: &Path, line: usize, what: impl Into<String>) -> Self {
        Self::Newer { path: path.to_owned(), line, what: what.into() }
    }
}

fn fewer_entries(fewer: usize) -> String {
    match fewer {
        0 => String::new(),
        1 => " and lacks its last entry".to_owned(),
        _ => format!(" and lacks its last {fewer} entries"),
    }
}

/// A path fit to print. The end of a long one is kept: it holds the file's name.
pub(crate) fn show(path: &Path) -> String {
    let text = path.to_string_lossy();
    match text.chars().count().checked_sub(MAX_TEXT) {
        None | Some(0) => clean(&text),
        Some(over) => format!("…{}", clean(&text.chars().skip(over + 1).collect::<String>())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_cannot_send_escapes_and_keep_their_name() {
        let error = RecordError::InUse { path: PathBuf::from("a\u{1b}[2J/b") };
        assert!(error.to_string().starts_with("a\\u{1b}[2J/b: is open"), "{error}");
        let long = RecordError::InUse { path: PathBuf::from(format!("{}/last.round.toml", "x".repeat(300))) };
        assert!(long.to_string().contains("x/last.round.toml: is open"), "{long}");
        assert!(long.to_string().len() < 300);
    }
}
