//! Drills in the data folder: led line by line, their record whole and spoiled, out and in again, and the page of a day.

use std::fs;

use crate::invented::{at, card, header, rack, whole_round};
use crate::pages;
use evenbite::care::Workshop;
use evenbite::record::join::JoinWish;
use evenbite::record::{Checked, Rack, RackError, check_file, unheard};
use evenbite::report::Format;
use evenbite::units::Unit;
use serde_json::Value;

/// What the dialogue says to these lines, typed after `drills`.
pub(crate) fn led(rack: &Rack, lines: &str) -> String {
    let mut out = Vec::new();
    let typed = format!("drills\n{lines}");
    evenbite::plain::run(&Workshop::from(rack.clone()), typed.as_bytes(), &mut out, || at(3), "", false).unwrap();
    String::from_utf8(out).unwrap()
}

/// A set of repeated readings that passes.
pub(crate) fn measured(name: &str) -> String {
    format!("{name}\n1\n\n0\n{}0\n", "7.51\n".repeat(18))
}

#[test]
fn a_set_led_line_by_line_is_on_record_and_opens_the_filing_drills() {
    let (_dir, rack) = rack();
    let out = led(&rack, &format!("{}5\n\n3.0\n8.1\n4\n7.8\n8\n\nback\nenough\n\n\n", measured("Ada Moos")));
    for said in ["Measure twice is passed.", "file to 7.", "Cutter 1: good", "Broken off: the set does not count."] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    let file = rack.root().join("learners/ada-moos.learner.toml");
    assert!(matches!(check_file(&file).unwrap(), Checked::Learner { tag, .. } if tag == "ada-moos"));
    let learner = &rack.learners().learners[0];
    assert_eq!((learner.sets.len(), learner.sets[1].broken_off), (2, true));
    assert_eq!(learner.header.name, "Ada Moos");
    // Another name that makes the same file is not the same person.
    let other = led(&rack, "Ada  moos\n");
    assert!(other.contains("The drills of Ada Moos are kept under that name already"), "{other}");
    let waits = led(&rack, "Ada Moos\n5\n\n\n8.1\n");
    assert!(waits.contains("The set waits: what was answered is stored."), "{waits}");
    let on = led(&rack, "Ada Moos\n4\n");
    assert!(on.contains("A set is still open and goes on where it was left."), "{on}");
    assert!(led(&rack, "...\n").contains("cannot be a learner's name"));
}

#[test]
fn a_spoiled_record_is_told_and_the_others_are_shown() {
    let (_dir, rack) = rack();
    led(&rack, &measured("Ada"));
    led(&rack, &measured("Ben"));
    let file = rack.root().join("learners/ada.learner.toml");
    let text = fs::read_to_string(&file).unwrap().replace("7.51", "7.15");
    fs::write(&file, text).unwrap();
    let out = led(&rack, "Ada\n");
    assert!(
        out.contains("At fault: ") && out.contains("ada.learner.toml") && out.contains("Ben: Measure twice"),
        "{out}"
    );
    let course = Workshop::from(rack.clone()).course(&[], "", "", at(3)).unwrap();
    assert_eq!(course.not_read().len(), 1);
    assert!(check_file(&file).is_err());
}

#[test]
fn every_prefix_of_a_record_is_read_up_to_its_last_whole_answer() {
    let (_dir, rack) = rack();
    led(&rack, &measured("Ada"));
    let file = rack.root().join("learners/ada.learner.toml");
    let all = fs::read(&file).unwrap();
    let head = all.windows(11).position(|at| at == b"\n\n[[event]]\n").unwrap_or(all.len() / 8);
    let mut before = 0;
    for cut in (head..all.len()).step_by(23) {
        fs::write(&file, &all[..cut]).unwrap();
        let found = rack.learners();
        let entries = found.learners.first().map_or(0, |learner| learner.entries.len());
        assert!(entries >= before, "{cut}: {entries} after {before}");
        before = entries;
    }
    assert!(before >= 18, "{before}");
}

#[test]
fn drills_go_out_and_come_in_again() {
    let (_dir, rack) = rack();
    led(&rack, &measured("Ada"));
    let mut out = Vec::new();
    rack.export_jsonl(&mut out).unwrap();
    let (dir, other) = self::rack();
    let file = dir.path().join("all.jsonl");
    fs::write(&file, &out).unwrap();
    assert_eq!(other.import_jsonl(&file).unwrap().learners, 1);
    assert_eq!(other.learners().learners, rack.learners().learners);
    let mut again = Vec::new();
    other.export_jsonl(&mut again).unwrap();
    assert_eq!(String::from_utf8(again).unwrap(), String::from_utf8(out).unwrap());
}

#[test]
fn the_page_of_a_day_is_no_mark_and_says_what_was_not_done() {
    let (_dir, rack) = rack();
    led(&rack, &measured("<b>Ada</b>"));
    let care = Workshop::from(rack);
    let course = care.course(&[], "Bench school", "", at(3)).unwrap();
    let text = course.render(Format::Text, Unit::Mm, true);
    for said in [
        "A record of practice, no certificate.",
        "Bench school",
        "Measure twice: 1 set, passed",
        "Not assessed",
        "Same strokes",
        "Instructor  ________________",
        "Next",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    assert!(text.is_ascii() && text.lines().all(|line| line.len() <= 80), "{text}");
    let inches = course.render(Format::Text, Unit::Inch, true);
    assert!(inches.contains("(inches, read in steps of 0.0004)") && !inches.contains(" mm"), "{inches}");
    let page = course.render(Format::Html, Unit::Mm, false);
    assert!(!page.contains("<b>Ada") && page.contains("&lt;b&gt;Ada"));
    pages::parse(&page);
    let json: Value = serde_json::from_str(&course.render(Format::Json, Unit::Mm, false)).unwrap();
    assert_eq!(json["learners"][0]["drills"][0]["drill"], "measure-twice");
    let csv = course.render(Format::Csv, Unit::Mm, false);
    assert!(csv.lines().count() == 2 && csv.contains(",measure-twice,1,0,18,0,mm,"), "{csv}");
    assert!(care.course(&["nobody".into()], "", "", at(3)).unwrap_err().to_string().contains("no learner nobody"));
}

/// The learners of the demo: one who passed and relapsed over thirty sets, one with an open set, one who does not pass yet, one new.
fn of_the_demo() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    let (from, to) = (concat!(env!("CARGO_MANIFEST_DIR"), "/demo/workshop/learners"), rack.root().join("learners"));
    fs::create_dir_all(&to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
    (dir, rack)
}

/// What no page and no screen of a group says of anybody: ranks, averages and marks of a person, failures, time as a score.
const NEVER: [&str; 16] = [
    "rank",
    "average",
    " mean",
    "fail",
    "competent",
    "best",
    "worst",
    "better than",
    "grade",
    "score",
    "mark of",
    "points",
    "probab",
    "likely",
    "seconds",
    "broke",
];

#[test]
fn no_page_and_no_table_of_a_group_says_what_is_never_said() {
    let (_dir, rack) = of_the_demo();
    // A set that is broken off after three misses, so that it would show where it counted.
    led(&rack, "Lenn\n4\n\n\n45\n45\nenough\n\n\n");
    let care = Workshop::from(rack.clone());
    let course = care.course(&[], "", "", at(4)).unwrap();
    let group = led(&rack, "\n");
    let (_, group) = group.split_once("new, help> ").unwrap();
    let formats = [Format::Text, Format::Html, Format::Csv, Format::Json];
    let mut pages: Vec<String> = formats.map(|format| course.render(format, Unit::Mm, false)).into();
    pages.push(group.to_owned());
    for page in &pages {
        // A set that was broken off is said to count nowhere, and the look of a page is no word.
        let said = page.to_lowercase().replace("sets that were broken off are not counted", "");
        let said = said.split("</style>").last().unwrap();
        for never in NEVER {
            assert!(!said.contains(never), "{never}\n{said}");
        }
        assert!(!said.contains("lenn") || !said.contains("15.0"), "the set that was broken off\n{said}");
        // They stand as they began.
        let order: Vec<usize> = ["runa", "osk", "pia"].iter().filter_map(|name| said.find(name)).collect();
        assert!(order.len() == 3 && order.is_sorted(), "{order:?}\n{said}");
        assert!(
            !said.contains("class=\"bad\"") && !said.contains("class=\"warn\""),
            "no name, no figure in red\n{said}"
        );
    }
    // A table goes from hand to hand: without consent no name is in it.
    let nameless = care.course(&[], "", "", at(4)).unwrap().without_names();
    for format in [Format::Csv, Format::Json] {
        let table = nameless.render(format, Unit::Mm, false);
        assert!(
            table.contains("learner 1") && ["Runa", "Osk", "Pia", "Lenn"].iter().all(|name| !table.contains(name)),
            "{table}"
        );
    }
    let json: Value = serde_json::from_str(&course.render(Format::Json, Unit::Mm, false)).unwrap();
    let lenn = json["learners"].as_array().unwrap().iter().find(|page| page["learner"] == "Lenn").unwrap();
    assert_eq!(lenn["drills"].as_array().unwrap().len(), 0, "what was broken off counts as nothing: {lenn}");
}

#[test]
fn six_share_a_machine_by_turns_by_number_or_by_name() {
    let (_dir, rack) = rack();
    let begun = |name: &str| format!("{name}\n4\n\n\n30\nleave\n");
    let first: String = ["Ada", "Ben", "Cai", "Dov", "Eli", "Fay"].map(begun).concat();
    let out = led(&rack, &format!("{first}\n"));
    assert_eq!(out.matches("The set waits: what was answered is stored.").count(), 6, "{out}");
    // The second turn: a number of the group, a name in any case of letters; nobody is made twice.
    let out = led(&rack, "2\n31\nleave\nfay\n29\nleave\nCAI\n30\nleave\n9\n1+\n\n");
    for said in [
        "At the bench: Ben.",
        "At the bench: Fay.",
        "At the bench: Cai.",
        "Expected: a number from 1 to 6, or a name",
        "Type two numbers",
    ] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    let given: Vec<(String, usize)> =
        rack.learners().learners.iter().map(|of| (of.header.name.clone(), of.sets[0].given.len())).collect();
    let expected = [("Ada", 1), ("Ben", 2), ("Cai", 2), ("Dov", 1), ("Eli", 1), ("Fay", 2)];
    assert_eq!(given, expected.map(|(name, count)| (name.to_owned(), count)));
}

#[test]
fn the_instructor_chooses_line_by_line_how_soon_is_told() {
    let (_dir, rack) = rack();
    let out = led(&rack, "Ada\ntold 4\ntold 9\n4\n\n\n30\n36\nleave\n\n");
    for said in [
        "Hold the angle: Next set told only where it is a miss: chosen by the instructor.",
        "Expected: told and a number from 1 to 7",
        "told only where it is a miss",
    ] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    let (_, set) = out.split_once("cutter 1 of 12").unwrap();
    assert!(!set.contains("Cutter 1: good") && set.contains("Cutter 2: miss"), "{set}");
}

#[test]
fn lessons_that_were_done_stand_on_the_page() {
    let (_dir, rack) = rack();
    // Done at the drills it is the learner's.
    led(&rack, &measured("Ada"));
    led(&rack, "Ada\nlesson 1\n3.69\n\n\n");
    let kept = fs::read_to_string(rack.root().join("lessons.toml")).unwrap();
    assert!(kept.contains("by = \"Ada\"") && kept.contains("done = [\"shrinks\"]"), "{kept}");
    fs::write(rack.root().join("lessons.toml"), kept.replace("[\"shrinks\"]", "[\"growth\", \"shrinks\"]")).unwrap();
    let course = Workshop::from(rack).course(&[], "", "", at(3)).unwrap();
    assert!(
        course.render(Format::Text, Unit::Mm, true).contains("1. Why the gap shrinks\n2. Gap growth and tip drop\n")
    );
    assert!(course.render(Format::Html, Unit::Mm, true).contains("2. Gap growth and tip drop"));
    let json: Value = serde_json::from_str(&course.render(Format::Json, Unit::Mm, false)).unwrap();
    assert_eq!(json["learners"][0]["lessons"], serde_json::json!(["shrinks", "growth"]));
}

#[test]
fn a_name_taken_out_of_the_record_leaves_every_reading() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    led(&rack, &measured("Ina"));
    let path = rack.rounds("one").unwrap().remove(0);
    let (before, text) = (rack.read_round(&path).unwrap(), fs::read_to_string(&path).unwrap());
    let who = before.header.sharpener.clone();
    let care = Workshop::from(rack.clone());
    let shown = care.forget(&who, false).unwrap();
    assert_eq!((shown.rounds.len(), shown.named.as_str()), (1, "former sharpener 1"));
    assert!(matches!(rack.forget(&who, &mut |_, _| false), Err(RackError::Stopped)));
    assert_eq!(fs::read_to_string(&path).unwrap(), text, "nothing is written by looking, or by what is stopped");
    let done = care.forget(&who, true).unwrap();
    assert!(done.problems.is_empty(), "{:?}", done.problems);
    let after = rack.read_round(&path).unwrap();
    assert_eq!(after.header.sharpener, "former sharpener 1");
    assert_eq!((&after.cutters, after.closed), (&before.cutters, before.closed));
    let now = fs::read_to_string(&path).unwrap();
    let lines = text.lines().zip(now.lines()).filter(|(old, new)| old != new).count();
    assert!(lines == 2 && text.lines().count() == now.lines().count(), "the name and one check sum: {lines}");
    assert!(check_file(&path).is_ok());
    assert_eq!(who, "Ina");
    assert!(rack.learners().learners.is_empty(), "the drills go with the name");
    assert!(care.forget(&who, true).unwrap().is_nothing());
}

#[test]
fn a_study_becomes_the_uncertainty_of_whoever_measured() {
    let (_dir, rack) = rack();
    let lengths: String = (0..18).map(|n| format!("7.{}\n", 50 + n % 4)).collect();
    let out = led(&rack, &format!("Ina\n1\n\n0\n{lengths}0\n"));
    assert!(out.contains("Kept for the rounds of Ina: one length reading is uncertain by"), "{out}");
    let ina = rack.sharpener("Ina").unwrap();
    assert_eq!(ina.length_u_on, Some(at(3).date_naive()));
    let figure = ina.length_u.unwrap().get();
    assert!((0.005..0.04).contains(&figure), "{figure}");
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let care = Workshop::from(rack.clone());
    let skill = care.skill("Ina");
    assert!(skill.own && (skill.length.get() - figure).abs() < 1e-12);
    // Where a verdict rests on it, it is named with its date: in the round, on the sheet, in its data. Another's is not.
    for who in ["Ina", "Uma"] {
        let (file, round) = rack.begin_round(&header(&kept, at(4), who)).unwrap();
        let (lines, out) = ("one\n1\n1\n1\n1\n1\n1\n0\n8.01\nwhy\n".to_owned(), &mut Vec::new());
        drop(file);
        evenbite::plain::run(&care, lines.as_bytes(), &mut *out, || at(4), "", false).unwrap();
        let out = String::from_utf8(out.clone()).unwrap();
        let named = format!("Ina's reading spread {figure:.2} mm, measured 2026-03-04");
        assert_eq!(out.contains(&format!("judged with: {named}")), who == "Ina", "{named}\n{out}");
        // The reckoning of the length, in the dialogue, on the sheet and in its data.
        assert_eq!(out.contains(&format!("Judged with {named}")), who == "Ina", "{out}");
        let sheet = care.sheet(&round.header.tag, None).unwrap();
        assert_eq!(sheet.text(true).contains("Judged with Ina's reading spread"), who == "Ina", "{}", sheet.text(true));
        assert_eq!(sheet.json().contains("\"judged_with\""), who == "Ina");
        evenbite::plain::run(&care, &b"one\ngive up\n"[..], Vec::new(), || at(4), "", false).unwrap();
    }
}

#[test]
fn two_people_on_one_loop_are_held_against_each_other() {
    let (_dir, rack) = rack();
    let set = |name: &str, off: u32| {
        let lengths: String = (0..18).map(|n| format!("7.{}\n", 50 + off + n * 7 % 4)).collect();
        led(&rack, &format!("{name}\n1\n\n0\n{lengths}0\n"))
    };
    assert!(set("Ada", 0).contains("mm, read in steps of 0.01 mm (standard deviation"));
    assert!(led(&rack, "Ada + Ben\n").contains("There is no learner Ben"));
    assert!(led(&rack, "Ada + ada\n").contains("Ada alone is no two"));
    set("Ben", 6);
    let out = led(&rack, "Ada + Ben\n");
    for said in [
        "Ada and Ben, 6 cutters, each read 3 times by each, blind, read in steps of 0.01 mm:",
        "(repeatability, standard deviation)",
        "(reproducibility); Ben reads 0.060 mm more on average.",
        "of the tolerance",
        "no two lengths can be told apart.",
    ] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    led(&rack, "Cai\n1\n\n0\n7.5\n7.5\n");
    assert!(led(&rack, "Ada + Cai\n").contains("There is no study of Cai"), "two readings are no study");
}

#[test]
fn six_machines_become_one_folder() {
    let machines: Vec<_> = ["Ada", "Ben", "Cai"].iter().map(|name| (self::rack(), *name)).collect();
    for ((_, rack), name) in &machines {
        led(rack, &measured(name));
    }
    let (_dir, all) = self::rack();
    for ((_, rack), name) in &machines {
        let wish = JoinWish { there: (*name).to_owned(), ..JoinWish::default() };
        let join = all.look_at(rack, wish, &mut unheard).unwrap();
        assert_eq!(join.learners().added, 1);
        all.join(&join, &mut unheard).unwrap();
    }
    let found = all.learners();
    assert!(found.problems.is_empty() && found.learners.len() == 3, "{:?}", found.problems);
    let page = Workshop::from(all).course(&[], "", "", at(4)).unwrap().render(Format::Text, Unit::Mm, true);
    assert_eq!(page.matches("A record of practice, no certificate.").count(), 3);
}
