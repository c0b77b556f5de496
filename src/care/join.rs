//! Two data folders made one, and what nobody has chosen yet.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::Workshop;
use crate::record::join::{Join, JoinWish, Joined, Question};
use crate::record::{Rack, RackError};

impl Workshop {
    /// What this data folder is called where nobody says it.
    pub fn called(&self) -> String {
        self.rack.called()
    }

    /// Looks at what joining another data folder comes to. Nothing is written. `progress` hears how many of its loops were
    /// looked at, and how many there are.
    ///
    /// # Errors
    /// It cannot be joined at all, or cannot be listed.
    pub fn look_at(
        &self,
        other: PathBuf,
        mut wish: JoinWish,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Join, RackError> {
        let other = Rack::open(other)?;
        for (name, rack) in [(&mut wish.here, &self.rack), (&mut wish.there, &other)] {
            if name.is_empty() {
                *name = rack.called();
            }
        }
        self.rack.look_at(&other, wish, progress)
    }

    /// Does what was looked at.
    ///
    /// # Errors
    /// The disk fails; done again, the join goes on.
    pub fn join(&self, join: &Join, progress: &mut dyn FnMut(usize, usize)) -> Result<Joined, RackError> {
        self.rack.join(join, progress)
    }

    /// All that nobody has chosen yet, and what could not be read to find it.
    pub fn questions(&self) -> (Vec<Question>, Vec<(PathBuf, RackError)>) {
        self.rack.questions()
    }

    /// Chooses one of what a question holds, counted from nought.
    ///
    /// # Errors
    /// It is not asked any more; what comes of it cannot be; the disk fails.
    pub fn choose(&self, question: &Question, chosen: usize, now: DateTime<FixedOffset>) -> Result<(), RackError> {
        self.rack.choose(question, chosen, now.to_utc())
    }
}
