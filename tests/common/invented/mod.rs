//! An invented bench for the tests of records: loops, headers, and rounds that are worked to their end.
#![allow(dead_code, reason = "each test program uses its part")]

pub(crate) mod large;

use chrono::{DateTime, FixedOffset, TimeDelta};
use evenbite::chain::profile::built_in;
use evenbite::chain::{CutterNumber, Rule, Sequence, Side, Wood};
use evenbite::record::import::{Target, Then};
use evenbite::record::{Rack, RoundFile, Shelf};
use evenbite::round::{
    Ask, Card, Closing, Event, Finding, Header, Own, Prices, Reading, Round, Task, Tool, Trust, Visit, When,
};
use evenbite::units::{Unit, deg, mm};

pub(crate) fn at(day: i64) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap() + TimeDelta::days(day)
}

pub(crate) fn card(tag: &str, links: u16) -> Card {
    Card {
        tag: tag.into(),
        name: format!("Loop {tag}"),
        owner: "Tove".into(),
        saw: "limbing saw".into(),
        profile: "three-eighths".into(),
        links,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: "dab of paint".into(),
        created: at(0),
        own: Own::default(),
        prices: Prices::default(),
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

pub(crate) fn header(card: &Card, started: DateTime<FixedOffset>, sharpener: &str) -> Header {
    let profile = built_in::named(&card.profile).unwrap();
    Header {
        tag: card.tag.clone(),
        started,
        sharpener: sharpener.into(),
        wood: Wood::Any,
        tool: Tool::File,
        units: Unit::Mm,
        begin: Side::Left,
        take_strokes: true,
        take_angles: true,
        edges: false,
        trust: Trust::default(),
        spread: false,
        links: card.links,
        sequence: card.sequence.clone(),
        first: card.first,
        start_mark: card.start_mark.clone(),
        saw: String::new(),
        profile: profile.name.clone(),
        spec: card.spec(profile.spec()),
    }
}

/// An empty rack in a folder of its own.
pub(crate) fn rack() -> (tempfile::TempDir, Rack) {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().join("data")).unwrap();
    (dir, rack)
}

/// The loops at a glance, nothing being at fault.
pub(crate) fn shelves_of(rack: &Rack) -> Vec<Shelf> {
    let found = rack.refresh();
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    found.shelves
}

/// Where imported readings go.
pub(crate) fn target(tag: &str, then: Then) -> Target {
    Target {
        tag: tag.into(),
        name: tag.into(),
        profile: "three-eighths".into(),
        sharpener: "Ina".into(),
        wood: Wood::Any,
        tool: Tool::File,
        started: at(1),
        file: "bench.csv".into(),
        then,
    }
}

/// The answer of a careful hand to what is asked; lengths begin at `length` and lose 0.4 mm.
pub(crate) fn answer(round: &Round, length: f64) -> Option<Event> {
    let step = round.step();
    let cutter = step.cutter.unwrap_or(CutterNumber::FIRST);
    let odd = f64::from(cutter.get() % 7) * 0.01;
    Some(match step.ask {
        Ask::Saw => Event::Saw { looked_at: None },
        Ask::Look(item) => Event::Looked { item, finding: Finding::Sound, note: None },
        Ask::Read(Reading::LengthBefore) => {
            Event::Length { cutter, when: When::Before, mm: mm(hundredths(length + odd)), again: false }
        }
        Ask::Read(Reading::LengthAfter) => {
            Event::Length { cutter, when: When::After, mm: mm(hundredths(length - 0.4 + odd / 2.0)), again: false }
        }
        Ask::Read(Reading::Strokes) => Event::Strokes { cutter, count: 4 },
        Ask::Read(Reading::Angle) => Event::Angle { cutter, deg: deg(30.0), again: false },
        Ask::Read(Reading::GapBefore) => Event::Gap { cutter, when: When::Before, mm: mm(0.65), again: false },
        Ask::Read(Reading::GapAfter) => Event::Gap { cutter, when: When::After, mm: mm(0.66), again: false },
        Ask::Zero => Event::Zero { mm: mm(0.0) },
        Ask::Do(task) => Event::Done { task },
        Ask::Target => Event::Target { mm: mm(hundredths(length - 0.4)), left_short: Vec::new(), recommended: true },
        Ask::Rule => Event::Rule { rule: Rule::Fixed },
        Ask::Light => Event::Light { dull: Some(Vec::new()) },
        Ask::Prove => Event::Done { task: Task::Proved },
        Ask::Sign => Event::Closed { how: Closing::Signed },
        Ask::Reject => Event::Closed { how: Closing::Rejected },
        Ask::Nothing => return None,
    })
}

fn hundredths(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// Checks an event, keeps it, and lets it happen.
pub(crate) fn put(file: &mut RoundFile, round: &mut Round, event: &Event) {
    round.check(event).unwrap();
    let ack = file.append(round.header.started, event, None).unwrap();
    assert!(ack.moved.is_none());
    round.apply(ack.entry);
}

/// Works at most `steps` steps of a round.
pub(crate) fn work(file: &mut RoundFile, round: &mut Round, length: f64, steps: usize) {
    for _ in 0..steps {
        let Some(event) = answer(round, length) else { return };
        put(file, round, &event);
    }
}

/// A whole round, signed off.
pub(crate) fn whole_round(
    rack: &Rack,
    card: &Card,
    started: DateTime<FixedOffset>,
    sharpener: &str,
    length: f64,
) -> Round {
    let (mut file, mut round) = rack.begin_round(&header(card, started, sharpener)).unwrap();
    work(&mut file, &mut round, length, usize::MAX);
    assert_eq!(round.closed, Some(Closing::Signed));
    rack.close(file).unwrap();
    round
}
