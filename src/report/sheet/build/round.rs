//! What happened in the round, what it took, and what was not measured in it.

use strum::VariantArray;

use super::said;
use crate::advice::say::status;
use crate::report::data::{Number, number};
use crate::report::sheet::model::{Lack, LeftOut, LightPart, LookPart, NotMeasured, RemovedPart, RoundPart, StopPart};
use crate::round::about::{cutter_of, reading_of};
use crate::round::{Cutter, Event, LookItem, Reading, Round, Stop, Summary};
use crate::units::clean::clean;
use crate::units::mm;

pub(super) fn part(round: &Round) -> RoundPart {
    let header = &round.header;
    let summary = Summary::of(round);
    let strokes = round.cutters.iter().any(|cutter| cutter.strokes.is_some());
    RoundPart {
        started: header.started.to_rfc3339(),
        ended: round.closed.map(|_| summary.ended.to_rfc3339()),
        how: round.closed,
        phase: round.closed.is_none().then(|| round.phase().word()),
        tool: header.tool,
        wood: header.wood,
        rule: round.rule,
        target_mm: number(summary.target),
        target_recommended: round.target.as_ref().map(|target| target.recommended),
        minutes: summary.minutes.map(Number::from),
        strokes: strokes.then_some(summary.strokes),
        links: header.links,
        sequence: header.sequence.clone(),
        median_before_mm: number(summary.median_before),
        median_after_mm: number(summary.median_after),
        spread_before_mm: number(summary.spread_before),
        spread_after_mm: number(summary.spread_after),
        removed: removed(round, &summary),
        cut: round.cut,
        looks: header.looks().map(|item| look(round, item)).collect(),
        stops: round.stops().iter().map(stop).collect(),
        light: round
            .light
            .as_ref()
            .map(|light| LightPart { looked: light.looked, dull: light.dull.iter().copied().collect() }),
        notes: round.notes.iter().map(|note| clean(note)).collect(),
        zeros_mm: round.zeros.iter().map(|zero| Number::from(*zero)).collect(),
        left_out: left_out(round),
    }
}

fn look(round: &Round, item: LookItem) -> LookPart {
    let found = round.looks.get(&item);
    LookPart {
        item,
        finding: found.map(|(finding, _)| *finding),
        note: found.and_then(|(_, note)| note.as_deref()).and_then(said),
    }
}

fn stop(of: &Stop) -> StopPart {
    let note = of.note.as_deref().and_then(said);
    StopPart { part: of.part, cutter: of.cutter, note, line: status::stop(of) }
}

fn removed(round: &Round, summary: &Summary) -> Option<RemovedPart> {
    // The summary counts the cutters that lost something; so does this.
    let cutters = round.cutters.iter().filter_map(Cutter::removed).filter(|removed| *removed > mm(0.0)).count();
    (cutters > 0).then(|| RemovedPart {
        cutters,
        all_mm: Number::from(summary.removed),
        wear_mm: Number::from(summary.removed_wear),
        damage_mm: Number::from(summary.removed_damage),
        evening_mm: Number::from(summary.removed_even),
        life_share: Number(summary.removed / cutters as f64 / round.header.spec.usable()),
    })
}

fn left_out(round: &Round) -> Vec<LeftOut> {
    let mut found: Vec<LeftOut> = Vec::new();
    for entry in round.standing() {
        if let (Event::LeftOut { .. }, Some(number), Some(reading)) =
            (&entry.event, cutter_of(&entry.event), reading_of(&entry.event))
        {
            let known = found.iter().any(|left| left.cutter == number && left.reading == reading);
            let stands = round.cutter(number).is_some_and(|cutter| cutter.was_left_out(reading));
            if stands && !known {
                found.push(LeftOut { cutter: number, reading });
            }
        }
    }
    found
}

/// Readings that cutters which are there lack, in the order of work. What the round has not come to is lacking too.
pub(super) fn not_measured(round: &Round) -> Vec<NotMeasured> {
    let present: Vec<&Cutter> = round.cutters.iter().filter(|cutter| cutter.is_present()).collect();
    let lacks = |cutter: &Cutter, lack: Lack| match lack.reading() {
        Some(Reading::GapBefore) => cutter.gap().is_none(),
        Some(reading) => cutter.taken(reading) == 0,
        None => cutter.gap_stale,
    };
    let lacking = |lack: &Lack| NotMeasured {
        reading: *lack,
        of: present.len(),
        cutters: present.iter().filter(|cutter| lacks(cutter, *lack)).map(|cutter| cutter.number).collect(),
    };
    Lack::VARIANTS.iter().map(lacking).filter(|lack| !lack.cutters.is_empty()).collect()
}
