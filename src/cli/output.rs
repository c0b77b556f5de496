//! Where text goes: standard output or a file, safely.

use std::io::{self, Write};
use std::path::Path;

use anyhow::{Context as _, Result};

use super::{Shared, Usage, progress};
use crate::care::files;
use crate::report::made::{is_ours, marked};
use crate::units::clean::printable;

/// As [`may_replace`], of the file that the call names.
pub(super) fn may_write(shared: &Shared) -> Result<()> {
    shared.output.as_deref().map_or(Ok(()), |path| may_replace(path, shared.replace))
}

/// Refuses to write over a file that this program did not write, unless it is to be replaced whatever it is.
pub(super) fn may_replace(path: &Path, whatever: bool) -> Result<()> {
    if whatever {
        return Ok(());
    }
    let found = files::ends(path).with_context(|| format!("cannot write {}", path.display()))?;
    if found.is_none_or(|(start, end)| is_ours(&start, &end)) {
        return Ok(());
    }
    let said = "it is there, and this program did not write it. Name another file, or say --replace";
    Err(Usage(format!("cannot write {}: {said}.", path.display())).into())
}

/// Writes a finished text to a file, with a mark by which it is recognised later, or to standard output where none is named.
pub(super) fn write(text: &str, to: Option<&Path>) -> Result<()> {
    progress::go_on()?;
    if let Some(path) = to {
        return files::replace(path, marked(text).as_bytes())
            .with_context(|| format!("cannot write {}", path.display()));
    }
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).context("cannot write to standard output")
}

/// Writes a long text as it is made, to a file, or to standard output where none is named.
pub(super) fn stream<T>(to: Option<&Path>, make: impl FnOnce(&mut dyn Write) -> io::Result<T>) -> Result<T> {
    if let Some(path) = to {
        let made = files::replace_with(path, make);
        return made.or_else(|error| {
            progress::go_on()?;
            Err(error).with_context(|| format!("cannot write {}", path.display()))
        });
    }
    let mut out = io::BufWriter::new(io::stdout().lock());
    make(&mut out).and_then(|done| out.flush().map(|()| done)).or_else(|error| {
        let said = "cannot write to standard output";
        Err(error).context(if progress::is_stopped() { "what was written is not complete" } else { said })
    })
}

/// Says on standard error what a page had to do without. True where that is nothing.
pub(super) fn is_whole(not_read: &[String]) -> bool {
    for file in not_read {
        complain(&format!("evenbite: {}", file.replacen("Not read", "not read", 1)));
    }
    not_read.is_empty()
}

/// A line on standard error; where that is full or closed, there is nobody to tell.
pub(super) fn complain(text: &str) {
    let _ = writeln!(io::stderr(), "{}", safe(text));
}

/// A line on standard output.
pub(super) fn tell(text: &str) -> Result<()> {
    writeln!(io::stdout(), "{}", safe(text)).context("cannot write to standard output")
}

/// A message without anything a terminal could act on.
pub(super) fn safe(text: &str) -> String {
    printable(text)
}

/// True where the reader of a pipe went away: nobody is left to tell.
pub(super) fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().filter_map(|cause| cause.downcast_ref::<io::Error>()).any(|io| io.kind() == io::ErrorKind::BrokenPipe)
}
