//! People on record: what the rounds tell of them, a name that goes, a name that changes, two of one name.

use std::fs;
use std::path::{Path, PathBuf};

use crate::invented::{at, card, header, put, rack, whole_round, work};
use crate::pages;
use chrono::TimeDelta;
use evenbite::care::Workshop;
use evenbite::record::join::JoinWish;
use evenbite::record::{Rack, RoundFile, Sharpener, check_file, unheard};
use evenbite::report::Format;
use evenbite::round::Release;
use evenbite::units::{Unit, mm};
use serde_json::Value;

/// What the dialogue says to these lines.
fn led(rack: &Rack, lines: &str) -> String {
    let mut out = Vec::new();
    evenbite::plain::run(&Workshop::from(rack.clone()), lines.as_bytes(), &mut out, || at(3), "", false).unwrap();
    String::from_utf8(out).unwrap()
}

/// A set of repeated readings that passes.
fn measured(name: &str) -> String {
    format!("drills\n{name}\n1\n\n0\n{}0\n", "7.51\n7.52\n".repeat(9))
}

/// Three rounds by Ina on one loop; in the last Uma goes on after the first part of the work.
fn three_rounds(rack: &Rack) {
    let kept = card("one", 20);
    rack.create_loop(&kept).unwrap();
    whole_round(rack, &kept, at(1), "Ina", 9.0);
    whole_round(rack, &kept, at(2), "Ina", 8.6);
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(3), "Ina")).unwrap();
    while round.cutters.iter().filter(|cutter| !cutter.after.is_empty()).count() < 3 {
        work(&mut file, &mut round, 8.2, 1);
    }
    file.hand_to("Uma");
    work(&mut file, &mut round, 8.2, usize::MAX);
    rack.close(file).unwrap();
}

/// Every file below a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() { all.extend(files(&path)) } else { all.push(path) }
    }
    all
}

/// The files that have this text.
fn naming(rack: &Rack, text: &str) -> Vec<PathBuf> {
    let has = |path: &PathBuf| fs::read_to_string(path).unwrap().contains(text);
    files(rack.root()).into_iter().filter(has).collect()
}

#[test]
fn a_persons_page_is_told_from_the_rounds_with_its_counts() {
    let (_dir, rack) = rack();
    three_rounds(&rack);
    led(&rack, &measured("Ina"));
    let care = Workshop::from(rack.clone());
    let page = care.person("Ina").unwrap();
    let text = page.render(Format::Text, Unit::Mm, true);
    for said in [
        "3 rounds, 2026-",
        "own study of",
        "Left lengths: on average +0.0",
        "3 rounds, 13 cutters",
        "Right lengths: too few to judge: 2 rounds, 10 cutters",
        "1 of 7 passed.",
    ] {
        assert!(text.replace('\n', " ").replace("  ", " ").contains(said), "{said}\n{text}");
    }
    assert!(text.is_ascii() && text.lines().all(|line| line.len() <= 80), "{text}");
    let json: Value = serde_json::from_str(&page.render(Format::Json, Unit::Mm, false)).unwrap();
    let lengths = &json["figures"][0];
    assert_eq!(
        (lengths["side"].as_str(), lengths["rounds"].as_u64(), lengths["cutters"].as_u64()),
        (Some("left"), Some(3), Some(13))
    );
    assert!(json["figures"][1]["off"].is_null() && json["strokes"][0]["filings"].as_u64() == Some(13));
    let csv = page.render(Format::Csv, Unit::Mm, false);
    let left = csv.lines().find(|line| line.starts_with("Ina,length off,,left,mm,3,13,0.0")).is_some();
    assert!(left && csv.contains("Ina,length off,,right,mm,2,10,,,"), "{csv}");
    pages::parse(&page.render(Format::Html, Unit::Mm, false));
    // In inches the same figures, and the same facts in the dialogue.
    assert!(page.text(Unit::Inch, true).contains(" in "), "{}", page.text(Unit::Inch, true));
    assert_eq!(care.person("INA").unwrap(), page, "in any case of letters");
    let said = led(&rack, "person Uma\nperson\nperson Nobody\n");
    for fact in ["Person: Uma", "1 round, 2026-", "Type the name after it.", "Nobody called Nobody is on record."] {
        assert!(said.contains(fact), "{fact}\n{said}");
    }
    assert_eq!(naming(&rack, "Uma").len(), 1, "the round alone: no page is kept");
}

#[test]
fn a_name_that_goes_is_in_no_file_of_the_folder() {
    let (dir, rack) = rack();
    three_rounds(&rack);
    led(&rack, &measured("Ina"));
    // A release on the card, a version that was set aside, a second file of the drills, and what a join keeps beside the list.
    let mut released = rack.card("one").unwrap();
    released.releases.push(Release {
        at: at(2),
        by: "Ina".into(),
        replaced: "a strap".into(),
        rounds: vec![],
        scrapped: None,
    });
    rack.save_card(&released).unwrap();
    let round = rack.rounds("one").unwrap().remove(0);
    fs::copy(&round, round.with_file_name("20260302T070000Z.round.toml.left-0badcafe")).unwrap();
    let drills = rack.root().join("learners/ina.learner.toml");
    fs::copy(&drills, rack.root().join("learners/ina (copy).learner.toml")).unwrap();
    let other = Rack::open(dir.path().join("other")).unwrap();
    other.save_sharpener(&Sharpener { name: "Ina".into(), length_u: Some(mm(0.07)), ..Sharpener::default() }).unwrap();
    let join = rack.look_at(&other, JoinWish { there: "other".into(), ..JoinWish::default() }, &mut unheard).unwrap();
    rack.join(&join, &mut unheard).unwrap();
    rack.refresh();
    let readings = |rack: &Rack| -> Vec<_> {
        let rounds = rack.rounds("one").unwrap();
        rounds.iter().map(|path| rack.read_round(path).unwrap()).map(|round| (round.cutters, round.closed)).collect()
    };
    let (before, named) = (readings(&rack), naming(&rack, "\"Ina\"").len());
    assert!(named >= 9, "{named}: every sort of file names her");
    let care = Workshop::from(rack.clone());
    let done = care.forget("Ina", true).unwrap();
    assert!(done.problems.is_empty(), "{:?}", done.problems);
    assert_eq!((done.rounds.len(), done.drills.len(), done.listed), (4, 2, true));
    assert_eq!(naming(&rack, "Ina"), Vec::<PathBuf>::new());
    assert_eq!(readings(&rack), before);
    assert_eq!(rack.card("one").unwrap().releases[0].by, "former sharpener 1");
    let checked = files(rack.root());
    let bad: Vec<_> = checked
        .iter()
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .filter_map(|path| check_file(path).err())
        .collect();
    assert!(bad.is_empty(), "{bad:?}");
    // Uma has her readings still, and the next to go gets the next number.
    assert!(care.person("Uma").is_ok());
    assert_eq!(care.forget("Uma", false).unwrap().named, "former sharpener 2");
    // Joined again, a folder that still names her brings the name back: that is said when a name goes.
    let back = Rack::open(dir.path().join("other")).unwrap();
    assert!(Workshop::from(back).forget("Ina", false).unwrap().listed);
}

/// A round of Ina's on loop `two` that is open at another bench: its file cannot be written now.
fn open_elsewhere(rack: &Rack) -> RoundFile {
    let kept = card("two", 20);
    rack.create_loop(&kept).unwrap();
    rack.begin_round(&header(&kept, at(4), "Ina")).unwrap().0
}

#[test]
fn a_name_that_went_half_way_goes_on_with_the_same_number() {
    let (_dir, rack) = rack();
    three_rounds(&rack);
    let open = open_elsewhere(&rack);
    let care = Workshop::from(rack.clone());
    let first = care.forget("Ina", true).unwrap();
    assert_eq!((first.problems.len(), &*first.named), (1, "former sharpener 1"), "{:?}", first.problems);
    let on_the_way = rack.root().join("names.toml");
    assert_eq!(check_file(&on_the_way).unwrap().to_string(), "1 names that are on their way");
    // Until then no other name takes its number, and hers cannot become another's.
    assert_eq!(care.forget("Uma", false).unwrap().named, "former sharpener 2");
    let other = care.rename("Ina", "Ina Moos", true).unwrap_err().to_string();
    assert!(other.contains("is on the way to \"former sharpener 1\": finish that first"), "{other}");
    drop(open);
    let second = care.forget("Ina", true).unwrap();
    assert_eq!((second.problems.len(), &*second.named, second.rounds.len()), (0, "former sharpener 1", 1));
    assert!(naming(&rack, "Ina").is_empty() && !on_the_way.exists());
    assert_eq!(care.forget("Uma", false).unwrap().named, "former sharpener 2");
}

#[test]
fn a_person_called_otherwise_half_way_is_made_one_by_saying_it_again() {
    let (_dir, rack) = rack();
    three_rounds(&rack);
    led(&rack, &measured("Ina"));
    let drills = rack.root().join("learners/ina.learner.toml");
    let before = fs::read(&drills).unwrap();
    let open = open_elsewhere(&rack);
    let care = Workshop::from(rack.clone());
    assert_eq!(care.rename("Ina", "Ina Moos", true).unwrap().problems.len(), 1);
    drop(open);
    // Killed before what was derived went.
    let history = rack.root().join("loops/one/history.toml");
    fs::write(&history, "rounds by \"Ina\"").unwrap();
    // Killed between the new file and the removal of the old one.
    fs::write(&drills, before).unwrap();
    let again = care.rename("Ina", "Ina Moos", true).unwrap();
    assert!(again.problems.is_empty() && !drills.exists(), "{:?}", again.problems);
    assert!(naming(&rack, "\"Ina\"").is_empty());
    let learner = check_file(&rack.root().join("learners/ina-moos.learner.toml")).unwrap();
    assert!(learner.to_string().contains("learner ina-moos"), "{learner}");
}

#[test]
fn a_person_called_otherwise_keeps_everything_and_is_one_person() {
    let (_dir, rack) = rack();
    three_rounds(&rack);
    led(&rack, &measured("Ina"));
    let care = Workshop::from(rack.clone());
    let page = |name: &str| care.person(name).unwrap().render(Format::Json, Unit::Mm, false);
    let before = page("Ina");
    let taken = care.rename("Ina", "Uma", true).unwrap_err().to_string();
    assert!(taken.contains("Uma is on record already."), "{taken}");
    assert!(care.rename("Ina", "...", true).is_err());
    let shown = care.rename("Ina", "Ina Moos", false).unwrap();
    assert_eq!((shown.rounds.len(), shown.drills.len(), shown.listed), (3, 1, true));
    assert_eq!(page("Ina"), before, "nothing is written by looking");
    let done = care.rename("Ina", "Ina Moos", true).unwrap();
    assert!(done.problems.is_empty(), "{:?}", done.problems);
    assert_eq!(page("Ina Moos"), before.replace("\"Ina\"", "\"Ina Moos\""));
    assert!(care.person("Ina").is_err() && naming(&rack, "\"Ina\"").is_empty());
    let learner = rack.root().join("learners/ina-moos.learner.toml");
    assert!(check_file(&learner).is_ok() && !rack.root().join("learners/ina.learner.toml").exists());
    // She goes on where she was.
    let on = led(&rack, "drills\nIna Moos\n4\n");
    assert!(on.contains("Measure twice") && on.contains("passed 2026-"), "{on}");
}

#[test]
fn two_learners_of_one_name_are_not_made_one() {
    let ((_a, here), (_b, there)) = (rack(), rack());
    for rack in [&here, &there] {
        led(rack, &measured("Ben"));
    }
    // On one machine: whoever types the name is told whose record it is.
    let again = led(&here, "drills\nBen\n\n");
    assert!(again.contains("This goes on with the drills of Ben, begun 2026-"), "{again}");
    // On two machines, joined: both records are kept, one is shown, the other is told, and no set counts twice.
    let wish = JoinWish { there: "there".into(), ..JoinWish::default() };
    let join = here.look_at(&there, wish, &mut unheard).unwrap();
    here.join(&join, &mut unheard).unwrap();
    let found = here.learners();
    let sets: usize = found.learners.iter().map(|learner| learner.sets.len()).sum();
    assert!(found.learners.len() + found.problems.len() >= 2, "{found:?}");
    assert_eq!(sets, found.learners.len(), "one set a record that is read");
    let course = Workshop::from(here.clone()).course(&[], "", "", at(4)).unwrap();
    assert_eq!(course.render(Format::Csv, Unit::Mm, true).lines().count(), 1 + found.learners.len());
}

#[test]
fn a_clock_that_was_set_back_loses_no_set() {
    let (_dir, rack) = rack();
    led(&rack, &measured("Ben"));
    let mut out = Vec::new();
    let earlier = || at(3) - TimeDelta::days(400);
    let again = measured("Ben");
    evenbite::plain::run(&Workshop::from(rack.clone()), again.as_bytes(), &mut out, earlier, "", false).unwrap();
    let learner = rack.learners().learners.remove(0);
    assert_eq!(learner.sets.iter().filter(|set| set.is_whole()).count(), 2);
    assert!(learner.sets[1].at < learner.sets[0].at, "order goes by the record, not by the clock");
    let text = String::from_utf8(out).unwrap();
    assert!(!text.contains("-5760"), "{text}");
}

#[test]
fn a_study_of_two_readings_is_none() {
    let (_dir, rack) = rack();
    let out = led(&rack, "drills\nIna\n1\n\n0\n7.51\n7.52\nenough\n\n");
    assert!(out.contains("Broken off: the set does not count.") && !out.contains("Kept for the rounds of"), "{out}");
    assert!(!rack.root().join("sharpeners.toml").exists());
    let learner = rack.learners().learners.remove(0);
    assert!(learner.sets[0].broken_off && learner.sets[0].score().is_none());
    // A round that is open is nobody's figure yet.
    let kept = card("one", 20);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 30);
    put(&mut file, &mut round, &evenbite::round::Event::Paused {});
    assert!(Workshop::from(rack).person("Ina").unwrap().is_without_rounds());
}
