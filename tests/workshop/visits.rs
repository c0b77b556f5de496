//! Loops of customers: promised for a day, brought and fetched; told alike by rack, list, tag and tables, and kept by an export.

use std::fs;

use chrono::NaiveDate;
use evenbite::care::{Filter, Listing, Sort, Workshop};
use evenbite::record::Rack;
use evenbite::report::{Format, ListFormat};
use evenbite::round::{Card, Visit};
use evenbite::units::Unit;
use serde_json::Value;

use crate::invented::{at, card, rack};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Seen from 2026-03-11: one past its day, one for today, one ahead, one fetched, one without a promise.
fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    let visit = |promised: &str, fetched: Option<NaiveDate>| Visit {
        promised: Some(day(promised)),
        brought_by: "=Jon".into(),
        brought: Some(day("2026-03-02")),
        fetched_by: if fetched.is_some() { "Ina".into() } else { String::new() },
        fetched,
        before: Vec::new(),
    };
    for (tag, visit) in [
        ("ahead", visit("2026-03-20", None)),
        ("late", visit("2026-03-10", None)),
        ("today", visit("2026-03-11", None)),
        ("gone", visit("2026-03-05", Some(day("2026-03-06")))),
        ("own", Visit::default()),
    ] {
        rack.create_loop(&Card { visit, name: tag.to_owned(), ..card(tag, 24) }).unwrap();
    }
    (dir, rack)
}

fn listed(care: &Workshop, filter: Filter, sort: Sort) -> Vec<Value> {
    let listing = Listing { filter, sort, find: String::new() };
    let json: Value = serde_json::from_str(&care.listed(&listing, at(10)).render(ListFormat::Json, true)).unwrap();
    json["loops"].as_array().unwrap().clone()
}

fn tags(loops: &[Value]) -> Vec<&str> {
    loops.iter().map(|one| one["loop"].as_str().unwrap()).collect()
}

#[test]
fn the_rack_orders_and_filters_by_the_promised_day_and_says_what_is_overdue() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack);
    assert_eq!(tags(&listed(&care, Filter::InCare, Sort::Promised)), ["late", "today", "ahead", "gone", "own"]);
    assert_eq!(tags(&listed(&care, Filter::Promised, Sort::Name)), ["ahead", "late", "today"]);
    let overdue = listed(&care, Filter::Overdue, Sort::Name);
    assert_eq!(tags(&overdue), ["late"]);
    assert_eq!((&overdue[0]["overdue"], &overdue[0]["promised"]), (&true.into(), &"2026-03-10".into()));
    let rows = care.rows(at(10)).rows;
    let advice = |tag: &str| rows.iter().find(|row| row.tag == tag).unwrap().advice();
    assert!(advice("late").starts_with("OVERDUE: promised for 2026-03-10. "), "{}", advice("late"));
    assert!(advice("today").starts_with("Promised for today, 2026-03-11. "));
    assert!(!advice("gone").contains("romised") && !advice("own").contains("romised"));
    let all = Listing { filter: Filter::InCare, sort: Sort::Name, find: String::new() };
    let text = care.listed(&all, at(10)).render(ListFormat::Text, true);
    for said in [
        "OVERDUE: promised for 2026-03-10. Brought 2026-03-02 by =Jon.",
        "Brought 2026-03-02 by =Jon, fetched 2026-03-06 by",
    ] {
        assert!(text.split_whitespace().collect::<Vec<_>>().join(" ").contains(said), "{text}");
    }
}

#[test]
fn the_tag_shows_the_day_while_the_loop_waits() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack);
    let text = |tag: &str| {
        let text = care.tags(&[tag.to_owned()], Filter::InCare, at(10)).unwrap().render(Format::Text, Unit::Mm, true);
        text.split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ")
    };
    assert!(
        text("late").contains("OVERDUE: promised for 2026-03-10 Tove brought 2026-03-02 by =Jon"),
        "{}",
        text("late")
    );
    assert!(text("ahead").contains("promised for 2026-03-20"), "{}", text("ahead"));
    assert!(!text("gone").contains("promised") && !text("own").contains("brought"), "{}", text("gone"));
    let table = care.tags(&[], Filter::Overdue, at(10)).unwrap().csv();
    assert!(table.ends_with(",2026-03-10,true,2026-03-02,'=Jon\n"), "{table}");
}

#[test]
fn a_stay_goes_out_with_an_export_and_comes_back_the_same() {
    let (dir, rack) = workshop();
    let file = dir.path().join("all.jsonl");
    rack.export_jsonl(&mut fs::File::create(&file).unwrap()).unwrap();
    let other = Rack::open(dir.path().join("other")).unwrap();
    other.import_jsonl(&file).unwrap();
    for tag in ["late", "gone", "own"] {
        assert_eq!(other.card(tag).unwrap(), rack.card(tag).unwrap());
        let read = |rack: &Rack| fs::read(rack.root().join("loops").join(tag).join("loop.toml")).unwrap();
        assert_eq!(read(&other), read(&rack));
    }
    // Two windows that change different answers of one stay keep both.
    let was = rack.card("late").unwrap();
    let with = |visit: Visit| Card { visit, ..was.clone() };
    rack.change_card(&was, &with(Visit { promised: Some(day("2026-03-15")), ..was.visit.clone() }), at(10).to_utc())
        .unwrap();
    let kept = rack
        .change_card(&was, &with(Visit { fetched: Some(day("2026-03-11")), ..was.visit.clone() }), at(10).to_utc())
        .unwrap();
    assert_eq!((kept.card.visit.promised, kept.card.visit.fetched), (Some(day("2026-03-15")), Some(day("2026-03-11"))));
    assert_eq!(
        evenbite::care::changed(&kept.changed),
        "Another window changed: the day it is promised for is now 2026-03-15. That is kept."
    );
}

#[test]
fn the_plain_face_asks_for_the_stay_and_takes_a_slip_by_its_nearest_name() {
    let (_dir, rack) = workshop();
    let care = Workshop::from(rack.clone());
    let mut out = Vec::new();
    let lines = "visit lat\nvisit Late\n+7\n\n\nTove\n2026-02-01\n\n\n\n2026-03-12\n\n\n\n\n\n\n";
    evenbite::plain::run(&care, lines.as_bytes(), &mut out, || at(10), "", false).unwrap();
    let said = String::from_utf8(out).unwrap();
    for words in [
        "late: late, 24 links, OVERDUE: promised for 2026-03-10",
        "There is no loop lat. The nearest is late.",
        "Promised for a day, such as 2026-12-05 or +7 (Enter: 2026-03-10)",
        "It cannot have been fetched before it was brought.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}
