//! A person's name taken out of the record: another name in its place, every reading as it was.
//!
//! Only the lines that name the person are written anew, and the check sums of their blocks. Remarks are words of their own
//! and are left as they are; backups and joined folders are out of reach.

use std::path::{Path, PathBuf};

use super::block::{self, Piece, pieces};
use super::data_dir;
use super::people;
use super::rack::Rack;
use super::series::{LEARNER_SUFFIX, SUFFIX};
use super::{MAX_FILE, RackError, files, shelves};
use crate::units::clean::{clean, slug};

/// What stands in the place of a name, with a number behind it.
pub(crate) const FORMER: &str = "former sharpener";

/// What naming a person no more comes to.
#[derive(Debug, Default)]
pub struct Forgotten {
    /// What stands in the place of the name.
    pub named: String,
    /// Files of rounds that name the person.
    pub rounds: Vec<PathBuf>,
    /// The person stands on the list of sharpeners.
    pub listed: bool,
    /// Their record of drills.
    pub drills: Option<PathBuf>,
    /// Files that could not be read or written: they may still name the person.
    pub problems: Vec<(PathBuf, RackError)>,
}

impl Forgotten {
    /// True where nothing names the person.
    pub fn is_nothing(&self) -> bool {
        self.rounds.is_empty() && !self.listed && self.drills.is_none()
    }
}

impl Rack {
    /// Where a person is named, and what would stand in place of the name. Nothing is written.
    ///
    /// # Errors
    /// The folder of loops cannot be listed.
    pub fn named(&self, person: &str) -> Result<Forgotten, RackError> {
        let person = clean(person);
        let mut found = Forgotten::default();
        let mut highest = 0;
        for path in self.round_files_of_all()? {
            match files::read(&path, MAX_FILE) {
                Ok(bytes) => {
                    highest = highest.max(highest_former(&bytes));
                    if renamed(&bytes, &person, FORMER).is_some() {
                        found.rounds.push(path);
                    }
                }
                Err(error) => found.problems.push((path, error.into())),
            }
        }
        found.named = format!("{FORMER} {}", highest + 1);
        match people::read(self.root()) {
            Ok(list) => found.listed = list.iter().any(|known| known.name == person),
            Err(error) => found.problems.push((self.sharpeners_path(), error)),
        }
        let drills = slug(&person).map(|tag| data_dir::learners(self.root()).join(format!("{tag}{LEARNER_SUFFIX}")));
        if let Some(path) = drills {
            match files::exists(&path)
                .map_err(RackError::from)
                .and_then(|there| there.then(|| super::learners::read_learner(&path)).transpose())
            {
                Ok(learner) => found.drills = learner.filter(|known| known.header.name == person).map(|_| path),
                Err(error) => found.problems.push((path, error)),
            }
        }
        Ok(found)
    }

    /// Takes a person's name out of the record. Each file is written beside the old one, synced and put in its place; one
    /// that is open elsewhere is left and told. Done again after a stop it goes on with what is left.
    ///
    /// # Errors
    /// The folder of loops cannot be listed.
    pub fn forget(&self, person: &str) -> Result<Forgotten, RackError> {
        let person = clean(person);
        let mut done = self.named(&person)?;
        let mut rounds = Vec::new();
        for path in std::mem::take(&mut done.rounds) {
            match rename_in(&path, &person, &done.named) {
                Ok(()) => rounds.push(path),
                Err(error) => done.problems.push((path, error)),
            }
        }
        done.rounds = rounds;
        if done.listed
            && let Err(error) = people::remove(self.root(), &person)
        {
            done.listed = false;
            done.problems.push((self.sharpeners_path(), error));
        }
        if let Some(path) = done.drills.clone() {
            // Open elsewhere it has a lock, and is left.
            if let Err(error) = files::open_locked(&path).and_then(|_held| files::remove(&path)) {
                done.drills = None;
                done.problems.push((path, error.into()));
            }
        }
        Ok(done)
    }

    /// Every file of a round, those that are continued by another and copies too.
    fn round_files_of_all(&self) -> Result<Vec<PathBuf>, RackError> {
        let mut all = Vec::new();
        for tag in shelves::tags(self.root())? {
            all.extend(super::series::all(&self.folder(&tag)?, SUFFIX)?);
        }
        Ok(all)
    }
}

fn rename_in(path: &Path, person: &str, named: &str) -> Result<(), RackError> {
    let mut file = files::open_locked(path)?;
    let bytes = files::read_from(&mut file, path, MAX_FILE)?;
    if let Some(text) = renamed(&bytes, person, named) {
        files::replace(path, &text)?;
    }
    Ok(())
}

/// The bytes with another name in place of a person's; nothing where they are not named. What is no whole block stays.
fn renamed(bytes: &[u8], person: &str, named: &str) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(bytes.len() + 64);
    let mut changed = false;
    for Piece { start, end, what, .. } in pieces(bytes) {
        let raw = &bytes[start..end];
        let key = match &what {
            Ok(whole) if whole.is_header => "sharpener",
            Ok(_) => "by",
            Err(_) => {
                out.extend_from_slice(raw);
                continue;
            }
        };
        match block::with_text(raw, key, person, named) {
            Some(block) => {
                changed = true;
                out.extend(block);
            }
            None => out.extend_from_slice(raw),
        }
    }
    changed.then_some(out)
}

/// The highest number that a former sharpener has in a file.
fn highest_former(bytes: &[u8]) -> u32 {
    let text = String::from_utf8_lossy(bytes);
    let numbers = text.match_indices(FORMER).filter_map(|(at, found)| {
        let rest = text[at + found.len()..].trim_start();
        rest[..rest.bytes().take_while(u8::is_ascii_digit).count()].parse::<u32>().ok()
    });
    numbers.max().unwrap_or(0)
}
