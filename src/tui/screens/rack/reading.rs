//! How far the rack is read again, where that takes a while, and how it is stopped.

use crate::tui::effect::Work;

/// So many loops, of so many.
type Far = (usize, usize);

/// The reading that goes on beside the keys.
#[derive(Debug, Default)]
pub(super) struct Reading {
    /// How far it is, while it goes on.
    progress: Option<Far>,
    /// Where somebody stopped it.
    stopped: Option<Far>,
}

impl Reading {
    /// Rows came: of a part of the loops, or of all.
    pub(super) const fn came(&mut self, progress: Option<Far>) {
        match (self.stopped, progress) {
            // It was on its way when the reading was stopped.
            (Some(_), Some(_)) => {}
            (_, progress) => (self.progress, self.stopped) = (progress, None),
        }
    }

    /// Stops it, or goes on with it.
    pub(super) fn stop(&mut self) -> Option<Work> {
        if let Some(progress) = self.progress.take() {
            self.stopped = Some(progress);
            return Some(Work::StopReading);
        }
        self.stopped.take().map(|_| Work::LoadRack)
    }

    /// Why work that needs every loop is not done yet: no key waits for it.
    pub(super) fn is_awaited(&self) -> Option<String> {
        let (done, total) = self.progress.or(self.stopped)?;
        let how = if self.stopped.is_some() { "Esc reads on" } else { "Wait for the rest" };
        Some(format!("That needs every loop, and {done} of {total} are read. {how}."))
    }

    /// The line that tells of it.
    pub(super) fn line(&self) -> Option<String> {
        let going = self.progress.map(|(done, total)| {
            format!("Reading again what changed: {done} of {total} loops. Go on meanwhile; Esc stops it.")
        });
        going.or_else(|| {
            let (done, total) = self.stopped?;
            Some(format!("Stopped at {done} of {total} loops; the others stand as last known. Esc reads on."))
        })
    }
}
