//! What comes from the terminal: keys, the mouse, pastes and the window's size.
//!
//! What the room is for: a terminal sends its own replies on the same wire as the keys, also unasked, late, or in pieces:
//! its colours, its cursor's place, its name, that it has the focus. [`sift`] takes them out byte by byte, [`keys`] makes
//! events of the rest. Where the system hands keys over as such, there is nothing to sift.

mod keys;
mod sift;

use std::io;
use std::sync::mpsc::Sender;
use std::time::Instant;

use crossterm::event::{Event, read};

use super::wake::Wake;
use crate::system::{self, Typing};
use keys::Keys;
use sift::{Piece, Sift};

/// Waits for what is typed and reports it, until nobody listens or the terminal is gone.
pub(super) fn watch(to: &Sender<Wake>) {
    let done = match system::typing() {
        Ok(Some(typing)) => watch_bytes(&typing, to),
        Ok(None) => watch_events(to),
        Err(error) => Err(error),
    };
    if done.is_err() {
        let _ = to.send(Wake::Gone);
    }
}

fn watch_events(to: &Sender<Wake>) -> io::Result<()> {
    loop {
        if to.send(Wake::Terminal(read()?)).is_err() {
            return Ok(());
        }
    }
}

fn watch_bytes(typing: &Typing, to: &Sender<Wake>) -> io::Result<()> {
    let (mut sift, mut keys) = (Sift::default(), Keys::default());
    loop {
        let came = typing.wait(sift.patience())?;
        let mut pieces = Vec::new();
        match came {
            Some(bytes) => {
                let now = Instant::now();
                for byte in bytes {
                    sift.take(byte, now, &mut pieces);
                }
            }
            None => sift.quiet(&mut pieces),
        }
        for piece in pieces {
            let event = match piece {
                Piece::Key(bytes) => keys.event(&bytes),
                Piece::Paste(text) => Some(Event::Paste(text)),
            };
            if event.is_some_and(|event| to.send(Wake::Terminal(event)).is_err()) {
                return Ok(());
            }
        }
    }
}
