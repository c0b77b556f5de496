//! Two data folders made one, and what nobody has chosen yet.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::Workshop;
use crate::record::join::{Join, JoinWish, Joined, LoopJoin, Question, Thing};
use crate::record::{Rack, RackError};
use crate::units::clean::clean;

impl Workshop {
    /// What this data folder is called where nobody says it.
    pub fn called(&self) -> String {
        self.rack.called()
    }

    /// Looks at what joining another data folder comes to. Nothing is written.
    ///
    /// # Errors
    /// It cannot be joined at all, or cannot be listed; it was stopped.
    pub fn look_at(&self, other: PathBuf, mut wish: JoinWish) -> Result<Join, RackError> {
        let other = Rack::open(other)?;
        if wish.here.is_empty() {
            wish.here = self.rack.called();
        }
        if wish.there.is_empty() {
            wish.there = other.called_beside(&wish.here);
        }
        if wish.there == wish.here {
            let what = format!(
                "is called {}, as this folder is: give it another name, to tell them apart",
                clean(&wish.there)
            );
            return Err(RackError::Join { path: other.root().to_owned(), what });
        }
        self.rack.look_at(&other, wish, &mut |done, total| self.ear.hear("loops looked at", done, total))
    }

    /// Does what was looked at.
    ///
    /// # Errors
    /// It was stopped, and nothing is written; or the disk fails: done again, the join goes on.
    pub fn join(&self, join: &Join) -> Result<Joined, RackError> {
        self.rack.join(join, &mut |done, total| self.ear.hear("files made ready", done, total))
    }

    /// How many things nobody has chosen yet in what was joined. Nothing else is looked at: a join takes as long as what it
    /// brings.
    pub fn asked_by(&self, join: &Join) -> usize {
        let of_new = |one: &LoopJoin| one.differ().len() + one.card().map_or(0, |card| card.open.len());
        let (new, known): (Vec<_>, Vec<_>) = join.loops.iter().partition(|one| one.is_new);
        let known = known.into_iter().map(|one| Thing::Card(one.tag.clone()));
        let things = join.things().iter().map(|one| one.thing.clone()).chain(known);
        new.into_iter().map(of_new).sum::<usize>() + self.rack.questions_of(things).0.len()
    }

    /// All that nobody has chosen yet, and what could not be read to find it.
    pub fn questions(&self) -> (Vec<Question>, Vec<(PathBuf, RackError)>) {
        self.rack.questions(&mut &self.ear)
    }

    /// Chooses one of what a question holds, counted from nought.
    ///
    /// # Errors
    /// It is not asked any more; what comes of it cannot be; the disk fails.
    pub fn choose(&self, question: &Question, chosen: usize, now: DateTime<FixedOffset>) -> Result<(), RackError> {
        self.rack.choose(question, chosen, now)
    }
}
