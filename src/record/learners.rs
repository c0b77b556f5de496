//! Who learns: one append-only record of drills per learner, written by the journal that rounds have.
//!
//! These records are private to the data folder: nothing in a round names them, and they name no round.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::contents::Stamped;
use super::rack::Rack;
use super::series::{self, LEARNER_SUFFIX, name_of};
use super::{Journal, Moved, RackError, RecordError, Recovered, contents, copies, data_dir, files};
use crate::drill::{DrillEntry, DrillEvent, Learner, LearnerHeader};
use crate::units::clean::{clean, is_slug, slug};

/// All learners, and what could not be read.
#[derive(Debug, Default)]
pub struct Learners {
    /// By name of their record.
    pub learners: Vec<Learner>,
    /// Records at fault, and copies.
    pub problems: Vec<(PathBuf, RackError)>,
}

/// A learner's record that is open for writing. A new one lies on the disk from its first event on.
#[derive(Debug)]
pub struct LearnerFile {
    place: Place,
    /// A torn end that was moved aside on opening.
    pub recovered: Option<Recovered>,
}

#[derive(Debug)]
enum Place {
    Begun(Journal<LearnerHeader, DrillEvent>),
    New { path: PathBuf, header: LearnerHeader },
}

impl LearnerFile {
    /// Stores one event. It is on record when this returns.
    ///
    /// # Errors
    /// Nothing was stored: the disk fails (the same call may be made again), or the record is full.
    pub fn append(
        &mut self,
        at: DateTime<FixedOffset>,
        event: &DrillEvent,
        typed: Option<&str>,
    ) -> Result<(DrillEntry, Option<Moved>), RackError> {
        let journal = match &mut self.place {
            Place::Begun(journal) => journal,
            Place::New { path, header } => {
                files::create_folder(files::folder_of(path))?;
                let journal = Journal::create(path, header)?;
                self.place = Place::Begun(journal);
                return self.append(at, event, typed);
            }
        };
        let ack = journal.append(at, None, event, typed)?;
        Ok((entry(ack.stamped), ack.moved))
    }
}

fn entry(stamped: Stamped<DrillEvent>) -> DrillEntry {
    DrillEntry { seq: stamped.seq, at: stamped.at, event: stamped.event }
}

/// Reads one record.
pub(super) fn read_learner(path: &Path) -> Result<Learner, RackError> {
    let contents = contents::read::<LearnerHeader, DrillEvent>(path)?;
    fold(path, contents.header, contents.entries)
}

/// The learner that header and events make; a record under another's name is refused. A copy may be called after anything.
pub(super) fn fold(
    path: &Path,
    header: LearnerHeader,
    entries: Vec<Stamped<DrillEvent>>,
) -> Result<Learner, RackError> {
    let name = name_of(path);
    let named = series::began(&name).0 == header.tag || !series::is_plain(&name);
    if !named || !is_slug(&header.tag) {
        let fault = format!("`learner` is {}, but the file is called {}", clean(&header.tag), clean(&name));
        return Err(RackError::line(path, 1, &fault));
    }
    Ok(Learner::replay(header, entries.into_iter().map(entry).collect()))
}

/// The records in the order of their names, and copies of them.
pub(super) fn sorted(root: &Path) -> Result<copies::Sorted, RecordError> {
    copies::sort_out::<LearnerHeader, DrillEvent>(&data_dir::learners(root), LEARNER_SUFFIX, &copies::id_of)
}

impl Rack {
    /// All learners. Nothing is written.
    pub fn learners(&self) -> Learners {
        let mut found = Learners::default();
        let sorted = match sorted(self.root()) {
            Ok(sorted) => sorted,
            Err(error) => {
                found.problems.push((data_dir::learners(self.root()), error.into()));
                return found;
            }
        };
        found.problems.extend(sorted.copies.into_iter().map(|(path, copy)| (path, copy.into())));
        for copies::Listed { path, .. } in sorted.files {
            match read_learner(&path) {
                Ok(learner) => found.learners.push(learner),
                Err(error) => found.problems.push((path, error)),
            }
        }
        found
    }

    /// Opens a learner's record for writing; one is begun with the first event where there is none.
    ///
    /// # Errors
    /// A name without a letter or digit; another learner's name makes the same file; the record is open in another window
    /// or cannot be trusted; the disk fails.
    pub fn open_learner(&self, name: &str, at: DateTime<FixedOffset>) -> Result<(LearnerFile, Learner), RackError> {
        let name = clean(name);
        let tag = slug(&name).ok_or_else(|| RackError::BadLearner(name.clone()))?;
        let folder = data_dir::learners(self.root());
        let of_it = |path: &Path| series::began(&name_of(path)).0 == tag;
        let record = sorted(self.root())?.files.into_iter().map(|listed| listed.path).find(|path| of_it(path));
        match record {
            Some(path) => {
                let (journal, opened) = Journal::open(&path, at.to_utc())?;
                let learner = fold(&path, opened.header, opened.entries)?;
                if learner.header.name != name {
                    let (name, known) = (name, clean(&learner.header.name));
                    return Err(RackError::LearnerTaken { name, known });
                }
                Ok((LearnerFile { place: Place::Begun(journal), recovered: opened.recovered }, learner))
            }
            None => {
                let path = folder.join(format!("{tag}{LEARNER_SUFFIX}"));
                let header = LearnerHeader { tag, name, started: at };
                let place = Place::New { path, header: header.clone() };
                Ok((LearnerFile { place, recovered: None }, Learner::replay(header, Vec::new())))
            }
        }
    }
}
