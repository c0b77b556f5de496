//! The loop map's cells: one sign per cutter, by what matters in the present part of the round.

use super::super::super::widgets::{MapCell, MapSign};
use crate::advice::Findings;
use crate::advice::verdict::{AngleWord, GapWord, LengthWord};
use crate::round::{Cutter, CutterState, Phase, Round};

/// Every cutter with its sign.
pub(super) fn cells(round: &Round, findings: &Findings) -> Vec<MapCell> {
    round
        .cutters
        .iter()
        .map(|cutter| MapCell { number: cutter.number, side: cutter.side, sign: sign(round, findings, cutter) })
        .collect()
}

fn sign(round: &Round, findings: &Findings, cutter: &Cutter) -> MapSign {
    match cutter.state {
        CutterState::Missing => return MapSign::Missing,
        CutterState::LeftShort if round.phase() < Phase::Rakers => return MapSign::LeftShort,
        _ => {}
    }
    let Some(found) = findings.cutter(cutter.number) else { return MapSign::Waiting };
    let by_phase = match round.phase() {
        Phase::Look | Phase::Measure | Phase::Plan => measured(findings, cutter),
        Phase::First | Phase::Second => filed(cutter, found.length.word, found.angle.word),
        Phase::Rakers => raker(found.gap.word),
        Phase::Prove | Phase::Sign => proof(cutter, found.length.word, found.angle.word, found.gap.word),
    };
    match by_phase {
        MapSign::Waiting | MapSign::Measured if cutter.state == CutterState::Damaged => MapSign::Damaged,
        sign => sign,
    }
}

fn measured(findings: &Findings, cutter: &Cutter) -> MapSign {
    if findings.evenness.struck.iter().any(|struck| struck.cutter == cutter.number) {
        MapSign::Short
    } else if cutter.before.is_empty() {
        MapSign::Waiting
    } else {
        MapSign::Measured
    }
}

fn filed(cutter: &Cutter, length: LengthWord, angle: AngleWord) -> MapSign {
    if cutter.after.is_empty() {
        return MapSign::Waiting;
    }
    match (length, angle) {
        (LengthWord::Long, _) => MapSign::Long,
        (LengthWord::Short, _) => MapSign::Short,
        (_, AngleWord::Off) => MapSign::Off,
        (LengthWord::Again, _) | (_, AngleWord::Again) => MapSign::Again,
        (LengthWord::Even, _) => MapSign::Even,
        (LengthWord::Unmeasured, _) => MapSign::Done,
    }
}

const fn raker(gap: GapWord) -> MapSign {
    match gap {
        GapWord::Good => MapSign::Done,
        GapWord::High => MapSign::RakerHigh,
        GapWord::Low => MapSign::RakerLow,
        GapWord::Again => MapSign::Again,
        GapWord::Unmeasured => MapSign::Waiting,
    }
}

fn proof(cutter: &Cutter, length: LengthWord, angle: AngleWord, gap: GapWord) -> MapSign {
    if cutter.state == CutterState::LeftShort && gap != GapWord::Low {
        return MapSign::LeftShort;
    }
    match (gap, filed(cutter, length, angle)) {
        (GapWord::Low, _) => MapSign::RakerLow,
        (_, sign @ (MapSign::Long | MapSign::Short | MapSign::Off)) => sign,
        (GapWord::High, _) => MapSign::RakerHigh,
        (GapWord::Again, _) | (_, MapSign::Again) => MapSign::Again,
        (_, sign) => sign,
    }
}
