//! Long work tells how far it has got, and may be stopped.

use std::fmt;
use std::sync::Arc;

use super::Workshop;
use crate::record::{Shelf, Shelves, Watch};

/// How far long work has got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is counted, such as `loops read`.
    pub what: &'static str,
    /// How many are done.
    pub done: usize,
    /// Of how many; 0 where nobody knows.
    pub total: usize,
}

/// Who hears of long work; `false` stops it. Nobody unless somebody is named.
#[derive(Clone, Default)]
pub(super) struct Ear(Option<Arc<dyn Fn(Progress) -> bool + Send + Sync>>);

impl Ear {
    /// Tells how far it has got; `false` where the work is to stop.
    pub(super) fn hear(&self, what: &'static str, done: usize, total: usize) -> bool {
        self.0.as_ref().is_none_or(|hear| hear(Progress { what, done, total }))
    }
}

impl fmt::Debug for Ear {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "Ear({})", self.0.is_some())
    }
}

impl Watch for &Ear {
    fn read(&mut self, done: usize, total: usize, _: Option<&Shelf>) -> bool {
        self.hear("loops read", done, total)
    }
}

impl Workshop {
    /// The same workshop; `hear` is told how far long work is, and stops it by `false`. What is stopped keeps nothing and gives
    /// back only what it has so far: whoever stopped it must not take that for the whole.
    #[must_use]
    pub fn heard_by(mut self, hear: impl Fn(Progress) -> bool + Send + Sync + 'static) -> Self {
        self.ear = Ear(Some(Arc::new(hear)));
        self
    }

    /// All loops at a glance. Nothing is written.
    pub(super) fn shelves(&self) -> Shelves {
        self.rack.shelves_with(&mut &self.ear)
    }
}
