//! Lines from an instrument on a device, a named pipe or a file that grows, read by a thread of its own.
//!
//! Lines only, bounded, opened again when the instrument goes away. It never blocks the keys: a face hears of a line exactly as it
//! hears of a key, and what comes faster than any hand measures is counted and not handed over.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use super::lines::{Line, Lines};
use super::pace::{Held, Pace};
use crate::units::clean::clean;
use crate::units::reading::MAX_LINE;

/// How long to wait before a lost instrument is looked for again.
const RETRY: Duration = Duration::from_secs(1);
/// How long a flood is left to itself between two reads.
const BREATH: Duration = Duration::from_millis(20);

/// What is heard of an instrument.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Sent {
    /// A line, without its end; never a blank one.
    Line(String),
    /// What it sent last, without a line end.
    Unfinished(String),
    /// More lines are held than before.
    Held,
    /// Why nothing can come from it, in a sentence that holds until the next of these; none where it can.
    Away(Option<String>),
}

/// Starts reading. `tell` returns false once nobody listens any more; lines that come too fast are counted in `held`.
pub(crate) fn watch(path: PathBuf, held: Held, tell: impl Fn(Sent) -> bool + Send + 'static) {
    let name = clean(&path.display().to_string());
    thread::spawn(move || {
        let mut source = Source { path, name, held, pace: Pace::default(), away: None, before: None, tell };
        while source.once() {}
    });
}

struct Source<T> {
    path: PathBuf,
    name: String,
    held: Held,
    pace: Pace,
    /// The reason last given why nothing comes.
    away: Option<String>,
    /// The pipe as it was opened before: while it stays open, nothing is lost that somebody writes before it is opened again.
    before: Option<File>,
    tell: T,
}

impl<T: Fn(Sent) -> bool> Source<T> {
    /// Opens the instrument and reads it until it goes away; false once nobody listens any more.
    fn once(&mut self) -> bool {
        let kind = what(&self.path);
        // Opening a pipe waits until somebody writes.
        let waits = matches!(kind, Ok(What::Pipe)) && self.away.is_none();
        if waits && !self.away(Some(format!("{}: no instrument is there yet.", self.name))) {
            return false;
        }
        let (kind, file) = match kind.and_then(|kind| Ok((kind, File::open(&self.path).map_err(|e| e.to_string())?))) {
            Ok(opened) => opened,
            Err(why) => {
                let told = self.away(Some(format!("{}: {why}. It is looked for again.", self.name)));
                thread::sleep(RETRY);
                return told;
            }
        };
        self.before = None;
        if !self.away(None) {
            return false;
        }
        let Some(why) = self.read(&file, kind == What::Grows) else { return false };
        let told = self.away(Some(format!("{}: {why}. It is waited for.", self.name)));
        if kind == What::Pipe {
            self.before = Some(file);
        } else {
            drop(file);
            thread::sleep(RETRY);
        }
        told
    }

    /// Hands lines over until the source ends, and says how; `None` once nobody listens any more.
    fn read(&mut self, file: &File, grows: bool) -> Option<String> {
        // One byte more than the parser takes, so that it can say that a line is too long.
        let mut lines = Lines::new(file, MAX_LINE + 1);
        let mut unfinished = String::new();
        loop {
            let heard = match lines.read_line() {
                Ok(Some(Line::Whole(text))) => {
                    let flooding = lines.is_flooding();
                    self.line(text, flooding)
                }
                Ok(Some(Line::Unfinished(text))) => {
                    let new = text != unfinished && !text.trim().is_empty();
                    if grows {
                        lines.go_on(&text);
                        unfinished.clone_from(&text);
                        thread::sleep(RETRY);
                    }
                    !new || (self.tell)(Sent::Unfinished(text))
                }
                Ok(None) if grows => {
                    thread::sleep(RETRY);
                    true
                }
                Ok(None) => return Some("the instrument went away".to_owned()),
                Err(error) => return Some(format!("the instrument went away ({error})")),
            };
            if !heard {
                return None;
            }
        }
    }

    fn line(&mut self, text: String, flooding: bool) -> bool {
        if text.trim().is_empty() {
            return true;
        }
        if !self.pace.line(Instant::now()) && self.held.is_none() {
            return (self.tell)(Sent::Line(text));
        }
        let heard = !self.held.add() || (self.tell)(Sent::Held);
        if flooding {
            thread::sleep(BREATH);
        }
        heard
    }

    /// Tells a change of whether something can come.
    fn away(&mut self, why: Option<String>) -> bool {
        if why == self.away {
            return true;
        }
        self.away.clone_from(&why);
        (self.tell)(Sent::Away(why))
    }
}

/// What can be read as an instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    /// Opened and read until it goes away.
    Device,
    /// As a device; opening it waits.
    Pipe,
    /// A plain file: read on from where it ended.
    Grows,
}

fn what(path: &Path) -> Result<What, String> {
    let found = fs::metadata(path).map_err(|error| error.to_string())?.file_type();
    match () {
        () if found.is_dir() => Err("is a folder, not an instrument".to_owned()),
        () if found.is_file() => Ok(What::Grows),
        () if crate::system::is_pipe(found) => Ok(What::Pipe),
        () => Ok(What::Device),
    }
}
