//! Rounds as the faces take them up: opened, gone on with, closed; looked at again by the time they began.

use chrono::TimeDelta;
use evenbite::care::{CareError, Opened, Started, Workshop};
use evenbite::coach::Pending;
use evenbite::round::{Closing, Event};

use crate::invented::{at, card, header, rack};

fn resumed(care: &Workshop, day: i64) -> Started {
    match care.open_loop("one", at(day)).unwrap() {
        Opened::GoesOn(started) => *started,
        Opened::Free(_) => panic!("the round is open"),
    }
}

#[test]
fn a_clock_set_back_is_said_when_a_round_is_taken_up() {
    let (_dir, rack) = rack();
    let card = card("one", 24);
    rack.create_loop(&card).unwrap();
    let care = Workshop::from(rack);
    let begun = care.begin(&header(&card, at(5), "Ina")).unwrap();
    assert_eq!(begun.opening.to_string(), "");
    drop(begun);
    assert_eq!(resumed(&care, 6).opening.to_string(), "Going on where you stopped.");
    let mut back = resumed(&care, 3);
    let said = "Going on where you stopped. The clock is behind the last entry, 2026-03-07 08:00: is it set right?";
    assert_eq!(back.opening.to_string(), said);
    let abandon = Pending { event: Event::Closed { how: Closing::Abandoned }, typed: None };
    back.round.append(&abandon, at(6)).unwrap();
    assert!(matches!(back.round.append(&abandon, at(6)), Err(CareError::NotOpen)));
    assert!(matches!(care.open_loop("one", at(7)).unwrap(), Opened::Free(_)));
    let behind = care.begin(&header(&card, at(4), "Ina")).unwrap();
    let said = "The clock is behind the last entry, 2026-03-07 08:00: is it set right?";
    assert_eq!(behind.opening.to_string(), said);
}

#[test]
fn a_round_is_found_by_the_digits_of_its_start() {
    let (_dir, rack) = rack();
    let card = card("one", 24);
    rack.create_loop(&card).unwrap();
    let care = Workshop::from(rack);
    assert!(matches!(care.round("one", None), Err(CareError::NoRound(_))));
    for start in [at(1), at(1) + TimeDelta::hours(2), at(2)] {
        let mut begun = care.begin(&header(&card, start, "Ina")).unwrap();
        let abandon = Pending { event: Event::Closed { how: Closing::Abandoned }, typed: None };
        begun.round.append(&abandon, start).unwrap();
    }
    let started = |when| care.round("one", when).map(|(coach, _)| coach.round.header.started);
    assert_eq!(started(None).unwrap(), at(2));
    assert_eq!(started(Some("2026-03-03")).unwrap(), at(2));
    assert!(matches!(started(Some("2026-03-02")), Err(CareError::SeveralAt { rounds: 2, .. })));
    assert!(matches!(started(Some("2025")), Err(CareError::NoRoundAt { .. })));
}
