//! The files of one folder: which are current, and which were left behind after a disk fault.
//!
//! A record that can no longer be written goes on as `<start>.r2.round.toml`, then `.r3`, each naming in its header the
//! file that it continues. The older file stays where it is and is no longer current. Copies of a record under other names
//! are listed too: [`super::copies`] tells them.

use super::block;
use super::contents::continues_of;
use super::files::{self, folder_of};
use super::{MAX_FILE, RecordError, faults};
use std::collections::BTreeSet;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How the name of a round's record ends.
pub const SUFFIX: &str = ".round.toml";
/// How the name of a saw's record ends.
pub const SAW_SUFFIX: &str = ".saw.toml";
/// How the name of a learner's record ends.
pub const LEARNER_SUFFIX: &str = ".learner.toml";

/// How the first line of a record of that name reads.
pub(super) fn header_of(path: &Path) -> &'static str {
    match suffix_of(&name_of(path)) {
        SAW_SUFFIX => block::SAW,
        LEARNER_SUFFIX => block::LEARNER,
        _ => block::ROUND,
    }
}

fn suffix_of(name: &str) -> &'static str {
    [SAW_SUFFIX, LEARNER_SUFFIX].into_iter().find(|suffix| is_record(name, suffix)).unwrap_or(SUFFIX)
}

/// True for the name of a record and for those that copies of it are given: something is put into the name, before or
/// after `.round`.
fn is_record(name: &str, suffix: &str) -> bool {
    let (kind, end) = suffix.split_at(suffix.rfind('.').unwrap_or_default());
    !name.starts_with('.') && (name.ends_with(suffix) || name.ends_with(end) && name.contains(kind))
}

/// True for a name as this program gives it.
pub(super) fn is_plain(name: &str) -> bool {
    let (start, number) = began(name);
    let (base, _) = split(name);
    name.ends_with(suffix_of(name)) && (base == start || base == format!("{start}-{number}"))
}

/// When the record of a name began, as the name has it, and which one of that second it is. A name without a time gives
/// its first part.
pub(super) fn began(name: &str) -> (String, u32) {
    let Some(at) = (0..name.len()).find(|at| name.get(*at..*at + TIME.len()).is_some_and(is_time)) else {
        let end = name.find(['.', ' ', '(']).unwrap_or(name.len());
        return (name[..end].to_owned(), 1);
    };
    let (time, rest) = name[at..].split_at(TIME.len());
    let digits = rest.strip_prefix('-').map_or("", |rest| &rest[..rest.bytes().take_while(u8::is_ascii_digit).count()]);
    let number = Some(digits).filter(|digits| digits.len() <= 4 && !digits.starts_with('0'));
    (time.to_owned(), number.and_then(|digits| digits.parse().ok()).unwrap_or(1))
}

/// How the start of a round is written in its file's name; `0` stands for a digit.
const TIME: &str = "00000000T000000Z";

/// True for a start as [`super::data_dir::start_name`] writes it.
pub(super) fn is_time(text: &str) -> bool {
    let fits = |(form, byte): (u8, u8)| if form == b'0' { byte.is_ascii_digit() } else { byte == form };
    text.len() == TIME.len() && TIME.bytes().zip(text.bytes()).all(fits)
}

/// The records of a folder that are not continued by another, sorted by name. A file that cannot be read is listed: it
/// must be seen. A folder that does not exist has none.
///
/// # Errors
/// The folder cannot be listed.
pub fn current(folder: &Path) -> Result<Vec<PathBuf>, RecordError> {
    current_of(folder, SUFFIX)
}

/// As [`current`], for the records whose names end so.
pub(super) fn current_of(folder: &Path, suffix: &str) -> Result<Vec<PathBuf>, RecordError> {
    let all = names(folder, suffix)?;
    // Only a numbered file can continue another: a folder of many whole rounds is listed without reading them.
    let numbered = all.iter().filter(|name| split(name).1 > 1);
    let left: BTreeSet<String> = numbered.filter_map(|name| continued_by(&folder.join(name))).collect();
    Ok(all.into_iter().filter(|name| !left.contains(name)).map(|name| folder.join(name)).collect())
}

/// The file that continues this one, if there is one.
pub(super) fn successor(path: &Path) -> Result<Option<PathBuf>, RecordError> {
    let (folder, own) = (folder_of(path), name_of(path));
    let later = names(folder, suffix_of(&own))?
        .into_iter()
        .filter(|name| can_continue(name, &own))
        .map(|name| folder.join(name));
    for file in later {
        // Nobody knows whether a file that cannot be read goes on with this one: nothing is written to either.
        if continues_of(&file, &files::read(&file, MAX_FILE)?).is_some_and(|name| name == own) {
            return Ok(Some(file));
        }
    }
    Ok(None)
}

/// How many names are tried to continue under.
const TRIES: u32 = 1000;

/// A free name to continue under; where there is none the name itself, which is taken.
pub(super) fn next_free(path: &Path) -> PathBuf {
    let name = name_of(path);
    let suffix = suffix_of(&name);
    let (base, number) = split(&name);
    let name = |n: u32| path.with_file_name(format!("{base}.r{n}{suffix}"));
    let from = number.saturating_add(1);
    // None of the names that cannot be looked at is free.
    (from..from.saturating_add(TRIES)).map(name).find(|p| files::is_free(p)).unwrap_or_else(|| path.to_owned())
}

/// True if a file of the first name may say that it continues one of the second: same folder, same round, earlier.
pub(super) fn can_continue(name: &str, earlier: &str) -> bool {
    let ((base, number), (base_before, before)) = (split(name), split(earlier));
    base == base_before && before < number
}

/// A path's last part as text.
pub(super) fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

/// The name without suffix and continuation number, and that number: 1 for a first file.
fn split(name: &str) -> (&str, u32) {
    let stem = name.strip_suffix(suffix_of(name)).unwrap_or(name);
    let number = stem.rsplit_once(".r").and_then(|(base, digits)| {
        let plain = !digits.starts_with(['0', '+']);
        digits.parse().ok().filter(|n| plain && *n >= 2).map(|n| (base, n))
    });
    number.unwrap_or((stem, 1))
}

/// Every record of a folder whose name ends so, copies and those that are continued by another too.
pub(super) fn all(folder: &Path, suffix: &str) -> Result<Vec<PathBuf>, RecordError> {
    Ok(names(folder, suffix)?.into_iter().map(|name| folder.join(name)).collect())
}

fn names(folder: &Path, suffix: &str) -> Result<Vec<String>, RecordError> {
    let failed = || RecordError::io("list the folder", folder);
    let entries = match faults::point().and_then(|()| fs::read_dir(folder)) {
        Ok(entries) => entries,
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(failed()(e)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let name = entry.map_err(failed())?.file_name().to_string_lossy().into_owned();
        if is_record(&name, suffix) {
            found.push(name);
        }
    }
    found.sort();
    Ok(found)
}

/// The file that this one says it continues; nothing where it cannot be read either; its reader says so.
fn continued_by(path: &Path) -> Option<String> {
    continues_of(path, &files::read(path, MAX_FILE).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_taken_apart() {
        assert_eq!(split("a.round.toml"), ("a", 1));
        assert_eq!(split("a.r2.round.toml"), ("a", 2));
        assert_eq!(split("a.r10.round.toml"), ("a", 10));
        assert_eq!((split("big-saw.saw.toml"), split("big-saw.r2.saw.toml")), (("big-saw", 1), ("big-saw", 2)));
        for odd in ["a.r1.round.toml", "a.r02.round.toml", "a.r.round.toml", "a.r+2.round.toml", "a.rx.round.toml"] {
            assert_eq!(split(odd).1, 1, "{odd}");
        }
    }

    #[test]
    fn copies_are_known_by_their_names() {
        for plain in
            ["20260301T070000Z.round.toml", "20260301T070000Z-2.r3.round.toml", "a.round.toml", "big-saw.saw.toml"]
        {
            assert!(is_plain(plain), "{plain}");
        }
        for copy in [
            "20260301T070000Z.bak.round.toml",
            "20260301T070000Z.sync-conflict-20260302-080000-ABCDEFG.round.toml",
            "20260301T070000Z.round.sync-conflict-20260302-080000-ABCDEFG.toml",
            "20260301T070000Z.round (1).toml",
            "20260301T070000Z (2).round.toml",
            "20260301T070000Z.round (Ina's conflicted copy 2026-03-02).toml",
            "20260301T070000Z-20260302.round.toml",
            "20260301T070000Z-conflict.round.toml",
            "Copy of 20260301T070000Z.round.toml",
        ] {
            assert!(is_record(copy, SUFFIX) && !is_plain(copy), "{copy}");
            assert_eq!(began(copy), ("20260301T070000Z".to_owned(), 1), "{copy}");
        }
        assert_eq!(began("20260301T070000Z-12 (1).round.toml"), ("20260301T070000Z".to_owned(), 12));
        assert_eq!(began("a (1).round.toml"), ("a".to_owned(), 1));
        for other in
            [".20260301T070000Z.round.toml.swp", "20260301T070000Z.round.toml.tail-20260302T080000Z", "loop.toml"]
        {
            assert!(!is_record(other, SUFFIX), "{other}");
        }
    }

    #[test]
    fn only_an_earlier_file_of_the_same_round_is_continued() {
        assert!(can_continue("a.r2.round.toml", "a.round.toml"));
        assert!(can_continue("a.r3.round.toml", "a.round.toml"));
        assert!(can_continue("a.r3.round.toml", "a.r2.round.toml"));
        for (name, earlier) in [
            ("a.round.toml", "a.round.toml"),
            ("a.round.toml", "a.r2.round.toml"),
            ("b.r2.round.toml", "a.round.toml"),
            ("a.r2.round.toml", "../a.round.toml"),
        ] {
            assert!(!can_continue(name, earlier), "{name} {earlier}");
        }
    }
}
