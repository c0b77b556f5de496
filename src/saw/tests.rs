use chrono::{DateTime, FixedOffset, TimeDelta};

use super::*;
use crate::units::mm;

fn at(minute: i64) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap() + TimeDelta::minutes(minute)
}

fn saw(events: &[(i64, SawEvent)]) -> Saw {
    let header = SawHeader { tag: "big-saw".into(), name: "Big saw".into(), started: at(0) };
    let entry =
        |(seq, (minute, event)): (u32, &(i64, SawEvent))| SawEntry { seq, at: at(*minute), event: event.clone() };
    Saw::replay(header, (1..).zip(events).map(entry).collect())
}

fn found(part: Part, found: Grade, figure: Option<f64>) -> SawEvent {
    SawEvent::Checked { part, found, mm: figure.map(mm), note: None, with: None }
}

#[test]
fn the_last_look_at_a_part_counts_and_leaving_it_out_takes_nothing_back() {
    let known = saw(&[
        (0, found(Part::Rails, Grade::Good, None)),
        (5, found(Part::Rails, Grade::Bad, Some(0.4))),
        (9, found(Part::Rails, Grade::NotLooked, None)),
    ]);
    assert_eq!(known.worst(&Part::BAR), Some(Grade::Bad));
    assert_eq!(known.until(at(4)).worst(&Part::BAR), Some(Grade::Good));
    assert_eq!(known.looks().len(), 3);
    assert_eq!(known.worst(&[Part::Sprocket]), None, "nobody looked");
}

#[test]
fn what_was_taken_back_counts_no_more() {
    let known = saw(&[(0, found(Part::Nose, Grade::Bad, None)), (1, SawEvent::Void { target: 1 })]);
    assert_eq!((known.worst(&Part::BAR), known.looks().len(), known.entries.len()), (None, 0, 2));
}

#[test]
fn a_new_piece_begins_afresh_and_leaves_the_other_as_it_was() {
    let known = saw(&[
        (0, found(Part::Rails, Grade::Bad, None)),
        (0, found(Part::Sprocket, Grade::Bad, None)),
        (7, SawEvent::Renewed { piece: Piece::Bar }),
    ]);
    assert_eq!((known.worst(&Part::BAR), known.worst(&[Part::Sprocket])), (None, Some(Grade::Bad)));
    assert_eq!(known.renewed[&Piece::Bar], at(7));
    assert_eq!(known.looks().len(), 2, "one look and one renewal");
}

#[test]
fn only_the_makers_limit_makes_a_sprocket_bad() {
    let measured = |figure| found(Part::Sprocket, Grade::Good, Some(figure));
    let judged = |events: &[(i64, SawEvent)]| saw(events).judged(Part::Sprocket).unwrap();
    assert_eq!(judged(&[(0, measured(0.49))]).grade, Grade::Good);
    // 0.5 mm is common practice without a source.
    let usual = judged(&[(0, measured(0.5))]);
    assert_eq!((usual.grade, usual.by_maker), (Grade::Watch, false));
    let limit = |figure: Option<f64>| SawEvent::Limit { part: Part::Sprocket, mm: figure.map(mm) };
    let maker = judged(&[(0, limit(Some(0.3))), (1, measured(0.3))]);
    assert_eq!((maker.grade, maker.by_maker, maker.past_limit), (Grade::Bad, true, Some(mm(0.3))));
    assert_eq!(judged(&[(0, limit(Some(0.8))), (1, measured(0.6))]).grade, Grade::Good, "the maker allows it");
    assert_eq!(judged(&[(0, limit(Some(0.3))), (1, measured(0.4)), (2, limit(None))]).grade, Grade::Good);
    // What the eye found is never made better by a figure.
    assert_eq!(judged(&[(0, found(Part::Sprocket, Grade::Bad, Some(0.1)))]).grade, Grade::Bad);
}

#[test]
fn tension_set_cold_is_due_again_until_it_was_looked_at_warm() {
    let cold = || found(Part::Tension, Grade::Good, None);
    assert!(!saw(&[]).is_warm_due());
    assert!(saw(&[(0, cold())]).is_warm_due());
    let warm = found(Part::TensionWarm, Grade::Watch, None);
    let both = saw(&[(0, cold()), (8, warm.clone())]);
    assert_eq!((both.is_warm_due(), both.glance().tension), (false, Some(Grade::Watch)));
    assert!(saw(&[(0, cold()), (8, warm), (60, cold())]).is_warm_due());
}
