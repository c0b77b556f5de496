//! Rounds in the data folder: begin, resume, add to, close, and what earlier ones tell.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, Utc};

use super::basis::Known;
use super::data_dir::{self, round_name, round_order, start_name};
use super::history::{self, History};
use super::rack::Rack;
use super::shelves::Derived;
use super::{Journal, Moved, RackError, RecordError, Recovered, contents, copies, files, series, shelves};
use crate::advice::say::status;
use crate::advice::slope;
use crate::chain::{Profile, Spec};
use crate::round::summary::{Filing, last_cutters};
use crate::round::{Card, Closing, Entry, Event, Header, NewLength, Past, Round, Summary};
use crate::units::clean::clean;

/// Most filings taken from other loops.
const FILINGS: usize = 400;

/// A round open for writing. The lock goes with it.
#[derive(Debug)]
pub struct RoundFile {
    journal: Journal<Header, Event>,
    tag: String,
    sharpener: String,
    /// Who enters, where that is not the round's sharpener.
    by: Option<String>,
}

/// An event that is on the disk.
#[derive(Debug)]
pub struct Ack {
    /// The event, as reading the file would give it.
    pub entry: Entry,
    /// Set when the round had to go on in a new file after a disk fault; say so.
    pub moved: Option<Moved>,
}

impl RoundFile {
    fn new(journal: Journal<Header, Event>, header: &Header) -> Self {
        Self { journal, tag: header.tag.clone(), sharpener: header.sharpener.clone(), by: None }
    }

    /// Adds an event. It is on the disk when this returns.
    ///
    /// # Errors
    /// Nothing was added: [`RecordError::NotStored`] when the disk fails (the same call may be made again), or the round is full.
    pub fn append(
        &mut self,
        at: DateTime<FixedOffset>,
        event: &Event,
        typed: Option<&str>,
    ) -> Result<Ack, RecordError> {
        let ack = self.journal.append(at, self.by.as_deref(), event, typed)?;
        Ok(Ack { entry: history::entry(ack.stamped), moved: ack.moved })
    }

    /// From now on entries are by this person. Where it is not the round's sharpener, each of them says so.
    pub fn hand_to(&mut self, person: &str) {
        self.by = Some(clean(person)).filter(|name| !name.is_empty() && *name != self.sharpener);
    }

    /// The file that is being written.
    pub fn path(&self) -> &Path {
        self.journal.path()
    }
}

/// True where what is wrong in the loop's folder forbids writing the open round: another file may hold more of it.
fn stops(path: &Path, problem: &RackError, open: &str) -> bool {
    match problem {
        RackError::SeveralOpen { .. } => true,
        RackError::Record(RecordError::Copy { .. } | RecordError::Unstarted { .. }) => false,
        RackError::Record(RecordError::Differ { of, .. }) => series::name_of(of) == open,
        _ => series::began(&series::name_of(path)) == series::began(open),
    }
}

/// What a new round's file is called after, and from which number on: its start. Where the clock was set back behind the
/// round before, it is called after that one, as a later of the same second: rounds keep the order they were begun in.
fn next_start(history: &History, started: DateTime<FixedOffset>) -> (String, u32) {
    let own = start_name(started);
    match history.rows.last().map(|row| series::began(&row.file)) {
        Some((last, number)) if series::is_time(&last) && last > own => (last, number + 1),
        _ => (own, 1),
    }
}

impl Rack {
    /// Begins a round. A file that an earlier attempt left unstarted is set aside.
    ///
    /// # Errors
    /// No such loop, it is out of care, it has an open round, another window is beginning one, or the disk fails.
    pub fn begin_round(&self, header: &Header) -> Result<(RoundFile, Round), RackError> {
        let tag = &header.tag;
        let known = self.card(tag)?;
        if known.scrapped.is_some() {
            return Err(RackError::Scrapped(tag.clone()));
        }
        if known.for_practice {
            return Err(RackError::ForPractice(tag.clone()));
        }
        let round = Round::begin(header.clone())?;
        // Two windows must not both find that no round is open.
        let card = self.card_path(tag)?;
        let _guard = files::open_locked(&card)?;
        let (history, problems) = self.history(tag)?;
        if let Some(open) = history.open() {
            let path = self.folder(tag)?.join(&open.file);
            return Err(RackError::OpenRound { tag: tag.clone(), started: open.summary.started, path });
        }
        if let Some(held) = known.held(history.rows.iter().map(|row| &row.summary)) {
            return Err(RackError::Rejected { tag: tag.clone(), why: status::held(&held) });
        }
        for (path, problem) in problems {
            if matches!(problem, RackError::Record(RecordError::Unstarted { .. })) {
                files::set_aside(&path, header.started.with_timezone(&Utc))?;
            }
        }
        let folder = self.folder(tag)?;
        let now = header.started.with_timezone(&Utc);
        files::sweep(&folder, now);
        files::sweep(self.root(), now);
        let (start, mut number) = next_start(&history, header.started);
        let journal = loop {
            match Journal::create(&folder.join(round_name(&start, number)), header) {
                Err(RecordError::Exists { .. }) => number += 1,
                made => break made?,
            }
        };
        Ok((RoundFile::new(journal, header), round))
    }

    /// Opens the loop's open round for writing. A torn end is moved aside under a name made from `now`, and told.
    ///
    /// # Errors
    /// No such loop, no open round, it is open in another window, or it cannot be trusted.
    pub fn resume(&self, tag: &str, now: DateTime<Utc>) -> Result<(RoundFile, Round, Option<Recovered>), RackError> {
        let (history, mut problems) = self.history(tag)?;
        let Some(open) = history.open() else {
            // A round that cannot be read may be the one that was asked for: better told than hidden.
            return Err(problems.pop().map_or_else(|| RackError::NoOpenRound(tag.to_owned()), |(_, problem)| problem));
        };
        if let Some(at) = problems.iter().position(|(path, problem)| stops(path, problem, &open.file)) {
            return Err(problems.swap_remove(at).1);
        }
        let path = self.folder(tag)?.join(&open.file);
        let (journal, opened) = Journal::open(&path, now)?;
        let file = RoundFile::new(journal, &opened.header);
        let entries = opened.entries.into_iter().map(history::entry).collect();
        let round = Round::replay(opened.header, entries).map_err(|error| history::contradiction(&path, &error))?;
        Ok((file, round, opened.recovered))
    }

    /// Lets go of a round's file and brings the loop's history up to date.
    ///
    /// # Errors
    /// The loop's folder cannot be listed. A history that cannot be written is no error: it is made anew when needed.
    pub fn close(&self, file: RoundFile) -> Result<History, RackError> {
        let RoundFile { journal, tag, .. } = file;
        drop(journal);
        self.refresh_history(&tag, &mut |_, _| {}).map(|(history, _)| history)
    }

    /// The round files of a loop, oldest first.
    ///
    /// # Errors
    /// No such loop, or its folder cannot be listed.
    pub fn rounds(&self, tag: &str) -> Result<Vec<PathBuf>, RackError> {
        Ok(self.rounds_and_copies(tag)?.files.into_iter().map(|file| file.path).collect())
    }

    /// As [`Rack::rounds`], with the copies of rounds that are not among them.
    pub(super) fn rounds_and_copies(&self, tag: &str) -> Result<copies::Sorted, RackError> {
        self.card_path(tag)?;
        let mut sorted = copies::sort_out::<Header, Event>(&self.folder(tag)?, series::SUFFIX, &copies::id_of)?;
        sorted.files.sort_by_cached_key(|file| round_order(&series::name_of(&file.path)));
        Ok(sorted)
    }

    /// One round, read without locking or mending.
    ///
    /// # Errors
    /// The file cannot be read or trusted.
    pub fn read_round(&self, path: &Path) -> Result<Round, RackError> {
        history::read_round(path)
    }

    /// The intake of a round in the loop's folder.
    ///
    /// # Errors
    /// The text cannot be a tag, or the file or its first block cannot be read or trusted.
    pub fn intake_of(&self, tag: &str, file: &str) -> Result<Header, RackError> {
        Ok(contents::header_of::<Header, Event>(&self.folder(tag)?.join(file))?)
    }

    /// What earlier rounds tell a new one: the loop's closed rounds, its cutters as last signed off, and some filings of
    /// the same sharpener on other loops of the profile (of the loops that the rack last saw in these hands, the latest).
    ///
    /// # Errors
    /// No such loop, or its folder cannot be listed.
    pub fn past(&self, tag: &str, sharpener: &str, profile: &str) -> Result<Past, RackError> {
        let (history, mut problems) = self.history(tag)?;
        let filings = self.filings_elsewhere(tag, sharpener, profile, &mut problems);
        let rounds = history.rows.into_iter().filter(|row| row.open.is_none()).map(|row| row.summary).collect();
        Ok(Past { rounds, last: history.last, filings })
    }

    /// What the loop's rounds before this one tell it: looked at again later, a round knows only what went before it. Rounds that
    /// cannot be read come in the second part.
    ///
    /// # Errors
    /// As [`Rack::past`].
    pub fn past_before(&self, header: &Header) -> Result<(Past, Vec<(PathBuf, RackError)>), RackError> {
        let (mut history, mut problems) = self.history(&header.tag)?;
        let filings = self.filings_elsewhere(&header.tag, &header.sharpener, &header.profile, &mut problems);
        history.rows.retain(|row| row.open.is_none() && row.summary.started < header.started);
        let signed =
            history.rows.iter().rfind(|row| row.summary.how == Some(Closing::Signed)).map(|row| row.file.clone());
        let mut last = match &signed {
            None => Vec::new(),
            Some(file) if *file == history.last_from => history.last,
            Some(file) => {
                let path = self.folder(&header.tag)?.join(file);
                match history::read_round(&path) {
                    Ok(round) => last_cutters(&round),
                    Err(error) => {
                        problems.push((path, error));
                        Vec::new()
                    }
                }
            }
        };
        // The card may have been corrected since: a cutter of the other hand is not the one of that number.
        let stood = signed.and_then(|file| match self.intake_of(&header.tag, &file) {
            Ok(stood) => stood.layout().ok(),
            Err(error) => {
                problems.push((PathBuf::from(file), error));
                last.clear();
                None
            }
        });
        if let (Some(stood), Ok(stands)) = (stood, header.layout()) {
            last.retain(|cutter| stood.side(cutter.number) == stands.side(cutter.number));
        }
        let rounds = history.rows.into_iter().map(|row| row.summary).collect();
        Ok((Past { rounds, last, filings }, problems))
    }

    /// The figures that a new round of a loop works with: the profile's, the loop's own in their place, the new length that its rounds
    /// were told, and the back slope that they tell. A loop that is not in care yet has no rounds.
    ///
    /// # Errors
    /// The loop's rounds cannot be listed.
    pub fn spec(&self, card: &Card, profile: &Profile) -> Result<Spec, RackError> {
        match self.history(&card.tag) {
            Ok((history, _)) => Ok(self.spec_by(card, profile, &history)),
            Err(RackError::NoLoop(_)) => Ok(card.spec(profile.spec())),
            Err(error) => Err(error),
        }
    }

    /// As [`Rack::spec`], where the loop's history is at hand.
    #[allow(clippy::unused_self, reason = "figures of a loop are asked of the rack")]
    pub fn spec_by(&self, card: &Card, profile: &Profile, history: &History) -> Spec {
        let of_chain = |summary: &&Summary| summary.profile == card.profile;
        let told = history.closed().rev().map(|row| &row.summary).filter(of_chain).find_map(|summary| {
            let Some(NewLength::Told(mm)) = summary.new_length else { return None };
            Some(mm)
        });
        let spec = card.spec(profile.spec());
        let spec = told.map_or_else(|| spec.clone(), |mm| spec.clone().with_told_new_length(mm));
        slope::settle(spec, history.closed().map(|row| &row.summary))
    }

    /// What cannot be read of other loops is put with the `problems`.
    fn filings_elsewhere(
        &self,
        tag: &str,
        sharpener: &str,
        profile: &str,
        problems: &mut Vec<(PathBuf, RackError)>,
    ) -> Vec<Filing> {
        let mut filings = Vec::new();
        let recent = shelves::recent(self.root(), sharpener, profile).unwrap_or_else(|error| {
            problems.push((self.root().join(data_dir::INDEX), error.into()));
            Vec::new()
        });
        let known = Known::of(self.root());
        for other in recent.into_iter().filter(|other| other != tag) {
            let history = match self.history_by(&known, &other, &mut |_, _| {}, Derived::Left) {
                Ok((history, _)) => history,
                // Taken away since the index was written.
                Err(RackError::NoLoop(_)) => continue,
                Err(error) => {
                    problems.push((data_dir::loops(self.root()).join(&other), error));
                    continue;
                }
            };
            let of_hand = |row: &&history::Row| row.summary.sharpener == sharpener && row.summary.profile == profile;
            let rows = history.closed().rev().filter(of_hand).filter(|row| row.summary.how == Some(Closing::Signed));
            filings.extend(rows.flat_map(|row| row.summary.filings.iter().copied()));
            if filings.len() >= FILINGS {
                break;
            }
        }
        filings.truncate(FILINGS);
        filings
    }
}
