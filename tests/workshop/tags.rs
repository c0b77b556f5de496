//! Tags to print: every loop on one, in every format, at a width that can be cut, obeying no name.

use std::collections::BTreeSet;
use std::fs;

use crate::invented::{at, card, header, put, rack, whole_round, work};
use crate::pages;
use chrono::{DateTime, FixedOffset, TimeDelta};
use evenbite::care::{Filter, Workshop};
use evenbite::chain::nth;
use evenbite::record::{Rack, RackError, Shelf};
use evenbite::report::Format;
use evenbite::report::Tags;
use evenbite::round::{Card, Closing, Event, Scrapped, When};
use evenbite::saw::{Grade, Part, SawEvent};
use evenbite::units::{Unit, mm};
use serde_json::{Value, json};
use unicode_width::UnicodeWidthStr;

const NASTY: [&str; 4] =
    ["<script>alert(1)</script>", "=1+1\"' & \u{1b}[31m", "漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字漢字", "-"];

fn tags(rack: &Rack, named: &[String], filter: Filter, now: DateTime<FixedOffset>) -> Result<Tags, RackError> {
    Workshop::from(rack.clone()).tags(named, filter, now)
}

/// Thirteen loops: new, worked, open, scrapped, with names that want to be more than names.
fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    for n in 0..13_usize {
        let name = NASTY.get(n).map_or_else(|| format!("Loop {n}"), |name| (*name).to_owned());
        let kept = Card { name: name.clone(), owner: name.clone(), saw: name, ..card(&format!("l{n}"), 24) };
        rack.create_loop(&kept).unwrap();
        if n % 3 == 0 {
            whole_round(&rack, &kept, at(1), "Ina", 9.0);
            whole_round(&rack, &kept, at(31), "Ina", 8.5);
        }
    }
    let kept = rack.card("l4").unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(40), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 9);
    let scrapped = Some(Scrapped { at: at(50), reason: "lost".into() });
    rack.save_card(&Card { scrapped, ..rack.card("l5").unwrap() }).unwrap();
    (dir, rack)
}

#[test]
fn every_loop_is_on_one_tag_in_every_format() {
    let (_dir, rack) = workshop();
    let all = tags(&rack, &[], Filter::InCare, at(60)).unwrap();
    assert_eq!(all.len(), 12, "the scrapped one is left out");
    let page = all.render(Format::Html, Unit::Mm, false);
    let parsed = pages::parse(&page);
    let text = |tag: &scraper::ElementRef| tag.text().collect::<String>();
    let found: Vec<String> = pages::all(&parsed, "section.tag > p:first-of-type").iter().map(text).collect();
    let once: BTreeSet<&String> = found.iter().collect();
    assert_eq!((found.len(), once.len()), (12, 12), "{found:?}");
    // Ten on a sheet of paper.
    let sheets = pages::all(&parsed, ".sheet");
    let on = |sheet: &scraper::ElementRef| sheet.child_elements().count();
    assert_eq!(sheets.iter().map(on).collect::<Vec<_>>(), [10, 2]);
    let plain = all.render(Format::Text, Unit::Mm, true);
    for tag in &found {
        let printed = plain.matches(&format!("[{tag}]")).count() + plain.matches(&format!(" {tag} ")).count();
        assert_eq!(printed, 1, "{tag}\n{plain}");
    }
    let mut rows = csv::Reader::from_reader(all.render(Format::Csv, Unit::Mm, false).into_bytes().leak() as &[u8]);
    assert_eq!(rows.records().map(Result::unwrap).count(), 12);
    let json: Value = serde_json::from_str(&all.render(Format::Json, Unit::Mm, false)).unwrap();
    assert_eq!(json["tags"].as_array().unwrap().len(), 12);
}

#[test]
fn text_keeps_to_its_columns_and_names_stay_names() {
    let (_dir, rack) = workshop();
    let all = tags(&rack, &[], Filter::InCare, at(60)).unwrap();
    for unit in [Unit::Mm, Unit::Inch] {
        for ascii in [true, false] {
            let text = all.render(Format::Text, unit, ascii);
            let wide = text.lines().find(|line| line.width() > 80);
            assert!(wide.is_none() && (!ascii || text.is_ascii()), "{wide:?}");
            assert!(!text.contains('\u{1b}'));
            if !ascii {
                // Lines to cut along stay under each other, whatever stands between them.
                assert!(text.lines().all(|line| line.width() == 79), "{text}");
            }
        }
        let page = all.render(Format::Html, unit, false);
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;") && !page.contains("<script"));
        assert!(!page.contains('\u{1b}'));
    }
    let table = all.render(Format::Csv, Unit::Mm, false);
    assert!(table.contains("\"'=1+1\"\"' & \\u{1b}[31m\""), "{table}");
}

#[test]
fn a_tag_says_what_the_last_round_left() {
    let (_dir, rack) = workshop();
    let one = tags(&rack, &["l9".into()], Filter::InCare, at(60)).unwrap();
    let json: Value = serde_json::from_str(&one.render(Format::Json, Unit::Mm, false)).unwrap();
    let tag = &json["tags"][0];
    // Filed to 8.1 and 30 days from round to round: the next falls 30 days after the last.
    assert_eq!((&tag["loop"], &tag["target_mm"], &tag["rule"]), (&"l9".into(), &8.1.into(), &"fixed".into()));
    assert_eq!((&tag["gap_mm"], &tag["file_mm"]), (&0.65.into(), &5.2.into()));
    let day = |key: &str| chrono::DateTime::parse_from_rfc3339(tag[key].as_str().unwrap()).unwrap();
    let days = (day("next") - day("last") - TimeDelta::days(30)).num_seconds().abs();
    assert!(days < 3600, "{days} s");
    let text = one.render(Format::Text, Unit::Mm, true);
    for words in ["Loop 9 [l9]", "3/8 inch, 24 links, 12 cutters", "filed to 8.10 mm, round file 5.2 mm"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn filters_and_names_choose_and_a_stranger_is_told() {
    let (_dir, rack) = workshop();
    let count = |named: &[&str], filter, day| {
        let named: Vec<String> = named.iter().map(|tag| (*tag).to_owned()).collect();
        tags(&rack, &named, filter, at(day)).unwrap().len()
    };
    assert_eq!((count(&[], Filter::Due, 40), count(&[], Filter::Due, 70)), (0, 5));
    assert_eq!((count(&[], Filter::Open, 40), count(&[], Filter::Scrapped, 40)), (1, 1));
    assert_eq!((count(&["l1", "l2"], Filter::InCare, 40), count(&["l1", "l5"], Filter::Scrapped, 40)), (2, 1));
    let stranger = tags(&rack, &["l1".into(), "nobody".into()], Filter::InCare, at(40)).unwrap_err();
    assert!(stranger.to_string().contains("nobody"));
}

#[test]
fn loops_of_one_saw_take_turns_and_the_rack_shows_which_is_next() {
    let (_dir, rack) = rack();
    for (tag, length) in [("worn", 7.0), ("half", 8.4)] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", length);
    }
    rack.create_loop(&card("new", 24)).unwrap();
    let next = |rack: &Rack| {
        let json = tags(rack, &[], Filter::NextOnSaw, at(60)).unwrap().render(Format::Json, Unit::Mm, false);
        let json: Value = serde_json::from_str(&json).unwrap();
        json["tags"].as_array().unwrap().iter().map(|tag| tag["loop"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(next(&rack), ["new"]);
    let check = |found| SawEvent::Checked { part: Part::Sprocket, found, mm: None, note: None, with: None };
    rack.add_to_saw("Limbing Saw", at(2), &[check(Grade::Watch)]).unwrap();
    assert_eq!(next(&rack), ["half"], "no new loop on a worn sprocket");
    rack.add_to_saw("Limbing Saw", at(3), &[check(Grade::Bad)]).unwrap();
    assert_eq!(next(&rack), ["worn"], "run out on a sprocket that is done");
}

#[test]
fn where_no_rule_was_chosen_the_tag_names_the_one_that_the_gaps_fit() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    for (day, gap, said) in [
        (1, 0.83, "rakers: no rule chosen, they fit the wear-scaled gap 0.83 mm"),
        (2, 0.65, "rakers: no rule chosen, they fit the fixed gap 0.65 mm"),
        (3, 1.2, "rakers: no rule chosen last"),
    ] {
        let (mut file, mut round) = rack.begin_round(&header(&kept, at(day), "Ina")).unwrap();
        for number in 1..=round.layout.count() {
            let (cutter, when) = (nth(number), When::Before);
            put(&mut file, &mut round, &Event::Length { cutter, when, mm: mm(8.5), again: false });
            put(&mut file, &mut round, &Event::Gap { cutter, when, mm: mm(gap), again: false });
        }
        put(&mut file, &mut round, &Event::Closed { how: Closing::Abandoned });
        rack.close(file).unwrap();
        let text = tags(&rack, &[], Filter::InCare, at(9)).unwrap().render(Format::Text, Unit::Mm, true);
        let text = text.split_whitespace().filter(|word| *word != ":").collect::<Vec<_>>().join(" ");
        assert!(text.contains(said), "{text}");
    }
}

#[test]
fn an_index_of_an_older_version_is_made_anew() {
    let (_dir, rack) = workshop();
    let due = |rack: &Rack| tags(rack, &[], Filter::Due, at(70)).unwrap().len();
    assert_eq!(due(&rack), 5);
    rack.refresh();
    let index = rack.root().join("rack.jsonl");
    let new = fs::read_to_string(&index).unwrap();
    // As the first version wrote it, without the day of the next round, and as one wrote it that named every value.
    for format in [1, 10] {
        let line = |shelf: &Shelf| {
            let shelf = json!({ "card": shelf.card, "rounds": shelf.rounds, "last": null, "open": null, "held": null });
            let card = json!({ "size": 239, "changed_ns": 1_795_711_850_622_843_372_i64 });
            let line = json!({ "folder_ns": 0, "card": card, "open": null, "faulty": false, "shelf": shelf });
            format!("{line}\n")
        };
        let body: String = rack.shelves().shelves.iter().map(line).collect();
        let crc = format!("{:08x}", crc32fast::hash(body.as_bytes()));
        fs::write(&index, format!("{{\"format\":{format},\"crc\":\"{crc}\",\"recent\":[]}}\n{body}")).unwrap();
        assert_eq!(due(&rack), 5);
        let found = rack.refresh();
        assert!(found.problems.is_empty() && fs::read_to_string(&index).unwrap() == new);
    }
    assert!(new.starts_with("{\"format\":11,"));
}
