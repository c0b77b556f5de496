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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hanging_program_never_blocks() {
        let to = start("sleep 30").unwrap();
        for n in 0..1000 {
            let _ = to.try_send(format!("line {n}"));
        }
    }

    #[test]
    fn nothing_typed_becomes_a_command() {
        let dir = tempfile::tempdir().unwrap();
        let (out, trap) = (dir.path().join("out"), dir.path().join("trap"));
        let to = start(&format!("tee {}", out.display())).unwrap();
        to.send(format!("; touch {} $(touch {})\n`x`", trap.display(), trap.display())).unwrap();
        drop(to);
        let start = std::time::Instant::now();
        while std::fs::metadata(&out).map_or(0, |found| found.len()) == 0 {
            assert!(start.elapsed().as_secs() < 30);
            thread::sleep(std::time::Duration::from_millis(5));
        }
        assert!(!trap.exists());
        assert_eq!(std::fs::read_to_string(&out).unwrap().lines().count(), 1);
    }
}
