//! Reads the rack on a thread of its own, so that keys never wait for a workshop of thousands of loops.
//!
//! What is known at once is shown at once; loops whose histories must be made anew come as they are read.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset};

use super::effect::News;
use super::wake::Wake;
use crate::care::Workshop;
use crate::care::rows::{Row, RowWatch};

/// Time between two reports: often enough to see that it goes on.
const TELLS_EVERY: Duration = Duration::from_millis(200);
/// How long the end of the program waits for a loop that is just being read.
const PATIENCE: Duration = Duration::from_millis(300);

/// The thread that reads.
pub(super) struct Loader {
    ask: Option<Sender<DateTime<FixedOffset>>>,
    /// Set when what is being read is not wanted any more: it is asked for anew, or the program ends.
    stale: Arc<AtomicBool>,
    ended: Receiver<()>,
}

impl Loader {
    pub(super) fn start(workshop: Workshop, to: Sender<Wake>) -> Self {
        let (ask, asked) = channel();
        let (alive, ended) = channel();
        let stale = Arc::new(AtomicBool::new(false));
        let seen = Arc::clone(&stale);
        thread::spawn(move || {
            work(&workshop, &asked, &seen, &to);
            drop(alive);
        });
        Self { ask: Some(ask), stale, ended }
    }

    /// Has the rack read, from the beginning where it is being read already.
    pub(super) fn load(&self, now: DateTime<FixedOffset>) {
        self.stale.store(true, Ordering::Relaxed);
        if let Some(ask) = &self.ask {
            let _ = ask.send(now);
        }
    }
}

impl Drop for Loader {
    fn drop(&mut self) {
        self.stale.store(true, Ordering::Relaxed);
        self.ask = None;
        // A history that is just being written is better written to its end.
        let _ = self.ended.recv_timeout(PATIENCE);
    }
}

fn work(workshop: &Workshop, asked: &Receiver<DateTime<FixedOffset>>, stale: &AtomicBool, to: &Sender<Wake>) {
    while let Ok(now) = asked.recv() {
        let now = asked.try_iter().last().unwrap_or(now);
        stale.store(false, Ordering::Relaxed);
        let mut telling = Telling { stale, to, rows: Vec::new(), told: Instant::now() };
        if let Some(rows) = workshop.rows_with(now, &mut telling)
            && to.send(Wake::Rack(rows.into())).is_err()
        {
            return;
        }
    }
}

struct Telling<'a> {
    stale: &'a AtomicBool,
    to: &'a Sender<Wake>,
    /// Read since the last report.
    rows: Vec<Row>,
    told: Instant,
}

impl RowWatch for Telling<'_> {
    fn known(&mut self, rows: &mut dyn Iterator<Item = Row>, total: usize) {
        // A few are read before anybody could look.
        if total > 20 {
            self.rows = rows.collect();
            self.tell(0, total);
        }
    }

    fn read(&mut self, done: usize, total: usize, row: Option<Row>) -> bool {
        self.rows.extend(row);
        if self.told.elapsed() >= TELLS_EVERY {
            self.tell(done, total);
        }
        !self.stale.load(Ordering::Relaxed)
    }
}

impl Telling<'_> {
    fn tell(&mut self, done: usize, total: usize) {
        self.told = Instant::now();
        let rows = std::mem::take(&mut self.rows);
        let _ = self.to.send(Wake::Rack(News { rows, problems: Vec::new(), progress: Some((done, total)), asked: 0 }));
    }
}
