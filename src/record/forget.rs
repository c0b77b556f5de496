//! A person's name taken out of the record, or another put in its place; every reading as it was.
//!
//! In records only the lines that name the person are written anew, and the check sums of their blocks. Remarks are words of
//! their own and are left as they are; backups and joined folders are out of reach. What is derived goes and is made anew.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use toml::{Table, Value};

use super::block::{self, Piece, pieces};
use super::contents::continues_of;
use super::data_dir::{self, CARD, CHANGES, HISTORY, INDEX, LESSONS, PEOPLE_CHANGES};
use super::join::records::left_of;
use super::rack::Rack;
use super::series::{LEARNER_SUFFIX, SUFFIX};
use super::{Hear, MAX_FILE, RackError, files, go_on, people, shelves, small};
use crate::units::clean::{clean, slug};

/// What stands in the place of a name, with a number behind it.
pub(crate) const FORMER: &str = "former sharpener";
/// The key of whoever did something.
const BY: &str = "by";

/// What it comes to when a person is no longer named, or is named otherwise.
#[derive(Debug, Default)]
pub struct Forgotten {
    /// What stands in the place of the name.
    pub named: String,
    /// Files of rounds that name the person.
    pub rounds: Vec<PathBuf>,
    /// Cards with a release that names the person, and what is kept beside cards and the list of sharpeners.
    pub cards: Vec<PathBuf>,
    /// The person stands on the list of sharpeners.
    pub listed: bool,
    /// Their record of drills, with the files that it goes on in, and copies.
    pub drills: Vec<PathBuf>,
    /// Files that could not be read or written: they may still name the person.
    pub problems: Vec<(PathBuf, RackError)>,
}

impl Forgotten {
    /// True where nothing names the person.
    pub fn is_nothing(&self) -> bool {
        self.rounds.is_empty() && self.cards.is_empty() && !self.listed && self.drills.is_empty()
    }
}

/// What becomes of a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Becomes<'a> {
    /// It goes: drills and own figures too.
    Former,
    /// Another takes its place: all that is the person's stays.
    Called(&'a str),
}

impl Rack {
    /// Where a person is named, and what would stand in place of the name. Nothing is written.
    ///
    /// # Errors
    /// The folder of loops cannot be listed; it was stopped.
    pub fn named(&self, person: &str, hear: Hear<'_>) -> Result<Forgotten, RackError> {
        let person = clean(person);
        let mut found = Forgotten::default();
        let mut highest = 0;
        let all = self.round_files_of_all()?;
        let count = all.len();
        for (at, path) in all.into_iter().enumerate() {
            go_on(hear(at + 1, count))?;
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
        let half = self.half_named()?;
        highest = half.iter().map(|row| highest_former(row.becomes.as_bytes())).fold(highest, u32::max);
        let begun = half.into_iter().find(|row| row.was == person).map(|row| row.becomes);
        found.named = begun.unwrap_or_else(|| format!("{FORMER} {}", highest + 1));
        for path in self.tables_with_names()? {
            match table(&path) {
                Ok(mut table) => {
                    if put_in_place(&mut table, &person, Some(FORMER)) {
                        found.cards.push(path);
                    }
                }
                Err(error) => found.problems.push((path, error)),
            }
        }
        match people::read(self.root()) {
            Ok(list) => found.listed = list.iter().any(|known| known.name == person),
            Err(error) => found.problems.push((self.sharpeners_path(), error)),
        }
        for path in self.learner_files()? {
            match files::read(&path, MAX_FILE) {
                Ok(bytes) if is_of_learner(&bytes, &person) => found.drills.push(path),
                Ok(_) => {}
                Err(error) => found.problems.push((path, error.into())),
            }
        }
        Ok(found)
    }

    /// Takes a person's name out of the record. Each file is written beside the old one, synced and put in its place; one
    /// that is open elsewhere is left and told. `hear` is told how many rounds were looked through, and may stop that; once the
    /// first is written anew it goes on to the end, so that one person has one name in place of theirs.
    ///
    /// # Errors
    /// The folder of loops cannot be listed; it was stopped, and nothing is written; the name is on its way to one that was chosen.
    pub fn forget(&self, person: &str, hear: Hear<'_>) -> Result<Forgotten, RackError> {
        let done = self.named(person, hear)?;
        let person = clean(person);
        if !done.named.starts_with(FORMER) {
            return Err(RackError::HalfNamed { was: person, becomes: done.named });
        }
        self.put_name(&person, Becomes::Former, done)
    }

    /// Calls a person by another name from now on, in every record that names them.
    ///
    /// # Errors
    /// The other name is nobody's to take: it is empty, or somebody of that name is on record already, and two people would
    /// become one. The folder of loops cannot be listed; it was stopped while it was looked through (`hear`).
    pub fn rename_person(&self, person: &str, name: &str, done: bool, hear: Hear<'_>) -> Result<Forgotten, RackError> {
        let (person, name) = (clean(person), clean(name));
        let tag = slug(&name).ok_or_else(|| RackError::BadLearner(name.clone()))?;
        let drills = data_dir::learners(self.root()).join(format!("{tag}{LEARNER_SUFFIX}"));
        let is_theirs = slug(&person).as_ref() == Some(&tag);
        let begun = self.half_named()?.into_iter().find(|row| row.was == person);
        match begun {
            Some(row) if row.becomes == name => {}
            Some(row) => return Err(RackError::HalfNamed { was: person, becomes: row.becomes }),
            None if !self.named(&name, hear)?.is_nothing() || !is_theirs && files::exists(&drills)? => {
                return Err(RackError::NameTaken(name));
            }
            None => {}
        }
        let found = Forgotten { named: name.clone(), ..self.named(&person, hear)? };
        if done { self.put_name(&person, Becomes::Called(&name), found) } else { Ok(found) }
    }

    /// Before the first file is written, what the name becomes is written down; once nothing has the name any more, that goes.
    fn put_name(&self, person: &str, becomes: Becomes<'_>, done: Forgotten) -> Result<Forgotten, RackError> {
        let goes_on = self.half_named()?.iter().any(|row| row.was == person);
        if done.is_nothing() && !goes_on {
            return Ok(done);
        }
        self.name_sets_out(person, &done.named)?;
        // What was derived from files that were written before it was stopped may have been left.
        let tags = if goes_on { shelves::tags(self.root())? } else { Vec::new() };
        let derived = tags.iter().map(|tag| self.folder(tag)).collect::<Result<_, _>>()?;
        let done = self.put_in_all(person, becomes, done, derived);
        if done.problems.is_empty() {
            self.name_arrived(person)?;
        }
        Ok(done)
    }

    fn put_in_all(
        &self,
        person: &str,
        becomes: Becomes<'_>,
        mut done: Forgotten,
        mut loops: BTreeSet<PathBuf>,
    ) -> Forgotten {
        let mut problems = std::mem::take(&mut done.problems);
        // A file that could not be written stays as it was, and is told.
        let mut each = |paths: &mut Vec<PathBuf>, write: &dyn Fn(&Path) -> Result<(), RackError>| {
            paths.retain(|path| {
                let written = write(path);
                loops.extend(path.parent().map(Path::to_path_buf));
                written.map_err(|error| problems.push((path.clone(), error))).is_ok()
            });
        };
        each(&mut done.rounds, &|path| rename_in(path, person, &done.named));
        each(&mut done.cards, &|path| {
            let mut table = table(path)?;
            let name =
                if path.ends_with(PEOPLE_CHANGES) && becomes == Becomes::Former { None } else { Some(&*done.named) };
            put_in_place(&mut table, person, name);
            Ok(files::replace(path, small::render(&table)?.as_bytes())?)
        });
        each(&mut done.drills, &|path| match becomes {
            // Open elsewhere it has a lock, and is left.
            Becomes::Former => Ok(files::open_locked(path).and_then(|_held| files::remove(path))?),
            Becomes::Called(name) => call_learner(path, person, name),
        });
        let listed = match becomes {
            Becomes::Former => people::remove(self.root(), person),
            Becomes::Called(name) => people::rename(self.root(), person, name),
        };
        if done.listed
            && let Err(error) = listed
        {
            done.listed = false;
            problems.push((self.sharpeners_path(), error));
        }
        let derived = loops.iter().map(|folder| folder.join(HISTORY));
        let derived = derived.chain([INDEX, "tags.html"].map(|name| self.root().join(name)));
        for path in derived {
            let gone = files::exists(&path).and_then(|there| if there { files::remove(&path) } else { Ok(()) });
            if let Err(error) = gone {
                problems.push((path, error.into()));
            }
        }
        done.problems = problems;
        done
    }

    /// Every file of a round: those that are continued by another, copies, and versions that were set aside.
    fn round_files_of_all(&self) -> Result<Vec<PathBuf>, RackError> {
        let mut all = Vec::new();
        for tag in shelves::tags(self.root())? {
            let folder = self.folder(&tag)?;
            all.extend(super::series::all(&folder, SUFFIX)?);
            all.extend(left_of(&folder, SUFFIX)?);
        }
        Ok(all)
    }

    /// Every record of drills: those that are continued by another, copies, and versions that were set aside.
    fn learner_files(&self) -> Result<Vec<PathBuf>, RackError> {
        let folder = data_dir::learners(self.root());
        if !files::exists(&folder)? {
            return Ok(Vec::new());
        }
        let mut all = super::series::all(&folder, LEARNER_SUFFIX)?;
        all.extend(left_of(&folder, LEARNER_SUFFIX)?);
        Ok(all)
    }

    /// Cards, and what is kept beside them and beside the list of sharpeners, as far as there is any.
    fn tables_with_names(&self) -> Result<Vec<PathBuf>, RackError> {
        let mut all = vec![self.root().join(PEOPLE_CHANGES), self.root().join(LESSONS)];
        for tag in shelves::tags(self.root())? {
            let folder = self.folder(&tag)?;
            all.extend([CARD, CHANGES].map(|name| folder.join(name)));
        }
        let mut found = Vec::new();
        for path in all {
            if files::exists(&path)? {
                found.push(path);
            }
        }
        Ok(found)
    }
}

fn table(path: &Path) -> Result<Table, RackError> {
    small::parse(path, &small::text(path)?)
}

/// Puts a name in the place of a person's wherever something says who did it, and where a field is one of theirs; without a
/// name such fields go. True where that changed anything.
fn put_in_place(table: &mut Table, person: &str, name: Option<&str>) -> bool {
    let mut changed = false;
    for (key, value) in table.iter_mut() {
        match value {
            Value::String(text) if key == BY && text == person => {
                name.unwrap_or(FORMER).clone_into(text);
                changed = true;
            }
            Value::Table(inner) => changed |= put_in_place(inner, person, name),
            Value::Array(rows) => {
                let before = rows.len();
                rows.retain(|row| name.is_some() || !is_theirs(row, person));
                changed |= rows.len() != before;
                for row in rows {
                    let theirs = is_theirs(row, person);
                    let Value::Table(row) = row else { continue };
                    changed |= theirs || put_in_place(row, person, name);
                    if let (true, Some(name), Some(Value::Array(field))) = (theirs, name, row.get_mut("field"))
                        && let Some(first) = field.first_mut()
                    {
                        *first = Value::String(name.to_owned());
                    }
                }
            }
            _ => {}
        }
    }
    changed
}

/// True for a row that tells of a field of this person in the list of people.
fn is_theirs(row: &Value, person: &str) -> bool {
    row.get("field").and_then(|field| field.get(0)).and_then(Value::as_str) == Some(person)
}

/// True for a record of drills whose header names this person.
fn is_of_learner(bytes: &[u8], person: &str) -> bool {
    let mut headers = pieces(bytes).into_iter().filter(|piece| piece.what.as_ref().is_ok_and(|whole| whole.is_header));
    headers
        .next()
        .is_some_and(|header| block::with_text(&bytes[header.start..header.end], "name", person, FORMER).is_some())
}

/// A learner's record under another name: the lines of the header that name the learner or the file that it continues, and what
/// the file is called.
fn call_learner(path: &Path, person: &str, name: &str) -> Result<(), RackError> {
    let (Some(old), Some(new)) = (slug(person), slug(name)) else { return Err(RackError::BadLearner(name.to_owned())) };
    let mut file = files::open_locked(path)?;
    let bytes = files::read_from(&mut file, path, MAX_FILE)?;
    let before = continues_of(path, &bytes).unwrap_or_default();
    let lines =
        [("name", person, name), ("learner", &old, &new), ("continues", &before, &before.replacen(&old, &new, 1))];
    let mut out = Vec::with_capacity(bytes.len() + 64);
    for Piece { start, end, what, .. } in pieces(&bytes) {
        let mut block = bytes[start..end].to_vec();
        if what.is_ok_and(|whole| whole.is_header) {
            for (key, from, to) in lines {
                block = block::with_text(&block, key, from, to).unwrap_or(block);
            }
        }
        out.extend(block);
    }
    let called = path.file_name().map(|file| file.to_string_lossy().replacen(&old, &new, 1)).unwrap_or_default();
    let to = path.with_file_name(called);
    if to == path || !files::exists(&to)? {
        files::replace(&to, &out)?;
    } else if !files::read(&to, MAX_FILE)?.starts_with(&out) {
        return Err(RackError::NameTaken(name.to_owned()));
    }
    if to != path {
        drop(file);
        files::remove(path)?;
    }
    Ok(())
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
            Ok(_) => BY,
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
