//! How a loop stands, in one status, and why it must not go back on a saw, in words.

use serde::{Deserialize, Serialize};

use super::cautions::Caution;
use super::say;
use crate::chain::CutterNumber;
use crate::round::card::Scrapped;
use crate::round::{Closing, Held, LookItem, Release, Round, Stop};
use crate::units::clean::clean;

/// How a loop stands after a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StatusWord {
    /// Signed off, and nothing to watch.
    Ready,
    /// Signed off, with something to watch.
    Watch,
    /// It must not go back on a saw.
    DoNotUse,
    /// The round is open, or was given up.
    NotFinished,
    /// Signed off without a single measured length or gap.
    NotMeasured,
}

/// How a loop stands, and what there is to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Status {
    /// In a word.
    pub word: StatusWord,
    /// Why it must not be used, else what is to be watched; each in a few words.
    pub why: Vec<String>,
}

impl Status {
    /// Of a loop after this round, which calls for these cautions.
    pub fn of(round: &Round, cautions: &[Caution]) -> Self {
        let unit = round.header.units;
        let short = |stops: bool| {
            let of = cautions.iter().filter(move |caution| caution.is_stop() == stops);
            of.filter_map(|caution| caution.short(unit)).collect::<Vec<_>>()
        };
        let stops = short(true);
        if !stops.is_empty() {
            return Self { word: StatusWord::DoNotUse, why: stops };
        }
        let mut why = short(false);
        if round.closed != Some(Closing::Signed) {
            return Self { word: StatusWord::NotFinished, why };
        }
        let has_length = round.cutters.iter().any(|cutter| cutter.length().is_some());
        let has_gap = round.cutters.iter().any(|cutter| cutter.gap().is_some());
        let word = match (has_length, has_gap) {
            (false, false) => StatusWord::NotMeasured,
            (true, true) if why.is_empty() => StatusWord::Ready,
            _ => StatusWord::Watch,
        };
        match (has_length, has_gap) {
            (false, true) => why.push("lengths not measured".to_owned()),
            (true, false) => why.push("rakers not measured".to_owned()),
            _ => {}
        }
        Self { word, why }
    }

    /// Of a loop that is held back.
    pub fn held(held: &Held) -> Self {
        Self { word: StatusWord::DoNotUse, why: vec![self::held(held)] }
    }

    /// True where the loop must not go back on a saw.
    pub const fn is_stop(&self) -> bool {
        matches!(self.word, StatusWord::DoNotUse)
    }

    /// In a line: `ready, watch: 2 rakers too low`.
    pub fn line(&self) -> String {
        let why = self.why.join(", ");
        match (self.word, self.why.is_empty()) {
            (StatusWord::Ready | StatusWord::Watch, true) => "ready".to_owned(),
            (StatusWord::Ready | StatusWord::Watch, false) => format!("ready, watch: {why}"),
            (StatusWord::DoNotUse, _) => format!("DO NOT USE: {why}"),
            (StatusWord::NotFinished, true) => "not finished".to_owned(),
            (StatusWord::NotFinished, false) => format!("not finished, watch: {why}"),
            (StatusWord::NotMeasured, true) => "not ready: nothing was measured".to_owned(),
            (StatusWord::NotMeasured, false) => format!("not ready: nothing was measured, watch: {why}"),
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

/// `cutter 3` or `cutters 3 and 7`.
pub(crate) fn cutters(numbers: &[CutterNumber]) -> String {
    let noun = if numbers.len() == 1 { "cutter" } else { "cutters" };
    format!("{noun} {}", say::list(numbers))
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
