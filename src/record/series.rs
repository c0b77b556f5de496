//! The files of one folder: which are current, and which were left behind after a disk fault.
//!
//! A record that can no longer be written goes on as `<start>.r2.round.toml`, then `.r3`, each naming in its header the
//! file that it continues. The older file stays where it is and is no longer current.

use super::block;
use super::contents::continues_of;
use super::files::{self, folder_of};
use super::{MAX_FILE, RecordError};
use std::collections::BTreeSet;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How the name of a round's record ends.
pub const SUFFIX: &str = ".round.toml";
/// How the name of a saw's record ends.
pub const SAW_SUFFIX: &str = ".saw.toml";

/// How the first line of a record of that name reads.
pub(super) fn header_of(path: &Path) -> &'static str {
    if suffix_of(&name_of(path)) == SAW_SUFFIX { block::SAW } else { block::ROUND }
}

fn suffix_of(name: &str) -> &'static str {
    if name.ends_with(SAW_SUFFIX) { SAW_SUFFIX } else { SUFFIX }
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
    Ok(later.into_iter().find(|file| continued_by(file).is_some_and(|name| name == own)))
}

/// A free name to continue under.
pub(super) fn next_free(path: &Path) -> PathBuf {
    let name = name_of(path);
    let suffix = suffix_of(&name);
    let (base, number) = split(&name);
    let name = |n: u32| path.with_file_name(format!("{base}.r{n}{suffix}"));
    let from = number.saturating_add(1);
    (from..=u32::MAX).map(name).find(|p| !files::exists(p)).unwrap_or_else(|| path.to_owned())
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

fn names(folder: &Path, suffix: &str) -> Result<Vec<String>, RecordError> {
    let failed = || RecordError::io("list the folder", folder);
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(failed()(e)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let name = entry.map_err(failed())?.file_name().to_string_lossy().into_owned();
        if name.ends_with(suffix) {
            found.push(name);
        }
    }
    found.sort();
    Ok(found)
}

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
