//! How a loop stands, and why it must not go back on a saw, in words.

use super::{count, cutters, few, length};
use crate::advice::cautions::Loose;
use crate::advice::status::{Status, StatusWord, Why};
use crate::round::card::Scrapped;
use crate::round::{Card, Held, LookItem, Release, Stop};
use crate::units::Unit;
use crate::units::clean::clean;

impl Status {
    /// In a line: `ready, watch: 2 rakers too low`.
    pub fn line(&self) -> String {
        let why = self.reasons().join(", ");
        match (self.word, why.is_empty()) {
            (StatusWord::Ready | StatusWord::Watch, true) => "ready".to_owned(),
            (StatusWord::Ready | StatusWord::Watch, false) => format!("ready, watch: {why}"),
            (StatusWord::DoNotUse, _) => format!("DO NOT USE: {why}"),
            (StatusWord::NotFinished, true) => "not finished".to_owned(),
            (StatusWord::NotFinished, false) => format!("not finished, watch: {why}"),
            (StatusWord::NotMeasured, true) => "not ready: nothing was measured".to_owned(),
            (StatusWord::NotMeasured, false) => format!("not ready: nothing was measured, watch: {why}"),
        }
    }

    /// Its reasons, each in a few words.
    pub fn reasons(&self) -> Vec<String> {
        self.why.iter().map(|why| why.words(self.unit)).collect()
    }
}

impl Why {
    /// In a few words.
    fn words(&self, unit: Unit) -> String {
        match self {
            Self::Rejected { stops: all } => format!("rejected, {}", stops(all)),
            Self::Held { held: since } => held(since),
            Self::Practice {} => FOR_PRACTICE.to_owned(),
            Self::AtMark { cutters: numbers } => format!("{} at the witness mark", cutters(numbers)),
            Self::AtMarkOnce { cutters: numbers } => format!("{} at the witness mark by one reading", few(numbers)),
            Self::NearMark { cutters: numbers } => format!("{} near the witness mark", few(numbers)),
            Self::OverLimit { rakers, limit } => {
                format!("{} too low, gap over the limit of {}", count(*rakers, "raker"), length(unit, *limit))
            }
            Self::LowRakers { rakers } => format!("{} too low, kicks back harder", count(*rakers, "raker")),
            Self::MostLow {} => "most rakers too low, kicks back harder".to_owned(),
            Self::Dull { cutters: numbers } => format!("{} dull", cutters(numbers)),
            Self::Uneven { cutters: numbers } => format!("{} uneven", few(numbers)),
            Self::Bounce { loose: Loose::Parts } => "loose, bounces".to_owned(),
            Self::Bounce { loose: Loose::Tension } => "tension not right: bounces if slack".to_owned(),
            Self::Softwood {} => "unfrozen softwood only".to_owned(),
            Self::Kerf {} => "does the bar run free?".to_owned(),
            Self::NotZero { by } => format!("caliper was off by {}", length(unit, *by)),
            Self::NoLengths {} => "lengths not measured".to_owned(),
            Self::NoGaps {} => "rakers not measured".to_owned(),
        }
    }
}

/// Why a loop is rejected, in a few words: `a rivet at cutter 7 (turns by hand)`.
pub(crate) fn stop(stop: &Stop) -> String {
    let what = match (stop.part, stop.cutter) {
        (LookItem::Cutters, Some(number)) => format!("cutter {number}"),
        (part, Some(number)) => format!("{} at cutter {number}", part_words(part)),
        (part, None) => part_words(part).to_owned(),
    };
    let note = stop.note.as_ref().map(|note| format!(" ({})", clean(note))).unwrap_or_default();
    format!("{what}{note}")
}

/// What a loop is that nobody may put on a saw because it is set aside.
pub(crate) const FOR_PRACTICE: &str = "for practice, not for a saw";

/// Why no round is begun on a loop of this card and no rounds are counted; nothing where it is free.
pub(crate) fn kept_back(card: &Card, held_by: Option<&Held>) -> Option<String> {
    let practice = card.for_practice.then(|| FOR_PRACTICE.to_owned());
    practice.into_iter().chain(held_by.map(held)).reduce(|all, more| format!("{all}; {more}"))
}

/// What is said in place of the rounds that are left.
pub(crate) const NOT_COUNTED: &str = "No rounds are counted while the loop is held back.";

/// Since when a loop is held back, and why: `rejected on 2026-03-02: a crack`.
pub(crate) fn held(held: &Held) -> String {
    let day = held.since.format("%Y-%m-%d");
    if held.stops.is_empty() {
        return format!("rejected on {day}");
    }
    format!("rejected on {day}: {}", stops(&held.stops))
}

/// Since when a loop is out of care, and why.
pub(crate) fn out_of_care(scrapped: &Scrapped) -> String {
    format!("out of care since {}: {}", scrapped.at.format("%Y-%m-%d"), clean(&scrapped.reason))
}

/// A release in a line: `Released on 2026-03-09 by Ina: two straps replaced.`
pub(crate) fn released(release: &Release) -> String {
    let day = release.at.format("%Y-%m-%d");
    format!("Released on {day} by {}: {}.", clean(&release.by), clean(&release.replaced))
}

/// Several of them.
pub(crate) fn stops(all: &[Stop]) -> String {
    all.iter().map(stop).collect::<Vec<_>>().join(", ")
}

const fn part_words(part: LookItem) -> &'static str {
    match part {
        LookItem::Cracks => "a crack",
        LookItem::Rivets => "a rivet",
        LookItem::DriveLinks => "a drive link",
        LookItem::TieStraps => "a tie strap",
        LookItem::Cutters => "a cutter",
        LookItem::WitnessMark => "a passed witness mark",
        LookItem::Edges => "an edge",
    }
}
