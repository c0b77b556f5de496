use chrono::DateTime;

use super::*;
use crate::chain::{Sequence, Side};
use crate::record::Rack;
use crate::round::Visit;
use crate::round::card::{Own, Prices};

fn desk() -> (tempfile::TempDir, Desk, DateTime<FixedOffset>) {
    let folder = crate::scratch::folder();
    let rack = Rack::open(folder.path().join("data")).unwrap();
    let created = DateTime::parse_from_rfc3339("2026-01-01T08:00:00+01:00").unwrap();
    let card = Card {
        tag: "north-12".into(),
        name: "North 12".into(),
        owner: String::new(),
        saw: String::new(),
        profile: "three-eighths".into(),
        links: 72,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        created,
        own: Own::default(),
        prices: Prices::default(),
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    };
    rack.create_loop(&card).unwrap();
    (folder, Desk::new(rack, Settings::default()), created)
}

#[test]
fn a_loops_history_is_read_and_an_unknown_loop_refused() {
    let (_folder, mut desk, now) = desk();
    let known = desk.run(Work::History("north-12".into()), now);
    let [Answer::Go(Step::Open(Scene::History(life)))] = &known[..] else { panic!("no history") };
    assert_eq!((life.known.card.name.as_str(), life.known.rounds.len()), ("North 12", 0));
    let unknown = desk.run(Work::History("south-1".into()), now);
    assert!(matches!(&unknown[..], [Answer::Go(Step::Notice(why))] if why.contains("south-1")));
}
