//! What can go wrong with the rack, told so that a person can act on it.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::RecordError;
use super::error::show;
use crate::chain::layout::LayoutError;
use crate::chain::profile::ProfileError;
use crate::units::clean::clean;

/// Why something in the data folder could not be found, read, written or trusted.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RackError {
    /// A file or folder could not be used.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// A profile is at fault.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// Links and sequence do not fit.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// A line of a card, a list or a round says what cannot be.
    #[error("{}:{line}: {fault}", show(path))]
    Line {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What was read and what is allowed.
        fault: String,
    },
    /// What a card said before it was changed is not written down beside it.
    #[error(
        "What the card said before is not written down ({0}): folders that still say so will ask about it when they are joined."
    )]
    Unnoted(Box<RackError>),
    /// A text that cannot be a tag.
    #[error("\"{0}\" cannot be a tag. Allowed: 1 to 40 of a-z, 0-9 and -, not beginning or ending with -.")]
    BadTag(String),
    /// A saw whose name leaves nothing for its record to be called.
    #[error("\"{0}\" cannot be a saw's name. At least one letter a-z or digit is needed.")]
    BadSaw(String),
    /// A learner whose name leaves nothing for their record to be called.
    #[error("\"{0}\" cannot be a learner's name. At least one letter a-z or digit is needed.")]
    BadLearner(String),
    /// Another learner's name that makes the same file.
    #[error(
        "The drills of {known} are kept under that name already. Add a letter to {name}, so that the two are told apart."
    )]
    LearnerTaken {
        /// The name asked for.
        name: String,
        /// The name that has it.
        known: String,
    },
    /// A name that somebody else has, or may have.
    #[error("{0} is on record already. Two people must not become one: choose a name that nobody has.")]
    NameTaken(String),
    /// A name that is on its way to another one.
    #[error("{was} is on the way to \"{becomes}\": finish that first, by the same command as before.")]
    HalfNamed {
        /// The name.
        was: String,
        /// What takes its place.
        becomes: String,
    },
    /// The work was stopped by whoever asked for it.
    #[error("stopped; nothing was written")]
    Stopped,
    /// A tag that another loop has.
    #[error("There is already a loop with the tag \"{0}\". Choose another tag.")]
    TagTaken(String),
    /// No loop of that tag.
    #[error("There is no loop with the tag \"{0}\".")]
    NoLoop(String),
    /// No profile of that name.
    #[error("There is no profile \"{name}\". There are: {known}.")]
    NoProfile {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A round cannot be begun while another is open.
    #[error("\"{tag}\" has an open round, begun {}. Resume that one, or give it up.", started.format("%Y-%m-%d %H:%M"))]
    OpenRound {
        /// The loop.
        tag: String,
        /// When the open round began.
        started: DateTime<FixedOffset>,
        /// Its file.
        path: PathBuf,
    },
    /// More than one open round of a loop: two benches began one each.
    #[error("\"{tag}\" has {} open rounds: none is written until it is chosen which goes on ({})", files.len(), files.join(", "))]
    SeveralOpen {
        /// The loop.
        tag: String,
        /// Names of their files.
        files: Vec<String>,
    },
    /// A backup that cannot be made or brought back.
    #[error("{}: {what}. Nothing was changed.", show(path))]
    Backup {
        /// The file or folder.
        path: PathBuf,
        /// Why.
        what: String,
    },
    /// What was asked has been answered since.
    #[error("That is not asked any more: look at the questions again.")]
    NotAsked,
    /// A folder that cannot be joined to this one.
    #[error("{}: {what}. Nothing was joined.", show(path))]
    Join {
        /// The folder.
        path: PathBuf,
        /// Why.
        what: String,
    },
    /// Nothing to resume.
    #[error("\"{0}\" has no open round to resume.")]
    NoOpenRound(String),
    /// The loop was taken out of care.
    #[error("\"{0}\" was taken out of care. Release it first.")]
    Scrapped(String),
    /// The loop is set aside for practice.
    #[error("\"{0}\" is for practice, not for a saw: no round is begun on it. Its card says so, and can be changed.")]
    ForPractice(String),
    /// Nothing to release.
    #[error("Nothing holds \"{0}\" back.")]
    NotHeld(String),
    /// Of what was to be stored in one go only some is surely on record; or all of it, and it cannot be read back.
    #[error("{stored} of {of} entries are on record{}: {why}", if stored < of { " for certain" } else { ", but cannot be read back" })]
    Partly {
        /// Entries on record.
        stored: usize,
        /// Entries that were to be.
        of: usize,
        /// What went wrong then.
        why: Box<Self>,
    },
    /// The loop was rejected and not released since.
    #[error("\"{tag}\" is {why}. Release it first, once that is put right.")]
    Rejected {
        /// The loop.
        tag: String,
        /// Since when, and why.
        why: String,
    },
}

impl RackError {
    /// A fault on a line of a text file.
    pub(crate) fn line(path: &Path, line: usize, fault: &str) -> Self {
        Self::Line { path: path.to_owned(), line, fault: clean(fault) }
    }
}
