//! Long work on the command line: how far it is, on standard error where that is a terminal, and how it is stopped.
//!
//! Nothing shows before the work has taken a moment, and nothing stays once it is done. The first Ctrl-C stops it, so that
//! nothing half-written is left behind; a second one ends the program at once.

use std::io::{IsTerminal, stderr};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, OnceLock};
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result, bail};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::care::{Progress, Workshop};
use crate::system;

/// Work that is done sooner shows nothing.
const MOMENT: Duration = Duration::from_millis(400);

/// The time left is not told before this: the first few tell nothing of it.
const TOLD: Duration = Duration::from_secs(3);

/// Set once somebody has asked to stop.
static STOP: OnceLock<Arc<AtomicBool>> = OnceLock::new();

/// The workshop, its long work shown and stopped; as it is where standard error is no terminal: then a signal ends the program.
pub(super) fn shown(care: Workshop, ascii: bool) -> Result<Workshop> {
    if !stderr().is_terminal() {
        return Ok(care);
    }
    let stop = Arc::new(AtomicBool::new(false));
    system::stop_asked(&stop).context("cannot watch for signals")?;
    let stop = Arc::clone(STOP.get_or_init(|| stop));
    let bar = Mutex::new(Bar { begun: Instant::now(), line: None, told: false, ascii });
    Ok(care.heard_by(move |progress| {
        if let Ok(mut bar) = bar.lock() {
            bar.show(progress);
        }
        !stop.load(Ordering::Relaxed)
    }))
}

/// True once somebody has asked to stop.
pub(super) fn is_stopped() -> bool {
    STOP.get().is_some_and(|stop| stop.load(Ordering::Relaxed))
}

/// Refuses to go on with the result of work that was stopped.
pub(super) fn go_on() -> Result<()> {
    if is_stopped() {
        bail!("stopped; nothing was written");
    }
    Ok(())
}

/// What was asked for is done: a wish to stop it comes too late.
pub(super) fn done() {
    if let Some(stop) = STOP.get() {
        stop.store(false, Ordering::Relaxed);
    }
}

struct Bar {
    begun: Instant,
    /// What is counted, and the line that shows it.
    line: Option<(&'static str, ProgressBar)>,
    /// The time left is on that line.
    told: bool,
    ascii: bool,
}

impl Bar {
    fn show(&mut self, Progress { what, done, total }: Progress) {
        if self.line.as_ref().is_some_and(|(shown, _)| *shown != what) {
            self.end();
        }
        if done == total && total > 0 {
            return self.end();
        }
        if self.begun.elapsed() < MOMENT {
            return;
        }
        let ascii = self.ascii;
        let (_, bar) = self.line.get_or_insert_with(|| (what, begin(what, total, ascii)));
        if total > 0 && !self.told && bar.elapsed() > TOLD {
            self.told = true;
            bar.set_style(style(
                "{msg}: {pos} of {len} [{bar:30}] {elapsed}, about {eta} left. Ctrl-C stops it.",
                ascii,
            ));
        }
        bar.set_position(done as u64);
    }

    /// Takes it off the screen.
    fn end(&mut self) {
        if let Some((_, bar)) = self.line.take() {
            bar.finish_and_clear();
        }
        self.told = false;
        self.begun = Instant::now();
    }
}

fn begin(what: &'static str, total: usize, ascii: bool) -> ProgressBar {
    let (length, form) = match total {
        0 => (None, "{msg}: {pos}, {elapsed}. Ctrl-C stops it."),
        total => (Some(total as u64), "{msg}: {pos} of {len} [{bar:30}] {elapsed}. Ctrl-C stops it."),
    };
    let bar = ProgressBar::with_draw_target(length, ProgressDrawTarget::stderr_with_hz(8));
    bar.with_style(style(form, ascii)).with_message(what)
}

fn style(form: &str, ascii: bool) -> ProgressStyle {
    let plain = ProgressStyle::default_bar();
    ProgressStyle::with_template(form).unwrap_or(plain).progress_chars(if ascii { "#>-" } else { "█▌ " })
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.end();
    }
}
