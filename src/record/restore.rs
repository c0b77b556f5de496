//! An export read back: all of it or nothing.
//!
//! The file is read twice. First every line is checked, and that nothing in the rack stands in the way; then the loops are
//! written to a folder beside the others and moved into place.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;

use super::data_dir::{self, CARD};
use super::export::{FORMAT, Line};
use super::people::Sharpener;
use super::rack::Rack;
use super::series::{LEARNER_SUFFIX, SAW_SUFFIX, SUFFIX, name_of};
use super::{RackError, RecordError, Stamped, cards, files, learners, saws, whole};
use crate::chain::Profile;
use crate::drill::{DrillEvent, LearnerHeader};
use crate::round::check::check_numbers;
use crate::round::{Card, Event, Header, Round};
use crate::saw::{SawEvent, SawHeader};
use crate::units::clean::clean;
use uuid::Uuid;

/// Longest line read, in bytes.
const MAX_LINE: u64 = 1024 * 1024;
/// Folder in which loops are made ready.
const STAGE: &str = "loops.new";

/// What was read back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Restored {
    /// Loops.
    pub loops: usize,
    /// Rounds.
    pub rounds: usize,
    /// Profiles of one's own.
    pub profiles: usize,
    /// Sharpeners.
    pub sharpeners: usize,
    /// Saws.
    pub saws: usize,
    /// Learners.
    pub learners: usize,
}

/// One thing of an export.
enum Item {
    Profile(Box<Profile>),
    Sharpener(Sharpener),
    Saw { file: String, id: Option<Uuid>, header: SawHeader, entries: Vec<Stamped<SawEvent>> },
    Learner { file: String, id: Option<Uuid>, header: LearnerHeader, entries: Vec<Stamped<DrillEvent>> },
    Loop(Box<Card>),
    Round { file: String, id: Option<Uuid>, header: Box<Header>, entries: Vec<Stamped<Event>> },
}

impl Rack {
    /// Reads a file of [`Rack::export_jsonl`] into this rack.
    ///
    /// # Errors
    /// Nothing is changed when a line cannot be understood, the file was cut short, or something in it is here already
    /// and differs; messages begin with file and line. If the disk fails while loops are moved into place, those that
    /// were moved stay, each of them whole.
    pub fn import_jsonl(&self, path: &Path) -> Result<Restored, RackError> {
        self.import_jsonl_with(path, &mut |_, _| true)
    }

    /// As [`Rack::import_jsonl`]; `watch` hears how many rounds are ready, and of how many; `false` stops it, and no loop and no round
    /// is there.
    ///
    /// # Errors
    /// As [`Rack::import_jsonl`], and where it was stopped.
    pub fn import_jsonl_with(
        &self,
        path: &Path,
        watch: &mut dyn FnMut(usize, usize) -> bool,
    ) -> Result<Restored, RackError> {
        let mut check = Check { rack: self, tags: BTreeSet::new(), saws: BTreeSet::new(), files: BTreeSet::new() };
        let mut rounds = 0;
        walk(path, &mut |item| {
            rounds += usize::from(matches!(item, Item::Round { .. }));
            go_on(watch(0, 0))?;
            check.item(item)
        })?;
        let stage = self.root().join(STAGE);
        if files::exists(&stage)? {
            files::remove_folder(&stage)?; // of an import that was stopped
        }
        let mut done = Restored::default();
        let staged = files::create_folder(&stage).map_err(RackError::from).and_then(|()| {
            let mut folder = stage.clone();
            walk(path, &mut |item| {
                self.put(item, &stage, &mut folder, &mut done).map_err(|e| e.to_string())?;
                go_on(watch(done.rounds, rounds))
            })
        });
        if let Err(error) = staged {
            let _ = files::remove_folder(&stage); // what was made ready is not missed
            return Err(error);
        }
        let loops = data_dir::loops(self.root());
        files::create_folder(&loops)?;
        for tag in check.tags {
            files::move_folder(&stage.join(&tag), &loops.join(&tag))?;
        }
        files::remove_folder(&stage)?;
        Ok(done)
    }

    fn put(
        &self,
        item: Item,
        stage: &Path,
        folder: &mut std::path::PathBuf,
        done: &mut Restored,
    ) -> Result<(), RackError> {
        match item {
            Item::Profile(profile) => {
                self.save_profile(&profile)?;
                done.profiles += 1;
            }
            Item::Sharpener(sharpener) => {
                self.save_sharpener(&sharpener)?;
                done.sharpeners += 1;
            }
            Item::Saw { file, id, header, entries } => {
                let folder = data_dir::saws(self.root());
                let path = folder.join(file);
                if !files::exists(&path)? {
                    files::create_folder(&folder)?;
                    whole::place(&path, &whole::text(&path, id, &header, &entries)?)?;
                    done.saws += 1;
                }
            }
            Item::Learner { file, id, header, entries } => {
                let folder = data_dir::learners(self.root());
                let path = folder.join(file);
                if !files::exists(&path)? {
                    files::create_folder(&folder)?;
                    whole::place(&path, &whole::text(&path, id, &header, &entries)?)?;
                    done.learners += 1;
                }
            }
            Item::Loop(card) => {
                let (card, text) = cards::render(&card)?;
                *folder = stage.join(&card.tag);
                files::create_folder(folder)?;
                files::write_new(&folder.join(CARD), text.as_bytes())?;
                done.loops += 1;
            }
            Item::Round { file, id, header, entries } => {
                let path = folder.join(file);
                whole::place(&path, &whole::text(&path, id, &*header, &entries)?)?;
                done.rounds += 1;
            }
        }
        Ok(())
    }
}

/// An error where the work is to stop.
fn go_on(wanted: bool) -> Result<(), String> {
    if wanted { Ok(()) } else { Err("stopped".to_owned()) }
}

/// What the first reading looks at.
struct Check<'a> {
    rack: &'a Rack,
    tags: BTreeSet<String>,
    /// Saws read so far.
    saws: BTreeSet<String>,
    /// Names of the rounds of the loop that is being read.
    files: BTreeSet<String>,
}

impl Check<'_> {
    fn item(&mut self, item: Item) -> Result<(), String> {
        match item {
            Item::Profile(profile) => match self.rack.profile_files().map_err(|error| error.to_string())? {
                files if !files.iter().any(|file| name_of(file) == format!("{}.toml", profile.name)) => Ok(()),
                _ if self.rack.profile(&profile.name).is_ok_and(|known| known == *profile) => Ok(()),
                _ => Err(format!("There is another profile {} here. Rename or remove one.", profile.name)),
            },
            Item::Sharpener(sharpener) => {
                let list = self.rack.sharpeners().map_err(|error| error.to_string())?;
                match list.into_iter().find(|known| known.name == sharpener.name) {
                    Some(known) if known != sharpener => {
                        Err(format!("There is another sharpener {} here, with other figures.", known.name))
                    }
                    _ => Ok(()),
                }
            }
            Item::Saw { file, header, entries, .. } => self.saw(&file, header, entries),
            Item::Learner { file, header, entries, .. } => self.learner(&file, header, entries),
            Item::Loop(card) => {
                let (card, _) = cards::render(&card).map_err(|error| error.to_string())?;
                let place = data_dir::loops(self.rack.root()).join(&card.tag);
                let taken = files::exists(&place).map_err(|error| error.to_string())?;
                if taken || !self.tags.insert(card.tag.clone()) {
                    return Err(RackError::TagTaken(card.tag).to_string());
                }
                self.files.clear();
                Ok(())
            }
            Item::Round { file, id, header, entries } => {
                let last = self.tags.contains(&header.tag);
                let plain = file.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-'));
                if !last || !plain || !file.ends_with(SUFFIX) || !self.files.insert(file.clone()) {
                    return Err(format!("\"{}\" cannot be the file of a round of \"{}\".", clean(&file), header.tag));
                }
                Round::begin((*header).clone()).map_err(|error| error.to_string())?;
                let path = Path::new(&file);
                whole::text(path, id, &*header, &entries).map(drop).map_err(|error| error.to_string())
            }
        }
    }
}

impl Check<'_> {
    /// A saw that is here already must be the same: two records of one saw cannot be made one.
    fn saw(&mut self, file: &str, header: SawHeader, entries: Vec<Stamped<SawEvent>>) -> Result<(), String> {
        let (path, tag) = (data_dir::saws(self.rack.root()).join(file), header.tag.clone());
        let plain = file.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-'));
        if !plain || !file.ends_with(SAW_SUFFIX) || !self.saws.insert(tag.clone()) {
            return Err(format!("\"{}\" cannot be the file of the saw \"{}\".", clean(file), clean(&tag)));
        }
        whole::text(&path, None, &header, &entries).map_err(|error| error.to_string())?;
        let saw = saws::fold(&path, header, entries).map_err(|error| error.to_string())?;
        match self.rack.saw(&tag).map_err(|error| error.to_string())? {
            Some(known) if known != saw => Err(format!("There is another record of the saw {tag} here.")),
            _ => Ok(()),
        }
    }
}

impl Check<'_> {
    /// A learner that is here already must be the same: two records of one learner cannot be made one.
    fn learner(&self, file: &str, header: LearnerHeader, entries: Vec<Stamped<DrillEvent>>) -> Result<(), String> {
        let path = data_dir::learners(self.rack.root()).join(file);
        let plain = file.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-'));
        if !plain || !file.ends_with(LEARNER_SUFFIX) {
            return Err(format!("\"{}\" cannot be the file of a learner.", clean(file)));
        }
        whole::text(&path, None, &header, &entries).map_err(|error| error.to_string())?;
        let learner = learners::fold(&path, header, entries).map_err(|error| error.to_string())?;
        if files::exists(&path).map_err(|error| error.to_string())? {
            let known = learners::read_learner(&path).map_err(|error| error.to_string())?;
            if known != learner {
                return Err(format!("There is another record of the learner {} here.", clean(&learner.header.name)));
            }
        }
        Ok(())
    }
}

/// The lines of an export, one after the other.
struct Lines<'a> {
    path: &'a Path,
    reader: BufReader<std::fs::File>,
    /// Number of the line that was read last, from 1.
    line: usize,
}

impl Lines<'_> {
    fn fault(&self, what: &str) -> RackError {
        RackError::line(self.path, self.line, what)
    }

    /// The next line; nothing after a good end.
    fn next(&mut self) -> Result<Option<Line>, RackError> {
        self.line += 1;
        let mut bytes = Vec::new();
        let read = self.reader.by_ref().take(MAX_LINE + 1).read_until(b'\n', &mut bytes);
        read.map_err(RecordError::io("read it", self.path))?;
        if bytes.is_empty() {
            return Err(self.fault("the last line, of kind `end`, is missing: the file was cut short"));
        }
        if bytes.len() as u64 > MAX_LINE {
            return Err(self.fault(&format!("longer than {MAX_LINE} bytes")));
        }
        let line: Line = serde_json::from_slice(&bytes).map_err(|error| self.fault(&error.to_string()))?;
        match line {
            Line::Export { format } if format > FORMAT => {
                let (format, known) = (format.into(), FORMAT.into());
                Err(RecordError::later(self.path, self.line, format, known).into())
            }
            Line::Export { format } if format != FORMAT => {
                Err(self.fault(&format!("`format` is {format}; it must be {FORMAT}")))
            }
            Line::Export { .. } if self.line == 1 => self.next(),
            Line::Export { .. } => Err(self.fault("only the first line is of kind `export`")),
            _ if self.line == 1 => Err(self.fault("the first line must be of kind `export`")),
            Line::End { lines } if lines == self.line => Ok(None),
            Line::End { lines } => Err(self.fault(&format!("{lines} lines were written, {} are here", self.line))),
            line => Ok(Some(line)),
        }
    }
}

/// Hands over one thing after the other; an error is told with its line.
fn walk(path: &Path, take: &mut dyn FnMut(Item) -> Result<(), String>) -> Result<(), RackError> {
    let mut lines = Lines { path, reader: BufReader::new(files::open(path)?), line: 0 };
    // A round or a saw that waits for its events.
    let mut round: Option<(usize, Item)> = None;
    let mut owner = String::new();
    let mut cutters = 0;
    while let Some(line) = lines.next()? {
        if let Line::Event { seq, at, by, typed, event } = line {
            let Some((_, Item::Round { entries, .. })) = &mut round else {
                return Err(lines.fault("an event without a round before it"));
            };
            if usize::try_from(seq).ok() != Some(entries.len() + 1) {
                return Err(lines.fault(&format!("`seq` is {seq}, expected {}", entries.len() + 1)));
            }
            check_numbers(&event, cutters).map_err(|refusal| lines.fault(&refusal.to_string()))?;
            entries.push(Stamped { seq, at, by, typed, event });
            continue;
        }
        if let Line::SawEvent { seq, at, event } = line {
            let Some((_, Item::Saw { entries, .. })) = &mut round else {
                return Err(lines.fault("a saw's event without a saw before it"));
            };
            if usize::try_from(seq).ok() != Some(entries.len() + 1) {
                return Err(lines.fault(&format!("`seq` is {seq}, expected {}", entries.len() + 1)));
            }
            entries.push(Stamped { seq, at, by: None, typed: None, event });
            continue;
        }
        if let Line::DrillEvent { seq, at, typed, event } = line {
            let Some((_, Item::Learner { entries, .. })) = &mut round else {
                return Err(lines.fault("an event of drills without a learner before it"));
            };
            if usize::try_from(seq).ok() != Some(entries.len() + 1) {
                return Err(lines.fault(&format!("`seq` is {seq}, expected {}", entries.len() + 1)));
            }
            entries.push(Stamped { seq, at, by: None, typed, event });
            continue;
        }
        hand_over(path, round.take(), take)?;
        let item = match line {
            Line::Round { header, .. } if header.tag != owner => {
                return Err(lines.fault(&format!("a round of \"{}\" after the loop \"{owner}\"", header.tag)));
            }
            Line::Round { file, id, header } => {
                // A header that makes no loop is refused when the round is handed over.
                cutters = header.layout().map_or(u16::MAX, |layout| layout.count());
                round = Some((lines.line, Item::Round { file, id, header, entries: Vec::new() }));
                continue;
            }
            Line::Saw { file, id, header } => {
                round = Some((lines.line, Item::Saw { file, id, header, entries: Vec::new() }));
                continue;
            }
            Line::Learner { file, id, header } => {
                round = Some((lines.line, Item::Learner { file, id, header, entries: Vec::new() }));
                continue;
            }
            Line::Profile { name, toml } => {
                let profile = Profile::parse(&name, &toml).map_err(|error| lines.fault(&error.to_string()))?;
                Item::Profile(Box::new(profile))
            }
            Line::Sharpener(sharpener) => Item::Sharpener(sharpener),
            Line::Loop { card } => {
                owner.clone_from(&card.tag);
                Item::Loop(card)
            }
            Line::Event { .. }
            | Line::SawEvent { .. }
            | Line::DrillEvent { .. }
            | Line::Export { .. }
            | Line::End { .. } => continue, // dealt with above
        };
        hand_over(path, Some((lines.line, item)), take)?;
    }
    hand_over(path, round, take)
}

fn hand_over(
    path: &Path,
    item: Option<(usize, Item)>,
    take: &mut dyn FnMut(Item) -> Result<(), String>,
) -> Result<(), RackError> {
    let Some((line, item)) = item else { return Ok(()) };
    take(item).map_err(|what| RackError::line(path, line, &what))
}
