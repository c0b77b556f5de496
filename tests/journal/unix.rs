//! Links, pipes, permissions and limits.

use super::{Book, Event, Head, at, head, measured, now, read, sample};
use evenbite::record::{self, RecordError, files};
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::Command;

#[test]
fn only_plain_files_are_opened() {
    let folder = tempfile::tempdir().unwrap();
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

#[test]
fn files_and_folders_are_private() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("loops/k-14");
    files::create_folder(&deep).unwrap();
    files::create_folder(&deep).unwrap();
    let (path, _, _) = sample(&deep);
    let other = deep.join("loop.toml");
    files::replace(&other, b"a").unwrap();
    files::replace(&other, b"b").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!([mode(&path), mode(&other)], [0o600; 2]);
    assert_eq!([mode(&deep), mode(deep.parent().unwrap())], [0o700; 2]);
    assert_eq!(files::read_text(&other, 1).unwrap(), "b");
    assert!(matches!(files::read_text(&other, 0), Err(RecordError::TooLarge { .. })));
    let error = files::create_folder(&other).unwrap_err();
    assert!(error.to_string().contains("is a file; only a real folder"), "{error}");
    fs::write(&other, b"a\nb\n\xff\n").unwrap();
    assert!(matches!(files::read_text(&other, 9), Err(RecordError::NotText { line: 3, .. })));
}

#[test]
fn a_folder_that_cannot_be_written_is_told() {
    // /proc refuses new files to everyone; a folder without write permission stops nobody who is root.
    let error = Book::create(Path::new("/proc/a.round.toml"), &head()).unwrap_err();
    assert!(matches!(error, RecordError::Io { .. }), "{error}");
    let folder = tempfile::tempdir().unwrap();
    let error = Book::create(&folder.path().join("none/a.round.toml"), &head()).unwrap_err();
    assert!(error.to_string().contains("could not make the file"), "{error}");
    assert!(record::current(&folder.path().join("none")).unwrap().is_empty());
}

/// Runs in a child process, where files cannot grow beyond a limit: adds events until one is refused.
#[test]
#[ignore = "started by `a_real_size_limit_loses_nothing`"]
fn child_that_fills_its_file() {
    let Some(path) = std::env::var_os("FILLED_RECORD").map(PathBuf::from) else { return };
    let mut book = Book::create(&path, &head()).unwrap();
    let mut refused = (1..2000).map(|i| (i, book.append(at(i), &measured(i, 12.34), Some("12.34"))));
    let (i, error) = refused.find_map(|(i, done)| Some((i, done.err()?))).unwrap();
    assert!(matches!(error, RecordError::NotStored { .. }), "{error}");
    println!("acknowledged {}", i - 1);
}

#[test]
fn a_real_size_limit_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.round.toml");
    let output = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 16; exec \"$0\" --ignored --nocapture --exact \"$1\""])
        .arg(std::env::current_exe().unwrap())
        .arg("unix::child_that_fills_its_file")
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
    book.append(at(0), &Event::Signed, None).unwrap();
}
