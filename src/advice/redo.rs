//! What the proof sends back: cutter, part of the round to go to, and why.

use super::CutterFinding;
use super::flags::{AngleOff, Remedy, angle_off};
use super::now::Now;
use super::verdict::{AngleWord, GapWord, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::round::{Phase, Reading, Round};
use crate::units::{Degrees, Millimetres};

/// One thing to do again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Redo {
    /// Cutter.
    pub cutter: CutterNumber,
    /// Part of the round that does it.
    pub phase: Phase,
    /// Only to be measured again, not worked on.
    pub measure_only: bool,
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
    /// Proven longer than the chosen length.
    Long {
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
        let mut put = |phase: Phase, measure_only: bool, why: RedoWhy| {
            if !list.iter().any(|known| known.cutter == found.number && known.phase == phase) {
                list.push(Redo { cutter: found.number, phase, measure_only, why });
            }
        };
        if round.light.as_ref().is_some_and(|light| light.dull.contains(&found.number)) {
            put(filing_phase(round, found.side), false, RedoWhy::Dull);
        }
        gap(round, found, &mut put);
        length(round, found, *now, &mut put);
        angle(round, found, &mut put);
    }
    list.sort_by_key(|redo| (redo.phase, redo.cutter));
    list
}

/// Part of the round in which a side is filed.
pub(crate) fn filing_phase(round: &Round, side: Side) -> Phase {
    if side == round.header.begin { Phase::First } else { Phase::Second }
}

fn gap(round: &Round, found: &CutterFinding, put: &mut impl FnMut(Phase, bool, RedoWhy)) {
    let by = found.gap.off_by.unwrap_or_default().abs();
    match found.gap.word {
        GapWord::Low => {
            put(filing_phase(round, found.side), false, RedoWhy::RakerLow { by, remedy: Remedy::of(found) });
        }
        GapWord::High => put(Phase::Rakers, false, RedoWhy::RakerHigh { by }),
        GapWord::Again if found.gap_stale => put(Phase::Rakers, true, RedoWhy::GapStale),
        GapWord::Again if found.gap.worth_again && found.gap.conformity < Some(WORTH_ASKING) => {
            put(Phase::Rakers, true, RedoWhy::GapMayBeOff { by });
        }
        _ => {}
    }
}

fn length(round: &Round, found: &CutterFinding, now: Option<Now>, put: &mut impl FnMut(Phase, bool, RedoWhy)) {
    let Some(cutter) = round.cutter(found.number).filter(|cutter| cutter.is_matched()) else { return };
    if round.target.is_none() {
        return;
    }
    let phase = filing_phase(round, found.side);
    let by = found.length.off_by.unwrap_or_default().abs();
    let filed = now.is_some_and(|now| now.filed);
    if !filed {
        if round.phase() >= Phase::Rakers && !cutter.was_left_out(Reading::LengthAfter) {
            put(phase, false, RedoWhy::NotFiled);
        }
        return;
    }
    match found.length.word {
        LengthWord::Long => put(phase, false, RedoWhy::Long { by }),
        LengthWord::Short => put(Phase::Plan, false, RedoWhy::Short { by }),
        LengthWord::Again if found.length.worth_again && found.length.conformity < Some(WORTH_ASKING) => {
            put(phase, true, RedoWhy::LengthMayBeOff { by });
        }
        _ => {}
    }
}

fn angle(round: &Round, found: &CutterFinding, put: &mut impl FnMut(Phase, bool, RedoWhy)) {
    let phase = filing_phase(round, found.side);
    let Some(off) = angle_off(found, round) else { return };
    match found.angle.word {
        AngleWord::Off => put(phase, false, RedoWhy::AngleOff(off)),
        AngleWord::Again if found.angle.worth_again && found.angle.conformity < Some(ANGLE_WORTH_ASKING) => {
            put(phase, true, RedoWhy::AngleMayBeOff { angle: off.angle });
        }
        _ => {}
    }
}
