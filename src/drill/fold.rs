//! Events into state: the only way a learner comes to be.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use super::ask::{self, Ask};
use super::event::{DrillEntry, DrillEvent, Given, LearnerHeader, SetUp};
use super::kind::Drill;
use super::schedule::Stage;
use super::score::{self, Item, Score};
use crate::units::Millimetres;

/// One set of a drill.
#[derive(Debug, Clone, PartialEq)]
pub struct Set {
    /// When it was begun.
    pub at: DateTime<FixedOffset>,
    /// With what.
    pub up: SetUp,
    /// The answers that count, in order, with the number of their entry.
    pub given: Vec<(u32, Given)>,
    /// It was broken off.
    pub broken_off: bool,
}

impl Set {
    fn answers(&self) -> Vec<Given> {
        self.given.iter().map(|(_, given)| *given).collect()
    }

    /// The next thing asked; nothing where the set is whole or was broken off.
    pub fn next(&self) -> Option<Ask> {
        if self.broken_off { None } else { ask::follow(&self.up, &self.answers()).1 }
    }

    /// True once everything that was asked is answered.
    pub fn is_whole(&self) -> bool {
        !self.broken_off && self.next().is_none()
    }

    /// What it comes to; nothing before it is whole.
    pub fn score(&self) -> Option<Score> {
        let (answered, next) = ask::follow(&self.up, &self.answers());
        (!self.broken_off && next.is_none()).then(|| score::score(&self.up, &answered))
    }

    /// What came of an item so far.
    pub fn item(&self, item: usize) -> Item {
        score::item_of(&self.up, item, &ask::follow(&self.up, &self.answers()).0)
    }

    /// The answers with what each of them answered.
    pub fn answered(&self) -> Vec<(Ask, Given)> {
        ask::follow(&self.up, &self.answers()).0
    }

    /// The lengths of a set of repeated readings, one list per cutter in the order of their numbers.
    pub fn repeats(&self) -> Vec<Vec<f64>> {
        let mut cutters: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for (ask, given) in self.answered() {
            if let (ask::Slot::Length, Given::Mm(length)) = (ask.slot, given) {
                cutters.entry(ask.number).or_default().push(length.get());
            }
        }
        cutters.into_values().collect()
    }

    /// The length that a cutter is to be filed to, once its length before is known.
    pub fn target(&self, item: usize) -> Option<Millimetres> {
        let answered = self.answered();
        let before = answered.iter().find(|(ask, _)| ask.item == item && ask.slot == ask::Slot::Before)?;
        match before.1 {
            Given::Mm(before) => Some(score::target(&self.up, item, before)),
            _ => None,
        }
    }
}

/// One learner, folded from the events of their record.
#[derive(Debug, Clone, PartialEq)]
pub struct Learner {
    /// How the record begins.
    pub header: LearnerHeader,
    /// Everything recorded.
    pub entries: Vec<DrillEntry>,
    /// Sets, oldest first, broken-off ones among them.
    pub sets: Vec<Set>,
    /// How soon the learner is told in the next set, where the instructor chose it.
    pub chosen: BTreeMap<Drill, Stage>,
}

impl Learner {
    /// The learner that these entries make.
    pub fn replay(header: LearnerHeader, entries: Vec<DrillEntry>) -> Self {
        let mut learner = Self { header, entries: Vec::new(), sets: Vec::new(), chosen: BTreeMap::new() };
        let voided: BTreeSet<u32> = entries
            .iter()
            .filter_map(|entry| if let DrillEvent::Void { target } = entry.event { Some(target) } else { None })
            .collect();
        for entry in entries.iter().filter(|entry| !voided.contains(&entry.seq)) {
            learner.fold(entry);
        }
        learner.entries = entries;
        learner
    }

    /// Adds a recorded entry.
    pub fn apply(&mut self, entry: DrillEntry) {
        if matches!(entry.event, DrillEvent::Void { .. }) {
            let mut entries = std::mem::take(&mut self.entries);
            entries.push(entry);
            *self = Self::replay(self.header.clone(), entries);
        } else {
            self.fold(&entry);
            self.entries.push(entry);
        }
    }

    fn fold(&mut self, entry: &DrillEntry) {
        match &entry.event {
            DrillEvent::Began { set } => {
                // Two sets at once cannot be: what was begun before and is not whole was left.
                if let Some(before) = self.open_mut() {
                    before.broken_off = true;
                }
                self.chosen.remove(&set.drill);
                self.sets.push(Set { at: entry.at, up: *set, given: Vec::new(), broken_off: false });
            }
            DrillEvent::Answer { given } => {
                if let Some(set) = self.open_mut() {
                    set.given.push((entry.seq, *given));
                }
            }
            DrillEvent::BrokenOff => {
                if let Some(set) = self.open_mut() {
                    set.broken_off = true;
                }
            }
            DrillEvent::Stage { drill, stage } => _ = self.chosen.insert(*drill, *stage),
            DrillEvent::Void { .. } => {}
        }
    }

    fn open_mut(&mut self) -> Option<&mut Set> {
        self.sets.last_mut().filter(|set| set.next().is_some())
    }

    /// The set that is under way.
    pub fn open(&self) -> Option<&Set> {
        self.sets.last().filter(|set| set.next().is_some())
    }

    /// Whole sets of a drill, oldest first, with what they come to.
    pub fn whole(&self, drill: Drill) -> Vec<(&Set, Score)> {
        let of_it = self.sets.iter().filter(|set| set.up.drill == drill);
        of_it.filter_map(|set| set.score().map(|score| (set, score))).collect()
    }

    /// The last answer of the set under way, which can be taken back: its number.
    pub fn last_answer(&self) -> Option<u32> {
        self.open()?.given.last().map(|(seq, _)| *seq)
    }
}
