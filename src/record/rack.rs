//! The data folder as a whole: loops, their cards, profiles, sharpeners. Rounds are in [`super::rounds`].

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};

use super::basis::Known;
use super::data_dir::{self, CARD, DEMO};
use super::history::{self, History};
use super::merge::{Changed, merge};
use super::people::{self, Sharpener};
use super::saws::SawGlances;
use super::shelves::{self, Derived};
pub(crate) use super::shelves::{Glance, Shelves, Unwatched, Watch};
use super::{RackError, RecordError, cards, files, small, whole};
use crate::advice::Agreement;
use crate::chain::Profile;
use crate::chain::profile::built_in;
use crate::round::Card;
use crate::system;
use crate::units::clean::{clean, is_slug};

/// A card that was changed and is kept.
#[derive(Debug, Clone)]
pub struct CardChange {
    /// As it now stands.
    pub card: Card,
    /// What another window had changed meanwhile.
    pub changed: Vec<Changed>,
    /// Why what the card said before is not written down beside it, in a sentence.
    pub unnoted: Option<String>,
}

/// A data folder. Nothing is made in it before something is kept.
#[derive(Debug, Clone)]
pub struct Rack {
    root: PathBuf,
    demo: bool,
}

impl Rack {
    /// The rack in a folder, which need not exist yet.
    ///
    /// # Errors
    /// Something other than a folder stands there, a link included; or nobody can tell whether it is the invented workshop's: no
    /// page may then call it one, or pass for a real one.
    pub fn open(dir: PathBuf) -> Result<Self, RackError> {
        if files::exists(&dir)? {
            files::create_folder(&dir)?; // makes nothing: it says what else stands there
        }
        let demo = files::exists(&dir.join(DEMO))?;
        Ok(Self { root: dir, demo })
    }

    /// True for a throw-away copy of the invented workshop.
    pub const fn is_demo(&self) -> bool {
        self.demo
    }

    /// Marks the data folder as a throw-away copy of the invented workshop.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn mark_demo(&mut self) -> Result<(), RackError> {
        files::replace(&self.root.join(DEMO), b"An invented workshop: what is printed from it says so.\n")?;
        self.demo = true;
        Ok(())
    }

    /// The data folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// What to tell the user about a data folder that others can change, nothing where all is well or cannot be known.
    pub fn warning(&self) -> Option<String> {
        let text = || format!("{}: other users can change what is in it.", super::error::show(&self.root));
        system::others_can_write(&self.root)?.then(text)
    }

    /// All loops at a glance. Nothing is written.
    pub fn shelves(&self) -> Shelves {
        self.shelves_with(&mut Unwatched)
    }

    /// As [`Rack::shelves`]; `watch` hears how many of the loops that must be read again are done, and may stop it.
    pub fn shelves_with(&self, watch: &mut dyn Watch) -> Shelves {
        shelves::read(&self.root, watch, Derived::Left)
    }

    /// All loops at a glance; what is derived from them, histories and index, is brought up to date.
    pub fn refresh(&self) -> Shelves {
        self.refresh_with(&mut Unwatched)
    }

    /// As [`Rack::refresh`]; `watch` hears how many of the loops that must be read again are done, and may stop it.
    pub fn refresh_with(&self, watch: &mut dyn Watch) -> Shelves {
        shelves::read(&self.root, watch, Derived::Refreshed)
    }

    /// The loops that stand first by name, as they last were; nothing where that is not known. It costs the same however
    /// many loops there are.
    pub fn glance(&self) -> Option<Glance> {
        shelves::glance(&self.root)
    }

    /// How often all loops but this one cut as their sheets had said, as the index last saw them, and whether each could be read
    /// for it; nothing where that is not known. It costs about the same however many loops there are.
    pub(crate) fn cut_elsewhere(&self, tag: &str) -> Option<(Agreement, bool)> {
        shelves::cut_elsewhere(&self.root, tag)
    }

    /// Takes a new loop into care.
    ///
    /// # Errors
    /// [`RackError::TagTaken`]; a card that cannot be; the disk fails.
    pub fn create_loop(&self, card: &Card) -> Result<(), RackError> {
        let (card, text) = cards::render(card)?;
        let folder = self.folder(&card.tag)?;
        files::create_folder(&folder)?;
        whole::place(&folder.join(CARD), text.as_bytes()).map_err(|error| match error {
            RecordError::Exists { .. } => RackError::TagTaken(card.tag),
            other => other.into(),
        })
    }

    /// Replaces the card of a loop in care.
    ///
    /// # Errors
    /// No such loop; a card that cannot be; the disk fails (the old card stays).
    pub fn save_card(&self, card: &Card) -> Result<(), RackError> {
        let (card, text) = cards::render(card)?;
        Ok(files::replace(&self.card_path(&card.tag)?, text.as_bytes())?)
    }

    /// Keeps a card changed at `now`: `read` is what it was changed from. What another window changed meanwhile is kept and comes back
    /// with the card as it now stands; so does what both changed, where theirs stays. A card is kept also where what it said before
    /// cannot be written down beside it; that is told.
    ///
    /// # Errors
    /// No such loop; its card cannot be read; what comes of both cannot be; the disk fails (the old card stays).
    pub fn change_card(&self, read: &Card, wish: &Card, now: DateTime<Utc>) -> Result<CardChange, RackError> {
        let disk = self.card(&wish.tag)?;
        let (wish, _) = cards::render(wish)?;
        let (card, changed) = merge(read, &wish, &disk, &[&STAND])?;
        let mut unnoted = None;
        if card != disk {
            let before = self.loaded_card(&card.tag);
            self.save_card(&card)?;
            let noted = before.and_then(|before| self.note_change(before, &card, now));
            unnoted = noted.err().map(|error| RackError::Unnoted(Box::new(error)).to_string());
        }
        Ok(CardChange { card, changed, unnoted })
    }

    /// The card of a loop.
    ///
    /// # Errors
    /// No such loop, or its card cannot be read.
    pub fn card(&self, tag: &str) -> Result<Card, RackError> {
        let path = self.card_path(tag)?;
        let card = cards::read(&path)?;
        if card.tag == tag {
            return Ok(card);
        }
        let fault = format!("tag is {}, but the card lies in the folder of {tag}", card.tag);
        Err(RackError::line(&path, 1, &fault))
    }

    /// A loop's rounds in short. Nothing is written.
    ///
    /// # Errors
    /// No such loop, or its folder cannot be listed. Rounds that cannot be read come in the second part.
    pub fn history(&self, tag: &str) -> Result<(History, Vec<(PathBuf, RackError)>), RackError> {
        self.history_and(tag, &mut |_, _| {}, Derived::Left)
    }

    /// Rounds of many loops in short: people and saws, which their statuses rest on, are looked at once. Nothing is written.
    pub(crate) fn histories(&self, saws: &SawGlances) -> Histories<'_> {
        Histories { rack: self, known: Known::of_all(&self.root, saws) }
    }

    /// A loop's rounds in short, and the file in which they are kept brought up to date. `progress` hears how many of the
    /// rounds that must be read again are done, and how many there are.
    ///
    /// # Errors
    /// As [`Rack::history`].
    pub fn refresh_history(
        &self,
        tag: &str,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<(History, Vec<(PathBuf, RackError)>), RackError> {
        self.history_and(tag, progress, Derived::Refreshed)
    }

    fn history_and(
        &self,
        tag: &str,
        progress: &mut dyn FnMut(usize, usize),
        derived: Derived,
    ) -> Result<(History, Vec<(PathBuf, RackError)>), RackError> {
        self.history_by(&Known::of(&self.root), tag, progress, derived)
    }

    /// A loop's rounds in short, by what is known of people and saws.
    pub(super) fn history_by(
        &self,
        known: &Known<'_>,
        tag: &str,
        progress: &mut dyn FnMut(usize, usize),
        derived: Derived,
    ) -> Result<(History, Vec<(PathBuf, RackError)>), RackError> {
        self.card_path(tag)?;
        // A card at fault is told where it is read for itself.
        let saw = self.card(tag).map(|card| card.saw).unwrap_or_default();
        let read = history::read_all((&self.folder(tag)?, tag, &saw), known, None, progress, derived)?;
        Ok((read.history, read.problems))
    }

    /// All profiles: the built-in ones, those of the folder in their place or after them; and the files at fault.
    pub fn profiles(&self) -> (Vec<Profile>, Vec<(PathBuf, RackError)>) {
        self.profiles_where(&|_| true)
    }

    /// As [`Rack::profiles`], but of those that are built in only the ones that are wanted by name.
    pub(crate) fn profiles_where(&self, wanted: &dyn Fn(&str) -> bool) -> (Vec<Profile>, Vec<(PathBuf, RackError)>) {
        let names = built_in::BUILT_IN.iter().map(|(name, _)| *name).filter(|name| wanted(name));
        let (mut profiles, mut problems): (Vec<Profile>, _) = (names.filter_map(built_in::named).collect(), Vec::new());
        let files = self.profile_files().unwrap_or_else(|error| {
            problems.push((data_dir::profiles(&self.root), error.into()));
            Vec::new()
        });
        for path in files {
            match read_profile(&path) {
                Err(error) => problems.push((path, error)),
                Ok(own) => match profiles.iter_mut().find(|profile| profile.name == own.name) {
                    Some(profile) => *profile = own,
                    None => profiles.push(own),
                },
            }
        }
        (profiles, problems)
    }

    /// One profile. An own one at fault is an error, never silently the built-in one.
    ///
    /// # Errors
    /// [`RackError::NoProfile`], or the file is at fault.
    pub fn profile(&self, name: &str) -> Result<Profile, RackError> {
        let path = data_dir::profiles(&self.root).join(format!("{name}.toml"));
        if is_slug(name) && files::exists(&path)? {
            return read_profile(&path);
        }
        built_in::named(name).ok_or_else(|| {
            let known: Vec<String> = self.profiles().0.into_iter().map(|profile| profile.name).collect();
            RackError::NoProfile { name: clean(name), known: known.join(", ") }
        })
    }

    /// Keeps a profile of one's own, in place of the one of its name.
    ///
    /// # Errors
    /// A value that cannot be; the disk fails.
    pub fn save_profile(&self, profile: &Profile) -> Result<(), RackError> {
        let folder = data_dir::profiles(&self.root);
        let path = folder.join(format!("{}.toml", profile.name));
        let text = profile.to_toml();
        Profile::parse(&path.to_string_lossy(), &text)?;
        files::create_folder(&folder)?;
        Ok(files::replace(&path, text.as_bytes())?)
    }

    /// All sharpeners, in the order they were first kept.
    ///
    /// # Errors
    /// The list is at fault.
    pub fn sharpeners(&self) -> Result<Vec<Sharpener>, RackError> {
        people::read(&self.root)
    }

    /// Where the list of sharpeners lies.
    pub(crate) fn sharpeners_path(&self) -> PathBuf {
        self.root.join(data_dir::SHARPENERS)
    }

    /// The sharpener of a name; one without own figures where the name is new.
    ///
    /// # Errors
    /// The list is at fault.
    pub fn sharpener(&self, name: &str) -> Result<Sharpener, RackError> {
        let name = clean(name);
        let known = self.sharpeners()?.into_iter().find(|sharpener| sharpener.name == name);
        Ok(known.unwrap_or(Sharpener { name, ..Sharpener::default() }))
    }

    /// Names of those who file, as far as they are known without reading every loop: the list, the last rounds of all loops,
    /// and the rounds of this one.
    pub fn hands(&self, tag: &str) -> Vec<String> {
        let listed = self.sharpeners().unwrap_or_default().into_iter().map(|sharpener| sharpener.name);
        let worked = self.history(tag).map(|(history, _)| history.rows).unwrap_or_default();
        let mut names: Vec<String> = listed.chain(shelves::hands(&self.root)).collect();
        names.extend(worked.into_iter().map(|row| row.summary.sharpener));
        names.sort();
        names.dedup();
        names
    }

    /// Tags that are taken, to propose a free one; none where they cannot be listed, for no loop is ever put over another.
    pub fn taken_tags(&self) -> Vec<String> {
        files::names(&data_dir::loops(&self.root)).unwrap_or_default()
    }

    /// Keeps a sharpener, in place of the one of the same name.
    ///
    /// # Errors
    /// The list is at fault, a figure cannot be, or the disk fails.
    pub fn save_sharpener(&self, sharpener: &Sharpener) -> Result<(), RackError> {
        people::save(&self.root, sharpener)
    }

    /// The folder of a tag, whether it exists or not.
    pub(super) fn folder(&self, tag: &str) -> Result<PathBuf, RackError> {
        if !is_slug(tag) {
            return Err(RackError::BadTag(clean(tag)));
        }
        Ok(data_dir::loops(&self.root).join(tag))
    }

    /// The card of a loop that exists.
    pub(super) fn card_path(&self, tag: &str) -> Result<PathBuf, RackError> {
        let path = self.folder(tag)?.join(CARD);
        if files::exists(&path)? { Ok(path) } else { Err(RackError::NoLoop(tag.to_owned())) }
    }

    /// The files of one's own profiles, in order.
    pub(super) fn profile_files(&self) -> Result<Vec<PathBuf>, RecordError> {
        let folder = data_dir::profiles(&self.root);
        let mut paths: Vec<PathBuf> = files::names(&folder)?.into_iter().map(|name| folder.join(name)).collect();
        paths.retain(|path| path.extension().is_some_and(|end| end == "toml"));
        paths.sort();
        Ok(paths)
    }
}

/// Reads the rounds of loops in short.
pub(crate) struct Histories<'a> {
    rack: &'a Rack,
    known: Known<'a>,
}

impl Histories<'_> {
    /// Of the loop of this card.
    ///
    /// # Errors
    /// Its folder cannot be listed. Rounds that cannot be read come in the second part.
    pub(crate) fn of(&self, card: &Card) -> Result<(History, Vec<(PathBuf, RackError)>), RackError> {
        let folder = self.rack.folder(&card.tag)?;
        let of = (folder.as_path(), card.tag.as_str(), card.saw.as_str());
        let read = history::read_all(of, &self.known, None, &mut |_, _| {}, Derived::Left)?;
        Ok((read.history, read.problems))
    }
}

/// The fields of a card that say how its cutters stand.
const STAND: [&str; 3] = ["links", "sequence", "first"];
/// An own profile: its file is called by its name, so that one name has one file.
pub(super) fn read_profile(path: &Path) -> Result<Profile, RackError> {
    let text = small::text(path)?;
    let profile = Profile::parse(&path.to_string_lossy(), &text)?;
    if path.file_stem().is_some_and(|stem| *stem == *profile.name) {
        return Ok(profile);
    }
    let fault = format!("name is {0}. Call the file {0}.toml, or change the name.", profile.name);
    Err(RackError::line(path, small::line_of(&text, "name"), &fault))
}
