//! Events into state: the only way a saw comes to be.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::event::{Grade, Part, Piece, SawEntry, SawEvent, SawHeader};
use crate::units::{Millimetres, mm};

/// Depth of the wear mark, mm, from which a sprocket is to be watched where its maker's limit is not entered. Common
/// practice, no source: it never calls a sprocket bad, only the maker's limit does.
pub const USUAL_SPROCKET_LIMIT: Millimetres = mm(0.5);

/// One part as it was last looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Number of the entry.
    pub seq: u32,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What was found.
    pub found: Grade,
    /// The figure measured.
    pub mm: Option<Millimetres>,
    /// What exactly, in words.
    pub note: Option<String>,
    /// What was found was put right since.
    pub repaired: bool,
}

/// What is to be made of a check: what was found, or what the figure says where that is worse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// The worse of both.
    pub grade: Grade,
    /// The limit that the figure has reached.
    pub past_limit: Option<Millimetres>,
    /// That limit is the maker's, not the usual one.
    pub by_maker: bool,
}

/// Everything of one look, under its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The loop on the bench.
    pub with: Option<String>,
    /// What was looked at.
    pub checks: BTreeMap<Part, Check>,
    /// What was fitted new.
    pub renewed: Vec<Piece>,
}

/// A saw in a few values: what the rack needs of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glance {
    /// Name as loops' cards have it.
    pub name: String,
    /// When it was last looked at.
    pub last: Option<DateTime<FixedOffset>>,
    /// The worst of the bar.
    pub bar: Option<Grade>,
    /// The sprocket.
    pub sprocket: Option<Grade>,
    /// Whether enough oil reaches bar and chain.
    pub oil: Option<Grade>,
    /// Tension, the latest of cold and warm.
    pub tension: Option<Grade>,
    /// It was set cold and not looked at again since.
    pub warm_due: bool,
}

/// One saw, folded from its events.
#[derive(Debug, Clone, PartialEq)]
pub struct Saw {
    /// How the record begins.
    pub header: SawHeader,
    /// Everything recorded, voided entries included.
    pub entries: Vec<SawEntry>,
    /// Each part as last looked at.
    pub checks: BTreeMap<Part, Check>,
    /// The maker's limits, where entered.
    pub limits: BTreeMap<Part, Millimetres>,
    /// When a piece was last fitted new.
    pub renewed: BTreeMap<Piece, DateTime<FixedOffset>>,
    /// Remarks, oldest first.
    pub notes: Vec<String>,
}

impl Saw {
    /// A saw of which nothing is known.
    pub const fn begin(header: SawHeader) -> Self {
        Self {
            header,
            entries: Vec::new(),
            checks: BTreeMap::new(),
            limits: BTreeMap::new(),
            renewed: BTreeMap::new(),
            notes: Vec::new(),
        }
    }

    /// The saw that these entries make.
    pub fn replay(header: SawHeader, entries: Vec<SawEntry>) -> Self {
        let mut saw = Self::begin(header);
        saw.entries = entries;
        let standing: Vec<SawEntry> = saw.standing().cloned().collect();
        for entry in &standing {
            saw.fold(entry);
        }
        saw
    }

    /// One saw from several records of it that benches made apart: every entry once, in the order of their times; none
    /// where there is no record. Records that share their beginning share its entries.
    pub fn merged(mut records: Vec<Self>) -> Option<Self> {
        records.sort_by_key(|saw| (saw.header.started, saw.entries.len()));
        if records.len() < 2 {
            return records.pop();
        }
        // Each entry with its record and the numbers that it has in the records that hold it.
        let mut all: Vec<(SawEntry, Vec<(usize, u32)>)> = Vec::new();
        for (record, saw) in records.iter().enumerate() {
            for entry in &saw.entries {
                match all.iter_mut().find(|(known, _)| known == entry) {
                    Some((_, numbers)) => numbers.push((record, entry.seq)),
                    None => all.push((entry.clone(), vec![(record, entry.seq)])),
                }
            }
        }
        all.sort_by_key(|(entry, numbers)| (entry.at, numbers[0]));
        let numbered: BTreeMap<(usize, u32), u32> =
            (1..).zip(&all).flat_map(|(seq, (_, numbers))| numbers.iter().map(move |number| (*number, seq))).collect();
        let header = records.swap_remove(0).header;
        let entries = (1..).zip(all).map(|(seq, (mut entry, numbers))| {
            if let SawEvent::Void { target } = &mut entry.event {
                *target = numbered.get(&(numbers[0].0, *target)).copied().unwrap_or_default();
            }
            SawEntry { seq, ..entry }
        });
        Some(Self::replay(header, entries.collect()))
    }

    /// Adds a recorded entry.
    pub fn apply(&mut self, entry: SawEntry) {
        if matches!(entry.event, SawEvent::Void { .. }) {
            let mut entries = std::mem::take(&mut self.entries);
            entries.push(entry);
            *self = Self::replay(self.header.clone(), entries);
        } else {
            self.fold(&entry);
            self.entries.push(entry);
        }
    }

    /// The saw as it was known at that time.
    #[must_use]
    pub fn until(&self, at: DateTime<FixedOffset>) -> Self {
        let known = self.entries.iter().filter(|entry| entry.at <= at).cloned().collect();
        Self::replay(self.header.clone(), known)
    }

    /// Entries that count, oldest first.
    pub fn standing(&self) -> impl Iterator<Item = &SawEntry> {
        let voids = |entry: &SawEntry| if let SawEvent::Void { target } = entry.event { Some(target) } else { None };
        let voided: BTreeSet<u32> = self.entries.iter().filter_map(voids).collect();
        self.entries.iter().filter(move |entry| !voided.contains(&entry.seq) && voids(entry).is_none())
    }

    fn fold(&mut self, entry: &SawEntry) {
        match &entry.event {
            SawEvent::Checked { found: Grade::NotLooked, .. } | SawEvent::Void { .. } => {}
            SawEvent::Checked { part, .. } => _ = check(entry).map(|check| self.checks.insert(*part, check)),
            SawEvent::Repaired { part } => {
                if let Some(check) = self.checks.get_mut(part) {
                    check.repaired = true;
                }
            }
            SawEvent::Limit { part, mm: Some(limit) } => _ = self.limits.insert(*part, *limit),
            SawEvent::Limit { part, mm: None } => _ = self.limits.remove(part),
            SawEvent::Renewed { piece } => {
                for part in piece.parts() {
                    self.checks.remove(part);
                }
                self.renewed.insert(*piece, entry.at);
            }
            SawEvent::Note { text } => self.notes.push(text.clone()),
        }
    }

    /// What is to be made of a part; `None` where it was not looked at since it was fitted.
    pub fn judged(&self, part: Part) -> Option<Judged> {
        let check = self.checks.get(&part)?;
        if check.repaired {
            // The figure was taken before.
            return Some(Judged { grade: Grade::Good, past_limit: None, by_maker: false });
        }
        let maker = self.limits.get(&part).copied();
        let usual = (part == Part::Sprocket).then_some(USUAL_SPROCKET_LIMIT);
        let limit = maker.or(usual);
        let past_limit = check.mm.zip(limit).filter(|(figure, limit)| figure >= limit).map(|(_, limit)| limit);
        let by_figure = match (past_limit, maker) {
            (None, _) => Grade::NotLooked,
            (Some(_), Some(_)) => Grade::Bad,
            (Some(_), None) => Grade::Watch,
        };
        Some(Judged { grade: check.found.max(by_figure), past_limit, by_maker: maker.is_some() })
    }

    /// The worst of several parts; `None` where none was looked at.
    pub fn worst(&self, parts: &[Part]) -> Option<Grade> {
        parts.iter().filter_map(|part| self.judged(*part)).map(|judged| judged.grade).max()
    }

    /// The tension was looked at cold and not again since: it is to be looked at after some minutes of cutting.
    pub fn is_warm_due(&self) -> bool {
        let seq = |part| self.checks.get(&part).map(|check: &Check| check.seq);
        seq(Part::Tension).is_some_and(|cold| seq(Part::TensionWarm).is_none_or(|warm| warm < cold))
    }

    /// The latest word on the tension.
    pub fn tension(&self) -> Option<Grade> {
        let both = [Part::Tension, Part::TensionWarm].into_iter().filter_map(|part| self.checks.get(&part));
        both.max_by_key(|check| check.seq).map(|check| if check.repaired { Grade::Good } else { check.found })
    }

    /// In a few values.
    pub fn glance(&self) -> Glance {
        Glance {
            name: self.header.name.clone(),
            last: self.looks().last().map(|look| look.at),
            bar: self.worst(&Part::BAR),
            sprocket: self.worst(&[Part::Sprocket]),
            oil: self.worst(&[Part::Oil]),
            tension: self.tension(),
            warm_due: self.is_warm_due(),
        }
    }

    /// Look by look, oldest first. What was stored with one time is one look.
    pub fn looks(&self) -> Vec<Look> {
        let mut looks: Vec<Look> = Vec::new();
        for entry in self.standing() {
            let with = match &entry.event {
                SawEvent::Checked { with, .. } => with.clone(),
                SawEvent::Renewed { .. } => None,
                SawEvent::Repaired { part } => {
                    if let Some(check) = looks.iter_mut().rev().find_map(|look| look.checks.get_mut(part)) {
                        check.repaired = true;
                    }
                    continue;
                }
                _ => continue,
            };
            if looks.last().is_none_or(|look| look.at != entry.at) {
                looks.push(Look { at: entry.at, with: None, checks: BTreeMap::new(), renewed: Vec::new() });
            }
            let Some(look) = looks.last_mut() else { continue };
            look.with = look.with.take().or(with);
            match &entry.event {
                SawEvent::Checked { part, .. } => {
                    look.checks.extend(check(entry).map(|check| (*part, check)));
                }
                SawEvent::Renewed { piece } => look.renewed.push(*piece),
                _ => {}
            }
        }
        looks
    }
}

fn check(entry: &SawEntry) -> Option<Check> {
    let SawEvent::Checked { found, mm, note, .. } = &entry.event else { return None };
    Some(Check { seq: entry.seq, at: entry.at, found: *found, mm: *mm, note: note.clone(), repaired: false })
}
