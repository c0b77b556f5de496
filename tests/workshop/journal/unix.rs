//! Permissions and limits.

use crate::book::{Book, head, sample};
use evenbite::record::{self, RecordError, files};
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

#[test]
fn files_and_folders_are_private() {
    let folder = crate::scratch::folder();
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
    let folder = crate::scratch::folder();
    let error = Book::create(&folder.path().join("none/a.round.toml"), &head()).unwrap_err();
    assert!(error.to_string().contains("could not make the file"), "{error}");
    assert!(record::current(&folder.path().join("none")).unwrap().is_empty());
}
