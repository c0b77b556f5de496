//! Why a loop must not go back on a saw, in words.

use crate::round::card::Scrapped;
use crate::round::{Held, LookItem, Release, Stop};
use crate::units::clean::clean;

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
    }
}
