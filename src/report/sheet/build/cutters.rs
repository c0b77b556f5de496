//! The cutters' part of a sheet.

use crate::advice::rakers::Basis;
use crate::advice::{CutterFinding, Findings};
use crate::report::data::number;
use crate::report::sheet::model::{CutterPart, Three, Verdicts};
use crate::round::{Cutter, CutterState, Round};
use crate::units::clean::clean;

/// Number 1 first.
pub(super) fn parts(round: &Round, found: &Findings) -> Vec<CutterPart> {
    let all = round.cutters.iter().zip(&found.cutters).zip(round.layout.slots());
    all.map(|((cutter, finding), slot)| part(cutter, finding, slot.link)).collect()
}

fn part(cutter: &Cutter, found: &CutterFinding, link: u16) -> CutterPart {
    let gap = found.raker.gap;
    let measured = gap.is_some_and(|gap| gap.basis == Basis::Measured);
    // What is not there has no target.
    let there = cutter.state != CutterState::Missing;
    CutterPart {
        number: found.number,
        side: found.side,
        state: found.state,
        before_mm: number(found.before),
        after_mm: number(found.after),
        wear_mm: number(found.wear),
        target_mm: number(found.target),
        angle_deg: number(found.angle_now),
        gap_before_mm: number(found.gap_before),
        gap_mm: number(found.gap_now),
        target_gap_mm: number(found.raker.target.filter(|_| there)),
        bite_deg: number(found.raker.bite.filter(|_| measured)),
        verdicts: Verdicts { length: found.length.word, angle: found.angle.word, gap: found.gap.word },
        conformity: number(found.length.conformity),
        probabilities: Three {
            length: number(found.length.conformity),
            angle: number(found.angle.conformity),
            gap: number(found.gap.conformity),
        },
        off_by: Three {
            length: number(found.length.off_by),
            angle: number(found.angle.off_by),
            gap: number(found.gap.off_by),
        },
        length_mm: number(found.length_now),
        gap_stale: found.gap_stale,
        predicted_gap_mm: number(gap.filter(|_| !measured).map(|gap| gap.gap)),
        stage: found.stage.map(|stage| stage.stage),
        past_worth: number(found.stage.map(|stage| stage.past_worth)),
        past_due: number(found.stage.map(|stage| stage.past_due)),
        need_mm: number(cutter.need),
        removed_mm: number(cutter.removed()),
        repaired: cutter.is_repaired(),
        strokes: cutter.strokes,
        notes: cutter.notes.iter().map(|note| clean(note)).collect(),
        link,
    }
}
