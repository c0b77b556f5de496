//! A speaking program: given with an option, handed each prompt and verdict as one line on its standard input.
//!
//! It is started without a shell, so nothing typed at the bench can become a command, and it is waited for by a thread of
//! its own, so a program that hangs never holds a reading up: what was not yet said when something newer comes is dropped,
//! and a program that does not come to an end is ended. It never outlives this one.

use std::collections::VecDeque;
use std::io::Write;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::system;
use crate::units::clean::clean;

/// Lines that wait: a verdict and the prompt after it. Older ones are past.
const WAITING: usize = 2;
/// How long one line may take to say when a newer one waits.
const PATIENCE: Duration = Duration::from_secs(10);
/// How often a program that speaks is looked at.
const LOOK: Duration = Duration::from_millis(20);
/// How long it may go on once this program ends.
const LAST_WORDS: Duration = Duration::from_millis(50);

/// A speaking program. Dropped, it is ended.
#[derive(Debug)]
pub struct Speaker {
    table: Arc<Table>,
}

/// What lies between the one who speaks and the thread that has it spoken.
#[derive(Debug, Default)]
struct Table {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct State {
    lines: VecDeque<String>,
    ending: bool,
    /// The thread is gone, and with it the program.
    gone: bool,
}

impl Table {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn wait<'a>(&self, state: MutexGuard<'a, State>, at_most: Duration) -> MutexGuard<'a, State> {
        self.changed.wait_timeout(state, at_most).unwrap_or_else(PoisonError::into_inner).0
    }

    /// Ends what is being said, and waits until it is.
    fn end(&self) {
        let mut state = self.state();
        state.ending = true;
        self.changed.notify_all();
        let since = Instant::now();
        while !state.gone && since.elapsed() < 10 * LAST_WORDS {
            state = self.wait(state, LOOK);
        }
    }
}

impl Speaker {
    /// Starts the thread. `command` is a program and its arguments, separated by blanks; `tell` hears what is wrong with it. `None`
    /// where there is no word in it.
    pub fn start(command: &str, tell: impl Fn(String) + Send + 'static) -> Option<Self> {
        let words: Vec<String> = command.split_whitespace().map(str::to_owned).collect();
        words.first()?;
        let table = Arc::new(Table::default());
        let of_thread = Arc::clone(&table);
        thread::spawn(move || {
            speak(&words, &of_thread, &tell);
            of_thread.state().gone = true;
            of_thread.changed.notify_all();
        });
        Some(Self { table })
    }

    /// Has a line said. It never waits.
    pub fn say(&self, line: &str) {
        let mut state = self.table.state();
        if state.lines.len() == WAITING {
            state.lines.pop_front();
        }
        state.lines.push_back(line.to_owned());
        self.table.changed.notify_all();
    }

    /// What ends the program that speaks, from wherever this one is ended.
    pub(crate) fn ending(&self) -> impl Fn() + Send + Sync + 'static {
        let table = Arc::clone(&self.table);
        move || table.end()
    }
}

impl Drop for Speaker {
    fn drop(&mut self) {
        self.table.end();
    }
}

/// What waits to be said, in one line; `None` once there will be nothing more.
fn next(table: &Table) -> Option<String> {
    let mut state = table.state();
    while state.lines.is_empty() && !state.ending {
        state = table.changed.wait(state).unwrap_or_else(PoisonError::into_inner);
    }
    let lines: Vec<String> = state.lines.drain(..).collect();
    (!lines.is_empty()).then(|| clean(&lines.join(" ")))
}

fn speak(words: &[String], table: &Table, tell: &impl Fn(String)) {
    let (name, mut hung, mut failed) = (clean(&words[0]), false, false);
    while let Some(text) = next(table) {
        if text.is_empty() {
            continue;
        }
        let mut command = Command::new(&words[0]);
        command.args(&words[1..]).stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = match system::start_apart(&mut command) {
            Ok(child) => child,
            Err(error) => return tell(format!("Nothing is spoken: {name} cannot be started ({error}).")),
        };
        if let Some(mut stdin) = child.stdin.take() {
            let _ = writeln!(stdin, "{text}");
        }
        match ends(&mut child, table) {
            Some(status) if !status.success() && !std::mem::replace(&mut failed, true) => {
                tell(format!("{name} ended with an error ({status}): perhaps nothing is spoken."));
            }
            Some(_) => {}
            None => {
                system::end_apart(&mut child);
                if !table.state().ending && !std::mem::replace(&mut hung, true) {
                    let seconds = PATIENCE.as_secs();
                    tell(format!(
                        "{name} did not end within {seconds} s: it was ended, and is started anew for each line."
                    ));
                }
            }
        }
    }
}

/// Waits until the program has spoken; none where it is to be ended.
fn ends(child: &mut Child, table: &Table) -> Option<ExitStatus> {
    let began = Instant::now();
    let mut ending: Option<Instant> = None;
    loop {
        match child.try_wait() {
            Ok(None) => {}
            ended => return ended.ok().flatten(),
        }
        let state = table.state();
        if state.ending && ending.get_or_insert_with(Instant::now).elapsed() >= LAST_WORDS {
            return None;
        }
        if !state.lines.is_empty() && began.elapsed() >= PATIENCE {
            return None;
        }
        drop(table.wait(state, LOOK));
    }
}
