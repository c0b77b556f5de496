//! A preview becomes a round.

use std::path::PathBuf;

use super::{Found, ImportError, Preview, Refused, Row, Target, Then};
use crate::advice::say::status;
use crate::chain::Side;
use crate::record::data_dir::{CARD, round_name, start_name};
use crate::record::rack::Rack;
use crate::record::{RackError, RecordError, Stamped, files, whole};
use crate::round::Visit;
use crate::round::card::{Own, Prices};
use crate::round::{Card, Closing, Entry, Event, Header, Past, Refusal, Round, Trust};
use crate::units::Unit;
use crate::units::clean::clean;
use uuid::Uuid;

/// What was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The round's file.
    pub path: PathBuf,
    /// The round.
    pub round: Round,
    /// True when the loop was taken into care with it.
    pub new_loop: bool,
}

/// What makes a reading doubtful in a round that holds those before it; nothing where it is plainly possible.
pub type Ask<'a> = &'a dyn Fn(&Doubt<'_>) -> Option<String>;

/// A reading about to be taken from a file.
#[derive(Debug, Clone, Copy)]
pub struct Doubt<'a> {
    /// Its line, from 1.
    pub line: usize,
    /// The round with what stands before it in the file.
    pub round: &'a Round,
    /// The loop's earlier rounds.
    pub past: &'a Past,
    /// The reading.
    pub event: &'a Event,
    /// Its cell.
    pub typed: Option<&'a str>,
}

impl Rack {
    /// The rows that would be refused as the round is made, and those that are doubted. Nothing is kept.
    ///
    /// # Errors
    /// No such profile, or the card of the loop is at fault.
    pub fn refuses(&self, preview: &Preview, target: &Target, ask: Ask<'_>) -> Result<Vec<Refused>, ImportError> {
        let (card, new_loop) = self.card_for(preview, target)?;
        let header = self.header(preview, target, &card)?;
        let past = if new_loop { Past::default() } else { self.past_before(&header)?.0 };
        match play(preview, target, header, &past, ask) {
            Ok(_) => Ok(Vec::new()),
            Err(ImportError::Refused(refused)) => Ok(refused),
            Err(error) => Err(error),
        }
    }

    /// The card of the loop, or that of a new one.
    fn card_for(&self, preview: &Preview, target: &Target) -> Result<(Card, bool), ImportError> {
        match (self.card(&target.tag), &preview.found) {
            (Ok(card), _) => Ok((card, false)),
            (Err(RackError::NoLoop(_)), Some(found)) => Ok((new_card(found, target), true)),
            (Err(error), _) => Err(error.into()),
        }
    }

    /// Makes a round of what was previewed, and the loop where its tag is new. Either all of it is kept or nothing.
    ///
    /// # Errors
    /// Refused rows; no such profile; the loop is out of care or has an open round (unless the round is only kept); the
    /// disk fails.
    pub fn import(&self, preview: &Preview, target: &Target) -> Result<Imported, ImportError> {
        if !preview.refused.is_empty() {
            return Err(ImportError::Refused(preview.refused.clone()));
        }
        let (card, new_loop) = self.card_for(preview, target)?;
        let header = self.header(preview, target, &card)?;
        let round = play(preview, target, header, &Past::default(), &|_| None)?;
        if new_loop {
            self.create_loop(&card)?;
        } else {
            self.is_free(&card, target.then)?;
        }
        let path = self.place(&round).inspect_err(|_| {
            if new_loop {
                // Best effort: what stays behind is a loop without a round.
                let folder = self.root().join("loops").join(&card.tag);
                let _ = files::remove(&folder.join(CARD)).and_then(|()| files::remove_folder(&folder));
            }
        })?;
        Ok(Imported { path, round, new_loop })
    }

    fn header(&self, preview: &Preview, target: &Target, card: &Card) -> Result<Header, ImportError> {
        let profile = self.profile(&card.profile)?;
        let has = |read: fn(&Row) -> bool| preview.rows.iter().any(read);
        let inch = preview.columns.iter().any(|mapped| mapped.unit == Some(Unit::Inch));
        Ok(Header {
            tag: card.tag.clone(),
            started: target.started,
            sharpener: clean(&target.sharpener),
            wood: target.wood,
            tool: target.tool,
            units: if inch { Unit::Inch } else { Unit::Mm },
            begin: Side::Left,
            take_strokes: has(|row| row.strokes.is_some()),
            take_angles: has(|row| row.top_plate.is_some()),
            edges: true,
            trust: Trust::default(),
            spread: false,
            links: card.links,
            sequence: card.sequence.clone(),
            first: card.first,
            start_mark: card.start_mark.clone(),
            // Imported readings are of the loop alone.
            saw: String::new(),
            profile: profile.name.clone(),
            spec: self.spec(card, &profile)?,
        })
    }

    fn is_free(&self, card: &Card, then: Then) -> Result<(), RackError> {
        if card.scrapped.is_some() && then == Then::Resume {
            return Err(RackError::Scrapped(card.tag.clone()));
        }
        if card.for_practice {
            return Err(RackError::ForPractice(card.tag.clone()));
        }
        let (history, _) = self.history(&card.tag)?;
        if let Some(held) = card.held(history.rows.iter().map(|row| &row.summary)).filter(|_| then == Then::Resume) {
            return Err(RackError::Rejected { tag: card.tag.clone(), why: status::held(&held) });
        }
        match history.open().filter(|_| then == Then::Resume) {
            None => Ok(()),
            Some(open) => Err(RackError::OpenRound {
                tag: card.tag.clone(),
                started: open.summary.started,
                path: self.folder(&card.tag)?.join(&open.file),
            }),
        }
    }

    /// Puts a round's file in place under the next free name.
    fn place(&self, round: &Round) -> Result<PathBuf, RackError> {
        let folder = self.folder(&round.header.tag)?;
        let entries: Vec<Stamped<Event>> = round.entries.iter().map(stamped).collect();
        let (id, start, mut number) = (Some(Uuid::new_v4()), start_name(round.header.started), 1);
        loop {
            let path = folder.join(round_name(&start, number));
            let text = whole::text(&path, id, &round.header, &entries)?;
            match whole::place(&path, &text) {
                Err(RecordError::Exists { .. }) => number += 1,
                placed => return placed.map(|()| path).map_err(RackError::from),
            }
        }
    }
}

fn stamped(entry: &Entry) -> Stamped<Event> {
    let Entry { seq, at, by, typed, event } = entry.clone();
    Stamped { seq, at, by, typed, event }
}

fn new_card(found: &Found, target: &Target) -> Card {
    Card {
        tag: target.tag.clone(),
        name: clean(&target.name),
        owner: String::new(),
        saw: String::new(),
        profile: target.profile.clone(),
        links: found.links,
        sequence: found.sequence.clone(),
        first: found.first,
        start_mark: String::new(),
        created: target.started,
        own: Own::default(),
        prices: Prices::default(),
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

/// The round that the rows make, every event checked as if it were typed.
fn play(preview: &Preview, target: &Target, header: Header, past: &Past, ask: Ask<'_>) -> Result<Round, ImportError> {
    let mut round = Round::begin(header)?;
    let note = Event::Note { cutter: None, text: clean(&format!("imported from {}", target.file)) };
    let mut events = vec![(0, note, None)];
    for row in &preview.rows {
        events.extend(row.events().into_iter().map(|(event, typed)| (row.line, event, typed)));
    }
    if target.then == Then::Keep {
        events.push((0, Event::Closed { how: Closing::Abandoned }, None));
    }
    // The preview may have been made before the loop was taken into care.
    let elsewhere =
        preview.rows.iter().filter(|row| round.layout.side(row.cutter).is_some_and(|side| side != row.side));
    let reason =
        |row: &Row| format!("Cutter {} is {} in the file and {} on the loop.", row.cutter, row.side, row.side.other());
    let mut refused: Vec<Refused> =
        elsewhere.map(|row| Refused { line: row.line, reason: reason(row), doubted: false }).collect();
    for ((line, event, typed), seq) in events.into_iter().zip(1..) {
        if refused.iter().any(|refused| refused.line == line) {
            continue;
        }
        // What was probably meant says more than the bounds it broke.
        let doubted = ask(&Doubt { line, round: &round, past, event: &event, typed: typed.as_deref() });
        match (round.check(&event), doubted) {
            (Ok(()), None) => round.apply(Entry { seq, at: target.started, by: None, typed, event }),
            (Ok(()), Some(reason)) => refused.push(Refused { line, reason, doubted: true }),
            (Err(Refusal::Impossible { .. }), Some(reason)) => refused.push(Refused { line, reason, doubted: false }),
            (Err(refusal), _) => refused.push(Refused { line, reason: refusal.to_string(), doubted: false }),
        }
    }
    if refused.is_empty() { Ok(round) } else { Err(ImportError::Refused(refused)) }
}
