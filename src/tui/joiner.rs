//! Brings another data folder in beside the keys, on a thread of its own, so that one can see how far it is, and stop it.

use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::{Duration, Instant};

use super::effect::Joining;
use super::wake::Wake;
use crate::care::Workshop;

/// Time between two reports: often enough to see that it goes on.
const TELLS_EVERY: Duration = Duration::from_millis(100);

/// Who does it.
#[derive(Debug, Default)]
pub(super) struct Joiner {
    /// Who is told; nobody where it is done at once, in rehearsals and tests.
    to: Option<Sender<Wake>>,
    stop: Arc<AtomicBool>,
}

impl Joiner {
    /// One that works on threads, which report to `to`.
    pub(super) fn beside(to: Sender<Wake>) -> Self {
        Self { to: Some(to), stop: Arc::default() }
    }

    /// Stops what is being done, where it still can be.
    pub(super) fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Does a piece of work; what comes of it is here at once, or told later.
    pub(super) fn does(
        &mut self,
        care: &Workshop,
        work: impl FnOnce(&Workshop) -> Joining + Send + 'static,
    ) -> Option<Joining> {
        let Some(to) = self.to.clone() else { return Some(work(care)) };
        let stop = Arc::new(AtomicBool::new(false));
        self.stop = Arc::clone(&stop);
        let (told, told_by) = (Mutex::new(Instant::now()), to.clone());
        let care = care.clone().heard_by(move |progress| {
            if let Ok(mut told) = told.lock()
                && told.elapsed() >= TELLS_EVERY
            {
                *told = Instant::now();
                let _ = told_by.send(Wake::Joining(Joining::Far(progress)));
            }
            !stop.load(Ordering::Relaxed)
        });
        thread::spawn(move || drop(to.send(Wake::Joining(work(&care)))));
        None
    }
}
