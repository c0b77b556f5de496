//! Small inputs, one for each kind of answer.

use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};

use regex_lite::Regex;

use super::readers::Reader;
use super::{Answer, answer};

/// Most inputs kept of one reader.
const MOST: usize = 12;
/// Longest input kept, in bytes.
const LONGEST: usize = 2048;

/// The folder of kept inputs.
pub(super) struct Corpus {
    root: PathBuf,
    /// Reader and kind of answer of what was seen.
    known: HashSet<(&'static str, String)>,
    learns: bool,
}

impl Corpus {
    pub(super) fn open() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz");
        Self { root, known: HashSet::new(), learns: std::env::var_os("FAULTS_LEARN").is_some() }
    }

    /// The inputs kept of a reader.
    pub(super) fn of(&self, reader: &str) -> Vec<(PathBuf, Vec<u8>)> {
        let Ok(entries) = fs::read_dir(self.root.join(reader)) else { return Vec::new() };
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        paths.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
    }

    /// How much is kept in all.
    pub(super) fn bytes(&self) -> usize {
        let Ok(entries) = fs::read_dir(&self.root) else { return 0 };
        entries
            .flat_map(|entry| self.of(&entry.unwrap().file_name().to_string_lossy()))
            .map(|(_, bytes)| bytes.len())
            .sum()
    }

    /// Keeps an input whose kind of answer was not seen before, made as small as it can be with the same kind of answer.
    pub(super) fn learn(&mut self, reader: &mut Reader, input: &[u8], found: &Answer) {
        if !self.learns {
            return;
        }
        if !self.known.iter().any(|(name, _)| *name == reader.name) {
            let kinds: Vec<String> = self.of(reader.name).iter().map(|(_, kept)| kind(&answer(reader, kept))).collect();
            self.known.extend(kinds.into_iter().map(|kind| (reader.name, kind)));
        }
        let wanted = kind(found);
        let kept = self.of(reader.name).len();
        if !self.known.insert((reader.name, wanted.clone())) || kept >= MOST {
            return;
        }
        let small = smaller(input, |part| kind(&answer(reader, part)) == wanted);
        if small.len() <= LONGEST {
            let name = format!("{:08x}.txt", crc32fast::hash(&small));
            fs::create_dir_all(self.root.join(reader.name)).unwrap();
            fs::write(self.root.join(reader.name).join(name), small).unwrap();
        }
    }
}

/// An answer without its figures and names.
fn kind(answer: &Answer) -> String {
    match answer {
        Answer::Taken => "taken".to_owned(),
        Answer::Wrong(what) => format!("wrong: {what}"),
        Answer::Refused { why, .. } => {
            let changing = Regex::new(r#"^[^ ]*: |\d+|"[^"]*"|`[^`]*`"#).unwrap();
            changing.replace_all(why, "#").chars().take(60).collect()
        }
    }
}

/// The input with as many lines, then bytes, left out as `fits` allows.
fn smaller(input: &[u8], mut fits: impl FnMut(&[u8]) -> bool) -> Vec<u8> {
    let mut lines: Vec<&[u8]> = input.split_inclusive(|byte| *byte == b'\n').collect();
    let mut size = lines.len().div_ceil(2);
    while size > 0 {
        let mut at = 0;
        while at < lines.len() {
            let mut fewer = lines.clone();
            fewer.drain(at..(at + size).min(fewer.len()));
            if fits(&fewer.concat()) { lines = fewer } else { at += size }
        }
        size /= 2;
    }
    lines.concat()
}

#[test]
fn an_input_is_made_as_small_as_it_can_be() {
    let small = smaller(b"a\nb\nwrong\nc\nd\ne\nalso\nf\n", |part| {
        part.windows(5).any(|window| window == b"wrong") && part.windows(4).any(|window| window == b"also")
    });
    assert_eq!(small, b"wrong\nalso\n");
}
