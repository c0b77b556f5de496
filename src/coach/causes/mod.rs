//! From how the saw cuts to what causes it and what helps, ranked by what this loop's own readings say.
//!
//! What the room is for: the table of faults below, each row with its source, and the question whether a round's
//! findings speak for a cause, against it, or not at all. The record of the saw speaks for its bar, sprocket, oil and tension. What nothing tells (a blunt edge) always
//! stays possible.

mod table;

use crate::advice::saw::faults;
use crate::advice::{AngleWord, BalanceWord, CutterFinding, Findings, GapWord};
use crate::chain::{CutterNumber, Side};
use crate::round::CutterState;
use crate::saw::{Part, Saw};
use crate::units::Unit;
pub use table::{Row, Source, TABLE};

/// How the saw cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symptom {
    /// Fine dust instead of chips.
    Dust,
    /// The cut runs to one side.
    Pulls,
    /// It grabs and cuts rough.
    Grabs,
    /// It must be pushed.
    Forced,
    /// It is sharp and soon blunt again.
    Dulls,
    /// It vibrates and jumps.
    Jumps,
    /// It smokes or burns the wood.
    Smokes,
}

impl Symptom {
    /// All of them, in the order in which they are asked.
    pub const ALL: [Self; 7] =
        [Self::Dust, Self::Pulls, Self::Grabs, Self::Forced, Self::Dulls, Self::Jumps, Self::Smokes];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Dust => "It makes fine dust instead of chips.",
            Self::Pulls => "It pulls to one side, the cut is curved.",
            Self::Grabs => "It grabs, it cuts rough.",
            Self::Forced => "It must be forced, it will not feed.",
            Self::Dulls => "It is sharp and dulls fast.",
            Self::Jumps => "It vibrates and jumps.",
            Self::Smokes => "It smokes or burns the wood.",
        }
    }

    /// The symptom of a number typed, from 1.
    pub fn numbered(number: usize) -> Option<Self> {
        Self::ALL.get(number.checked_sub(1)?).copied()
    }
}

/// What is behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Blunt cutters.
    Blunt,
    /// Rakers too high: gaps too small.
    RakersHigh,
    /// Rakers too low: gaps too large.
    RakersLow,
    /// Rakers of uneven height.
    RakersUneven,
    /// Rakers of one side too high or too low.
    RakersOfSide,
    /// Raker fronts left square.
    RakerFronts,
    /// Left and right cutters of different length.
    Unequal,
    /// Damage on one side.
    DamagedSide,
    /// Angles differ from side to side.
    AnglesDiffer,
    /// The bar's rails.
    Rails,
    /// The chain leans in a worn groove.
    Groove,
    /// A bent or cracked bar.
    BarBent,
    /// A nose that does not turn.
    Nose,
    /// A worn sprocket.
    Sprocket,
    /// Hook: file too low or too small.
    Hook,
    /// Back slope on the side plate: file too high or too large.
    Backslope,
    /// Top-plate angle too small.
    AngleSmall,
    /// Top-plate angle too large.
    AngleLarge,
    /// Flat cutting angle: handle held too high.
    HandleHigh,
    /// Thin top plate: handle held too low.
    HandleLow,
    /// Loose chain.
    Loose,
    /// Stone, sand or dirt in the cut.
    Dirt,
    /// Pressed too lightly.
    LightFeed,
    /// Too little oil on bar and chain.
    Oil,
}

/// What the readings say of a cause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Evidence {
    /// They show it.
    Shown(String),
    /// They say nothing.
    Open,
    /// They speak against it.
    Against(String),
}

impl Evidence {
    const fn rank(&self) -> u8 {
        match self {
            Self::Shown(_) => 0,
            Self::Open => 1,
            Self::Against(_) => 2,
        }
    }
}

/// A row of the table with what the readings say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// Cause, remedy and source.
    pub row: &'static Row,
    /// What the readings say.
    pub evidence: Evidence,
}

/// Causes of a symptom by what the readings and the record of the loop's saw tell: what they show first, what they speak
/// against last; else in the table's order.
pub fn ranked(symptom: Symptom, findings: Option<&Findings>, saw: Option<&Saw>, unit: Unit) -> Vec<Ranked> {
    let rows = TABLE.iter().filter(|row| row.symptom == symptom);
    let mut all: Vec<Ranked> = rows
        .map(|row| {
            let of_saw = saw.and_then(|saw| saw_evidence(row.cause, saw, unit));
            let of_loop = || findings.map_or(Evidence::Open, |found| evidence(row.cause, found, unit));
            Ranked { row, evidence: of_saw.unwrap_or_else(of_loop) }
        })
        .collect();
    all.sort_by_key(|ranked| ranked.evidence.rank());
    all
}

/// What the record of the saw says of a cause; nothing where it is none of the saw's, or was not looked at.
fn saw_evidence(cause: Cause, saw: &Saw, unit: Unit) -> Option<Evidence> {
    let part = match cause {
        Cause::Rails => Part::Rails,
        Cause::Groove => Part::Groove,
        Cause::BarBent => Part::Straight,
        Cause::Nose => Part::Nose,
        Cause::Sprocket => Part::Sprocket,
        Cause::Oil => Part::Oil,
        // The latest word on the tension.
        Cause::Loose => [Part::Tension, Part::TensionWarm]
            .into_iter()
            .max_by_key(|part| saw.checks.get(part).map(|check| check.seq))?,
        _ => return None,
    };
    let check = saw.checks.get(&part)?;
    let on = check.at.format("%Y-%m-%d");
    match faults(saw).into_iter().find(|fault| fault.part == part) {
        Some(fault) => Some(Evidence::Shown(format!("{} Looked at on {on}.", fault.words(unit)))),
        None => Some(Evidence::Against(format!("It was found good on {on}."))),
    }
}

/// What a round's findings say of a cause.
pub fn evidence(cause: Cause, findings: &Findings, unit: Unit) -> Evidence {
    match cause {
        Cause::RakersHigh => gaps(findings, GapWord::High, "gap too small"),
        Cause::RakersLow => gaps(findings, GapWord::Low, "gap too large"),
        Cause::RakersUneven => uneven_gaps(findings),
        Cause::RakersOfSide => gaps_of_side(findings),
        Cause::Unequal => unequal(findings, unit),
        Cause::DamagedSide => damaged(findings),
        Cause::AnglesDiffer => angles_differ(findings),
        Cause::AngleSmall => angles(findings, -1.0, "angle too small"),
        Cause::AngleLarge => angles(findings, 1.0, "angle too large"),
        Cause::Hook | Cause::Backslope => file(cause, findings, unit),
        Cause::Blunt
        | Cause::RakerFronts
        | Cause::Rails
        | Cause::Groove
        | Cause::BarBent
        | Cause::Nose
        | Cause::Sprocket
        | Cause::HandleHigh
        | Cause::HandleLow
        | Cause::Loose
        | Cause::Dirt
        | Cause::LightFeed
        | Cause::Oil => Evidence::Open,
    }
}

fn present(findings: &Findings) -> impl Iterator<Item = &CutterFinding> {
    findings.cutters.iter().filter(|found| found.state != CutterState::Missing)
}

/// `4, 9 and 12`; a long list is cut short.
fn numbers(cutters: &[CutterNumber]) -> String {
    const MOST: usize = 6;
    let shown: Vec<String> = cutters.iter().take(MOST).map(CutterNumber::to_string).collect();
    let noun = if cutters.len() == 1 { "Cutter" } else { "Cutters" };
    let rest = cutters.len().saturating_sub(MOST);
    match (shown.as_slice(), rest) {
        ([first @ .., last], 0) if !first.is_empty() => format!("{noun} {} and {last}", first.join(", ")),
        (_, 0) => format!("{noun} {}", shown.join("")),
        _ => format!("{noun} {} and {rest} more", shown.join(", ")),
    }
}

/// Fewest cutters with a fault that make it a fault of the loop: with fewer it is a matter of those cutters alone.
const SEVERAL: usize = 3;

/// For where so many cutters are proven so; against where every one is measured and proven otherwise.
fn proven(all: usize, yes: &[CutterNumber], decided: usize, fewest: usize, what: &str) -> Evidence {
    if yes.len() >= fewest {
        Evidence::Shown(format!("{}: {what}.", numbers(yes)))
    } else if all > 0 && decided == all && yes.is_empty() {
        Evidence::Against(format!("No cutter has its {what}."))
    } else {
        Evidence::Open
    }
}

fn gaps(findings: &Findings, word: GapWord, what: &str) -> Evidence {
    let yes: Vec<CutterNumber> =
        present(findings).filter(|found| found.gap.word == word).map(|found| found.number).collect();
    let decided = |found: &&CutterFinding| matches!(found.gap.word, GapWord::Good | GapWord::High | GapWord::Low);
    // One raker too low is enough to grab and to kick back.
    let fewest = if word == GapWord::Low { 1 } else { SEVERAL };
    proven(present(findings).count(), &yes, present(findings).filter(decided).count(), fewest, what)
}

fn uneven_gaps(findings: &Findings) -> Evidence {
    let count = |word: GapWord| present(findings).filter(|found| found.gap.word == word).count();
    let [good, high, low] = [GapWord::Good, GapWord::High, GapWord::Low].map(count);
    if [good, high, low].into_iter().filter(|n| *n > 0).count() > 1 {
        let named = [(good, "right"), (high, "too high"), (low, "too low")].into_iter().filter(|(n, _)| *n > 0);
        let parts: Vec<String> = named.map(|(n, word)| format!("{n} {word}")).collect();
        Evidence::Shown(format!("Rakers: {}.", parts.join(", ")))
    } else if good > 0 && good == present(findings).count() {
        Evidence::Against("All rakers are right.".to_owned())
    } else {
        Evidence::Open
    }
}

/// Shown where one side has proven faults at its rakers and the other has fewer than half as many; against where all are right.
fn gaps_of_side(findings: &Findings) -> Evidence {
    let all = present(findings).count();
    let good = present(findings).filter(|found| found.gap.word == GapWord::Good).count();
    if all > 0 && good == all {
        return Evidence::Against("All rakers are right.".to_owned());
    }
    let count = |side: Side, word: GapWord| {
        present(findings).filter(|found| found.side == side && found.gap.word == word).count()
    };
    for (word, said) in [(GapWord::Low, "too low"), (GapWord::High, "too high")] {
        let [left, right] = [Side::Left, Side::Right].map(|side| count(side, word));
        if left.max(right) > 1 && 2 * left.min(right) < left.max(right) {
            return Evidence::Shown(format!("Rakers {said}: {left} left, {right} right."));
        }
    }
    Evidence::Open
}

fn unequal(findings: &Findings, unit: Unit) -> Evidence {
    match findings.balance.word {
        BalanceWord::LeftLonger | BalanceWord::RightLonger => Evidence::Shown(findings.balance.words(unit)),
        BalanceWord::Balanced => Evidence::Against(findings.balance.words(unit)),
        BalanceWord::Undecided => Evidence::Open,
    }
}

/// Shown where one side has several damaged cutters and the other fewer than half as many: one damaged cutter is no side.
fn damaged(findings: &Findings) -> Evidence {
    let marked = present(findings).filter(|found| found.state == CutterState::Damaged).map(|found| found.number);
    let mut cutters: Vec<CutterNumber> =
        marked.chain(findings.evenness.struck.iter().map(|struck| struck.cutter)).collect();
    cutters.sort_unstable();
    cutters.dedup();
    let on = |side: Side| {
        let is_there = |n: &&CutterNumber| findings.cutter(**n).is_some_and(|found| found.side == side);
        cutters.iter().filter(is_there).count()
    };
    let [left, right] = [Side::Left, Side::Right].map(on);
    if left.max(right) < SEVERAL || 2 * left.min(right) >= left.max(right) {
        return Evidence::Open;
    }
    Evidence::Shown(format!("{}: arrived damaged or far too short, {left} left, {right} right.", numbers(&cutters)))
}

fn angles_differ(findings: &Findings) -> Evidence {
    let wrist = &findings.wrist;
    match (wrist.words(), wrist.word) {
        (Some(words), _) => Evidence::Shown(words),
        (None, BalanceWord::Balanced) => Evidence::Against("Left and right angles match.".to_owned()),
        (None, _) => Evidence::Open,
    }
}

fn angles(findings: &Findings, sign: f64, what: &str) -> Evidence {
    let off = |found: &&CutterFinding| {
        found.angle.word == AngleWord::Off && found.angle.off_by.is_some_and(|by| by.get() * sign > 0.0)
    };
    let yes: Vec<CutterNumber> = present(findings).filter(off).map(|found| found.number).collect();
    let decided = |found: &&CutterFinding| matches!(found.angle.word, AngleWord::True | AngleWord::Off);
    proven(present(findings).count(), &yes, present(findings).filter(decided).count(), SEVERAL, what)
}

/// A file of another size than the cutters have now; or one that has stood too high since they got lower.
fn file(cause: Cause, findings: &Findings, unit: Unit) -> Evidence {
    let Some(file) = &findings.file else { return Evidence::Open };
    let right = format!("{} is right now", unit.file_size(file.diameter));
    match (cause, file.instead_of) {
        (Cause::Hook, Some(last)) if last < file.diameter => {
            Evidence::Shown(format!("Last filed with {}; {right}.", unit.file_size(last)))
        }
        (Cause::Backslope, Some(last)) if last > file.diameter => {
            Evidence::Shown(format!("Last filed with {}; {right}.", unit.file_size(last)))
        }
        (Cause::Backslope, _) if file.stands_too_high() => {
            let share = file.share_if_kept * 100.0;
            Evidence::Shown(format!(
                "Held as deep as at first, the file would stand {share:.0} % above the top plate by now."
            ))
        }
        _ => Evidence::Open,
    }
}

#[cfg(test)]
pub(crate) mod tests;
