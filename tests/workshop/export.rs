//! Everything out in open formats, and in again.

use std::fs;
use std::sync::{Arc, Mutex};

use crate::invented::{at, card, header, put, rack, target, whole_round, work};
use evenbite::care::{Progress, Workshop};
use evenbite::chain::nth;
use evenbite::chain::profile::{Profile, built_in};
use evenbite::record::import::{Options, Preview, Then, preview};
use evenbite::record::{Rack, Sharpener};
use evenbite::round::{CutterState, Event, Header, Round, Series, When};
use evenbite::units::{deg, mm};

fn look(text: &str) -> Preview {
    preview(text, &Options::default(), None).unwrap()
}

fn csv_of(rack: &Rack) -> String {
    let mut out = Vec::new();
    rack.export_csv(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// All that was read of every cutter, in words.
fn readings(round: &Round) -> Vec<String> {
    let of = |cutter: &evenbite::round::Cutter| {
        let series = [&cutter.before, &cutter.after, &cutter.gap_before, &cutter.gap_after].map(Series::readings);
        let angles = cutter.angle.readings();
        format!("{} {:?} {:?} {:?} {series:?} {angles:?}", cutter.number, cutter.state, cutter.need, cutter.strokes)
    };
    round.cutters.iter().map(of).collect()
}

#[test]
fn a_round_as_csv_comes_back_with_the_same_readings() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    let nasty = "=HYPERLINK(\"x\"), \"quoted\"";
    put(&mut file, &mut round, &Event::Note { cutter: Some(nth(2)), text: nasty.into() });
    put(&mut file, &mut round, &Event::Note { cutter: Some(nth(3)), text: "'=already".into() });
    put(&mut file, &mut round, &Event::State { cutter: nth(5), state: CutterState::Damaged, need_mm: Some(mm(0.55)) });
    put(&mut file, &mut round, &Event::Gap { cutter: nth(7), when: When::Before, mm: mm(-0.125), again: false });
    work(&mut file, &mut round, 9.0, usize::MAX);
    let text = csv_of(&rack);
    assert!(text.contains("\"'=HYPERLINK(\"\"x\"\"), \"\"quoted\"\"\""), "{text}");
    let back = rack.import(&look(&text), &target("two", Then::Keep)).unwrap().round;
    assert_eq!(readings(&back), readings(&round));
    assert_eq!(back.cutter(nth(2)).unwrap().notes, [nasty]);
    assert_eq!(back.cutter(nth(3)).unwrap().notes, ["'=already"]);
}

#[test]
fn the_words_of_the_table_are_fixed() {
    use evenbite::chain::Wood;
    let (_dir, rack) = rack();
    for (at_day, wood) in [(1, Wood::Any), (2, Wood::Hardwood), (3, Wood::SoftwoodNoFrost)] {
        let kept = card(&format!("loop-{at_day}"), 24);
        rack.create_loop(&kept).unwrap();
        let header = Header { wood, ..header(&kept, at(at_day), "Ina") };
        let (mut file, mut round) = rack.begin_round(&header).unwrap();
        work(&mut file, &mut round, 9.0, 12);
    }
    let text = csv_of(&rack);
    for words in [",Ina,any wood,file,", ",Ina,hardwood,file,", ",Ina,\"softwood, no frost\",file,"] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

fn workshop(rack: &Rack) {
    for (tag, links, sharpener) in [("one", 24, "Ina"), ("two", 25, "Odd")] {
        let mut kept = card(tag, links);
        kept.own.back_slope = Some(deg(9.7));
        rack.create_loop(&kept).unwrap();
        whole_round(rack, &kept, at(1), sharpener, 9.0);
        let (mut file, mut round) = rack.begin_round(&header(&kept, at(2), sharpener)).unwrap();
        work(&mut file, &mut round, 8.4, 9);
        file.hand_to("Uma");
        let event = Event::Length { cutter: nth(4), when: When::Before, mm: mm(0.1 + 0.2 + 8.0), again: false };
        let entry = file.append(at(3), &event, Some("8,3 mm")).unwrap().entry;
        assert_eq!(entry.by.as_deref(), Some("Uma"));
        round.apply(entry);
        file.hand_to(sharpener);
        let entry = file.append(at(3), &Event::Note { cutter: None, text: "back".into() }, None).unwrap().entry;
        assert_eq!(entry.by, None);
        round.apply(entry);
    }
    rack.create_loop(&card("new", 60)).unwrap();
    let base = built_in::named("point-325").unwrap();
    rack.save_profile(&Profile::measured(&base, "own", "own one", &[("reach_new_mm", 5.5)], "caliper").unwrap())
        .unwrap();
    rack.save_sharpener(&Sharpener { name: "Ina".into(), length_u: Some(mm(0.04)), ..Sharpener::default() }).unwrap();
}

/// All files that are not derived, with their bytes.
fn originals(rack: &Rack) -> Vec<(String, Vec<u8>)> {
    let (mut open, mut found) = (vec![rack.root().to_owned()], Vec::new());
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(rack.root()).unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                open.push(path);
            } else if !name.ends_with("history.toml") && name != "rack.jsonl" {
                found.push((name, fs::read(path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn an_export_comes_back_as_the_very_same_files() {
    let (dir, rack) = rack();
    workshop(&rack);
    let mut out = Vec::new();
    let done = rack.export_jsonl(&mut out).unwrap();
    assert!(done.problems.is_empty());
    assert_eq!((done.loops, done.rounds), (3, 4));
    let path = dir.path().join("all.jsonl");
    fs::write(&path, &out).unwrap();

    let other = Rack::open(dir.path().join("other")).unwrap();
    let restored = other.import_jsonl(&path).unwrap();
    assert_eq!((restored.loops, restored.rounds, restored.profiles, restored.sharpeners), (3, 4, 1, 1));
    assert_eq!(originals(&other), originals(&rack));
    let read =
        |rack: &Rack| rack.rounds("one").unwrap().iter().map(|path| rack.read_round(path).unwrap()).collect::<Vec<_>>();
    assert!(read(&other)[1].entries.iter().any(|entry| entry.by.as_deref() == Some("Uma")));
    let mut again = Vec::new();
    other.export_jsonl(&mut again).unwrap();
    assert!(again == out);
    let error = other.import_jsonl(&path).unwrap_err().to_string();
    assert!(error.contains("There is already a loop with the tag \"new\""), "{error}");
    assert!(other.resume("one", at(3).to_utc()).is_ok());
}

#[test]
fn an_export_that_was_touched_changes_nothing() {
    let (dir, rack) = rack();
    workshop(&rack);
    let mut out = Vec::new();
    rack.export_jsonl(&mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let without = |n: usize| {
        let kept: Vec<&str> = lines.iter().enumerate().filter(|(i, _)| *i != n).map(|(_, line)| *line).collect();
        kept.join(
            "
",
        ) + "
"
    };
    let cases = [
        (lines[..lines.len() - 1].join("\n") + "\n", "is missing: the file was cut short"),
        (text[..text.len() / 2].to_owned(), "EOF while parsing"),
        (without(8), "`seq` is 4, expected 3"),
        (without(lines.len() - 2), "lines were written"),
        (without(0), "the first line must be of kind `export`"),
        (
            text.replacen("\"format\":1", "\"format\":2", 1),
            "case.jsonl:1: is of format 2, and this version reads format 1",
        ),
        (text.replacen("\"seq\":3,", "\"seq\":4,", 1), "`seq` is 4, expected 3"),
        (text.replacen("\"links\":24", "\"links\":5", 1), "5 drive links"),
        (text.replacen("\"file\":\"2026", "\"file\":\"../2026", 1), "cannot be the file of a round"),
        (text.replacen("\"cutter\":1,", "\"cutter\":-1,", 1), "invalid value"),
        (text.replacen("\"cutter\":1,", "\"cutter\":0,", 1), "a cutter's number is a whole number from 1"),
        (text.replacen("\"cutter\":1,", "\"cutter\":99,", 1), "There is no cutter 99: this loop has 1 to"),
        (text.replacen("\"kind\":\"sharpener\"", "\"kind\":\"guess\"", 1), "unknown variant"),
        (text.replacen("\"tag\":\"two\"", "\"tag\":\"one\"", 1), "There is already a loop"),
    ];
    let path = dir.path().join("case.jsonl");
    for (case, words) in cases {
        assert_ne!(case, text, "{words}");
        fs::write(&path, &case).unwrap();
        let other = Rack::open(dir.path().join("other")).unwrap();
        let error = other.import_jsonl(&path).unwrap_err().to_string();
        assert!(error.contains("case.jsonl:") && error.contains(words), "{words}: {error}");
        assert!(!other.root().exists(), "{words}");
    }
}

#[test]
fn what_cannot_be_exported_is_told() {
    let (_dir, rack) = rack();
    workshop(&rack);
    let path = rack.rounds("one").unwrap().remove(0);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("mm = 9.0", "mm = 9.1", 1)).unwrap();
    let mut out = Vec::new();
    let done = rack.export_jsonl(&mut out).unwrap();
    assert_eq!((done.loops, done.rounds, done.problems.len()), (3, 3, 1));
    assert_eq!(done.problems[0].0, path);
    let mut out = Vec::new();
    let done = rack.export_csv(&mut out).unwrap();
    assert_eq!((done.loops, done.rounds, done.problems.len()), (3, 3, 1));
    let text = String::from_utf8(out).unwrap();
    assert_eq!(text.lines().count(), 1 + 12 + 2 * 12);
    assert!(text.starts_with("loop,started,how,sharpener,wood,tool,profile,cutters,cutter,side,length_mm,after_mm,"));
    assert!(text.contains("\ntwo,2026-03-02T08:00:00+01:00,signed,Odd,"), "{text}");
}

#[test]
fn a_folder_of_profiles_that_cannot_be_listed_is_told() {
    let (_dir, rack) = rack();
    std::fs::create_dir_all(rack.root()).unwrap();
    std::fs::write(rack.root().join("profiles"), "no folder").unwrap();
    let done = rack.export_jsonl(&mut Vec::new()).unwrap();
    assert!(done.problems.iter().any(|(path, _)| path.ends_with("profiles")), "{:?}", done.problems);
    assert!(rack.profiles().1.iter().any(|(path, _)| path.ends_with("profiles")));
}

#[test]
fn stopped_work_says_how_far_it_was_and_leaves_nothing() {
    let (dir, rack) = rack();
    workshop(&rack);
    let mut whole = Vec::new();
    rack.export_jsonl(&mut whole).unwrap();
    let (file, tables) = (dir.path().join("all.jsonl"), dir.path().join("tables"));
    fs::write(&file, &whole).unwrap();
    let heard = Arc::new(Mutex::new(Vec::new()));
    let heard_by = |rack: &Rack, stop_at: usize| {
        let heard = Arc::clone(&heard);
        Workshop::from(rack.clone()).heard_by(move |Progress { what, done, total }| {
            heard.lock().unwrap().push((what, done, total));
            done < stop_at
        })
    };
    let said = || std::mem::take(&mut *heard.lock().unwrap());

    let mut counts = Vec::new();
    let mut watch = |done, total| {
        counts.push((done, total));
        done < 1
    };
    assert_eq!(rack.export_jsonl_with(&mut Vec::new(), &mut watch).unwrap_err().to_string(), "stopped");
    assert_eq!(rack.export_csv_with(&mut Vec::new(), &mut watch).unwrap_err().to_string(), "stopped");
    assert_eq!(counts.iter().filter(|count| **count == (1, 3)).count(), 2);
    assert!(heard_by(&rack, 1).write_tables(&tables, at(60)).is_err());
    assert!(!tables.exists());

    let other = Rack::open(dir.path().join("other")).unwrap();
    said();
    assert!(heard_by(&other, 2).restore(&file).unwrap_err().to_string().ends_with("stopped"));
    assert_eq!(said().last(), Some(&("rounds read back", 2, 4)));
    assert_eq!((other.taken_tags(), other.root().join("loops.new").exists()), (Vec::new(), false));
    assert_eq!(heard_by(&other, 9).restore(&file).unwrap().rounds, 4);

    // A rack whose rounds must be read again is read no further, and no index of some loops is left.
    said();
    assert!(heard_by(&other, 1).rows(at(60)).rows.is_empty());
    assert_eq!(said(), [("loops read", 1, 3)]);
    assert!(!other.root().join("rack.jsonl").exists());
}
