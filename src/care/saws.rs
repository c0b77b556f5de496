//! Saws: their page, what they say on the rack, which of their loops runs next.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::Workshop;
use super::life::sentences;
use super::rounds::goes_on_in;
use super::rows::SawSays;
use crate::advice::Status;
use crate::advice::place::Place;
use crate::advice::rotation::{OUT_OF_CARE, Runner, rotation};
use crate::advice::say::saw::hint;
use crate::chain::Profile;
use crate::record::{RackError, Shelf, Standing};
use crate::report::saw::SawReport;
use crate::round::Card;
use crate::saw::{Glance, Part, Saw, SawEvent, SawHeader};
use crate::units::clean::{clean, slug};
use crate::units::{mm, pitch_as_sold};

/// A loop as a runner on its saw, from what the rack knows of it.
pub fn runner(shelf: &Shelf, profile: Option<&Profile>) -> Runner {
    runner_at(shelf, profile, profile.and_then(|profile| shelf.place(profile)))
}

/// As [`runner`], where its place in its life is known.
fn runner_at(shelf: &Shelf, profile: Option<&Profile>, place: Option<Place>) -> Runner {
    let card = &shelf.card;
    let pitch = profile.and_then(|profile| profile.get("pitch_mm")).map(|pitch| pitch_as_sold(mm(pitch.value)));
    let held = match shelf.standing() {
        Standing::Scrapped => Some(OUT_OF_CARE),
        Standing::Practice => Some("for practice"),
        Standing::Rejected => Some("rejected"),
        Standing::Open => Some("at the bench"),
        Standing::New | Standing::Ready => shelf.status.as_ref().is_some_and(Status::is_stop).then_some("do not use"),
    };
    Runner {
        tag: card.tag.clone(),
        name: clean(&card.name),
        pitch: pitch.unwrap_or_else(|| clean(&card.profile)),
        spent: place.map(|place| 1.0 - place.life_left),
        rounds_left: None,
        last: shelf.last.as_ref().map(|last| last.ended),
        held,
    }
}

/// What the saw of each loop says on the rack, by the places of the loops in their lives. A loop alone on its saw has no turn to
/// wait for.
pub(super) fn say(
    (shelves, stand): (&[Shelf], &[Option<Place>]),
    profiles: &BTreeMap<String, Profile>,
    saws: &BTreeMap<String, Glance>,
) -> Vec<SawSays> {
    let mut says = vec![SawSays::default(); shelves.len()];
    let mut of_saw: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, shelf) in shelves.iter().enumerate().filter(|(_, shelf)| !shelf.card.saw.is_empty()) {
        if let Some(tag) = slug(&shelf.card.saw) {
            of_saw.entry(tag).or_default().push(at);
        }
    }
    for (tag, places) in of_saw {
        let glance = saws.get(&tag);
        let hint = glance.and_then(hint);
        let of = |at: &usize| runner_at(&shelves[*at], profiles.get(&shelves[*at].card.profile), stand[*at]);
        let runners: Vec<Runner> = if places.len() > 1 { places.iter().map(of).collect() } else { Vec::new() };
        let next = rotation(&runners, glance.and_then(|glance| glance.sprocket)).next;
        let first = runners.iter().find(|runner| Some(&runner.tag) == next.as_ref());
        for (place, at) in places.into_iter().enumerate() {
            let is_next = first.is_some_and(|first| first.tag == shelves[at].card.tag);
            let waits = !is_next && runners.get(place).is_some_and(|runner| runner.held.is_none());
            let first = first.filter(|_| waits).map(|first| first.name.clone());
            says[at] = SawSays { hint: hint.clone(), next: is_next, first };
        }
    }
    says
}

impl Workshop {
    /// The saw of a name as it is known; nothing known where it has no record.
    ///
    /// # Errors
    /// A name that leaves nothing to call a record by.
    pub fn saw(&self, name: &str) -> Result<Saw, RackError> {
        self.saw_as_known(name).map(|(saw, _)| saw)
    }

    /// As [`Workshop::saw`], with what cannot be read of it; nothing is known of one whose record cannot be read.
    fn saw_as_known(&self, name: &str) -> Result<(Saw, Vec<(PathBuf, RackError)>), RackError> {
        let name = clean(name);
        let tag = slug(&name).ok_or_else(|| RackError::BadSaw(name.clone()))?;
        let (saw, problems) = self.rack.saw_and_problems(&name);
        let blank = || Saw::begin(SawHeader { tag, name, started: DateTime::UNIX_EPOCH.fixed_offset() });
        Ok((saw.unwrap_or_else(blank), problems))
    }

    /// The page of a saw: what is known of it, its loops, and which of them to run next.
    ///
    /// # Errors
    /// As [`Workshop::saw`].
    pub fn saw_report(&self, name: &str) -> Result<SawReport, RackError> {
        let (saw, mut problems) = self.saw_as_known(name)?;
        let found = self.shelves();
        let (profiles, at_fault) = self.profiles_of(&found.shelves);
        let histories = self.rack.histories(&found.saws);
        // In the place of one's own that is at fault stands a built-in one: no rounds are counted by that.
        let broken: Vec<String> =
            at_fault.iter().filter_map(|(path, _)| Some(path.file_stem()?.to_str()?.to_owned())).collect();
        problems.extend(at_fault);
        problems.extend(found.problems);
        problems.extend(self.people_at_fault());
        let shelves = found.shelves;
        let of_saw = |shelf: &&Shelf| slug(&shelf.card.saw).is_some_and(|tag| tag == saw.header.tag);
        let mut more = Vec::new();
        let runners: Vec<Runner> = shelves
            .iter()
            .filter(of_saw)
            .map(|shelf| {
                let profile = profiles.get(&shelf.card.profile);
                let whole = profile.filter(|profile| !broken.contains(&profile.name));
                let (rounds_left, unread) = self.rounds_left(&shelf.card, whole, &histories).unwrap_or_else(|error| {
                    problems.push((self.rack.root().join("loops").join(&shelf.card.tag), error));
                    (None, Vec::new())
                });
                more.extend(unread);
                Runner { rounds_left, ..runner(shelf, profile) }
            })
            .collect();
        let turns = rotation(&runners, saw.worst(&[Part::Sprocket]));
        let mut not_read = sentences(&problems);
        for said in more {
            if !not_read.contains(&said) {
                not_read.push(said);
            }
        }
        Ok(SawReport::of(&saw, &runners, &turns).without(not_read).with_demo(self.rack.is_demo()))
    }

    /// The saw of a name, where it has a record.
    ///
    /// # Errors
    /// The record cannot be trusted.
    pub fn known_saw(&self, name: &str) -> Result<Option<Saw>, RackError> {
        self.rack.saw(name)
    }

    /// Stores what was found at a saw, under one time, and writes its name on the card of the loop at the bench where that
    /// names none. The second part is what else to say: that the record had to move to a new file, and why that card could
    /// not be written. What was found is on record all the same.
    ///
    /// # Errors
    /// A name that leaves nothing to call a record by, the record cannot be trusted, or the disk fails:
    /// [`RackError::Partly`] says how much of it is on record, every other error that nothing is.
    pub fn store_saw(
        &self,
        name: &str,
        with: Option<&str>,
        events: &[SawEvent],
        now: DateTime<FixedOffset>,
    ) -> Result<(Saw, Vec<String>), RackError> {
        let (saw, moved) = self.rack.add_to_saw(name, now, events)?;
        let mut said: Vec<String> = moved.iter().map(|moved| goes_on_in("The saw's record", moved)).collect();
        match with.map(|tag| self.put_on_card(tag, name, now)) {
            Some(Err(error)) => said.push(format!("The saw's name could not be put on the loop's card: {error}")),
            Some(Ok(unnoted)) => said.extend(unnoted),
            None => {}
        }
        Ok((saw, said))
    }

    /// Writes the saw's name on a loop's card where the card names none; why its earlier values are not written down, if so.
    ///
    /// # Errors
    /// No such loop, or its card cannot be written.
    pub fn put_on_card(&self, tag: &str, saw: &str, now: DateTime<FixedOffset>) -> Result<Option<String>, RackError> {
        let read = self.rack.card(tag)?;
        if !read.saw.is_empty() {
            return Ok(None);
        }
        let card = Card { saw: saw.to_owned(), ..read.clone() };
        Ok(self.rack.change_card(&read, &card, now.to_utc())?.unnoted)
    }
}
