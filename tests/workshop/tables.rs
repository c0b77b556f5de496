//! Tables for questions: every column told, every key found, nothing written where it is read.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use evenbite::care::Workshop;
use evenbite::report::{Table, is_ours};
use evenbite::round::{Card, Event, Scrapped, When};
use evenbite::saw::{Grade, Part, SawEvent};
use evenbite::units::mm;
use strum::VariantArray;

use crate::invented::{at, card, header, put, rack, whole_round, work};

type Rows = Vec<BTreeMap<String, String>>;

fn read(folder: &Path, table: Table) -> Rows {
    let text = std::fs::read_to_string(folder.join(table.file())).unwrap();
    assert!(is_ours(&text, &text), "{table:?}");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(names, table.columns().iter().map(|(name, _)| (*name).to_owned()).collect::<Vec<_>>(), "{table:?}");
    let row = |row: csv::StringRecord| names.iter().cloned().zip(row.iter().map(str::to_owned)).collect();
    reader.into_records().map(|record| row(record.unwrap())).collect()
}

fn keys(rows: &Rows, columns: &[&str]) -> BTreeSet<String> {
    let keys: Vec<String> =
        rows.iter().map(|row| columns.iter().map(|name| row[*name].clone() + "|").collect()).collect();
    let once: BTreeSet<String> = keys.iter().cloned().collect();
    assert_eq!(once.len(), keys.len(), "{columns:?} is no key");
    once
}

fn joins(rows: &Rows, columns: &[&str], to: &BTreeSet<String>) {
    for row in rows.iter().filter(|row| columns.iter().all(|name| !row[*name].is_empty())) {
        let key: String = columns.iter().map(|name| row[*name].clone() + "|").collect();
        assert!(to.contains(&key), "{key} of {columns:?}");
    }
}

#[test]
fn tables_join_and_say_what_the_records_say() {
    let (dir, rack) = rack();
    let kept = Card { owner: "=1+1".into(), ..card("one", 24) };
    rack.create_loop(&kept).unwrap();
    let first = whole_round(&rack, &kept, at(1), "Ina", 9.0);
    whole_round(&rack, &kept, at(31), "Tove", 8.5);
    let gone = Card { scrapped: Some(Scrapped { at: at(2), reason: "worn".into() }), ..card("gone", 24) };
    rack.create_loop(&gone).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(40), "Ina")).unwrap();
    work(&mut file, &mut round, 8.0, 12);
    let cutter = evenbite::chain::nth(3);
    put(&mut file, &mut round, &Event::Length { cutter, when: When::Before, mm: mm(8.01), again: true });
    let taken_back = u32::try_from(round.entries.len()).unwrap();
    put(&mut file, &mut round, &Event::Void { target: taken_back });
    drop(file);
    let check = SawEvent::Checked { part: Part::Rails, found: Grade::Bad, mm: None, note: None, with: None };
    rack.add_to_saw("limbing saw", at(2), &[check]).unwrap();

    let folder = dir.path().join("tables");
    let told = Workshop::from(rack.clone()).write_tables(&folder, at(60)).unwrap();
    assert!(told.not_read.is_empty() && !rack.root().join("rack.jsonl").exists(), "{:?}", told.not_read);
    let of: BTreeMap<&str, Rows> =
        Table::VARIANTS.iter().map(|table| (<&str>::from(*table), read(&folder, *table))).collect();
    for (table, rows) in &told.rows {
        assert_eq!(of[<&str>::from(*table)].len(), *rows);
    }
    let loops = keys(&of["loops"], &["loop"]);
    let rounds = keys(&of["rounds"], &["round"]);
    let cutters = keys(&of["cutters"], &["round", "cutter"]);
    keys(&of["readings"], &["round", "seq"]);
    joins(&of["loops"], &["saw"], &keys(&of["saws"], &["saw"]));
    joins(&of["rounds"], &["loop"], &loops);
    joins(&of["cutters"], &["round"], &rounds);
    joins(&of["readings"], &["round"], &rounds);
    joins(&of["readings"], &["round", "cutter"], &cutters);
    let people = keys(&of["people"], &["person"]);
    joins(&of["rounds"], &["sharpener"], &people.iter().cloned().collect());
    joins(&of["readings"], &["person"], &people);

    assert_eq!(of["loops"].iter().find(|row| row["loop"] == "one").unwrap()["owner"], "'=1+1");
    assert_eq!(of["rounds"].iter().map(|row| row["how"].as_str()).collect::<Vec<_>>(), ["signed", "signed", ""]);
    assert_eq!((of["rounds"][0]["wear_mm"].as_str(), of["rounds"][1]["wear_mm"].as_str()), ("0.41", "0.5"));
    let cutter = &of["cutters"][2];
    let mean = first.cutters[2].before.mean().unwrap().get();
    assert_eq!((cutter["cutter"].as_str(), cutter["length_before_mm"].parse::<f64>().unwrap()), ("3", mean));
    let voided: Vec<_> = of["readings"].iter().filter(|row| row["voided"] == "true").collect();
    assert_eq!((voided.len(), voided[0]["value"].as_str(), voided[0]["again"].as_str()), (1, "8.01", "true"));
    assert_eq!((of["saws"][0]["rails"].as_str(), of["saws"].len()), ("bad", 1));
}
