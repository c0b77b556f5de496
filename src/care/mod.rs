//! What the workshop does with the loops in its care, the same for every face.
//!
//! What the room is for: a face asks for a round to begin or to go on, for a loop's life, a sheet, a saw's page, tags, the
//! rows of the rack; this room gathers what such a thing rests on from the [`crate::record`], has [`crate::advice`] and
//! [`crate::report`] look at it, and hands back values. It must know no terminal, no arguments and no dialogue, and it
//! draws and prints nothing. It reads no clock: times come in from the caller.

mod backup;
mod brief;
mod changed;
mod error;
pub(crate) mod files;
mod hear;
mod join;
mod kept;
mod learners;
mod lessons;
mod life;
mod listed;
mod loops;
mod names;
mod paper;
mod rounds;
pub(crate) mod rows;
mod saws;
mod stops;
mod tables;
mod tags;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use crate::chain::Profile;
use crate::record::{Rack, Shelf};

pub use crate::record::join::{Join, JoinWish, Question};
pub use crate::record::{Backup, CardChange, Changed, Forgotten, RackError, Standing};
pub use brief::{Brief, Briefs};
pub use changed::words as changed;
pub use error::CareError;
pub(crate) use error::not_stored;
pub use hear::Progress;
pub use kept::{Kept, Written};
pub use learners::OpenLearner;
pub use life::Life;
pub use listed::Listing;
pub use loops::GapRange;
pub use paper::{Blank, Boxes, Filled, Refusal};
pub use rounds::{Free, OpenRound, Opened, Opening, Started, Stored};
pub use rows::{Filter, Row, Rows, SawSays, Sort};
pub use saws::runner;
pub use tables::Told;

/// A workshop: its data folder and what is done with it.
#[derive(Debug, Clone)]
pub struct Workshop {
    rack: Rack,
    /// Who hears of long work.
    ear: hear::Ear,
}

impl From<Rack> for Workshop {
    fn from(rack: Rack) -> Self {
        Self { rack, ear: hear::Ear::default() }
    }
}

impl Workshop {
    /// The workshop of a data folder, which need not exist yet.
    ///
    /// # Errors
    /// Something other than a folder stands there, a link included.
    pub fn open(dir: PathBuf) -> Result<Self, RackError> {
        Rack::open(dir).map(Self::from)
    }

    /// Marks the data folder as a throw-away copy of the invented workshop, so that what is printed from it says so.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub(crate) fn mark_demo(&mut self) -> Result<(), RackError> {
        self.rack.mark_demo()
    }

    /// A warning that others can change what is in the data folder, where they can.
    pub fn warning(&self) -> Option<String> {
        self.rack.warning()
    }

    /// All profiles by name, and the files at fault, in whose place stands a built-in one or none.
    fn profiles_by_name(&self) -> (BTreeMap<String, Profile>, Vec<(PathBuf, RackError)>) {
        let (profiles, at_fault) = self.rack.profiles();
        (profiles.into_iter().map(|profile| (profile.name.clone(), profile)).collect(), at_fault)
    }

    /// The profiles that these loops are of, by name, and the files at fault.
    fn profiles_of(&self, shelves: &[Shelf]) -> (BTreeMap<String, Profile>, Vec<(PathBuf, RackError)>) {
        let used: BTreeSet<&str> = shelves.iter().map(|shelf| shelf.card.profile.as_str()).collect();
        let (profiles, at_fault) = self.rack.profiles_where(&|name| used.contains(name));
        (profiles.into_iter().map(|profile| (profile.name.clone(), profile)).collect(), at_fault)
    }
}
