//! Every disk operation of a short life of a record made to go wrong in turn, until a run comes through clean.

use crate::record::faults::testing::{Died, Fault, clear, clear_any, plan};
use crate::record::{Journal, MAX_FILE, RecordError, current, files, read};
use chrono::{DateTime, FixedOffset, Utc};
use serde::{Deserialize, Serialize};
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Head {
    name: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum Event {
    Measured { mm: f64 },
}

type Book = Journal<Head, Event>;

fn at() -> DateTime<FixedOffset> {
    "2026-05-01T08:00:00+02:00".parse().unwrap()
}

fn now() -> DateTime<Utc> {
    at().to_utc()
}

fn head() -> Head {
    Head { name: "three".to_owned() }
}

/// What the person saw.
#[derive(Default)]
struct Seen {
    acknowledged: Vec<f64>,
    refused: usize,
    path: Option<PathBuf>,
}

fn add(book: &mut Book, seen: &mut Seen, mm: f64) {
    match book.append(at(), None, &Event::Measured { mm }, Some("typed")) {
        Ok(_) => seen.acknowledged.push(mm),
        Err(RecordError::NotStored { .. }) => seen.refused += 1,
        Err(e) => panic!("{e}"),
    }
    seen.path = Some(book.path().to_owned());
}

/// Make a record, add to it, tear its end, open it again, add more.
fn live(path: &Path, seen: &mut Seen) -> Result<(), RecordError> {
    let mut book = Book::create(path, &head())?;
    add(&mut book, seen, 10.25);
    add(&mut book, seen, 10.5);
    drop(book);
    let path = seen.path.clone().unwrap();
    std::fs::OpenOptions::new().append(true).open(&path).unwrap().write_all(b"\n[[event]]\nmm = 1").unwrap();
    let (mut book, opened) = Book::open(&path, now())?;
    // A reading that was refused can still be there when cutting it off failed as well.
    assert!(opened.entries.len() >= seen.acknowledged.len());
    assert!(opened.recovered.unwrap().bytes >= 17);
    add(&mut book, seen, 10.75);
    add(&mut book, seen, 11.0);
    Ok(())
}

fn mm(event: &Event) -> f64 {
    let Event::Measured { mm } = event;
    *mm
}

/// What holds after any fault: all that was acknowledged is there in order, nothing but what was typed is, and
/// work can go on.
fn settle(folder: &Path, seen: &Seen, case: &str) {
    let files = current(folder).unwrap();
    let [file] = files.as_slice() else {
        assert!(seen.acknowledged.is_empty() && files.is_empty(), "{case}: {files:?}");
        return;
    };
    let (mut book, opened) = match Book::open(file, now()) {
        Ok(opened) => opened,
        Err(RecordError::Unstarted { .. }) if seen.acknowledged.is_empty() => {
            let moved = files::set_aside(file, now()).unwrap();
            assert!(moved.exists() && current(folder).unwrap().is_empty(), "{case}");
            return;
        }
        Err(e) => panic!("{case}: {e}"),
    };
    let stored: Vec<f64> = opened.entries.iter().map(|e| mm(&e.event)).collect();
    let mut left = stored.iter();
    assert!(seen.acknowledged.iter().all(|a| left.any(|s| s == a)), "{case}: {stored:?} {:?}", seen.acknowledged);
    assert!(stored.windows(2).all(|w| w[0] < w[1]), "{case}: {stored:?}");
    assert!(stored.iter().all(|s| [10.25, 10.5, 10.75, 11.0].contains(s)), "{case}: {stored:?}");
    book.append(at(), None, &Event::Measured { mm: 12.0 }, None).unwrap();
    assert_eq!(read::<Head, Event>(book.path()).unwrap().entries.len(), stored.len() + 1, "{case}");
}

fn sweep(fault: Fault, times: usize) -> usize {
    for skip in 0.. {
        let folder = crate::scratch::folder();
        let case = format!("{fault:?} {times} times after {skip}");
        let mut seen = Seen::default();
        plan(skip, times, fault);
        let run = catch_unwind(AssertUnwindSafe(|| live(&folder.path().join("a.round.toml"), &mut seen)));
        let fired = clear_any(times);
        match &run {
            Err(payload) => assert!(payload.is::<Died>(), "{case}"),
            Ok(Ok(())) if times == 1 => assert_eq!(seen.refused, 0, "{case}: one fault must not lose a reading"),
            Ok(_) => {}
        }
        settle(folder.path(), &seen, &case);
        if !fired {
            assert_eq!(seen.acknowledged.len(), 4, "{case}");
            return skip;
        }
    }
    unreachable!("a run has an end")
}

#[test]
fn any_operation_may_fail() {
    for fault in [Fault::Error, Fault::Half, Fault::Lie] {
        for times in [1, 2, 4, usize::MAX] {
            let operations = sweep(fault, times);
            assert!(operations > 25, "{operations}");
        }
    }
}

#[test]
fn the_program_may_die_at_any_operation() {
    for fault in [Fault::Die, Fault::DieHalf] {
        sweep(fault, 1);
    }
}

#[test]
fn a_full_disk_refuses_and_later_takes_the_same_reading() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let mut book = Book::create(&path, &head()).unwrap();
    book.append(at(), None, &Event::Measured { mm: 1.0 }, None).unwrap();
    let before = std::fs::read(&path).unwrap();
    // The write fails half done; the cut works; the second write, and the new file, fail.
    plan(0, 1, Fault::Half);
    book.append(at(), None, &Event::Measured { mm: 2.0 }, None).unwrap();
    assert!(clear());
    assert_eq!(book.path(), path, "one failed write is cut back and tried again");
    plan(0, usize::MAX, Fault::Half);
    let error = book.append(at(), None, &Event::Measured { mm: 3.0 }, None).unwrap_err();
    assert!(clear_any(usize::MAX));
    assert!(error.to_string().contains("could not be written: "), "{error}");
    let ack = book.append(at(), None, &Event::Measured { mm: 3.0 }, None).unwrap();
    assert_eq!(ack.stamped.seq, 3);
    assert!(std::fs::read(book.path()).unwrap().len() > before.len());
    assert_eq!(current(folder.path()).unwrap(), [book.path()]);
}

#[test]
fn after_a_failed_sync_the_record_goes_on_in_a_new_file() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let mut book = Book::create(&path, &head()).unwrap();
    book.append(at(), None, &Event::Measured { mm: 1.0 }, None).unwrap();
    let old = std::fs::read(&path).unwrap();
    plan(1, 1, Fault::Error);
    let moved = book.append(at(), None, &Event::Measured { mm: 2.0 }, None).unwrap().moved.unwrap();
    assert!(clear());
    let second = folder.path().join("a.r2.round.toml");
    assert_eq!((&moved.from, &moved.to), (&path, &second));
    assert!(moved.reason.contains("space"), "{}", moved.reason);
    assert_eq!(std::fs::read(&path).unwrap(), old, "the old file is kept, without what was not synced");
    assert!(matches!(Book::open(&second, now()), Err(RecordError::InUse { .. })), "the lock went along");
    let error = Book::open(&path, now()).unwrap_err();
    assert!(matches!(&error, RecordError::Superseded { by, .. } if *by == second), "{error}");
    plan(1, 1, Fault::Error);
    book.append(at(), None, &Event::Measured { mm: 3.0 }, None).unwrap();
    assert!(clear());
    drop(book);
    let third = folder.path().join("a.r3.round.toml");
    assert_eq!(current(folder.path()).unwrap(), [third.as_path()]);
    let contents = read::<Head, Event>(&third).unwrap();
    assert_eq!(contents.continues.as_deref(), Some("a.r2.round.toml"));
    assert_eq!(contents.entries.len(), 3);
    assert_eq!(contents.header, head());
}

#[test]
fn a_replaced_file_is_old_or_new() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("loop.toml");
    for fault in [Fault::Error, Fault::Half, Fault::Lie, Fault::Die, Fault::DieHalf] {
        for skip in 0.. {
            files::replace(&path, b"old").unwrap();
            plan(skip, 1, fault);
            let run = catch_unwind(|| files::replace(&path, b"new text"));
            let fired = clear_any(1);
            let text = files::read(&path, MAX_FILE).unwrap();
            match run {
                Ok(Ok(())) => assert_eq!(text, b"new text", "{fault:?} after {skip}"),
                _ => assert!(text == b"old" || text == b"new text", "{fault:?} after {skip}"),
            }
            if !fired {
                break;
            }
        }
    }
}

#[test]
fn a_file_that_changes_underneath_is_left_behind() {
    for change in ["grown", "replaced", "deleted"] {
        let folder = crate::scratch::folder();
        let path = folder.path().join("a.round.toml");
        let mut book = Book::create(&path, &head()).unwrap();
        book.append(at(), None, &Event::Measured { mm: 1.0 }, None).unwrap();
        let text = std::fs::read(&path).unwrap();
        match change {
            "grown" => std::fs::write(&path, [&text, &b"x = 1\n"[..]].concat()).unwrap(),
            "replaced" => files::replace(&path, &text).unwrap(),
            _ => std::fs::remove_file(&path).unwrap(),
        }
        let ack = book.append(at(), None, &Event::Measured { mm: 2.0 }, None).unwrap();
        assert!(ack.moved.unwrap().reason.contains("something else"), "{change}");
        assert_eq!(current(folder.path()).unwrap(), [folder.path().join("a.r2.round.toml")], "{change}");
        assert_eq!(read::<Head, Event>(book.path()).unwrap().entries.len(), 2, "{change}");
    }
}
