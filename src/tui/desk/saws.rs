//! What the desk does for saws: their page, their checks, their record.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::super::effect::Answer;
use super::super::screens::ask_text::{AskText, Purpose};
use super::super::screens::rack_rows::SawSays;
use super::super::screens::saw::{SawList, SawPage};
use super::Desk;
use crate::advice::forecast;
use crate::advice::rotation::{OUT_OF_CARE, Runner, rotation};
use crate::advice::saw::hint;
use crate::chain::Profile;
use crate::coach::saw::Checklist;
use crate::record::{Rack, RackError, Shelf};
use crate::report::saw::SawReport;
use crate::round::Summary;
use crate::saw::{Glance, Part, Saw, SawEvent, SawHeader};
use crate::units::clean::{clean, slug};
use crate::units::{Unit, mm};

/// A loop as a runner on its saw, from what the rack knows of it.
pub fn runner(shelf: &Shelf, profile: Option<&Profile>) -> Runner {
    let card = &shelf.card;
    let spec = profile.map(|profile| card.spec(profile.spec()));
    let pitch = profile.and_then(|profile| profile.get("pitch_mm")).map(|pitch| format!("{:.2} mm", pitch.value));
    let held = if card.scrapped.is_some() {
        Some(OUT_OF_CARE)
    } else if shelf.rejected {
        Some("rejected")
    } else if shelf.open.is_some() {
        Some("at the bench")
    } else {
        None
    };
    Runner {
        tag: card.tag.clone(),
        name: clean(&card.name),
        pitch: pitch.unwrap_or_else(|| clean(&card.profile)),
        spent: spec.as_ref().zip(shelf.median_mm).map(|(spec, length)| spec.life_spent(mm(length))),
        rounds_left: None,
        last: shelf.last.as_ref().map(|last| last.ended),
        held,
    }
}

/// The saw of a name as it is known; nothing known where it has no record.
///
/// # Errors
/// A name that leaves nothing to call a record by, or the record cannot be trusted.
pub fn saw_of(rack: &Rack, name: &str) -> Result<Saw, RackError> {
    let name = clean(name);
    let tag = slug(&name).ok_or_else(|| RackError::BadSaw(name.clone()))?;
    let blank = || Saw::begin(SawHeader { tag, name: name.clone(), started: DateTime::UNIX_EPOCH.fixed_offset() });
    Ok(rack.saw(&name)?.unwrap_or_else(blank))
}

/// The page of a saw: what is known of it, its loops, and which of them to run next.
///
/// # Errors
/// As [`saw_of`].
pub fn saw_report(rack: &Rack, name: &str) -> Result<SawReport, RackError> {
    let saw = saw_of(rack, name)?;
    let profiles: BTreeMap<String, Profile> = rack.profiles().0.into_iter().map(|p| (p.name.clone(), p)).collect();
    let shelves = rack.shelves().shelves;
    let of_saw = |shelf: &&Shelf| slug(&shelf.card.saw).is_some_and(|tag| tag == saw.header.tag);
    let runners: Vec<Runner> = shelves
        .iter()
        .filter(of_saw)
        .map(|shelf| {
            let profile = profiles.get(&shelf.card.profile);
            Runner { rounds_left: profile.and_then(|p| rounds_left(rack, shelf, p)), ..runner(shelf, profile) }
        })
        .collect();
    let turns = rotation(&runners, saw.worst(&[Part::Sprocket]));
    Ok(SawReport::of(&saw, &runners, &turns))
}

/// What the saw of each loop says on the rack. A loop alone on its saw has no turn to wait for.
pub(super) fn say(
    shelves: &[Shelf],
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
        let of = |at: &usize| runner(&shelves[*at], profiles.get(&shelves[*at].card.profile));
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

/// Rounds to the witness mark, by the loop's own past.
fn rounds_left(rack: &Rack, shelf: &Shelf, profile: &Profile) -> Option<u32> {
    let (history, _) = rack.history(&shelf.card.tag, &mut |_, _| ()).ok()?;
    let rounds: Vec<Summary> = history.closed().map(|row| row.summary.clone()).collect();
    forecast::of_loop(&rounds, &shelf.card.spec(profile.spec()), &shelf.card.prices).to_mark?.rounds.best
}

impl Desk {
    /// The page of a loop's saw; asks for the saw's name where the card has none.
    pub(super) fn saw_of_loop(&self, tag: &str) -> Vec<Answer> {
        match self.rack.card(tag) {
            Ok(card) if card.saw.is_empty() => {
                let title = "Which saw does this loop run on? Loops on one saw share its bar and sprocket.";
                vec![Answer::Push(Box::new(AskText::new(title, Purpose::Saw(tag.to_owned()))))]
            }
            Ok(card) => self.saw_page(&card.saw).map_or_else(told, |page| vec![Answer::Push(page)]),
            Err(error) => told(error.to_string()),
        }
    }

    /// Writes the saw's name on the loop's card and shows its page.
    pub(super) fn name_saw(&self, tag: &str, saw: &str) -> Vec<Answer> {
        if slug(saw).is_none() {
            return told(RackError::BadSaw(clean(saw)).to_string());
        }
        match self.put_on_card(tag, saw) {
            Ok(()) => self.saw_of_loop(tag),
            Err(error) => told(error.to_string()),
        }
    }

    fn put_on_card(&self, tag: &str, saw: &str) -> Result<(), RackError> {
        let mut card = self.rack.card(tag)?;
        if !card.saw.is_empty() {
            return Ok(());
        }
        saw.clone_into(&mut card.saw);
        self.rack.save_card(&card)
    }

    fn saw_page(&self, name: &str) -> Result<Box<SawPage>, String> {
        let report = saw_report(&self.rack, name).map_err(|error| error.to_string())?;
        let saw = saw_of(&self.rack, name).map_err(|error| error.to_string())?;
        Ok(Box::new(SawPage::new(&saw, &report.text(self.settings.units, self.settings.theme.ascii()))))
    }

    /// The page of a saw in place of the one that is shown.
    pub(super) fn saw_again(&self, name: &str) -> Vec<Answer> {
        self.saw_page(name).map_or_else(told, |page| vec![Answer::Replace(page)])
    }

    /// The checks of a saw, to be answered; `with` is the loop at the bench, `warm` asks for the tension alone.
    pub(super) fn saw_checks(&self, name: &str, with: Option<String>, unit: Option<Unit>, warm: bool) -> Vec<Answer> {
        let known = match self.rack.saw(name) {
            Ok(known) => known,
            Err(error) => return told(error.to_string()),
        };
        let unit = unit.unwrap_or(self.settings.units);
        let list =
            if warm { Checklist::warm(name, unit, known) } else { Checklist::new(name, with.clone(), unit, known) };
        vec![Answer::Push(Box::new(SawList::new(list, with)))]
    }

    /// Stores what was found; a list that it came from closes only once that is on record.
    pub(super) fn store_saw(
        &self,
        name: &str,
        with: Option<&str>,
        events: &[SawEvent],
        from_list: bool,
        now: DateTime<FixedOffset>,
    ) -> Vec<Answer> {
        match self.rack.add_to_saw(name, now, events) {
            Err(error) if from_list => vec![Answer::Created(Err(format!("NOT STORED: {error}")))],
            Err(error) => told(format!("NOT STORED: {error}")),
            Ok(saw) => {
                let mut answers: Vec<Answer> = from_list.then_some(Answer::Pop).into_iter().collect();
                answers.push(Answer::SawStored(Box::new(saw)));
                if let Some(Err(error)) = with.map(|tag| self.put_on_card(tag, name)) {
                    answers.push(Answer::Notice(error.to_string()));
                }
                answers
            }
        }
    }
}

fn told(why: String) -> Vec<Answer> {
    vec![Answer::Notice(why)]
}
