//! Files that are in order and files that are not, one case per file.
//!
//! What `check_file` must say of an invalid file stands in its first line after `# expect`, or, where every byte counts,
//! in `<name>.expect` beside it: the end of the message that begins with the file's name.

use std::fs;
use std::path::{Path, PathBuf};

use evenbite::record::{Rack, SAW_SUFFIX, SUFFIX, check_file};

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/records").join(folder);
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|end| end == "toml"));
    files.sort();
    files
}

fn name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

#[test]
fn valid_files_are_in_order() {
    let files = files("valid");
    assert_eq!(files.len(), 19);
    for path in files {
        if let Err(problems) = check_file(&path) {
            panic!("{}", problems[0]);
        }
    }
}

#[test]
fn invalid_files_are_refused_for_the_right_reason() {
    let files = files("invalid");
    assert_eq!(files.len(), 58);
    for path in files {
        let name_of_it = name(&path);
        let stem = name_of_it.strip_suffix(SUFFIX).or_else(|| name_of_it.strip_suffix(SAW_SUFFIX));
        let expected = if let Some(stem) = stem {
            fs::read_to_string(path.with_file_name(format!("{stem}.expect"))).unwrap()
        } else {
            let text = fs::read_to_string(&path).unwrap();
            text.lines().next().unwrap().strip_prefix("# expect ").unwrap().to_owned()
        };
        let problems = check_file(&path).expect_err(&name(&path));
        let first = problems[0].to_string();
        let (before, after) = first.split_once(&name(&path)).unwrap_or_else(|| panic!("{}: {first}", name(&path)));
        assert!(after.contains(expected.trim_end()), "{}\nexpected {expected}{before}{after}", name(&path));
    }
}

#[test]
fn no_reader_takes_a_reading_of_a_cutter_that_is_not_there() {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().to_owned()).unwrap();
    for (file, said) in [
        ("cutter-nought.round.toml", ":69: a cutter's number is a whole number from 1"),
        ("no-such-cutter.round.toml", ":69: There is no cutter 99: this loop has 1 to 12."),
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/records/invalid").join(file);
        let error = rack.read_round(&path).unwrap_err().to_string();
        assert!(error.contains(&format!("{file}{said}")), "{error}");
    }
}

#[test]
fn a_file_that_is_not_there_is_told() {
    assert!(check_file(Path::new("nowhere.toml")).unwrap_err()[0].to_string().starts_with("nowhere.toml: could not"));
}
