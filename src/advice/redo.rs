//! What the proof sends back: cutter, part of the round to go to, and why.

use super::CutterFinding;
use super::flags::{AngleOff, Remedy, angle_off};
use super::now::Now;
use super::verdict::{AngleWord, GapWord, Judged, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::round::{Cutter, CutterState, Phase, Reading, Round};
use crate::units::{Degrees, Millimetres};

/// What is to be done again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Work on it: all of that part.
    Work,
    /// File its angle right.
    Angle,
    /// Measure it anew: what was measured no longer holds.
    Measure,
    /// One reading more, which joins the others; nothing is worked on.
    Again(Reading),
    /// Say what becomes of it, by what this reading told: no file brings it right by itself.
    Decide(Reading),
}

impl What {
    /// The one reading that it begins with.
    pub(crate) const fn reading(self) -> Option<Reading> {
        match self {
            Self::Angle => Some(Reading::Angle),
            Self::Work | Self::Measure | Self::Again(_) | Self::Decide(_) => None,
        }
    }
}

/// One thing to do again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Redo {
    /// Cutter.
    pub cutter: CutterNumber,
    /// Part of the round that does it.
    pub phase: Phase,
    /// What is to be done.
    pub what: What,
    /// Why.
    pub why: RedoWhy,
}

/// Why something is to be done again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RedoWhy {
    /// The raker is proven too low.
    RakerLow {
        /// By how much.
        by: Millimetres,
        /// What can be done.
        remedy: Remedy,
    },
    /// The raker is proven too high.
    RakerHigh {
        /// By how much.
        by: Millimetres,
    },
    /// The tooth was filed after its gap was measured.
    GapStale,
    /// The gap is not proven right.
    GapMayBeOff {
        /// By how much it reads off.
        by: Millimetres,
    },
    /// Its edge shone against the light.
    Dull,
    /// No file has been at it.
    NotFiled,
    /// The same, and it is left short.
    NotSharpened,
    /// Damage was found on it after it was filed.
    DamagedSince,
    /// Proven longer than the chosen length.
    Long {
        /// By how much.
        by: Millimetres,
    },
    /// Proven longer than the shortest, and no length was chosen that it could be filed to.
    NoLength {
        /// By how much.
        by: Millimetres,
    },
    /// Proven shorter than the chosen length.
    Short {
        /// By how much.
        by: Millimetres,
    },
    /// The length is not proven even.
    LengthMayBeOff {
        /// By how much it reads off.
        by: Millimetres,
    },
    /// The angle is proven off.
    AngleOff(AngleOff),
    /// The angle is not proven true.
    AngleMayBeOff {
        /// As measured.
        angle: Degrees,
    },
}

/// A length or gap that is not proven even is asked for again where at least one chance in five is that it is off.
const WORTH_ASKING: f64 = 0.8;
/// An angle reading is coarse against its tolerance: it is asked for again where the angle is more likely off than not, else
/// nearly every cutter would be.
const ANGLE_WORTH_ASKING: f64 = 0.5;

/// The list, by part of the round and cutter; at most one entry for a cutter in a part, the most serious.
pub(crate) fn redo(round: &Round, cutters: &[CutterFinding], lengths: &[Option<Now>]) -> Vec<Redo> {
    let mut list: Vec<Redo> = Vec::new();
    for (found, now) in cutters.iter().zip(lengths) {
        let Some(cutter) = round.cutter(found.number) else { continue };
        let of_one =
            [dull(round, found), gap(found, cutter), length(round, found, cutter, *now), angle(round, found, cutter)];
        for (phase, what, why) in of_one.into_iter().flatten() {
            if !list.iter().any(|known| known.cutter == found.number && known.phase == phase) {
                list.push(Redo { cutter: found.number, phase, what, why });
            }
        }
    }
    list.extend(no_length(round, cutters));
    list.sort_by_key(|redo| (redo.phase, redo.cutter));
    list
}

/// Part of the round in which a side is filed.
pub(crate) fn filing_phase(round: &Round, side: Side) -> Phase {
    if side == round.header.begin { Phase::First } else { Phase::Second }
}

type Found = Option<(Phase, What, RedoWhy)>;

fn dull(round: &Round, found: &CutterFinding) -> Found {
    let shines = round.light.as_ref().is_some_and(|light| light.dull.contains(&found.number));
    shines.then_some((filing_phase(round, found.side), What::Work, RedoWhy::Dull))
}

/// Asked for again where the answer may change something, and was not refused already.
fn is_worth_asking<W, Q>(judged: &Judged<W, Q>, cutter: &Cutter, reading: Reading, least: f64) -> bool {
    judged.worth_again && judged.conformity < Some(least) && !cutter.was_left_out(reading)
}

fn gap(found: &CutterFinding, cutter: &Cutter) -> Found {
    let by = found.gap.off_by.unwrap_or_default().abs();
    let reading = if cutter.gap_after.is_empty() { Reading::GapBefore } else { Reading::GapAfter };
    match found.gap.word {
        // Steel cannot be put back: what becomes of it is asked once, and the answer stands until it is filed or measured anew.
        GapWord::Low if cutter.is_raker_left() => None,
        GapWord::Low => {
            let why = RedoWhy::RakerLow { by, remedy: Remedy::of(found) };
            Some((Phase::Rakers, What::Decide(reading), why))
        }
        GapWord::High => Some((Phase::Rakers, What::Work, RedoWhy::RakerHigh { by })),
        GapWord::Again if found.gap_stale => Some((Phase::Rakers, What::Measure, RedoWhy::GapStale)),
        GapWord::Again if is_worth_asking(&found.gap, cutter, reading, WORTH_ASKING) => {
            Some((Phase::Rakers, What::Again(reading), RedoWhy::GapMayBeOff { by }))
        }
        _ => None,
    }
}

/// The longest of a loop that came to the proof uneven and without a chosen length: one choice puts all of them right.
fn no_length(round: &Round, cutters: &[CutterFinding]) -> Option<Redo> {
    let due = round.target.is_none() && round.phase() >= Phase::Prove;
    let matched = |found: &&CutterFinding| round.cutter(found.number).is_some_and(Cutter::is_matched);
    let long = cutters.iter().filter(matched).filter(|found| due && found.length.word == LengthWord::Long);
    let (cutter, by) =
        long.filter_map(|found| Some((found.number, found.length.off_by?))).max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Redo { cutter, phase: Phase::Plan, what: What::Work, why: RedoWhy::NoLength { by } })
}

fn length(round: &Round, found: &CutterFinding, cutter: &Cutter, now: Option<Now>) -> Found {
    round.target.as_ref().filter(|_| cutter.is_present())?;
    let phase = filing_phase(round, found.side);
    let by = found.length.off_by.unwrap_or_default().abs();
    let is_short = cutter.state == CutterState::LeftShort;
    if cutter.hurt_since && !is_short {
        return Some((Phase::Plan, What::Work, RedoWhy::DamagedSince));
    }
    if !now.is_some_and(|now| now.filed) {
        let due = round.phase() >= Phase::Rakers && !cutter.was_left_out(Reading::LengthAfter);
        let why = if is_short { RedoWhy::NotSharpened } else { RedoWhy::NotFiled };
        return due.then_some((phase, What::Work, why));
    }
    match found.length.word {
        LengthWord::Long => Some((phase, What::Work, RedoWhy::Long { by })),
        // It was left short on purpose.
        _ if is_short => None,
        LengthWord::Short => Some((Phase::Plan, What::Work, RedoWhy::Short { by })),
        LengthWord::Again if is_worth_asking(&found.length, cutter, Reading::LengthAfter, WORTH_ASKING) => {
            Some((phase, What::Again(Reading::LengthAfter), RedoWhy::LengthMayBeOff { by }))
        }
        _ => None,
    }
}

fn angle(round: &Round, found: &CutterFinding, cutter: &Cutter) -> Found {
    let phase = filing_phase(round, found.side);
    let off = angle_off(found, round)?;
    match found.angle.word {
        AngleWord::Off => Some((phase, What::Angle, RedoWhy::AngleOff(off))),
        AngleWord::Again if is_worth_asking(&found.angle, cutter, Reading::Angle, ANGLE_WORTH_ASKING) => {
            Some((phase, What::Again(Reading::Angle), RedoWhy::AngleMayBeOff { angle: off.angle }))
        }
        _ => None,
    }
}
