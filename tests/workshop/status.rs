//! One status of a loop on the owner's page, the sheet, the tag and the rack: ready, what to watch, or do not use.

use evenbite::care::{Filter, Workshop};
use evenbite::chain::Rule;
use evenbite::record::{Rack, Sharpener};
use evenbite::round::{Ask, Closing, Event, LookItem, Reading, Round, When};
use evenbite::saw::{Grade, Part, SawEvent};
use evenbite::units::{Unit, mm};
use serde_json::Value;

use crate::derived::settle;
use crate::invented::{answer, at, card, header, put, rack, whole_round};

/// Works a round with these answers in place of the careful ones, up to its end.
fn worked(rack: &Rack, tag: &str, mut other: impl FnMut(&Round, Event) -> Option<Event>) -> Round {
    let (mut file, mut round) = rack.begin_round(&header(&rack.card(tag).unwrap(), at(1), "Ina")).unwrap();
    while let Some(event) = answer(&round, 9.8).and_then(|event| other(&round, event)) {
        put(&mut file, &mut round, &event);
    }
    rack.close(file).unwrap();
    round
}

/// What owner's page, sheet, tag and rack say of the loop; the first line of the owner's page, and the sheet's word.
fn says(rack: &Rack, round: &Round) -> (String, String, String, String) {
    let care = Workshop::from(rack.clone());
    let sheet = care.sheet_of(&care.coach(&rack.card(&round.header.tag).unwrap(), round.clone()));
    let json: Value = serde_json::from_str(&sheet.json()).unwrap();
    let (owner, line) = (sheet.owner_text(true), json["status"]["line"].as_str().unwrap().to_owned());
    assert!(sheet.owner_html().contains("<h1>"));
    assert!(sheet.text(true).to_lowercase().contains(&line.to_lowercase()[..5]), "{}", sheet.text(true));
    let word = json["status"]["word"].as_str().unwrap().to_owned();
    let tags = care.tags(&[], Filter::InCare, at(9)).unwrap().text(Unit::Mm, true);
    let row = care.rows(at(2)).rows.remove(0).advice();
    let tags = tags.split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ");
    (owner.lines().next().unwrap().to_owned(), word, tags, row)
}

#[test]
fn a_signed_loop_with_nothing_to_watch_is_ready() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    let round = worked(&rack, "one", |_, event| Some(event));
    let (owner, word, tags, _) = says(&rack, &round);
    assert_eq!((owner.as_str(), word.as_str()), ("Ready.", "ready"));
    assert!(tags.contains("Ready"), "{tags}");
}

#[test]
fn low_rakers_are_watched_for_whether_the_round_is_closed_or_not() {
    for close in [Some(Closing::Signed), Some(Closing::Abandoned), None] {
        let (_dir, rack) = rack();
        rack.create_loop(&card("one", 24)).unwrap();
        let round = worked(&rack, "one", |round, event| match (round.step().ask, event) {
            (Ask::Read(Reading::GapBefore), Event::Gap { cutter, .. }) if cutter.get() == 3 => {
                Some(Event::Gap { cutter, when: When::Before, mm: mm(1.2), again: false })
            }
            (Ask::Sign, _) => close.map(|how| Event::Closed { how }),
            (_, event) => Some(event),
        });
        let (owner, word, tags, row) = says(&rack, &round);
        let (begins, expected) = match close {
            Some(Closing::Signed) => ("Ready, watch: 1 raker too low", "watch"),
            _ => ("Not finished, watch: 1 raker too low", "not-finished"),
        };
        assert!(owner.starts_with(begins), "{owner}");
        assert_eq!(word, expected);
        assert!(tags.contains("1 raker too low") && row.contains("1 raker too low"), "{tags}{row}");
    }
}

#[test]
fn a_raker_proven_below_the_loops_limit_keeps_it_off_a_saw_on_every_page() {
    let (_dir, rack) = rack();
    let mut kept = card("one", 24);
    kept.own.largest_gap = Some(mm(0.8));
    rack.create_loop(&kept).unwrap();
    let round = worked(&rack, "one", |round, event| match (round.step().ask, event) {
        (Ask::Read(Reading::GapBefore), Event::Gap { cutter, .. }) if cutter.get() == 3 => {
            Some(Event::Gap { cutter, when: When::Before, mm: mm(1.0), again: false })
        }
        (_, event) => Some(event),
    });
    let said = "DO NOT USE: 1 raker too low, gap over the limit of 0.80 mm";
    let (owner, word, tags, row) = says(&rack, &round);
    assert_eq!((owner, word.as_str()), (format!("{said}."), "do-not-use"));
    assert!(tags.contains(said) && row.contains(said), "{tags}{row}");
    rack.create_loop(&card("two", 24)).unwrap();
    whole_round(&rack, &card("two", 24), at(0), "Ina", 8.0);
    let rows = Workshop::from(rack).rows(at(2)).rows;
    let next: Vec<bool> = rows.iter().map(|row| row.saw_says.next).collect();
    assert_eq!(next, [false, true], "it never runs next, though it has most life left");
}

#[test]
fn a_tension_that_is_not_right_with_low_rakers_is_watched_for_as_the_saws_record_goes_on() {
    let (_dir, rack) = rack();
    let mut kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let round = worked(&rack, "one", |round, event| match (round.step().ask, event) {
        (Ask::Read(Reading::GapBefore), Event::Gap { cutter, .. }) if cutter.get() == 3 => {
            Some(Event::Gap { cutter, when: When::Before, mm: mm(1.2), again: false })
        }
        (_, event) => Some(event),
    });
    let all = |slack: bool| {
        let (owner, _, tags, row) = says(&rack, &round);
        for said in [&owner, &tags, &row] {
            assert_eq!(said.contains("tension not right"), slack, "{said}");
            assert!(said.contains("1 raker too low"), "{said}");
        }
    };
    let found = |part: Part, found: Grade| SawEvent::Checked { part, found, mm: None, note: None, with: None };
    all(false);
    // Each time the loop is kept as it was: only the saw's record goes on.
    for (day, event, slack) in [
        (3, found(Part::Tension, Grade::Bad), true),
        (4, SawEvent::Repaired { part: Part::Tension }, false),
        (5, found(Part::TensionWarm, Grade::Watch), true),
        (6, found(Part::Tension, Grade::Good), false),
        (7, found(Part::Tension, Grade::Bad), true),
    ] {
        settle(&rack, "one");
        rack.add_to_saw("limbing saw", at(day), &[event]).unwrap();
        all(slack);
    }
    // On another saw it is another matter.
    kept.saw = "other saw".into();
    rack.save_card(&kept).unwrap();
    all(false);
}

#[test]
fn a_slack_chain_alone_is_no_caution_of_the_loop() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    let slack = SawEvent::Checked { part: Part::Tension, found: Grade::Bad, mm: None, note: None, with: None };
    rack.add_to_saw("limbing saw", at(0), &[slack]).unwrap();
    let round = worked(&rack, "one", |_, event| Some(event));
    assert_eq!(says(&rack, &round).0, "Ready.");
}

#[test]
fn a_sharpeners_new_figures_judge_the_kept_loop_anew() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    // 0.76 mm is 0.01 mm past the tolerance: a reading good to 0.03 mm does not prove it, one good to 0.005 mm does.
    let round = worked(&rack, "one", |round, event| match (round.step().ask, event) {
        (Ask::Read(Reading::GapBefore), Event::Gap { cutter, .. }) if cutter.get() == 3 => {
            Some(Event::Gap { cutter, when: When::Before, mm: mm(0.76), again: false })
        }
        (_, event) => Some(event),
    });
    assert_eq!(says(&rack, &round).0, "Ready.");
    settle(&rack, "one");
    let fine = Sharpener { name: "Ina".into(), gap_u: Some(mm(0.005)), ..Sharpener::default() };
    rack.save_sharpener(&fine).unwrap();
    let (owner, _, tags, row) = says(&rack, &round);
    for said in [&owner, &tags, &row] {
        assert!(said.contains("1 raker too low"), "{said}");
    }
}

#[test]
fn rakers_that_nobody_measured_are_watched_for() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    let round = worked(&rack, "one", |_, event| match event {
        Event::Gap { cutter, when: When::Before, .. } => Some(Event::LeftOut { cutter, reading: Reading::GapBefore }),
        event => Some(event),
    });
    let (owner, word, ..) = says(&rack, &round);
    assert_eq!((owner.as_str(), word.as_str()), ("Ready, watch: rakers not measured.", "watch"));
}

#[test]
fn a_round_without_a_measured_length_or_gap_is_not_ready() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    let round = worked(&rack, "one", |_, event| match event {
        Event::Length { cutter, when: When::Before, .. } => {
            Some(Event::LeftOut { cutter, reading: Reading::LengthBefore })
        }
        Event::Length { cutter, .. } => Some(Event::LeftOut { cutter, reading: Reading::LengthAfter }),
        Event::Gap { cutter, when: When::Before, .. } => Some(Event::LeftOut { cutter, reading: Reading::GapBefore }),
        Event::Rule { .. } => Some(Event::Rule { rule: Rule::Fixed }),
        event => Some(event),
    });
    assert_eq!(round.closed, Some(Closing::Signed));
    let (owner, word, tags, row) = says(&rack, &round);
    assert_eq!((owner.as_str(), word.as_str()), ("Not ready: nothing was measured.", "not-measured"));
    assert!(tags.contains("Not ready") && row.starts_with("Not ready"), "{tags}{row}");
}

#[test]
fn a_rejection_stands_on_every_page_until_it_is_released() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let earlier = whole_round(&rack, &kept, at(0), "Ina", 9.9);
    let round = worked(&rack, "one", |round, event| match round.entries.len() {
        9 => Some(Event::Rejected { part: LookItem::Rivets, cutter: None, note: Some("loose".to_owned()) }),
        _ => Some(event),
    });
    for of in [&earlier, &round] {
        let (owner, word, tags, row) = says(&rack, of);
        assert!(owner.starts_with("DO NOT USE: rejected") && owner.contains("a rivet (loose)"), "{owner}");
        assert_eq!(word, "do-not-use");
        assert!(tags.contains("DO NOT USE: rejected") && row.contains("a rivet (loose)"), "{tags}{row}");
    }
    Workshop::from(rack.clone()).release("one", "Olo", "rivet replaced", at(2)).unwrap();
    let (owner, _, tags, row) = says(&rack, &earlier);
    assert_eq!(owner, "Ready.");
    assert!(tags.contains("Not finished") && row.starts_with("Not finished"), "{tags}{row}");
}
