//! A speaking program: given with an option, handed each prompt and verdict as one line on its standard input.
//!
//! It is started without a shell, so nothing typed at the bench can become a command, and it is waited for by a thread of
//! its own, so a program that hangs never holds a reading up: what was not yet said when something newer comes is dropped.

use std::io::Write;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use crate::units::clean::clean;

/// Lines that may wait; older ones are dropped.
const WAITING: usize = 8;

/// Starts the thread. `command` is a program and its arguments, parted by blanks.
pub fn start(command: &str) -> Option<SyncSender<String>> {
    let words: Vec<String> = command.split_whitespace().map(str::to_owned).collect();
    words.first()?;
    let (to, from) = sync_channel(WAITING);
    thread::spawn(move || speak(&words, &from));
    Some(to)
}

fn speak(words: &[String], from: &Receiver<String>) {
    while let Ok(mut line) = from.recv() {
        // A verdict and the prompt after it come together and are said together; older ones are past.
        let mut before = String::new();
        while let Ok(newer) = from.try_recv() {
            before = std::mem::replace(&mut line, newer);
        }
        let text = clean(&format!("{before} {line}"));
        if text.is_empty() {
            continue;
        }
        let child = Command::new(&words[0])
            .args(&words[1..])
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        // A program that cannot be started stays silent: speech is an extra, the screen says everything.
        let Ok(mut child) = child else { return };
        if let Some(mut stdin) = child.stdin.take() {
            let _ = writeln!(stdin, "{text}");
        }
        let _ = child.wait();
    }
}
