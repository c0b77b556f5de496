//! Links, pipes, and a limit on how large a file may grow.

use crate::book::{Book, Event, Head, at, head, measured, now, read, sample};
use evenbite::record::{self, RecordError, files};
use std::fs;
use std::os::unix::fs::symlink;
use std::path::PathBuf;
use std::process::Command;

#[test]
fn only_plain_files_are_opened() {
    let folder = crate::scratch::folder();
    let (path, bytes, _) = sample(folder.path());
    let place = |name: &str| folder.path().join(format!("{name}.round.toml"));
    symlink(&path, place("link")).unwrap();
    symlink("nowhere", place("dangling")).unwrap();
    fs::create_dir(place("folder")).unwrap();
    assert!(Command::new("mkfifo").arg(place("pipe")).status().unwrap().success());
    for (name, says) in
        [("link", "is a link"), ("dangling", "is a link"), ("folder", "is a folder"), ("pipe", "is a pipe")]
    {
        let path = place(name);
        for error in [
            read(&path).unwrap_err(),
            Book::open(&path, now()).unwrap_err(),
            files::replace(&path, b"new").unwrap_err(),
            record::check::<Head, Event>(&path).remove(0),
        ] {
            assert!(matches!(error, RecordError::WrongKind { .. }), "{error}");
            assert!(error.to_string().contains(says), "{error}");
        }
        assert!(matches!(Book::create(&path, &head()), Err(RecordError::Exists { .. })));
    }
    assert_eq!(fs::read(&path).unwrap(), bytes);
    assert_eq!(record::current(folder.path()).unwrap().len(), 5, "what cannot be read is still seen");
}

/// Runs in a child process, where files cannot grow beyond a limit: adds events until one is refused.
#[test]
#[ignore = "started by `a_real_size_limit_loses_nothing`"]
fn child_that_fills_its_file() {
    let Some(path) = std::env::var_os("FILLED_RECORD").map(PathBuf::from) else { return };
    let mut book = Book::create(&path, &head()).unwrap();
    let mut refused = (1..2000).map(|i| (i, book.append(at(i), None, &measured(i, 12.34), Some("12.34"))));
    let (i, error) = refused.find_map(|(i, done)| Some((i, done.err()?))).unwrap();
    assert!(matches!(error, RecordError::NotStored { .. }), "{error}");
    println!("acknowledged {}", i - 1);
}

#[test]
fn a_real_size_limit_loses_nothing() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let output = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 16; exec \"$0\" --ignored --nocapture --exact \"$1\""])
        .arg(std::env::current_exe().unwrap())
        .arg("journal::child_that_fills_its_file")
        .env("FILLED_RECORD", &path)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let count = said.lines().find_map(|l| l.split_once("acknowledged ")).map(|(_, n)| n.trim().parse::<usize>());
    let contents = read(&path).unwrap();
    assert_eq!(count, Some(Ok(contents.entries.len())), "{said} {}", String::from_utf8_lossy(&output.stderr));
    assert!(contents.entries.len() > 20 && contents.torn.is_none());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no half-made file is left behind");
    let (mut book, _) = Book::open(&path, now()).unwrap();
    book.append(at(0), None, &Event::Signed, None).unwrap();
}
