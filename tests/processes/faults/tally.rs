//! What was done and what came of it.

use std::collections::BTreeSet;
use std::fmt;

/// Counts over all laps.
#[derive(Default)]
pub(super) struct Tally {
    pub kills: usize,
    /// Power cuts on ext4 and on xfs.
    pub cuts: [usize; 2],
    /// System calls that were made to fail, to lie, or to be the last.
    pub calls: usize,
    /// Faults at calls that never came about; they count nowhere else.
    pub never: usize,
    /// States that a disk may be left in when unsynced writes are lost or come late.
    pub orders: usize,
    /// Clock jumps in the middle of a round.
    pub jumps: usize,
    /// Programs that ran beside others on one folder.
    pub instances: usize,
    /// Made-up inputs for the readers.
    pub inputs: usize,
    /// Readings acknowledged.
    pub acknowledged: usize,
    pub lost: usize,
    pub invented: usize,
    pub silent: usize,
    /// Parts that could not be done here, and why.
    pub skipped: BTreeSet<String>,
    /// What went wrong, each in a sentence.
    pub faults: Vec<String>,
}

impl Tally {
    pub(super) fn lost(&mut self, count: usize, what: impl FnOnce() -> String) {
        self.lost += count;
        self.fault(count, "lost", what);
    }

    pub(super) fn invented(&mut self, count: usize, what: impl FnOnce() -> String) {
        self.invented += count;
        self.fault(count, "invented", what);
    }

    pub(super) fn silent(&mut self, count: usize, what: impl FnOnce() -> String) {
        self.silent += count;
        self.fault(count, "silent", what);
    }

    fn fault(&mut self, count: usize, word: &str, what: impl FnOnce() -> String) {
        if count > 0 {
            self.faults.push(format!("{count} {word}: {}", what()));
            println!("FAULT {}", self.faults[self.faults.len() - 1]);
        }
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { kills, cuts: [ext4, xfs], calls, never, orders, jumps, instances, inputs, .. } = self;
        write!(f, "kills {kills}, cuts {} (ext4 {ext4}, xfs {xfs}), calls {calls}", ext4 + xfs)?;
        write!(f, " ({never} more could not be made to go wrong), ")?;
        write!(f, "orders {orders}, clock jumps {jumps}, instances {instances}, inputs {inputs}; ")?;
        let Self { acknowledged, lost, invented, silent, .. } = self;
        write!(f, "acknowledged {acknowledged}, lost {lost}, invented {invented}, silent {silent}")?;
        for skipped in &self.skipped {
            write!(f, "\nskipped: {skipped}")?;
        }
        Ok(())
    }
}
