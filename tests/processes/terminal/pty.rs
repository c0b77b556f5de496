//! The real binary in a real pseudo-terminal, its screen read by a terminal emulator.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};

/// How long what was written last may be on its way once the program has ended.
pub(crate) const LAST_WORDS: Duration = Duration::from_millis(100);
/// Longest wait for a screen; the machine may be busy.
const PATIENCE: Duration = Duration::from_secs(60);

fn cells(n: u16) -> NonZeroU16 {
    NonZeroU16::new(n).unwrap()
}

pub(crate) struct Term {
    child: Box<dyn Child + Send + Sync>,
    writer: Box<dyn Write + Send>,
    screen: Arc<Mutex<vt100::Parser>>,
    bytes: Arc<Mutex<Vec<u8>>>,
    master: Box<dyn MasterPty + Send>,
}

impl Term {
    pub(crate) fn start(data: &Path, args: &[&str], env: &[(&str, &str)], (columns, rows): (u16, u16)) -> Self {
        let size = PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenbite"));
        command.arg("--data");
        command.arg(data);
        command.args(args);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("LANG", "C.UTF-8");
        for (name, value) in env {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let writer = pair.master.take_writer().unwrap();
        let screen = Arc::new(Mutex::new(vt100::Parser::new(cells(rows), cells(columns), 0)));
        let bytes = Arc::new(Mutex::new(Vec::new()));
        let (to_screen, to_bytes) = (Arc::clone(&screen), Arc::clone(&bytes));
        thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(n @ 1..) = reader.read(&mut buffer) {
                to_screen.lock().unwrap().process(&buffer[..n]);
                to_bytes.lock().unwrap().extend_from_slice(&buffer[..n]);
            }
        });
        Self { child, writer, screen, bytes, master: pair.master }
    }

    pub(crate) fn text(&self) -> String {
        self.screen.lock().unwrap().screen().contents()
    }

    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.bytes.lock().unwrap().clone()
    }

    pub(crate) fn wait_for(&self, wanted: &str) -> &Self {
        // A narrow window breaks a sentence where it must.
        self.wait(wanted, |text| text.split_whitespace().collect::<Vec<_>>().join(" ").contains(wanted))
    }

    pub(crate) fn wait(&self, name: &str, found: impl Fn(&str) -> bool) -> &Self {
        let start = Instant::now();
        while !found(&self.text()) {
            assert!(start.elapsed() < PATIENCE, "waited for {name}; the screen is\n{}", self.text());
            thread::sleep(Duration::from_millis(5));
        }
        self
    }

    pub(crate) fn send(&mut self, text: &str) -> &mut Self {
        self.writer.write_all(text.as_bytes()).unwrap();
        self.writer.flush().unwrap();
        self
    }

    /// Types a line and Enter.
    pub(crate) fn enter(&mut self, text: &str) -> &mut Self {
        if text.is_empty() {
            // Slower than a key that is held down.
            std::thread::sleep(Duration::from_millis(150));
        }
        self.send(text).send("\r")
    }

    pub(crate) fn resize(&self, columns: u16, rows: u16) {
        let size = PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 };
        // The window first: a program that hears of the new size at once draws into a window that already has it.
        self.screen.lock().unwrap().screen_mut().set_size(cells(rows), cells(columns));
        self.master.resize(size).unwrap();
    }

    pub(crate) fn signal(&self, signal: Signal) {
        let id = self.child.process_id().and_then(|id| i32::try_from(id).ok()).and_then(Pid::from_raw).unwrap();
        kill_process(id, signal).unwrap();
    }

    /// Waits for the end; the exit code, or `None` where a signal ended it.
    pub(crate) fn end(&mut self) -> Option<u32> {
        let start = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                // What was written last is still on its way through the pseudo-terminal.
                thread::sleep(LAST_WORDS);
                return status.signal().is_none().then(|| status.exit_code());
            }
            assert!(start.elapsed() < PATIENCE, "did not end; the screen is\n{}", self.text());
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// The number of the process.
    pub(crate) fn id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// State letter of the process, as the system gives it: `T` stopped.
    pub(crate) fn state(&self) -> Option<char> {
        let id = self.child.process_id()?;
        let stat = std::fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
        stat.rsplit_once(") ")?.1.chars().next()
    }
}

impl Drop for Term {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// True where the bytes leave the alternate screen and show the cursor after they last entered it.
pub(crate) fn restored(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    match (text.rfind("\u{1b}[?1049h"), text.rfind("\u{1b}[?1049l")) {
        (Some(entered), Some(left)) => left > entered && text[left..].contains("\u{1b}[?25h"),
        _ => false,
    }
}
