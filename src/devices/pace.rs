//! How fast an instrument may send, and what is counted beyond that.

use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// No hand measures faster than five a second for two seconds.
const MOST: usize = 10;
/// The time in which no more than that many lines are taken.
const WITHIN: Duration = Duration::from_secs(2);

/// Watches how fast lines come.
#[derive(Debug, Default)]
pub(super) struct Pace {
    last: VecDeque<Instant>,
}

impl Pace {
    /// A line came; true where it came too fast.
    pub(super) fn line(&mut self, at: Instant) -> bool {
        let full = self.last.len() == MOST;
        let oldest = if full { self.last.pop_front() } else { None };
        self.last.push_back(at);
        oldest.is_some_and(|oldest| at.duration_since(oldest) < WITHIN)
    }
}

/// Lines that are held: counted, never taken, until somebody has looked.
#[derive(Debug, Clone, Default)]
pub(crate) struct Held(Arc<Counts>);

#[derive(Debug, Default)]
struct Counts {
    lines: AtomicU64,
    /// A change in the count has been told and not looked up yet.
    told: AtomicBool,
}

impl Held {
    /// One more is held; true where that is to be told.
    pub(super) fn add(&self) -> bool {
        self.0.lines.fetch_add(1, Ordering::SeqCst);
        !self.0.told.swap(true, Ordering::SeqCst)
    }

    /// How many are held. The next change is told again.
    pub(crate) fn count(&self) -> u64 {
        self.0.told.store(false, Ordering::SeqCst);
        self.0.lines.load(Ordering::SeqCst)
    }

    pub(super) fn is_none(&self) -> bool {
        self.0.lines.load(Ordering::SeqCst) == 0
    }

    /// Somebody has looked: lines are taken again, once they come slowly enough. How many had been held.
    pub(crate) fn look(&self) -> u64 {
        self.0.lines.swap(0, Ordering::SeqCst)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fast(per_second: u32, lines: u32) -> usize {
        let (start, mut pace) = (Instant::now(), Pace::default());
        (0..lines).filter(|n| pace.line(start + Duration::from_secs(1) * *n / per_second)).count()
    }

    #[test]
    fn five_a_second_are_taken_for_ever_and_more_are_held_after_two_seconds() {
        assert_eq!((fast(1, 100), fast(5, 1000)), (0, 0));
        assert_eq!(fast(6, 60), 50);
        assert_eq!(fast(200, 24), 14);
    }
}
