//! What cannot be read is named on every page that would rest on it, on standard error, and in the exit code.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use crate::invented::{at, card, rack, whole_round};
use evenbite::record::{Rack, RackError, RecordError};
use evenbite::saw::{Grade, Part, SawEvent};

fn call(rack: &Rack, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_evenbite")).arg("--data").arg(rack.root()).args(args).output().unwrap()
}

/// Two loops on one saw that was looked at, three rounds each.
pub(crate) fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    for tag in ["one", "two"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        for day in 1..=3 {
            whole_round(&rack, &kept, at(day), "Ina", 9.0 - day as f64 / 2.0);
        }
    }
    look(&rack, Grade::Good);
    look(&rack, Grade::Bad);
    (dir, rack)
}

/// A process that another test is starting may hold the record's lock for a moment.
fn look(rack: &Rack, found: Grade) {
    let event = SawEvent::Checked { part: Part::Rails, found, mm: None, note: None, with: None };
    for _ in 0..500 {
        match rack.add_to_saw("limbing saw", at(4), std::slice::from_ref(&event)) {
            Err(RackError::Record(RecordError::InUse { .. })) => std::thread::sleep(Duration::from_millis(10)),
            done => return drop(done.unwrap()),
        }
    }
    panic!("the record stays in use");
}

/// A page without its line ends.
fn flat(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn spoil(path: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains(from));
    fs::write(path, text.replacen(from, to, 1)).unwrap();
}

fn all(rack: &Rack) -> Vec<Vec<&'static str>> {
    let _ = rack;
    vec![
        vec!["history", "one"],
        vec!["sheet", "one"],
        vec!["sheet", "one", "--owner"],
        vec!["saw", "limbing saw"],
        vec!["tags"],
    ]
}

/// The commands that fail, with what the page and standard error must name; every other command is as before.
fn told(rack: &Rack, file: &str, by: &[&str]) {
    for mut args in all(rack) {
        let concerned = by.contains(&args.join(" ").as_str());
        for format in ["text", "html", "json"] {
            if args.contains(&"--owner") && format == "json" {
                continue;
            }
            args.extend(["--format", format]);
            let out = call(rack, &args);
            let (page, said) = (String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
            if concerned {
                assert_eq!(out.status.code(), Some(1), "{args:?}: {said}");
                assert!(said.contains("not read: ") && said.contains(file), "{args:?}: {said}");
                let on_page = if args.contains(&"--owner") { "could be read" } else { file };
                let flat = flat(&page);
                assert!(flat.contains(on_page), "{args:?}: {page}");
            } else {
                assert_eq!((out.status.code(), &*said), (Some(0), ""), "{args:?}");
            }
            args.truncate(args.len() - 2);
        }
    }
}

#[test]
fn a_whole_workshop_is_read_without_a_word() {
    let (_dir, rack) = workshop();
    told(&rack, "", &[]);
}

#[test]
fn a_damaged_round() {
    let (_dir, rack) = workshop();
    let path = rack.rounds("one").unwrap().remove(1);
    spoil(&path, "seq = 4", "seq = 5");
    let name = path.file_name().unwrap().to_str().unwrap().to_owned();
    told(&rack, &name, &["history one", "sheet one", "sheet one --owner", "saw limbing saw", "tags"]);
    // Before a loop leaves care, or comes back, what the sentence rests on is said with it.
    let said = typed(&rack, "scrap one\nworn out\nrelease one\n\n");
    let told: Vec<&str> = said.lines().filter(|line| line.contains(&name)).collect();
    assert!(told.iter().any(|line| line.contains("> Take ")), "{said}");
    assert!(told.iter().any(|line| line.contains("out of care since")), "{said}");
}

/// What the plain face says to these lines.
fn typed(rack: &Rack, lines: &str) -> String {
    let mut plain = Command::new(env!("CARGO_BIN_EXE_evenbite"))
        .args(["--plain", "--data"])
        .arg(rack.root())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    plain.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    String::from_utf8(plain.wait_with_output().unwrap().stdout).unwrap()
}

#[test]
fn a_damaged_profile_is_not_the_built_in_one_without_a_word() {
    let (_dir, rack) = workshop();
    let used = rack.card("one").unwrap().profile;
    let file = format!("{used}.toml");
    fs::create_dir_all(rack.root().join("profiles")).unwrap();
    fs::write(rack.root().join("profiles").join(&file), "name = \"x\"\n").unwrap();
    for args in [["saw", "limbing saw"], ["tags", "one"]] {
        let out = call(&rack, &args);
        let (page, said) = (String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
        assert_eq!(out.status.code(), Some(1), "{args:?}: {said}");
        assert!(said.contains("not read: ") && said.contains(&file), "{args:?}: {said}");
        assert!(flat(&page).contains(&format!("Not read: {file}")), "{args:?}: {page}");
    }
    assert_eq!(call(&rack, &["history", "one"]).status.code(), Some(1));
    // A sheet rests on the figures that its round copied.
    assert_eq!(call(&rack, &["sheet", "one"]).status.code(), Some(0));
}

#[test]
fn a_bad_card() {
    let (_dir, rack) = workshop();
    let path = rack.root().join("loops/two/loop.toml");
    spoil(&path, "links = 24", "links = -1");
    told(&rack, "loop.toml", &["saw limbing saw", "tags"]);
    let out = call(&rack, &["--plain"]);
    assert!(String::from_utf8_lossy(&out.stdout).contains("loop.toml"));
}

#[test]
fn a_damaged_list_of_sharpeners() {
    let (_dir, rack) = workshop();
    fs::write(rack.root().join("sharpeners.toml"), "[[sharpener]]\nname = \"Ina\"\nlength_u_mm = -3\n").unwrap();
    // A status rests on the figures of who filed, and what runs next on a status.
    told(&rack, "sharpeners.toml", &["sheet one", "sheet one --owner", "saw limbing saw", "tags"]);
    let out = call(&rack, &["--plain"]);
    assert!(String::from_utf8_lossy(&out.stdout).contains("sharpeners.toml"));
}

#[test]
fn settings_that_are_not_understood_are_told_with_every_page_in_other_units() {
    let (_dir, rack) = workshop();
    fs::write(rack.root().join("settings.toml"), "units = \"inch\"\nshade = 1\n").unwrap();
    for args in [&["history", "one"][..], &["gaps", "three-eighths"], &["tags"], &["--plain"]] {
        let out = call(&rack, args);
        let (page, said) = (String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
        let told = if args == ["--plain"] { &page } else { &said };
        assert_eq!(told.matches("settings.toml:2: unknown field `shade`").count(), 1, "{args:?}: {page}{said}");
        // Nothing is left out of it.
        assert_eq!(out.status.code(), Some(0), "{args:?}");
    }
}

fn saw_file(rack: &Rack) -> PathBuf {
    rack.root().join("saws/limbing-saw.saw.toml")
}

#[test]
fn a_damaged_saw() {
    let (_dir, rack) = workshop();
    spoil(&saw_file(&rack), "seq = 1", "seq = 2");
    told(&rack, "limbing-saw.saw.toml", &["history one", "sheet one", "sheet one --owner", "saw limbing saw", "tags"]);
}

#[test]
fn copies_of_a_saw_are_told_and_never_taken_for_it() {
    for name in ["limbing-saw.sync-conflict-20260305-080000-ABCDEFG.saw.toml", "limbing-saw (1).saw.toml"] {
        let (_dir, rack) = workshop();
        let copy = rack.root().join("saws").join(name);
        fs::copy(saw_file(&rack), &copy).unwrap();
        look(&rack, Grade::Watch);
        let out = call(&rack, &["saw", "limbing saw"]);
        let page = String::from_utf8(out.stdout).unwrap();
        assert_eq!(out.status.code(), Some(1));
        let flat = flat(&page);
        assert!(flat.contains("is a copy of") && flat.contains("lacks its last entry"), "{page}");
        // The one that holds more is the saw.
        let saw = rack.saw("limbing saw").unwrap().unwrap();
        assert_eq!(saw.entries.len(), 3);
        assert_eq!(rack.saws().saws.len(), 1);
        assert_eq!(rack.saws().problems.len(), 1);
        // An older one in its place: what the copy holds more is still there, and is gone on with.
        fs::rename(saw_file(&rack), rack.root().join("newer")).unwrap();
        fs::rename(&copy, saw_file(&rack)).unwrap();
        fs::rename(rack.root().join("newer"), &copy).unwrap();
        assert_eq!(rack.saw("limbing saw").unwrap().unwrap().entries.len(), 3);
        look(&rack, Grade::Good);
        assert_eq!(rack.saw("limbing saw").unwrap().unwrap().entries.len(), 4);
    }
}

#[test]
fn copies_of_a_saw_that_differ_both_count() {
    let (_dir, rack) = workshop();
    let copy = rack.root().join("saws/limbing-saw (1).saw.toml");
    fs::copy(saw_file(&rack), &copy).unwrap();
    look(&rack, Grade::Watch);
    let newer = fs::read(saw_file(&rack)).unwrap();
    let older = fs::read(&copy).unwrap();
    fs::write(saw_file(&rack), &older).unwrap();
    look(&rack, Grade::Good);
    fs::write(&copy, &newer).unwrap();
    let event = SawEvent::Checked { part: Part::Rails, found: Grade::Bad, mm: None, note: None, with: None };
    let (saw, _) = rack.add_to_saw("limbing saw", at(5), &[event]).unwrap();
    let found = saw.entries.iter().map(|entry| match &entry.event {
        SawEvent::Checked { found, .. } => *found,
        other => panic!("{other:?}"),
    });
    // What either of them holds counts, and neither loses anything.
    assert_eq!(found.collect::<Vec<_>>(), [Grade::Good, Grade::Bad, Grade::Watch, Grade::Good, Grade::Bad]);
    assert_eq!(fs::read(&copy).unwrap(), newer);
    assert!(fs::read(saw_file(&rack)).unwrap().starts_with(&older));
}
