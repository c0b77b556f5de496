//! What was recorded: which entries count, the last ones, and who made them.

use std::collections::BTreeSet;

use super::event::{Entry, Event};
use super::fold::Round;

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

    /// Who else than its sharpener made entries, in the order they came to it.
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
