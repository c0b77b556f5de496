//! Why the workshop could not do what was asked.

use crate::record::{RackError, RecordError};
use crate::report::gaps::GapTableError;
use crate::units::clean::clean;

impl CareError {
    /// That an entry is not on record and why; `then` is what to do once the disk takes it.
    pub(crate) fn not_stored(&self, then: &str) -> String {
        let can_be_mended = matches!(self, Self::Rack(RackError::Record(RecordError::NotStored { .. })));
        let then =
            if can_be_mended { format!(" {then} once there is room and it can be written.") } else { String::new() };
        // What to do comes first: a path may be long.
        format!("NOT STORED.{then} {self}")
    }
}

/// That what was found in one look is not on record, or not all of it.
pub(crate) fn not_stored(error: &RackError) -> String {
    match error {
        RackError::Partly { stored, of, .. } if stored == of => error.to_string(),
        RackError::Partly { .. } => format!("NOT ALL STORED. {error}"),
        _ => format!("NOT STORED. {error}"),
    }
}

/// Why something could not be done in the workshop.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum CareError {
    /// Something in the data folder could not be found, read, written or trusted.
    #[error(transparent)]
    Rack(#[from] RackError),
    /// Ends or step of a table of gaps that cannot be.
    #[error(transparent)]
    Gaps(#[from] GapTableError),
    /// What holds the loop back: no round may begin on it.
    #[error("Not begun: {0}.")]
    HeldBack(String),
    /// The round is closed: nothing is added to it.
    #[error("no round is open.")]
    NotOpen,
    /// No loop has that tag or name.
    #[error(
        "There is no loop {}.{}",
        clean(asked),
        near.as_ref().map(|tag| format!(" The nearest is {tag}.")).unwrap_or_default()
    )]
    NoSuchLoop {
        /// What was asked for.
        asked: String,
        /// Tag of the loop that comes nearest.
        near: Option<String>,
    },
    /// Several loops have one name on screen.
    #[error("Several loops are called {}: name one by its tag, {tags}.", clean(name))]
    SeveralLoops {
        /// The name.
        name: String,
        /// Their tags.
        tags: String,
    },
    /// Nobody of that name has done a drill.
    #[error("There is no learner {}.", clean(.0))]
    NoSuchLearner(String),
    /// Nobody of that name is on record.
    #[error("Nobody called {} is on record.", clean(.0))]
    NoSuchPerson(String),
    /// A learner without a whole set of blind readings.
    #[error("There is no study of {}: a whole set of Measure twice is needed, and readings that differ.", clean(.0))]
    NoStudy(String),
    /// Two people were to be compared, and are one and the same.
    #[error("{} alone is no two: a second person must have measured the same cutters.", clean(.0))]
    OnePerson(String),
    /// A loop that nobody worked on.
    #[error("Loop {} has no round yet.", clean(.0))]
    NoRound(String),
    /// No round began then.
    #[error("Loop {} has no round that began {}.", clean(tag), clean(when))]
    NoRoundAt {
        /// The loop.
        tag: String,
        /// The time asked for.
        when: String,
    },
    /// More than one round began then.
    #[error("{rounds} rounds of loop {} began {}: be more specific.", clean(tag), clean(when))]
    SeveralAt {
        /// The loop.
        tag: String,
        /// The time asked for.
        when: String,
        /// How many.
        rounds: usize,
    },
}
