//! Rounds at the bench: opened, begun, gone on with, added to, closed; and earlier rounds, looked at again.

use std::fmt;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::{CareError, Workshop};
use crate::advice::Skill;
use crate::chain::{Profile, Spec};
use crate::coach::{Coach, Pending};
use crate::record::{Moved, Rack, RackError, RoundFile};
use crate::report::sheet::Sheet;
use crate::round::{Card, Entry, Event, Header, Summary};
use crate::units::Unit;
use crate::units::clean::clean;

/// How far a clock may fall back without a word: programs that keep it right move it by seconds.
const CLOCK_SLACK: TimeDelta = TimeDelta::minutes(1);

/// What a loop that is taken to the bench needs next.
#[derive(Debug)]
pub enum Opened {
    /// Its open round goes on.
    GoesOn(Box<Started>),
    /// It has none: a round can be begun.
    Free(Box<Free>),
}

/// A round under way.
#[derive(Debug)]
pub struct Started {
    /// Name of the loop.
    pub name: String,
    /// The round, open for writing.
    pub round: OpenRound,
    /// The round as it stands, and what earlier ones tell.
    pub coach: Coach,
    /// What to say first.
    pub opening: Opening,
}

/// A loop without an open round.
#[derive(Debug)]
pub struct Free {
    /// Its card.
    pub card: Card,
    /// Its chain.
    pub profile: Profile,
    /// The figures that a new round works with.
    pub spec: Spec,
    /// Its last closed round.
    pub last: Option<Summary>,
}

/// What is to be said as a round is opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// It goes on from where it was left.
    pub goes_on: bool,
    /// Bytes of a last write that was cut off; they are set aside.
    pub cut_off: Option<u64>,
    /// The earlier entry that the clock lags behind.
    pub clock_behind: Option<DateTime<FixedOffset>>,
    /// Files that could not be read for it, each in a sentence.
    pub not_read: Vec<String>,
    /// Where the round had to go on as it was opened, in a sentence.
    pub moved_to: Option<String>,
}

impl fmt::Display for Opening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut said = Vec::new();
        match (self.cut_off, self.goes_on) {
            (Some(bytes), _) => said.push(format!(
                "The last write was cut off: {bytes} bytes set aside, every stored reading is here. Going on."
            )),
            (None, true) => said.push("Going on where you stopped.".to_owned()),
            (None, false) => {}
        }
        if let Some(last) = self.clock_behind {
            let last = last.format("%Y-%m-%d %H:%M");
            said.push(format!("The clock is behind the last entry, {last}: is it set right?"));
        }
        said.extend(self.not_read.iter().cloned());
        said.extend(self.moved_to.clone());
        f.write_str(&said.join(" "))
    }
}

/// A round that is open for writing, here and nowhere else. Dropped, it is let go of and stays open on record.
#[derive(Debug)]
pub struct OpenRound {
    /// Absent once the round is closed.
    file: Option<RoundFile>,
    rack: Rack,
}

/// An event that is on record.
#[derive(Debug)]
pub struct Stored {
    /// The event, as reading the record gives it.
    pub entry: Entry,
    /// Set when the round had to go on in a new file after a disk fault.
    pub moved: Option<Moved>,
}

impl Stored {
    /// Where the round goes on from here, in a sentence, where it had to move to a new file.
    pub fn moved_to(&self) -> Option<String> {
        self.moved.as_ref().map(|moved| goes_on_in("The round", moved))
    }
}

/// Where a record that had to move goes on, in a sentence.
pub(super) fn goes_on_in(what: &str, moved: &Moved) -> String {
    let name = moved.to.file_name().unwrap_or(moved.to.as_os_str());
    let (name, reason) = (clean(&name.to_string_lossy()), clean(&moved.reason));
    format!("{what} goes on in {name}: the file before it could not be used any more ({reason}).")
}

impl OpenRound {
    /// From now on entries are by this person; where that is not the round's sharpener, each of them says so.
    pub fn hand_to(&mut self, person: &str) {
        if let Some(file) = &mut self.file {
            file.hand_to(person);
        }
    }

    /// Stores one event. It is on record when this returns. One that closes the round lets go of it, and the loop's
    /// history is brought up to date.
    ///
    /// # Errors
    /// Nothing was stored: the disk fails (the same call may be made again), the round is full, or it is closed.
    pub fn append(&mut self, pending: &Pending, now: DateTime<FixedOffset>) -> Result<Stored, CareError> {
        let Pending { event, typed } = pending;
        let file = self.file.as_mut().ok_or(CareError::NotOpen)?;
        let ack = file.append(now, event, typed.as_deref()).map_err(RackError::from)?;
        if matches!(event, Event::Closed { .. })
            && let Some(file) = self.file.take()
        {
            // The round is on record whether or not its history can be written: that is made anew when needed.
            let _ = self.rack.close(file);
        }
        Ok(Stored { entry: ack.entry, moved: ack.moved })
    }
}

impl Workshop {
    /// Takes a loop to the bench: its open round goes on, else a round can be begun.
    ///
    /// # Errors
    /// No such loop, it is held back, its chain type is missing, or the open round is open elsewhere, cannot be trusted
    /// or cannot be written.
    pub fn open_loop(&self, tag: &str, now: DateTime<FixedOffset>) -> Result<Opened, CareError> {
        self.open_loop_by(tag, None, now)
    }

    /// As [`Workshop::open_loop`]; an open round goes on in the hands of `who`, where one is named, else of whoever made its last
    /// entry.
    ///
    /// # Errors
    /// As [`Workshop::open_loop`].
    pub fn open_loop_by(&self, tag: &str, who: Option<&str>, now: DateTime<FixedOffset>) -> Result<Opened, CareError> {
        let card = self.rack.card(tag)?;
        let (history, _) = self.rack.history(tag)?;
        if history.open().is_some() && card.scrapped.is_none() {
            return self.resume(&card, who, now).map(|started| Opened::GoesOn(Box::new(started)));
        }
        if card.for_practice {
            return Err(RackError::ForPractice(tag.to_owned()).into());
        }
        if let Some(why) = self.held_back(tag)? {
            return Err(CareError::HeldBack(why));
        }
        let profile = self.rack.profile(&card.profile)?;
        let spec = self.rack.spec_by(&card, &profile, &history);
        let last = history.closed().next_back().map(|row| row.summary.clone());
        Ok(Opened::Free(Box::new(Free { card, profile, spec, last })))
    }

    /// Who made the last entry of a loop's open round; nothing where none is open, or it cannot be read.
    pub fn at_work(&self, tag: &str) -> Option<String> {
        let (history, _) = self.rack.history(tag).ok()?;
        let file = history.open()?.file.clone();
        let path = self.rack.rounds(tag).ok()?.into_iter().find(|path| path.ends_with(&file))?;
        Some(self.rack.read_round(&path).ok()?.hand().to_owned())
    }

    fn resume(&self, card: &Card, who: Option<&str>, now: DateTime<FixedOffset>) -> Result<Started, CareError> {
        let (file, mut round, recovered) = self.rack.resume(&card.tag, now.to_utc())?;
        let clock_behind = round.entries.last().map(|entry| entry.at).filter(|last| *last - now > CLOCK_SLACK);
        let mut open = self.at_bench(file);
        open.hand_to(who.unwrap_or_else(|| round.hand()));
        let resumed = open.append(&Pending { event: Event::Resumed {}, typed: None }, now)?;
        let moved_to = resumed.moved_to();
        round.apply(resumed.entry);
        let coach = self.coach(card, round);
        let (cut_off, not_read) = (recovered.map(|found| found.bytes), coach.not_read.clone());
        let opening = Opening { goes_on: true, cut_off, clock_behind, not_read, moved_to };
        Ok(Started { name: card.name.clone(), round: open, coach, opening })
    }

    /// The intake of the last closed round of a loop by this person: what it asked for, the next one asks for again. Nothing
    /// where there is none, or where its file cannot be read.
    pub fn asked_last(&self, tag: &str, who: &str) -> Option<Header> {
        let (history, _) = self.rack.history(tag).ok()?;
        let row = history.closed().rev().find(|row| row.summary.sharpener == who)?;
        self.rack.intake_of(tag, &row.file).ok()
    }

    /// Begins a round.
    ///
    /// # Errors
    /// No such loop, it is out of care, it has an open round, another window is beginning one, or the disk fails.
    pub fn begin(&self, header: &Header) -> Result<Started, CareError> {
        let card = self.rack.card(&header.tag)?;
        let last = self.rack.history(&header.tag)?.0.rows.last().map(|row| row.summary.ended);
        // The round keeps how far readings are trusted now, so that it means the same later.
        let known = self.rack.sharpener(&header.sharpener);
        let unknown = known.as_ref().err().map(|error| format!("Usual figures are used for the sharpener: {error}"));
        let skill = known.map_or_else(|_| Skill::default(), |person| person.skill());
        let header = &Header { trust: skill.trust(), ..header.clone() };
        let (file, round) = self.rack.begin_round(header)?;
        let clock_behind = last.filter(|last| *last - header.started > CLOCK_SLACK);
        let coach = self.coach(&card, round);
        let not_read = unknown.into_iter().chain(coach.not_read.clone()).collect();
        let opening = Opening { goes_on: false, cut_off: None, clock_behind, not_read, moved_to: None };
        Ok(Started { round: self.at_bench(file), coach, name: card.name, opening })
    }

    fn at_bench(&self, file: RoundFile) -> OpenRound {
        OpenRound { file: Some(file), rack: self.rack.clone() }
    }

    /// A round of a loop, closed or open, with its coach: the one that began at that time, or the last.
    ///
    /// # Errors
    /// No such loop, no such round or several, or its file cannot be read or trusted.
    pub fn round(&self, tag: &str, when: Option<&str>) -> Result<(Coach, Card), CareError> {
        let card = self.rack.card(tag)?;
        let round = self.rack.read_round(&self.round_file(tag, when)?)?;
        Ok((self.coach(&card, round), card))
    }

    /// The sheet of a round of a loop, as [`Workshop::round`] finds it.
    ///
    /// # Errors
    /// As [`Workshop::round`].
    pub fn sheet(&self, tag: &str, when: Option<&str>) -> Result<Sheet, CareError> {
        self.round(tag, when).map(|(coach, _)| self.sheet_of(&coach))
    }

    /// As [`Workshop::sheet`], told in another unit than the round's where one is named.
    ///
    /// # Errors
    /// As [`Workshop::round`].
    pub fn sheet_in(&self, tag: &str, when: Option<&str>, unit: Option<Unit>) -> Result<Sheet, CareError> {
        let (mut coach, _) = self.round(tag, when)?;
        coach.round.header.units = unit.unwrap_or(coach.round.header.units);
        Ok(self.sheet_of(&coach))
    }

    /// The file of the round whose start begins with these digits, or of the last.
    fn round_file(&self, tag: &str, when: Option<&str>) -> Result<PathBuf, CareError> {
        let rounds = self.rack.rounds(tag)?;
        let Some(when) = when else {
            return rounds.last().cloned().ok_or_else(|| CareError::NoRound(tag.to_owned()));
        };
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
        let wanted = digits(when);
        let name = |path: &Path| path.file_name().map(|name| digits(&name.to_string_lossy())).unwrap_or_default();
        let found: Vec<&PathBuf> =
            rounds.iter().filter(|path| !wanted.is_empty() && name(path).starts_with(&wanted)).collect();
        match found.as_slice() {
            [one] => Ok((*one).clone()),
            [] => Err(CareError::NoRoundAt { tag: tag.to_owned(), when: when.to_owned() }),
            several => Err(CareError::SeveralAt { tag: tag.to_owned(), when: when.to_owned(), rounds: several.len() }),
        }
    }
}
