//! How soon the learner is told, when a drill is passed, and whether the hand stays steady.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use strum::VariantArray;

use super::fold::Learner;
use super::kind::Drill;
use crate::stats::cusum::{Cusum, Step};

/// How soon the learner is told how an item came out. Telling less from set to set makes what is learned stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, VariantArray)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// At each item.
    Each,
    /// Only where it is outside what is allowed.
    Outside,
    /// After the sixth and the twelfth.
    Halves,
    /// At the end.
    End,
}

impl Stage {
    fn moved(self, by: isize) -> Self {
        let at = Self::VARIANTS.iter().position(|stage| *stage == self).unwrap_or_default();
        let last = Self::VARIANTS.len() - 1;
        Self::VARIANTS[at.saturating_add_signed(by).min(last)]
    }
}

/// Why the next set is told as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageWhy {
    /// No set was done yet.
    First,
    /// One step less than last time.
    Less,
    /// As little as there is.
    Least,
    /// More misses than last time, by this many: one step back.
    Back {
        /// How many more.
        more: usize,
    },
    /// The instructor chose it.
    Chosen,
    /// This drill is always told at the end.
    Always,
}

/// How the next set of a drill is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Next {
    /// How soon.
    pub stage: Stage,
    /// Why.
    pub why: StageWhy,
}

/// Why no set may be begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSet {
    /// Own readings are not proven yet.
    MeasureFirst,
    /// This many were done today already.
    EnoughToday(usize),
}

/// Why a drill comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextWhy {
    /// Own readings are not proven yet.
    Gate,
    /// The hand was steady in it and is no longer.
    Relapsed,
    /// It was begun and is not passed.
    Begun,
    /// It is the next of those not passed.
    Next,
    /// All are passed; this one was left longest.
    Keep,
}

/// Sets of one drill that a day may have.
pub const MOST_A_DAY: usize = 4;
/// This many more misses mean one step back.
const STEP_BACK: usize = 2;

/// How the set after these two is told: how the last one was told and its misses, and the misses of the one before it.
pub(super) fn after(last: Option<(Stage, usize)>, before: Option<usize>) -> Next {
    let Some((told, misses)) = last else { return Next { stage: Stage::Each, why: StageWhy::First } };
    let more = before.map_or(0, |before| misses.saturating_sub(before));
    if more >= STEP_BACK {
        return Next { stage: told.moved(-1), why: StageWhy::Back { more } };
    }
    let stage = told.moved(1);
    let why = if stage == told { StageWhy::Least } else { StageWhy::Less };
    Next { stage, why }
}

impl Learner {
    /// How the next set of a drill is told.
    pub fn next_stage(&self, drill: Drill) -> Next {
        if drill.only_whole() {
            return Next { stage: Stage::End, why: StageWhy::Always };
        }
        if let Some(stage) = self.chosen.get(&drill) {
            return Next { stage: *stage, why: StageWhy::Chosen };
        }
        let done = self.whole(drill);
        let before = done.len().checked_sub(2).and_then(|at| done.get(at)).map(|(_, score)| score.misses);
        after(done.last().map(|(set, score)| (set.up.stage, score.misses)), before)
    }

    /// True once as many good sets running were done as pass the drill, at any time.
    pub fn has_passed(&self, drill: Drill) -> bool {
        self.passed_at(drill).is_some()
    }

    /// When the drill was first passed.
    pub fn passed_at(&self, drill: Drill) -> Option<DateTime<FixedOffset>> {
        let done = self.whole(drill);
        let running = done.windows(drill.sets_to_pass()).find(|sets| sets.iter().all(|(_, score)| score.good));
        running.and_then(|sets| sets.last()).map(|(set, _)| set.at)
    }

    /// Why no set of a drill may be begun at that time; nothing where one may.
    pub fn held(&self, drill: Drill, now: DateTime<FixedOffset>) -> Option<NoSet> {
        if drill.files() && !self.has_passed(Drill::MeasureTwice) {
            return Some(NoSet::MeasureFirst);
        }
        let done = self.whole(drill);
        let today = done.iter().filter(|(set, _)| set.at.with_timezone(now.offset()).date_naive() == now.date_naive());
        let today = today.count();
        (today >= MOST_A_DAY).then_some(NoSet::EnoughToday(today))
    }

    /// The curve of a drill, each whole set one unit: readings inside a set depend on each other, sets do not.
    pub fn curve(&self, drill: Drill) -> Vec<Step> {
        let sets: Vec<bool> = self.whole(drill).iter().map(|(_, score)| score.good).collect();
        Cusum::default().walk(&sets)
    }

    /// True where the hand was proven steady in a drill and is no longer.
    pub fn is_relapsed(&self, drill: Drill) -> bool {
        let curve = self.curve(drill);
        curve.iter().any(|step| step.turned && !step.passed) && curve.last().is_some_and(|last| !last.passed)
    }

    /// The one drill to do next, and why.
    pub fn next_drill(&self) -> (Drill, NextWhy) {
        if !self.has_passed(Drill::MeasureTwice) {
            return (Drill::MeasureTwice, NextWhy::Gate);
        }
        if let Some(drill) = Drill::VARIANTS.iter().find(|drill| self.is_relapsed(**drill)) {
            return (*drill, NextWhy::Relapsed);
        }
        let open = || Drill::VARIANTS.iter().filter(|drill| !self.has_passed(**drill));
        if let Some(drill) = open().find(|drill| !self.whole(**drill).is_empty()) {
            return (*drill, NextWhy::Begun);
        }
        if let Some(drill) = open().next() {
            return (*drill, NextWhy::Next);
        }
        let last = |drill: &&Drill| self.whole(**drill).last().map(|(set, _)| set.at);
        let drill = Drill::VARIANTS.iter().min_by_key(last).copied().unwrap_or(Drill::MeasureTwice);
        (drill, NextWhy::Keep)
    }
}
