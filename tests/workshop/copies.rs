//! Copies that sync programs and people leave beside a round: told, kept, and never chosen between without a word.

use std::fs;
use std::path::{Path, PathBuf};

use crate::invented::{at, card, header, rack, whole_round, work};
use evenbite::chain::nth;
use evenbite::record::{Rack, RackError, RecordError, RoundFile};
use evenbite::round::{Event, Round};

/// How copies are called, beside the file they are of.
const NAMES: [&str; 6] = [
    "X.bak.round.toml",
    "X.sync-conflict-20260402-080000-ABCDEFG.round.toml",
    "X.round.sync-conflict-20260402-080000-ABCDEFG.toml",
    "X.round (1).toml",
    "X (Ina's conflicted copy).round.toml",
    "Copy of X.round.toml",
];

fn beside(path: &Path, name: &str) -> PathBuf {
    let own = path.file_name().unwrap().to_string_lossy().into_owned();
    path.with_file_name(name.replace('X', own.strip_suffix(".round.toml").unwrap()))
}

/// A rack with one loop: a signed round, and an open one with twelve entries.
fn workshop() -> (tempfile::TempDir, Rack, PathBuf) {
    let (dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(9), "Ina")).unwrap();
    work(&mut file, &mut round, 8.6, 12);
    let path = file.path().to_owned();
    (dir, rack, path)
}

fn note(file: &mut RoundFile, text: &str) {
    file.append(at(9), &Event::Note { cutter: Some(nth(3)), text: text.into() }, None).unwrap();
}

fn entries(path: &Path, rack: &Rack) -> usize {
    rack.read_round(path).unwrap().entries.len()
}

/// Every file of the loop's folder with its bytes, but the derived one.
fn kept(path: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let all = fs::read_dir(path.parent().unwrap()).unwrap().map(|entry| entry.unwrap().path());
    let mut all: Vec<_> = all.filter(|path| !path.ends_with("history.toml")).collect();
    all.sort();
    all.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
}

/// The text of a round as earlier versions wrote it: without an id.
fn without_id(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let (header, events) = text.split_once("\n\n").unwrap();
    let lines: Vec<&str> = header.lines().filter(|l| !l.starts_with("id = ") && !l.starts_with("crc = ")).collect();
    let header = lines.join("\n") + "\n";
    format!("{header}crc = \"{:08x}\"\n\n{events}", crc32fast::hash(header.as_bytes()))
}

#[test]
fn an_older_copy_is_told_and_the_round_goes_on() {
    for name in NAMES {
        for old in [false, true] {
            let (_dir, rack, path) = workshop();
            if old {
                fs::write(&path, without_id(&path)).unwrap();
            }
            let copy = beside(&path, name);
            fs::copy(&path, &copy).unwrap();
            let (mut file, _, _) = rack.resume("one", at(10).to_utc()).unwrap();
            assert_eq!(file.path(), path, "{name}: the same in both");
            note(&mut file, "one more");
            drop(file);

            let before = kept(&path);
            let found = rack.shelves();
            let [(told, problem)] = found.problems.as_slice() else { panic!("{name}: {:?}", found.problems) };
            assert_eq!(*told, copy);
            assert!(
                matches!(problem, RackError::Record(RecordError::Copy { of, fewer: 1, .. }) if *of == path),
                "{problem}"
            );
            assert_eq!(found.shelves[0].rounds, 1);
            assert_eq!(found.shelves[0].open.as_ref().unwrap().path, path);
            assert_eq!(rack.rounds("one").unwrap().len(), 2);
            let history = fs::read(path.with_file_name("history.toml")).unwrap();
            assert_eq!(rack.history("one").unwrap().1.len(), 1, "told each time");
            assert_eq!(fs::read(path.with_file_name("history.toml")).unwrap(), history);
            let (file, round, _) = rack.resume("one", at(10).to_utc()).unwrap();
            assert_eq!((file.path(), round.entries.len()), (path.as_path(), 13));
            assert_eq!(kept(&path), before, "both are kept as they are");
            let mut out = Vec::new();
            let exported = rack.export_jsonl(&mut out).unwrap();
            assert_eq!((exported.rounds, exported.problems.len()), (2, 1));
        }
    }
}

#[test]
fn a_copy_that_holds_more_is_the_round() {
    for name in NAMES {
        let (_dir, rack, path) = workshop();
        let short = fs::read(&path).unwrap();
        let (mut file, _, _) = rack.resume("one", at(10).to_utc()).unwrap();
        note(&mut file, "on the other bench");
        drop(file);
        let copy = beside(&path, name);
        fs::rename(&path, &copy).unwrap();
        fs::write(&path, &short).unwrap();

        let found = rack.shelves();
        assert!(
            matches!(&found.problems[..], [(told, RackError::Record(RecordError::Copy { fewer: 1, .. }))] if *told == path)
        );
        let (mut file, round, _) = rack.resume("one", at(10).to_utc()).unwrap();
        assert_eq!((file.path(), round.entries.len()), (copy.as_path(), 13), "{name}");
        note(&mut file, "and on");
        drop(file);
        assert_eq!((entries(&copy, &rack), fs::read(&path).unwrap()), (14, short));
    }
}

#[test]
fn where_each_holds_what_the_other_does_not_nothing_is_written() {
    let (_dir, rack, path) = workshop();
    let copy = beside(&path, NAMES[1]);
    let start = fs::read(&path).unwrap();
    let [here, there] = [("here", 1), ("there", 2)].map(|(text, times)| {
        fs::write(&path, &start).unwrap();
        let (mut file, _, _) = rack.resume("one", at(10).to_utc()).unwrap();
        (0..times).for_each(|_| note(&mut file, text));
        fs::read(&path).unwrap()
    });
    fs::write(&path, here).unwrap();
    fs::write(&copy, there).unwrap();
    let before = kept(&path);
    let found = rack.shelves();
    let [(told, problem)] = found.problems.as_slice() else { panic!("{:?}", found.problems) };
    assert_eq!(*told, path, "the one of most entries is shown, whatever the files are called");
    let text = problem.to_string();
    assert!(text.contains("from entry 13 on they differ") && text.contains(copy.to_str().unwrap()), "{text}");
    let refused = rack.resume("one", at(10).to_utc()).unwrap_err();
    assert_eq!(refused.to_string(), text);
    assert_eq!(kept(&path), before);
    fs::rename(&copy, rack.root().join("set-aside.toml")).unwrap();
    assert!(rack.resume("one", at(10).to_utc()).is_ok(), "a person has chosen");
}

#[test]
fn the_id_tells_a_copy_under_any_name() {
    let (_dir, rack, path) = workshop();
    let copy = path.with_file_name("20260401T000000Z.round.toml");
    fs::copy(&path, &copy).unwrap();
    let found = rack.shelves();
    assert!(
        matches!(&found.problems[..], [(_, RackError::Record(RecordError::Copy { fewer: 0, .. }))]),
        "{:?}",
        found.problems
    );
    assert_eq!(rack.rounds("one").unwrap().len(), 2);
}

#[test]
fn a_copy_alone_is_the_round() {
    let (_dir, rack, path) = workshop();
    let copy = beside(&path, NAMES[3]);
    fs::rename(&path, &copy).unwrap();
    assert!(rack.shelves().problems.is_empty());
    assert_eq!(rack.resume("one", at(10).to_utc()).unwrap().0.path(), copy);
}

#[test]
fn two_open_rounds_are_told_and_neither_is_written() {
    let (_dir, rack, path) = workshop();
    // Another bench began a round of its own.
    let aside = rack.root().join("aside.toml");
    fs::rename(&path, &aside).unwrap();
    let (mut file, mut round): (RoundFile, Round) = rack.begin_round(&header(&card("one", 24), at(11), "Odd")).unwrap();
    work(&mut file, &mut round, 8.6, 3);
    let other = file.path().to_owned();
    drop(file);
    fs::rename(&aside, &path).unwrap();
    let before = kept(&path);
    let text = rack.shelves().problems[0].1.to_string();
    let names = [&path, &other].map(|path| path.file_name().unwrap().to_string_lossy().into_owned());
    assert!(names.iter().all(|name| text.contains(name)), "{text}");
    assert!(matches!(rack.resume("one", at(12).to_utc()), Err(RackError::SeveralOpen { .. })));
    assert_eq!(kept(&path), before);
}

#[test]
fn a_round_whose_later_file_is_damaged_is_not_written() {
    let (_dir, rack, path) = workshop();
    let (mut file, _, _) = rack.resume("one", at(10).to_utc()).unwrap();
    // The record goes on in a new file, as after a failed sync; later its header is damaged.
    let text = fs::read(&path).unwrap();
    fs::remove_file(&path).unwrap();
    note(&mut file, "in the second file");
    let second = file.path().to_owned();
    drop(file);
    fs::write(&path, text).unwrap();
    let damaged = fs::read_to_string(&second).unwrap().replacen("Ina", "Ida", 1);
    fs::write(&second, damaged).unwrap();
    let error = rack.resume("one", at(10).to_utc()).unwrap_err().to_string();
    assert!(error.contains(".r2.round.toml:1: the check sum"), "{error}");
}
