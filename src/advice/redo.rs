//! What the proof sends back: cutter, part of the round to go to, and why.

use super::CutterFinding;
use super::flags::{angle_words, too_low_remedy};
use super::now::Now;
use super::say;
use super::verdict::{AngleWord, GapWord, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::round::{Phase, Reading, Round};

/// One thing to do again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Redo {
    /// Cutter.
    pub cutter: CutterNumber,
    /// Part of the round that does it.
    pub phase: Phase,
    /// Only to be measured again, not worked on.
    pub measure_only: bool,
    /// Why, a short line that follows the cutter's number.
    pub line: String,
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
        let mut put = |phase: Phase, measure_only: bool, line: String| {
            if !list.iter().any(|known| known.cutter == found.number && known.phase == phase) {
                list.push(Redo { cutter: found.number, phase, measure_only, line });
            }
        };
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

fn gap(round: &Round, found: &CutterFinding, put: &mut impl FnMut(Phase, bool, String)) {
    let unit = round.header.units;
    let by = say::length(unit, found.gap.off_by.unwrap_or_default().abs());
    match found.gap.word {
        GapWord::Low => {
            let remedy = too_low_remedy(found, round);
            put(filing_phase(round, found.side), false, format!("raker {by} TOO LOW. {remedy}"));
        }
        GapWord::High => put(Phase::Rakers, false, format!("raker {by} high: file it down.")),
        GapWord::Again if found.gap_stale => {
            put(Phase::Rakers, true, "tooth filed after its gap was measured: measure it.".into());
        }
        GapWord::Again if found.gap.worth_again && found.gap.conformity < Some(WORTH_ASKING) => {
            put(Phase::Rakers, true, format!("gap may be {by} off: measure again."));
        }
        _ => {}
    }
}

fn length(round: &Round, found: &CutterFinding, now: Option<Now>, put: &mut impl FnMut(Phase, bool, String)) {
    let Some(cutter) = round.cutter(found.number).filter(|cutter| cutter.is_matched()) else { return };
    if round.target.is_none() {
        return;
    }
    let phase = filing_phase(round, found.side);
    let by = say::length(round.header.units, found.length.off_by.unwrap_or_default().abs());
    let filed = now.is_some_and(|now| now.filed);
    if !filed {
        if round.phase() >= Phase::Rakers && !cutter.was_left_out(Reading::LengthAfter) {
            put(phase, false, "not filed yet.".into());
        }
        return;
    }
    match found.length.word {
        LengthWord::Long => put(phase, false, format!("{by} long: file it.")),
        LengthWord::Short => put(Phase::Plan, false, format!("{by} short: leave it short or choose a lower length.")),
        LengthWord::Again if found.length.worth_again && found.length.conformity < Some(WORTH_ASKING) => {
            put(phase, true, format!("may be {by} off: measure again."));
        }
        _ => {}
    }
}

fn angle(round: &Round, found: &CutterFinding, put: &mut impl FnMut(Phase, bool, String)) {
    let phase = filing_phase(round, found.side);
    let (Some(off), Some(angle)) = (found.angle.off_by, found.angle_now) else { return };
    match found.angle.word {
        AngleWord::Off => put(phase, false, angle_words(angle, off, round)),
        AngleWord::Again if found.angle.worth_again && found.angle.conformity < Some(ANGLE_WORTH_ASKING) => {
            put(phase, true, format!("angle {:.1} may be off: measure again.", angle.get()));
        }
        _ => {}
    }
}
