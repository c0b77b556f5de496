//! What was recorded: which entries count, the last ones, and who made them.

use std::collections::BTreeSet;

use super::cutter::{Cutter, Filed};
use super::event::{Entry, Event, Reading};
use super::fold::Round;
use crate::chain::Side;

impl Round {
    /// True for an entry that was taken back.
    pub fn is_voided(&self, seq: u32) -> bool {
        self.entries.iter().any(|entry| matches!(entry.event, Event::Void { target } if target == seq))
    }

    /// Entries that count, oldest first.
    pub fn standing(&self) -> impl Iterator<Item = &Entry> {
        standing(&self.entries)
    }

    /// The entry that one key takes back: the last that stands and is not a mere pause.
    pub fn last_voidable(&self) -> Option<&Entry> {
        self.standing().filter(|entry| !matches!(entry.event, Event::Paused {} | Event::Resumed {})).last()
    }

    /// The last entry that stands and belongs to the work: remarks, the closed caliper, the saw and pauses are made beside it. What it
    /// leaves open is open still, whoever goes on with the round.
    pub fn last_of_work(&self) -> Option<&Entry> {
        let beside = |event: &Event| {
            matches!(
                event,
                Event::Note { .. } | Event::Zero { .. } | Event::Saw { .. } | Event::Paused {} | Event::Resumed {}
            )
        };
        self.standing().filter(|entry| !beside(&entry.event)).last()
    }

    /// Who works at it: whoever made the last entry.
    pub fn hand(&self) -> &str {
        let by = self.entries.last().and_then(|entry| entry.by.as_deref());
        by.unwrap_or(&self.header.sharpener)
    }

    /// Who took a reading of a cutter last, as far as there is one.
    pub fn taker<'a>(&'a self, cutter: &'a Cutter, reading: Reading) -> &'a str {
        cutter.taken_by.get(&reading).unwrap_or(&self.header.sharpener)
    }

    /// Filings of one person, with their side.
    pub(crate) fn filings_by<'a>(&'a self, who: &'a str) -> impl Iterator<Item = (Side, &'a Filed)> {
        let of = |cutter: &'a Cutter| cutter.filings.iter().map(move |filed| (cutter.side, filed));
        let by = move |filed: &Filed| filed.by.as_deref().unwrap_or(&self.header.sharpener) == who;
        self.cutters.iter().flat_map(of).filter(move |(_, filed)| by(filed))
    }

    /// Who other than its sharpener made entries, in the order they came to it.
    pub fn other_hands(&self) -> Vec<&str> {
        let mut hands: Vec<&str> = Vec::new();
        for by in self.entries.iter().filter_map(|entry| entry.by.as_deref()) {
            if !hands.contains(&by) {
                hands.push(by);
            }
        }
        hands
    }
}

/// Those of the entries that count.
pub(super) fn standing(entries: &[Entry]) -> impl Iterator<Item = &Entry> {
    let voided = |entry: &Entry| if let Event::Void { target } = entry.event { Some(target) } else { None };
    let voided: BTreeSet<u32> = entries.iter().filter_map(voided).collect();
    entries.iter().filter(move |entry| !voided.contains(&entry.seq) && !matches!(entry.event, Event::Void { .. }))
}
