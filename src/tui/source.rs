//! Lines from an instrument on a device or a named pipe, read by a thread of its own.
//!
//! Lines only, bounded, opened again when the instrument goes away. It never blocks the keys: the screen hears of a line
//! exactly as it hears of a key.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::PathBuf;
use std::sync::mpsc::Sender;
use std::thread;
use std::time::Duration;

use super::wake::Wake;
use crate::units::clean::clean;
use crate::units::reading::MAX_LINE;

/// How long to wait before a lost instrument is looked for again.
const RETRY: Duration = Duration::from_secs(1);

/// Starts reading.
pub(crate) fn watch(path: PathBuf, to: Sender<Wake>) {
    thread::spawn(move || {
        let name = clean(&path.display().to_string());
        let mut said = false;
        loop {
            match File::open(&path) {
                Ok(file) => {
                    said = false;
                    if !lines(BufReader::new(file), &to) {
                        return;
                    }
                }
                Err(error) if !said => {
                    said = true;
                    if to.send(Wake::Notice(format!("{name}: {error}. Looking for it again."))).is_err() {
                        return;
                    }
                }
                Err(_) => {}
            }
            thread::sleep(RETRY);
        }
    });
}

/// Hands lines over until the source ends; false once nobody listens any more.
fn lines(mut source: impl BufRead, to: &Sender<Wake>) -> bool {
    // One byte more than the parser takes, so that it can say that a line is too long.
    let most = MAX_LINE as u64 + 1;
    let mut in_rest = false;
    loop {
        let mut bytes = Vec::new();
        let read = source.by_ref().take(most).read_until(b'\n', &mut bytes);
        let Ok(1..) = read else { return true };
        let whole = bytes.ends_with(b"\n");
        // Some instruments end a line with a carriage return alone; the rest of an over-long line is thrown away.
        let text = String::from_utf8_lossy(&bytes);
        for part in text.split(['\r', '\n']).filter(|part| !part.trim().is_empty() && !in_rest) {
            if to.send(Wake::Line(format!("{part}\n"))).is_err() {
                return false;
            }
        }
        in_rest = !whole;
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    fn heard(bytes: &[u8]) -> Vec<String> {
        let (to, from) = channel();
        assert!(lines(bytes, &to));
        drop(to);
        from.iter().map(|wake| if let Wake::Line(line) = wake { line } else { String::new() }).collect()
    }

    #[test]
    fn lines_come_one_by_one_and_blank_ones_not_at_all() {
        assert_eq!(heard(b"8.05\r\n\r\n8.10\n"), ["8.05\n", "8.10\n"]);
    }

    #[test]
    fn an_endless_line_is_one_refusal_not_a_flood() {
        let mut noise = vec![b'x'; 10_000];
        noise.extend(b"\n8.05\n");
        let lines = heard(&noise);
        assert_eq!(lines.len(), 2);
        assert!(lines[0].len() > MAX_LINE);
        assert_eq!(lines[1], "8.05\n");
    }
}
