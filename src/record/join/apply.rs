//! A join done: files made ready, synced, moved into place.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde::{Serialize, de::DeserializeOwned};

use super::super::data_dir::{self, JOINING};
use super::super::rack::Rack;
use super::super::{Hear, MAX_FILE, RackError, RecordError, files, go_on};
use super::records::{self, Act, Source, What};
use super::{Join, LoopJoin, ThingJoin, of_act};
use crate::drill::{DrillEvent, LearnerHeader};
use crate::round::{Event, Header};
use crate::saw::{SawEvent, SawHeader};

/// What was done.
#[derive(Debug, Default)]
pub struct Joined {
    /// Files that could not be moved into place, or changed since they were looked at. Done again the join takes them.
    pub refused: Vec<(PathBuf, RackError)>,
}

impl Rack {
    /// Does what was looked at. `hear` is told how many files were made ready, and may stop that: then nothing is changed. Once
    /// the first file moves into place it goes on to the end, which is soon.
    ///
    /// # Errors
    /// It was stopped; or the disk fails: what was moved into place stays, each file whole, and the join can be done again.
    pub fn join(&self, join: &Join, hear: Hear<'_>) -> Result<Joined, RackError> {
        let total = total(join);
        let stage = self.root().join(JOINING);
        files::create_folder(self.root())?;
        if files::exists(&stage)? {
            files::remove_folder(&stage)?; // of a join that was stopped
        }
        if join.is_nothing() {
            return Ok(Joined::default());
        }
        files::create_folder(&stage)?;
        let mut work = Work {
            root: self.root(),
            stage: stage.clone(),
            done: Joined::default(),
            touched: BTreeSet::new(),
            ready: Vec::new(),
            made: 0,
            hear,
            total,
        };
        let ready = work.make_ready(join);
        if let Err(error) = ready {
            let _ = files::remove_folder(&stage); // nothing was moved yet
            return Err(error);
        }
        files::sync_many(&work.ready)?;
        work.put_in_place(join)?;
        let Work { done, touched, .. } = work;
        files::sync_many(&touched.into_iter().collect::<Vec<_>>())?;
        files::remove_folder(&stage)?;
        Ok(done)
    }
}

/// How many files a join makes ready.
fn total(join: &Join) -> usize {
    let of_thing = |thing: &ThingJoin| usize::from(thing.text.is_some()) + usize::from(thing.beside.is_some());
    let of_acts = |acts: &[Act]| acts.iter().filter(|act| !matches!(act.what, What::SetAside(_))).count();
    let of_loop = |one: &LoopJoin| of_acts(&one.rounds.todo) + one.card.as_ref().map_or(0, of_thing);
    join.loops.iter().map(of_loop).sum::<usize>()
        + of_acts(&join.saws.todo)
        + of_acts(&join.learners.todo)
        + join.things.iter().map(of_thing).sum::<usize>()
}

struct Work<'a> {
    root: &'a Path,
    stage: PathBuf,
    done: Joined,
    /// Files that were made ready.
    ready: Vec<PathBuf>,
    /// Folders in which names change.
    touched: BTreeSet<PathBuf>,
    made: usize,
    total: usize,
    hear: Hear<'a>,
}

impl Work<'_> {
    /// One more file is made ready.
    fn step(&mut self) -> Result<(), RackError> {
        self.made += 1;
        go_on((self.hear)(self.made, self.total))
    }

    /// Where a file of the data folder is made ready.
    fn staged(&self, path: &Path) -> PathBuf {
        self.stage.join(path.strip_prefix(self.root).unwrap_or(path))
    }

    fn put(&mut self, to: PathBuf, bytes: &[u8]) -> Result<(), RackError> {
        files::put(&to, bytes)?;
        self.ready.push(to);
        Ok(())
    }

    /// Writes all that is new beside the data folder's own files.
    fn make_ready(&mut self, join: &Join) -> Result<(), RackError> {
        for one in &join.loops {
            let folder = data_dir::loops(self.root).join(&one.tag);
            self.acts_ready::<Header, Event>(&folder, &one.rounds.todo)?;
            if let Some(card) = &one.card {
                self.thing_ready(card)?;
            }
        }
        self.acts_ready::<SawHeader, SawEvent>(&data_dir::saws(self.root), &join.saws.todo)?;
        self.acts_ready::<LearnerHeader, DrillEvent>(&data_dir::learners(self.root), &join.learners.todo)?;
        join.things.iter().try_for_each(|thing| self.thing_ready(thing))
    }

    fn acts_ready<H, E>(&mut self, folder: &Path, acts: &[Act]) -> Result<(), RackError>
    where
        H: Serialize + DeserializeOwned,
        E: Serialize + DeserializeOwned,
    {
        for act in acts {
            let (What::Add(source) | What::Replace(source) | What::Left(source)) = &act.what else { continue };
            let to = self.staged(&of_act(folder, act));
            files::create_folder(files::folder_of(&to))?;
            match bytes::<H, E>(source) {
                Ok(bytes) => self.put(to, &bytes)?,
                Err(error) => self.done.refused.push((source.path.clone(), error)),
            }
            self.step()?;
        }
        Ok(())
    }

    fn thing_ready(&mut self, thing: &ThingJoin) -> Result<(), RackError> {
        let (path, beside) = (thing.thing.path(self.root), thing.thing.beside(self.root));
        for (path, text) in [(path, &thing.text), (beside, &thing.beside)] {
            let Some(text) = text else { continue };
            let to = self.staged(&path);
            files::create_folder(files::folder_of(&to))?;
            self.put(to, text.as_bytes())?;
            self.step()?;
        }
        Ok(())
    }

    /// Moves what was made ready. Of a loop that is here its rounds come first, then what is written beside the card, then the
    /// card; one that somebody began to take into care and that has none gets its card first.
    fn put_in_place(&mut self, join: &Join) -> Result<(), RackError> {
        for one in &join.loops {
            let folder = data_dir::loops(self.root).join(&one.tag);
            if !files::exists(&folder)? {
                self.whole_in_place(&folder)?;
                continue;
            }
            if let Err(error) = self.loop_in_place(&folder, one) {
                self.refuse_or_fail(folder, error)?;
            }
        }
        let saws = data_dir::saws(self.root);
        if !join.saws.todo.is_empty() {
            files::create_folder(&saws)?;
            self.acts_in_place::<SawHeader, SawEvent>(&saws, &join.saws.todo)?;
        }
        let learners = data_dir::learners(self.root);
        if !join.learners.todo.is_empty() {
            files::create_folder(&learners)?;
            self.acts_in_place::<LearnerHeader, DrillEvent>(&learners, &join.learners.todo)?;
        }
        join.things.iter().try_for_each(|thing| self.thing_in_place(thing))
    }

    /// A loop of which nothing is here comes as one.
    fn whole_in_place(&mut self, folder: &Path) -> Result<(), RackError> {
        let loops = files::folder_of(folder);
        files::create_folder(loops)?;
        files::move_new(&self.staged(folder), folder)?;
        self.touched.insert(loops.to_owned());
        Ok(())
    }

    /// A file in use elsewhere waits for the next join; anything else ends this one.
    fn refuse_or_fail(&mut self, path: PathBuf, error: RackError) -> Result<(), RackError> {
        match error {
            RackError::Record(RecordError::InUse { .. } | RecordError::Exists { .. }) => {
                self.done.refused.push((path, error));
                Ok(())
            }
            error => Err(error),
        }
    }

    fn loop_in_place(&mut self, folder: &Path, one: &LoopJoin) -> Result<(), RackError> {
        {
            // Nobody begins a round here meanwhile.
            let card = folder.join(data_dir::CARD);
            if one.is_new {
                one.card.as_ref().map_or(Ok(()), |card| self.thing_in_place(card))?;
            }
            let _guard = files::open_locked(&card)?;
            self.acts_in_place::<Header, Event>(folder, &one.rounds.todo)?;
        }
        one.card.as_ref().filter(|_| !one.is_new).map_or(Ok(()), |card| self.thing_in_place(card))
    }

    fn thing_in_place(&mut self, thing: &ThingJoin) -> Result<(), RackError> {
        let (path, beside) = (thing.thing.path(self.root), thing.thing.beside(self.root));
        for (path, text) in [(beside, &thing.beside), (path, &thing.text)] {
            if text.is_some() {
                files::create_folder(files::folder_of(&path))?;
                files::move_over(&self.staged(&path), &path)?;
                self.touched.insert(files::folder_of(&path).to_owned());
            }
        }
        Ok(())
    }

    fn acts_in_place<H, E>(&mut self, folder: &Path, acts: &[Act]) -> Result<(), RackError>
    where
        H: Serialize + DeserializeOwned + PartialEq,
        E: Serialize + DeserializeOwned + PartialEq,
    {
        self.touched.insert(folder.to_owned());
        for act in acts {
            let path = of_act(folder, act);
            let from = self.staged(&path);
            let ready = files::exists(&from)?;
            let done = match &act.what {
                What::Add(_) | What::Left(_) if ready => files::move_new(&from, &path).map_err(RackError::from),
                What::Replace(_) if ready => longer::<H, E>(&from, &path),
                What::SetAside(to) => files::move_new(&path, &folder.join(to)).map_err(RackError::from),
                _ => Ok(()),
            };
            if let Err(error) = done {
                self.refuse_or_fail(path, error)?;
            }
        }
        Ok(())
    }
}

/// The bytes that were looked at; refused where they changed since.
fn bytes<H, E>(source: &Source) -> Result<Vec<u8>, RackError>
where
    H: Serialize + DeserializeOwned,
    E: Serialize + DeserializeOwned,
{
    let path = &source.path;
    let bytes = match source.len {
        None => records::bytes_of::<H, E>(path)?.1,
        Some(len) => {
            let mut bytes = files::read(path, MAX_FILE)?;
            bytes.truncate(len);
            bytes
        }
    };
    if crc32fast::hash(&bytes) == source.sum {
        return Ok(bytes);
    }
    Err(RackError::line(path, 1, "changed while it was joined; join it again"))
}

/// Puts a longer version in the place of one that nobody writes, and that still is the shorter one.
fn longer<H, E>(from: &Path, path: &Path) -> Result<(), RackError>
where
    H: Serialize + DeserializeOwned + PartialEq,
    E: Serialize + DeserializeOwned + PartialEq,
{
    let _lock = files::open_locked(path)?;
    let ((long, _), (short, _)) = (records::bytes_of::<H, E>(from)?, records::bytes_of::<H, E>(path)?);
    if long.header == short.header && records::holds(&long, &short) {
        return Ok(files::move_over(from, path)?);
    }
    Err(RecordError::InUse { path: path.to_owned() }.into())
}
