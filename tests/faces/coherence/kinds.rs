//! What the hand really did: no check looks at a thing that never happens.

use std::collections::BTreeMap;

use evenbite::round::{Closing, Cutter, CutterState, Entry, Event, Round, Tool, When};
use evenbite::units::Unit;

use super::plot::Plot;

/// How often each thing happened.
#[derive(Default)]
pub(super) struct Kinds {
    seen: BTreeMap<&'static str, usize>,
}

type Happened = fn(&Plot, &Round) -> bool;

/// Everything that must happen, and whether it did in a round.
const KINDS: &[(&str, Happened)] = &[
    ("filed", |_, round| round.header.tool == Tool::File),
    ("ground", |_, round| round.header.tool == Tool::Grinder),
    ("in millimetres", |_, round| round.header.units == Unit::Mm),
    ("in inches", |_, round| round.header.units == Unit::Inch),
    ("after an imported round", |plot, _| plot.imported),
    ("signed off", |_, round| round.closed == Some(Closing::Signed)),
    ("rejected", |_, round| round.closed == Some(Closing::Rejected)),
    ("rejected out of turn", |_, round| happened(round, |event| matches!(event, Event::Rejected { .. }))),
    ("paused", |_, round| happened(round, |event| matches!(event, Event::Paused {}))),
    ("taken back", |_, round| happened(round, |event| matches!(event, Event::Void { .. }))),
    ("jumped", |_, round| happened(round, |event| matches!(event, Event::Went { cutter: Some(_), .. }))),
    ("left out", |_, round| happened(round, |event| matches!(event, Event::LeftOut { .. }))),
    ("measured once more", |_, round| happened(round, |event| matches!(event, Event::Length { again: true, .. }))),
    ("left short", |_, round| is_one(round, |cutter| cutter.state == CutterState::LeftShort)),
    ("missing", |_, round| is_one(round, |cutter| cutter.state == CutterState::Missing)),
    ("damage filed out", |_, round| is_one(round, |c| c.state == CutterState::Damaged && !c.after.is_empty())),
    ("damage before filing", |_, round| damage(round, false)),
    ("damage after filing", |_, round| damage(round, true)),
    ("damage withdrawn", withdrawn),
    ("caliper off", |_, round| happened(round, |event| matches!(event, Event::Zero { .. }))),
    ("saw looked at", |_, round| happened(round, |event| matches!(event, Event::Saw { looked_at: Some(_) }))),
    ("remark", |_, round| happened(round, |event| matches!(event, Event::Note { .. }))),
];

/// Entries that stand.
fn standing(round: &Round) -> impl Iterator<Item = &Entry> {
    let voided = |seq: u32| {
        let of = |entry: &Entry| matches!(entry.event, Event::Void { target } if target == seq);
        round.entries.iter().any(of)
    };
    round.entries.iter().filter(move |entry| !voided(entry.seq))
}

fn happened(round: &Round, what: fn(&Event) -> bool) -> bool {
    standing(round).any(|entry| what(&entry.event))
}

fn is_one(round: &Round, what: fn(&Cutter) -> bool) -> bool {
    round.cutters.iter().any(what)
}

/// A cutter was called damaged, before or after its length was measured after filing.
fn damage(round: &Round, late: bool) -> bool {
    let mut filed = Vec::new();
    standing(round).any(|entry| match entry.event {
        Event::Length { cutter, when: When::After, .. } => {
            filed.push(cutter);
            false
        }
        Event::State { cutter, state: CutterState::Damaged, .. } => filed.contains(&cutter) == late,
        _ => false,
    })
}

fn withdrawn(_: &Plot, round: &Round) -> bool {
    let mut hurt = Vec::new();
    standing(round).any(|entry| match entry.event {
        Event::State { cutter, state: CutterState::Damaged, .. } => {
            hurt.push(cutter);
            false
        }
        Event::State { cutter, state: CutterState::Kept, .. } => hurt.contains(&cutter),
        _ => false,
    })
}

impl Kinds {
    /// Counts what happened in a round.
    pub(super) fn count(&mut self, plot: &Plot, round: &Round) {
        for (kind, happened) in KINDS {
            *self.seen.entry(kind).or_default() += usize::from(happened(plot, round));
        }
    }

    /// Kinds that never occurred.
    pub(super) fn never(&self) -> Vec<&'static str> {
        self.seen.iter().filter(|(_, count)| **count == 0).map(|(kind, _)| *kind).collect()
    }

    /// How often each occurred, one a line.
    pub(super) fn text(&self) -> String {
        KINDS.iter().map(|(kind, _)| format!("{:4} {kind}\n", self.seen[kind])).collect()
    }
}
