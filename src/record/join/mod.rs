//! Two data folders made one: what another holds is brought into this one, and nothing of either is lost.
//!
//! First both are looked at and a [`Join`] says what is to be done; nothing is written. Then it is done: every file is made
//! ready in a folder beside the others, all of it synced, then moved into place one by one, records before cards. A join that
//! is stopped anywhere leaves whole files, some of them moved; done again it does the rest. What comes of joining several
//! folders is the same in whatever order that is done: [`values`] says why for cards, people and profiles, [`records`] for
//! rounds and saws.
//!
//! Settings and keys belong to a bench and are not joined; what is derived is made anew.

mod answer;
mod apply;
pub(crate) mod records;
mod thing;
pub(crate) mod values;

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

use super::data_dir;
use super::rack::Rack;
use super::series::{LEARNER_SUFFIX, SAW_SUFFIX, SUFFIX};
use super::{Contents, Hear, RackError, files, go_on, learners, saws, shelves};
use crate::drill::{DrillEvent, LearnerHeader};
use crate::round::{Event, Header, Round};
use crate::saw::{SawEvent, SawHeader};
use crate::units::clean::clean;
pub use answer::{Question, Version};
pub(crate) use answer::{asked_beside, asked_in, asked_of_rounds, check_beside, is_asked};
pub use apply::Joined;
use records::{Act, Acts, What};
pub use thing::Thing;
use thing::{Loaded, sum_of};
pub use values::{Choice, Open};

/// What is asked of a join.
#[derive(Debug, Clone, Default)]
pub struct JoinWish {
    /// What this folder is called beside its values.
    pub here: String,
    /// What the other is called.
    pub there: String,
    /// Loops of one tag that were taken into care twice and are one all the same.
    pub one: BTreeSet<String>,
    /// Loops of the other folder that are left out.
    pub without: BTreeSet<String>,
}

/// What joining another folder comes to.
#[derive(Debug)]
pub struct Join {
    /// What the folders are called.
    pub wish: JoinWish,
    there: PathBuf,
    /// The loops of the other folder of which something is new here.
    pub loops: Vec<LoopJoin>,
    /// Loops of which both hold the same.
    pub same: usize,
    saws: Acts,
    learners: Acts,
    things: Vec<ThingJoin>,
    /// Loops of one tag that were taken into care at different times: whether they are one must be said first.
    pub twice: Vec<Twice>,
    /// Files of the other folder that cannot be taken; everything else is.
    pub refused: Vec<(PathBuf, RackError)>,
}

/// Two loops of one tag, or one that was taken into care twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twice {
    /// The tag.
    pub tag: String,
    /// When it came into care here, as the card has it.
    pub here: String,
    /// The same in the other folder.
    pub there: String,
}

/// What is new of one loop.
#[derive(Debug)]
pub struct LoopJoin {
    /// Its tag.
    pub tag: String,
    /// It is not in care here yet.
    pub is_new: bool,
    rounds: Acts,
    card: Option<ThingJoin>,
}

/// What is new of the fields of a thing.
#[derive(Debug)]
pub struct ThingJoin {
    /// Which.
    pub thing: Thing,
    /// It is not here yet.
    pub is_new: bool,
    /// Its text, where that changes.
    text: Option<String>,
    /// What is written beside it, where that changes.
    beside: Option<String>,
    /// Fields that will read differently here: what they read now, and what they will.
    pub changes: Vec<(String, String, String)>,
    /// Fields of which more than one value stands then.
    pub open: Vec<Open>,
    /// Those of them that are not open here yet.
    pub new_open: usize,
}

impl ThingJoin {
    fn is_nothing(&self) -> bool {
        self.text.is_none() && self.beside.is_none()
    }
}

/// How many files of records are added, how many made longer, and how many have several versions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// New here.
    pub added: usize,
    /// Longer than here.
    pub longer: usize,
    /// Set aside there.
    pub aside: usize,
    /// In which each version holds what the other does not.
    pub differ: usize,
    /// Held alike, or longer here.
    pub same: usize,
}

impl Acts {
    /// How many of each.
    pub(crate) fn counts(&self) -> Counts {
        let of = |is: fn(&What) -> bool| self.todo.iter().filter(|act| is(&act.what)).count();
        // A version of a record that is here is no new record.
        let is_version =
            |act: &&Act| matches!(act.what, What::Add(_)) && self.differ.iter().any(|names| names.contains(&act.name));
        let versions = self.todo.iter().filter(is_version).count();
        Counts {
            added: of(|what| matches!(what, What::Add(_))) - versions,
            longer: of(|what| matches!(what, What::Replace(_))),
            aside: of(|what| matches!(what, What::Left(_) | What::SetAside(_))),
            differ: self.differ.len(),
            same: self.same,
        }
    }
}

impl LoopJoin {
    /// What becomes of its rounds.
    pub fn rounds(&self) -> Counts {
        self.rounds.counts()
    }

    /// The rounds of which each version holds what the other does not: names of their files.
    pub fn differ(&self) -> &[Vec<String>] {
        &self.rounds.differ
    }

    /// What becomes of its card.
    pub const fn card(&self) -> Option<&ThingJoin> {
        self.card.as_ref()
    }

    /// True where nothing is to be told of it: at most it is written down who else holds the card.
    fn is_quiet(&self) -> bool {
        let told = |card: &ThingJoin| card.text.is_some() || card.new_open > 0;
        !self.is_new && self.rounds.todo.is_empty() && !self.card.as_ref().is_some_and(told)
    }
}

impl Join {
    /// Loops of which something is to be told.
    pub fn told(&self) -> impl Iterator<Item = &LoopJoin> {
        self.loops.iter().filter(|one| !one.is_quiet())
    }

    /// What becomes of the records of saws.
    pub fn saws(&self) -> Counts {
        self.saws.counts()
    }

    /// What becomes of the drills of learners.
    pub fn learners(&self) -> Counts {
        self.learners.counts()
    }

    /// What becomes of people and profiles.
    pub fn things(&self) -> &[ThingJoin] {
        &self.things
    }

    /// What becomes of all rounds.
    pub fn rounds(&self) -> Counts {
        self.loops.iter().map(LoopJoin::rounds).fold(Counts::default(), |sum, of| Counts {
            added: sum.added + of.added,
            longer: sum.longer + of.longer,
            aside: sum.aside + of.aside,
            differ: sum.differ + of.differ,
            same: sum.same + of.same,
        })
    }

    /// True where there is nothing to do.
    pub fn is_nothing(&self) -> bool {
        self.loops.is_empty() && self.saws.todo.is_empty() && self.learners.todo.is_empty() && self.things.is_empty()
    }
}

/// A value as people read it.
pub(crate) fn shown(value: Option<&toml::Value>) -> String {
    match value {
        None => "empty".to_owned(),
        Some(toml::Value::Table(table)) => {
            let keys = table.iter().map(|(key, value)| format!("{key} {}", shown(Some(value))));
            keys.collect::<Vec<_>>().join(", ")
        }
        Some(toml::Value::Array(rows)) => format!("{} rows", rows.len()),
        Some(toml::Value::String(text)) => clean(text),
        Some(other) => clean(&other.to_string()),
    }
}

impl Rack {
    /// What a folder is called where nobody says it: the last part of its path.
    pub fn called(&self) -> String {
        called(self.root(), 1)
    }

    /// The same where another has that name too: as many of the last parts as tell them apart.
    pub fn called_beside(&self, other: &str) -> String {
        let most = self.root().components().count().max(1) + 1;
        (1..=most).map(|parts| called(self.root(), parts)).find(|name| name != other).unwrap_or_default()
    }

    /// Looks at what joining another folder comes to. Nothing is written. `hear` is told how many of its loops were looked at.
    ///
    /// # Errors
    /// It is this very folder, or holds no loop, saw or list; it is an invented workshop and this is none; it cannot be listed;
    /// it was stopped. What of it cannot be read is in [`Join::refused`].
    pub fn look_at(&self, other: &Self, wish: JoinWish, hear: Hear<'_>) -> Result<Join, RackError> {
        let (here, there) = (self.root(), other.root());
        refuse(self, other)?;
        let mut join = Join {
            wish,
            there: there.to_owned(),
            loops: Vec::new(),
            same: 0,
            saws: Acts::default(),
            learners: Acts::default(),
            things: Vec::new(),
            twice: Vec::new(),
            refused: Vec::new(),
        };
        let tags: Vec<String> =
            shelves::tags(there)?.into_iter().filter(|tag| !join.wish.without.contains(tag)).collect();
        for (done, tag) in tags.iter().enumerate() {
            one_loop(here, tag, &mut join);
            go_on(hear(done + 1, tags.len()))?;
        }
        let folders = (data_dir::saws(here), data_dir::saws(there));
        let check = |path: &Path, contents: &Contents<SawHeader, SawEvent>| {
            saws::fold(path, contents.header.clone(), contents.entries.clone()).map(drop)
        };
        match records::look((&folders.0, &folders.1), SAW_SUFFIX, &check, &mut join.refused) {
            Ok(saws) => join.saws = saws,
            Err(error) => join.refused.push((folders.1, error.into())),
        }
        let folders = (data_dir::learners(here), data_dir::learners(there));
        let check = |path: &Path, contents: &Contents<LearnerHeader, DrillEvent>| {
            learners::fold(path, contents.header.clone(), contents.entries.clone()).map(drop)
        };
        match records::look((&folders.0, &folders.1), LEARNER_SUFFIX, &check, &mut join.refused) {
            Ok(learners) => join.learners = learners,
            Err(error) => join.refused.push((folders.1, error.into())),
        }
        let profiles = other.profile_files()?;
        let named = profiles.iter().filter_map(|path| path.file_stem()).map(|stem| stem.to_string_lossy().into_owned());
        for thing in std::iter::once(Thing::People).chain(named.map(Thing::Profile)) {
            let found = loaded(here, there, &join.wish, &thing)
                .and_then(|both| both.map(|both| of_thing(thing.clone(), &both, &join.wish)).transpose());
            match found {
                Ok(found) => join.things.extend(found.filter(|found| !found.is_nothing())),
                Err(error) => join.refused.push((thing.path(there), error)),
            }
        }
        Ok(join)
    }
}

/// What cannot be joined at all.
fn refuse(here: &Rack, other: &Rack) -> Result<(), RackError> {
    let there = other.root();
    let real = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let refused = |what: &str| RackError::Join { path: there.to_owned(), what: what.to_owned() };
    if real(here.root()) == real(there) || files::is_same_folder(here.root(), there)? {
        return Err(refused("is this very data folder"));
    }
    let holds = [
        data_dir::loops(there),
        data_dir::saws(there),
        data_dir::learners(there),
        there.join(data_dir::SHARPENERS),
        data_dir::profiles(there),
    ];
    let mut held = false;
    for path in &holds {
        held |= files::exists(path)?;
    }
    if !held {
        return Err(refused("is no data folder: there are no loops, saws, learners, people or profiles in it"));
    }
    if other.is_demo() && !here.is_demo() {
        return Err(refused("is an invented workshop, and this one is not"));
    }
    Ok(())
}

/// The last parts of a folder's path.
pub(crate) fn called(root: &Path, parts: usize) -> String {
    let path = std::path::absolute(root).unwrap_or_else(|_| root.to_owned());
    let names = path.components().filter(|part| matches!(part, Component::Normal(_)));
    let names: Vec<String> = names.map(|part| clean(&part.as_os_str().to_string_lossy())).collect();
    names[names.len().saturating_sub(parts)..].join("/")
}

/// A thing as this folder holds it, and as the other does; nothing where the other has none.
fn loaded(here: &Path, there: &Path, wish: &JoinWish, thing: &Thing) -> Result<Option<Both>, RackError> {
    let Some(theirs) = thing.load(there, &wish.there)? else { return Ok(None) };
    Ok(Some((thing.load(here, &wish.here)?, theirs)))
}

/// Ours, where there is one, and theirs.
type Both = (Option<Loaded>, Loaded);

/// What joining a thing comes to.
fn of_thing(thing: Thing, (ours, theirs): &Both, wish: &JoinWish) -> Result<ThingJoin, RackError> {
    let values = match &ours {
        Some(ours) => ours.values.join(&theirs.values),
        None => theirs.values.join(&theirs.values),
    };
    let (table, before) = (values.table(), ours.as_ref().map(|ours| &ours.read));
    let (text, mut sums) = match &ours {
        Some(ours) if before == Some(&table) => (None, vec![ours.sum.clone()]),
        _ => {
            let text = thing.text(&table)?;
            let sum = sum_of(&text);
            (Some(text), vec![sum])
        }
    };
    // Until the text is in place the one of before stands beside what goes with it.
    sums.extend(ours.as_ref().filter(|_| text.is_some()).map(|ours| ours.sum.clone()));
    let kept = values.kept(sums);
    let was = ours.as_ref().and_then(|ours| ours.kept.as_ref());
    let said = was.map_or_else(|| ours.is_some() && kept.is_plain(&wish.here), |was| was.says(&kept));
    let beside = if said { None } else { Some(thing::kept_text(&kept)?) };
    let open = values.open();
    let open_before = ours.as_ref().map(|ours| ours.values.open()).unwrap_or_default();
    let new_open = open.iter().filter(|open| !open_before.iter().any(|known| known.field == open.field)).count();
    let changes = before.map(|before| changes(before, &table)).unwrap_or_default();
    Ok(ThingJoin { thing, is_new: ours.is_none(), text, beside, changes, open, new_open })
}

/// The fields that read differently, with both.
fn changes(before: &toml::Table, after: &toml::Table) -> Vec<(String, String, String)> {
    let keys: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let mut all = Vec::new();
    for key in keys {
        let (was, is) = (before.get(key), after.get(key));
        match (was, is) {
            _ if was == is => {}
            (Some(toml::Value::Table(was)), Some(toml::Value::Table(is))) => {
                let inner = changes(was, is);
                all.extend(inner.into_iter().map(|(field, was, is)| (format!("{key}.{field}"), was, is)));
            }
            _ => all.push((key.clone(), shown(was), shown(is))),
        }
    }
    all
}

fn one_loop(here: &Path, tag: &str, join: &mut Join) {
    let thing = Thing::Card(tag.to_owned());
    let folders = (data_dir::loops(here).join(tag), data_dir::loops(&join.there).join(tag));
    let is_new = match files::exists(&thing.path(here)) {
        Ok(there) => !there,
        Err(error) => {
            join.refused.push((thing.path(here), error.into()));
            return;
        }
    };
    let card = loaded(here, &join.there, &join.wish, &thing).and_then(|both| {
        let Some(both) = both else { return Ok(None) };
        if let Some(twice) = twice(tag, &both).filter(|_| !join.wish.one.contains(tag)) {
            return Ok(Some(Err(twice)));
        }
        of_thing(thing.clone(), &both, &join.wish).map(Ok).map(Some)
    });
    let card = match card {
        Ok(Some(Err(twice))) => {
            join.twice.push(twice);
            return;
        }
        Ok(card) => card.and_then(Result::ok),
        Err(error) => {
            join.refused.push((thing.path(&join.there), error));
            None
        }
    };
    if is_new && card.is_none() {
        return; // a loop without a card cannot be kept
    }
    let check = |path: &Path, contents: &Contents<Header, Event>| {
        let of = &contents.header.tag;
        if of != tag {
            let fault = format!("`loop` is {}, but the file lies with loop {tag}", clean(of));
            return Err(RackError::line(path, 1, &fault));
        }
        Ok(Round::begin(contents.header.clone()).map(drop)?)
    };
    let rounds = match records::look((&folders.0, &folders.1), SUFFIX, &check, &mut join.refused) {
        Ok(rounds) => rounds,
        Err(error) => {
            join.refused.push((folders.1, error.into()));
            return;
        }
    };
    let card = card.filter(|card| is_new || !card.is_nothing());
    let one = LoopJoin { tag: tag.to_owned(), is_new, rounds, card };
    if one.is_quiet() {
        join.same += 1;
    }
    if one.is_new || !one.rounds.todo.is_empty() || one.card.is_some() {
        join.loops.push(one);
    }
}

/// That a loop was taken into care at two times, where nobody said yet that it is one.
fn twice(tag: &str, (ours, theirs): &Both) -> Option<Twice> {
    let ours = ours.as_ref()?;
    let (here, there) = (ours.values.created()?, theirs.values.created()?);
    let known = ours.values.knows_created(&there) || theirs.values.knows_created(&here);
    (!known).then(|| Twice { tag: tag.to_owned(), here, there })
}

/// The name of an act's file, for messages.
fn of_act(folder: &Path, act: &Act) -> PathBuf {
    folder.join(&act.name)
}
