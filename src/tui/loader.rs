//! Reads the rack on a thread of its own, so that keys never wait for a workshop of thousands of loops.
//!
//! What is known at once is shown at once; loops whose histories must be made anew come as they are read.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset};

use super::desk::rows_of;
use super::screens::rack_rows::{RackRow, SawSays};
use super::session::Wake;
use crate::chain::Profile;
use crate::record::{Rack, Shelf, Watch};

/// Time between two tellings: often enough to see that it goes on.
const TELLS_EVERY: Duration = Duration::from_millis(200);
/// So long the end of the program waits for a loop that is just being read.
const PATIENCE: Duration = Duration::from_millis(300);

/// Rows of the rack as they become known.
#[derive(Debug)]
pub struct News {
    /// All rows, or those that are new.
    pub rows: Vec<RackRow>,
    /// Files at fault, each in a sentence.
    pub problems: Vec<String>,
    /// How many of the loops that must be read again are, and how many must; absent where these are all rows.
    pub progress: Option<(usize, usize)>,
}

/// The profiles by name, and those at fault, each in a sentence.
pub(super) fn profiles(rack: &Rack) -> (BTreeMap<String, Profile>, Vec<String>) {
    let (profiles, problems) = rack.profiles();
    let problems = problems.iter().map(|(_, error)| error.to_string()).collect();
    (profiles.into_iter().map(|profile| (profile.name.clone(), profile)).collect(), problems)
}

/// The row of a shelf by itself: what its saw says takes all loops of that saw.
pub(super) fn row(shelf: &Shelf, profiles: &BTreeMap<String, Profile>, now: DateTime<FixedOffset>) -> RackRow {
    RackRow::of(shelf, profiles.get(&shelf.card.profile)).at(shelf.next, now, SawSays::default())
}

/// The whole rack as it stands at that time. `None` where `watch` stopped the reading.
pub(super) fn load(rack: &Rack, now: DateTime<FixedOffset>, watch: &mut dyn Watch) -> Option<News> {
    let (profiles, at_fault) = profiles(rack);
    let (found, saws) = (rack.shelves_with(watch), rack.saws());
    let rows = rows_of(&found.shelves, &profiles, &saws.saws, now);
    let problems = found.problems.iter().chain(&saws.problems).map(|(_, error)| error.to_string());
    let problems = problems.chain(at_fault).collect();
    (!found.stopped).then_some(News { rows, problems, progress: None })
}

/// The thread that reads.
pub(super) struct Loader {
    ask: Option<Sender<DateTime<FixedOffset>>>,
    /// Set when what is being read is not wanted any more: it is asked for anew, or the program ends.
    stale: Arc<AtomicBool>,
    ended: Receiver<()>,
}

impl Loader {
    pub fn start(rack: Rack, to: Sender<Wake>) -> Self {
        let (ask, asked) = channel();
        let (alive, ended) = channel();
        let stale = Arc::new(AtomicBool::new(false));
        let seen = Arc::clone(&stale);
        thread::spawn(move || {
            work(&rack, &asked, &seen, &to);
            drop(alive);
        });
        Self { ask: Some(ask), stale, ended }
    }

    /// Has the rack read, from the beginning where it is just being read.
    pub fn load(&self, now: DateTime<FixedOffset>) {
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

fn work(rack: &Rack, asked: &Receiver<DateTime<FixedOffset>>, stale: &AtomicBool, to: &Sender<Wake>) {
    while let Ok(now) = asked.recv() {
        let now = asked.try_iter().last().unwrap_or(now);
        stale.store(false, Ordering::Relaxed);
        let mut telling =
            Telling { now, profiles: profiles(rack).0, stale, to, rows: Vec::new(), told: Instant::now() };
        if let Some(news) = load(rack, now, &mut telling)
            && to.send(Wake::Rack(news)).is_err()
        {
            return;
        }
    }
}

struct Telling<'a> {
    now: DateTime<FixedOffset>,
    profiles: BTreeMap<String, Profile>,
    stale: &'a AtomicBool,
    to: &'a Sender<Wake>,
    /// Read since the last telling.
    rows: Vec<RackRow>,
    told: Instant,
}

impl Watch for Telling<'_> {
    fn known(&mut self, shelves: &mut dyn Iterator<Item = &Shelf>, total: usize) {
        // A few are read before anybody could look.
        if total > 20 {
            self.rows = shelves.map(|shelf| row(shelf, &self.profiles, self.now)).collect();
            self.tell(0, total);
        }
    }

    fn read(&mut self, done: usize, total: usize, shelf: Option<&Shelf>) -> bool {
        self.rows.extend(shelf.map(|shelf| row(shelf, &self.profiles, self.now)));
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
        let _ = self.to.send(Wake::Rack(News { rows, problems: Vec::new(), progress: Some((done, total)) }));
    }
}
