//! The index file: a line with its check sums, a line with what a rack shows first, a line with how
//! loops cut, a line with what statuses rest on, then a line per loop.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Take};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::super::basis::Basis;
use super::super::data_dir::INDEX;
use super::super::history::{DERIVED, Stamp};
use super::super::{RackError, RecordError, files};
use super::line::{self, StoredLine, StoredShelf};
use super::{Glance, LastRound, Line, name_order};
use crate::advice::Agreement;

/// Changed whenever the lines mean something other than before.
const FORMAT: u32 = 11;
/// Largest index read, in bytes: a hundred thousand loops.
const MAX: u64 = 64 * 1024 * 1024;
/// Most loops named for one pair of hands on one profile.
const RECENT: usize = 8;
/// Most pairs of hands and profiles named.
const RECENT_GROUPS: usize = 256;
/// Loops in the line of the first: more than a window has rows.
const FIRST: usize = 64;
/// About as many bytes as a short line has.
const LINE: usize = 256;
/// Longest first three lines read.
const MAX_HEAD: u64 = 4 * 1024 * 1024;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    format: u32,
    /// Of everything after this line.
    crc: String,
    /// Of the next line.
    first_crc: String,
    /// Of the line after that.
    cut_crc: String,
    recent: Vec<Recent>,
}

/// The loops last worked by the same hands on the same profile, latest first.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Recent {
    sharpener: String,
    profile: String,
    tags: Vec<String>,
}

/// The loops of a glance as they are stored: all, those in care, those with an open round, the first by name.
type StoredGlance = (usize, usize, usize, Vec<StoredShelf>);

/// Whether every loop could be read, and those of which it is known how they cut: tag, how often as their sheets had said, of how
/// many rounds.
type StoredCuts = (bool, Vec<(String, usize, usize)>);

/// An index that is believed.
#[derive(Default)]
pub(super) struct Index {
    /// In the order of tags.
    pub(super) lines: Vec<Line>,
    /// What the statuses of the lines rest on.
    pub(super) bases: Vec<Basis>,
    /// When the index was written.
    pub(super) written_ns: i64,
}

type Begin = BufReader<Take<File>>;

fn begin(file: File) -> Begin {
    BufReader::new(file.take(MAX_HEAD))
}

fn head_of(from: &mut Begin) -> Option<Head> {
    let mut line = String::new();
    from.read_line(&mut line).ok()?;
    serde_json::from_str::<Head>(&line).ok().filter(|head| head.format == FORMAT)
}

/// The loops that stand first by name, from the first two lines; nothing where they are missing, of another format, or
/// fail their check sum.
pub(crate) fn glance(root: &Path) -> Option<Glance> {
    let mut from = begin(files::open(&root.join(INDEX)).ok()?);
    let head = head_of(&mut from)?;
    let mut line = String::new();
    from.read_line(&mut line).ok()?;
    let line = line.strip_suffix('\n')?;
    if head.first_crc != sum(line) {
        return None;
    }
    glance_of(line).ok().flatten()
}

fn glance_of(line: &str) -> Result<Option<Glance>, serde_json::Error> {
    let (loops, in_care, open, first) = serde_json::from_str::<StoredGlance>(line)?;
    let first = first.into_iter().map(line::shelf).collect::<Option<_>>();
    Ok(first.map(|first| Glance { loops, in_care, open, first }))
}

/// How many loops an index tells of, or what is wrong with it.
pub(crate) fn check(path: &Path) -> Result<usize, RackError> {
    let text = files::read_text(path, MAX)?;
    let fault = |line: usize, what: &str| RackError::line(path, line, &format!("{what} {DERIVED}"));
    let json = |line: usize, error: &serde_json::Error| fault(line, &format!("{error}."));
    let (first, body) = text.split_once('\n').unwrap_or((&text, ""));
    let head: Head = serde_json::from_str(first).map_err(|error| json(1, &error))?;
    if head.format != FORMAT {
        return Err(fault(1, &format!("format is {}; this version writes {FORMAT}.", head.format)));
    }
    if head.crc != sum(body) {
        return Err(fault(1, "the check sum does not fit what follows."));
    }
    let (glance, lines) = body.split_once('\n').unwrap_or((body, ""));
    if head.first_crc != sum(glance) {
        return Err(fault(1, "the second check sum does not fit the next line."));
    }
    let odd = |line: usize| fault(line, "it tells of a time that cannot be.");
    glance_of(glance).map_err(|error| json(2, &error))?.ok_or_else(|| odd(2))?;
    let (cuts, lines) = lines.split_once('\n').unwrap_or((lines, ""));
    if head.cut_crc != sum(cuts) {
        return Err(fault(1, "the third check sum does not fit the line after that."));
    }
    serde_json::from_str::<StoredCuts>(cuts).map_err(|error| json(3, &error))?;
    let (bases, lines) = lines.split_once('\n').unwrap_or((lines, ""));
    let bases: Vec<Basis> = serde_json::from_str(bases).map_err(|error| json(4, &error))?;
    for (text, at) in lines.lines().zip(5..) {
        let stored: StoredLine = serde_json::from_str(text).map_err(|error| json(at, &error))?;
        line::line(stored).filter(|line| line.basis < bases.len()).ok_or_else(|| odd(at))?;
    }
    Ok(lines.lines().count())
}

fn sum(text: &str) -> String {
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}

fn first_of(lines: &[Line]) -> Glance {
    let mut in_care: Vec<_> =
        lines.iter().map(|line| &line.shelf).filter(|shelf| shelf.card.scrapped.is_none()).collect();
    in_care.sort_by_cached_key(|shelf| (name_order(&shelf.card.name), shelf.card.tag.clone()));
    Glance {
        loops: lines.len(),
        in_care: in_care.len(),
        open: in_care.iter().filter(|shelf| shelf.open.is_some()).count(),
        first: in_care.into_iter().take(FIRST).cloned().collect(),
    }
}

/// Loops whose last round was worked by these hands on this profile, the latest first, as the index last saw it: only
/// its first line is read. An index that is not there, or of another version, names none.
///
/// # Errors
/// It is there and cannot be opened.
pub(crate) fn recent(root: &Path, sharpener: &str, profile: &str) -> Result<Vec<String>, RecordError> {
    let path = root.join(INDEX);
    if !files::exists(&path)? {
        return Ok(Vec::new());
    }
    let groups = head_of(&mut begin(files::open(&path)?)).map(|head| head.recent).unwrap_or_default();
    let group = groups.into_iter().find(|recent| recent.sharpener == sharpener && recent.profile == profile);
    Ok(group.map(|recent| recent.tags).unwrap_or_default())
}

/// Who worked rounds, as far as the index tells by its first line.
pub(crate) fn hands(root: &Path) -> Vec<String> {
    let head = files::open(&root.join(INDEX)).ok().and_then(|file| head_of(&mut begin(file)));
    head.map(|head| head.recent.into_iter().map(|recent| recent.sharpener).collect()).unwrap_or_default()
}

/// The index; nothing where it is missing, of another format, or fails its check sum.
pub(super) fn read_index(root: &Path) -> Option<Index> {
    let path = root.join(INDEX);
    let written_ns = Stamp::of(&path).ok()?.changed_ns;
    let text = files::read_text(&path, MAX).ok()?;
    let (first, body) = text.split_once('\n')?;
    let head: Head = serde_json::from_str(first).ok()?;
    if head.format != FORMAT || head.crc != sum(body) {
        return None;
    }
    let mut lines = body.lines().skip(2); // The first loops, and how they cut.
    let bases: Vec<Basis> = serde_json::from_str(lines.next()?).ok()?;
    let mut index = Index { lines: Vec::with_capacity(body.len() / LINE), bases, written_ns };
    for text in lines {
        let line = line::line(serde_json::from_str(text).ok()?)?;
        index.lines.push(Some(line).filter(|line| line.basis < index.bases.len())?);
    }
    Some(index)
}

/// How often all loops but this one cut as their sheets had said, as the index last saw them, and whether each could be read for
/// it. No loop is looked at; nothing where there is no index that can be believed.
pub(crate) fn cut_elsewhere(root: &Path, tag: &str) -> Option<(Agreement, bool)> {
    let mut from = begin(files::open(&root.join(INDEX)).ok()?);
    let head = head_of(&mut from)?;
    let mut line = String::new();
    from.skip_until(b'\n').ok()?;
    from.read_line(&mut line).ok()?;
    let line = line.strip_suffix('\n').filter(|line| head.cut_crc == sum(line))?;
    let (all_read, cuts) = serde_json::from_str::<StoredCuts>(line).ok()?;
    let others = cuts.into_iter().filter(|(of, ..)| of != tag);
    let cut = others.fold(Agreement::default(), |sum, (_, agreed, of)| sum.and(Agreement { agreed, of }));
    Some((cut, all_read))
}

/// Writes the index; `all_read` where every loop could be read.
pub(super) fn write_index(root: &Path, lines: &[Line], bases: &[Basis], all_read: bool) -> Result<(), RackError> {
    let unwritable = |e: serde_json::Error| RecordError::Unwritable { what: e.to_string() };
    let glance = first_of(lines);
    let first = glance.first.into_iter().map(line::store).collect();
    let glance: StoredGlance = (glance.loops, glance.in_care, glance.open, first);
    let mut body = serde_json::to_string(&glance).map_err(unwritable)?;
    let first_crc = sum(&body);
    let told = lines.iter().filter(|line| line.shelf.cut.of > 0);
    let cuts = told.map(|line| (line.tag().to_owned(), line.shelf.cut.agreed, line.shelf.cut.of)).collect();
    let cuts = serde_json::to_string::<StoredCuts>(&(all_read, cuts)).map_err(unwritable)?;
    // Each basis once, and only those that a line rests on.
    let (mut table, mut places) = (Vec::new(), BTreeMap::new());
    let mut rows = String::new();
    for line in lines {
        let basis = &bases[line.basis];
        let place = *places.entry(serde_json::to_string(basis).map_err(unwritable)?).or_insert_with(|| {
            table.push(basis);
            table.len() - 1
        });
        rows.push_str(&serde_json::to_string(&line::store_line(line, place)).map_err(unwritable)?);
        rows.push('\n');
    }
    body.push_str(&format!("\n{cuts}\n{}\n{rows}", serde_json::to_string(&table).map_err(unwritable)?));
    let (crc, cut_crc) = (sum(&body), sum(&cuts));
    let head = Head { format: FORMAT, crc, first_crc, cut_crc, recent: recent_of(lines) };
    let text = format!("{}\n{body}", serde_json::to_string(&head).map_err(unwritable)?);
    Ok(files::replace(&root.join(INDEX), text.as_bytes())?)
}

fn recent_of(lines: &[Line]) -> Vec<Recent> {
    let worked = lines.iter().filter_map(|line| Some((line.shelf.last.as_ref()?, line.tag())));
    let mut worked: Vec<(&LastRound, &str)> = worked.filter(|(last, _)| last.strokes > 0).collect();
    worked.sort_by(|a, b| b.0.ended.cmp(&a.0.ended).then(a.1.cmp(b.1)));
    let mut groups: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for (last, tag) in worked {
        let known = groups.len();
        match groups.entry((&last.sharpener, &last.profile)) {
            Entry::Vacant(_) if known >= RECENT_GROUPS => {}
            Entry::Vacant(group) => _ = group.insert(vec![tag.to_owned()]),
            Entry::Occupied(mut group) if group.get().len() < RECENT => group.get_mut().push(tag.to_owned()),
            Entry::Occupied(_) => {}
        }
    }
    let recent = |((sharpener, profile), tags): ((&str, &str), Vec<String>)| Recent {
        sharpener: sharpener.to_owned(),
        profile: profile.to_owned(),
        tags,
    };
    groups.into_iter().map(recent).collect()
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::super::line::tests::plain;
    use super::*;

    #[test]
    fn how_the_others_cut_is_the_sum_less_this_loop_and_nothing_where_the_index_cannot_be_believed() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path();
        let stamp = Stamp { size: 1, changed_ns: 1 };
        let lines = [("a", (1, 2)), ("ab", (0, 0)), ("b", (3, 3))].map(|(tag, (agreed, of))| {
            let mut shelf = plain();
            (shelf.card.tag, shelf.cut) = (tag.into(), Agreement { agreed, of });
            Line { folder_ns: 0, card: stamp, open: None, basis: 0, faulty: false, shelf }
        });
        write_index(root, &lines, &[Basis::default()], false).unwrap();
        for (tag, (agreed, of)) in [("a", (3, 3)), ("ab", (4, 5)), ("b", (1, 2)), ("new", (4, 5))] {
            assert_eq!(cut_elsewhere(root, tag), Some((Agreement { agreed, of }, false)), "{tag}");
        }
        let text = fs::read_to_string(root.join(INDEX)).unwrap();
        for bad in [
            text.replacen("\"a\",1,2", "\"a\",1,3", 1),
            text.replacen("\"format\":11", "\"format\":10", 1),
            String::new(),
        ] {
            assert!(bad != text);
            fs::write(root.join(INDEX), bad).unwrap();
            assert_eq!(cut_elsewhere(root, "a"), None);
        }
    }
}
