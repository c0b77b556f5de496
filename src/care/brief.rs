//! The loops by their names, for a face that lists them to choose from: no chain type is needed to tell them.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::{Standing, Workshop};
use crate::advice::Agreement;
use crate::advice::say::status::{kept_back, out_of_care};
use crate::advice::say::visit::promise;
use crate::record::join::is_asked;
use crate::record::{RackError, Shelf, Shelves};
use crate::units::clean::clean;

/// A loop to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brief {
    /// Tag of the loop.
    pub tag: String,
    /// Its name, safe to show.
    pub name: String,
    /// Its drive links.
    pub links: u16,
    /// How it stands.
    pub state: Standing,
    /// A round waits to be gone on with.
    pub open: bool,
    /// What holds it back, in words; none where a round may begin on it.
    pub held: Option<String>,
    /// The promise in a few words, while it waits.
    pub promise: Option<String>,
}

/// All loops in brief, and what could not be read.
#[derive(Debug, Default)]
pub struct Briefs {
    /// One a loop, by tag.
    pub loops: Vec<Brief>,
    /// How often they cut as their sheets had said.
    pub cut: Agreement,
    /// Files at fault, each in a sentence.
    pub problems: Vec<String>,
    /// Fields of cards, people and profiles on which joined folders differ, and nobody has chosen.
    pub asked: usize,
}

impl Brief {
    fn of(shelf: &Shelf, now: DateTime<FixedOffset>) -> Self {
        let (card, state) = (&shelf.card, shelf.standing());
        let is_out = state == Standing::Scrapped;
        let promise = card.visit.waits_for().filter(|_| !is_out).and_then(|_| promise(&card.visit, now.date_naive()));
        Self {
            tag: card.tag.clone(),
            name: clean(&card.name),
            links: card.links,
            state,
            open: shelf.open.is_some(),
            held: card.scrapped.as_ref().map(out_of_care).or_else(|| kept_back(card, shelf.held.as_ref())),
            promise,
        }
    }
}

impl Workshop {
    /// All loops in brief at that time. As with the rack, derived files are brought up to date; nothing is known where the reading
    /// was stopped.
    pub fn briefs(&self, now: DateTime<FixedOffset>) -> Briefs {
        let found = self.rack.refresh_with(&mut &self.ear);
        if found.stopped {
            return Briefs::default();
        }
        let (_, at_fault) = self.rack.profiles_where(&|_| false);
        Briefs {
            loops: found.shelves.iter().map(|shelf| Brief::of(shelf, now)).collect(),
            cut: found.shelves.iter().fold(Agreement::default(), |sum, shelf| sum.and(shelf.cut)),
            problems: self.at_fault(&found, &at_fault),
            asked: self.asked(&found),
        }
    }

    /// Files at fault, each in a sentence. What is to be chosen is counted, and told with its loop.
    pub(super) fn at_fault(&self, found: &Shelves, profiles: &[(PathBuf, RackError)]) -> Vec<String> {
        let people = self.people_at_fault();
        let at_loops = found.problems.iter().filter(|(_, problem)| !is_asked(problem));
        let problems = at_loops.chain(&found.saws.problems).chain(profiles).chain(&people);
        problems.map(|(_, error)| error.to_string()).collect()
    }

    /// On how many fields of cards, people and profiles joined folders differ.
    pub(super) fn asked(&self, found: &Shelves) -> usize {
        found.shelves.iter().map(|shelf| shelf.asked).sum::<usize>() + self.rack.asked_of_lists()
    }
}
