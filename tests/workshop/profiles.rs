//! Profiles that must be read and profiles that must be refused, one case per file.
//!
//! The first line of a file under `profiles/invalid` says what the refusal must name: line, key and a part of the message.

use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use evenbite::chain::Profile;

/// Name and text of each file of a folder.
fn cases(folder: &str) -> Vec<(String, String)> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/profiles").join(folder);
    let mut files: Vec<PathBuf> = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "no cases in {folder}");
    let name = |file: &PathBuf| file.file_name().unwrap().to_string_lossy().into_owned();
    files.iter().map(|file| (name(file), fs::read_to_string(file).unwrap())).collect()
}

#[test]
fn valid_profiles_read_and_write_back_the_same() {
    for (file, text) in cases("valid") {
        let profile = Profile::parse(&file, &text).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(Profile::parse(&file, &profile.to_toml()).as_ref(), Ok(&profile), "{file}");
        assert!(!profile.title.chars().any(|c| c.is_control() || c == '\u{202e}'), "{file}");
    }
}

#[test]
fn invalid_profiles_are_refused_with_line_key_and_reason() {
    let mut faults = String::new();
    for (file, text) in cases("invalid") {
        let expected = text.lines().next().unwrap().strip_prefix("# expect: ").expect("an expectation in line 1");
        let mut parts = expected.splitn(3, ' ');
        let (line, key, phrase) = (parts.next().unwrap(), parts.next().unwrap(), parts.next().unwrap());
        match Profile::parse(&file, &text) {
            Ok(_) => writeln!(faults, "{file} was read, but {expected}").unwrap(),
            Err(error) => {
                let message = error.to_string();
                let fits = error.line.to_string() == line && error.key == key && error.problem.contains(phrase);
                if !fits || !message.starts_with(&format!("{file}:{line}: {key}: ")) || message.contains('\u{1b}') {
                    writeln!(faults, "{message}\n  but {expected}").unwrap();
                }
            }
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn nothing_that_is_not_a_profile_panics() {
    let deep = format!("name = {}{}", "[".repeat(100_000), "]".repeat(100_000));
    let tables = format!("name = {}", "{a=".repeat(50_000));
    let dotted = format!("{}x = 1", "a.".repeat(20_000));
    let huge = "x = 1\n".repeat(200_000);
    let many: String = (0..50_000).fold(String::new(), |text, i| text + &format!("k{i} = {i}\n"));
    for text in
        [deep, tables, dotted, huge, many, "\u{0}".to_owned(), "\u{feff}name = 1".to_owned(), "[[name]]".to_owned()]
    {
        let error = Profile::parse("odd.toml", &text).unwrap_err();
        assert!(error.line >= 1 && error.problem.chars().count() < 2_000, "{}", error.problem);
    }
}

#[test]
fn no_cut_or_changed_byte_of_a_profile_panics() {
    let (_, text) = cases("valid").swap_remove(0);
    for at in 0..text.len() {
        let _ = Profile::parse("cut.toml", &text[..at]);
        let mut changed = text.clone();
        changed.replace_range(at..=at, "\"");
        let _ = Profile::parse("changed.toml", &changed);
    }
}
