//! What a disk may hold after a power cut where unsynced writes are lost, torn or overtaken by later ones.
//!
//! The work is done once under a tracer. From its calls come the changes of files and names, and the syncs that make them last.
//! A state is then made up for any moment: what was synced is there, of the rest any part may be, and of a write any beginning. It is
//! stricter than most file systems: a name lasts only once its folder is synced.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::{acknowledged, starts};
use super::cases::{Case, Done};
use super::tally::Tally;
use super::trace::{self, Call, DISK};

/// A file, whatever its name.
type Node = usize;

/// A change, or what makes changes last.
#[derive(Debug)]
enum Step {
    Write {
        node: Node,
        at: usize,
        bytes: Vec<u8>,
    },
    Cut {
        node: Node,
        length: usize,
    },
    Folder(PathBuf),
    Name {
        path: PathBuf,
        node: Node,
    },
    Unname(PathBuf),
    Rename {
        from: PathBuf,
        to: PathBuf,
        node: Node,
    },
    /// A folder that gets another name takes all that is in it along.
    Moved {
        from: PathBuf,
        to: PathBuf,
    },
    Sync(Node),
    SyncFolder(PathBuf),
    Said(String),
}

/// The work of one case, step by step.
struct Recorded {
    begin: Disk,
    steps: Vec<Step>,
}

/// Folders, names and contents.
#[derive(Debug, Clone, Default)]
struct Disk {
    folders: BTreeSet<PathBuf>,
    names: BTreeMap<PathBuf, Node>,
    contents: Vec<Vec<u8>>,
}

/// States of all cases, recorded anew.
pub(super) fn lap(random: &mut TestRunner, states: usize, tally: &mut Tally) {
    if states == 0 {
        return;
    }
    if let Some(why) = trace::cannot() {
        tally.skipped.insert(format!("order of writes: {why}"));
        return;
    }
    let cases = Case::all(random);
    for case in &cases {
        let recorded = record(case);
        for _ in 0..states / cases.len() {
            one(case, &recorded, random, tally);
            tally.orders += 1;
        }
    }
}

fn one(case: &Case, recorded: &Recorded, random: &mut TestRunner, tally: &mut Tally) {
    let moment = random.rng().random_range(0..=recorded.steps.len());
    let steps = &recorded.steps[..moment];
    // Now and then everything pending is lost, or everything but one change.
    let chance = [0.0, 0.1, 0.5, 0.9, 1.0][random.rng().random_range(0..5_usize)];
    let mut disk = recorded.begin.clone();
    for (n, step) in steps.iter().enumerate() {
        if lasts(step, &steps[n + 1..]) || random.rng().random_bool(chance) {
            disk.take(step, None);
        } else if let Step::Write { bytes, .. } = step
            && random.rng().random_bool(0.3)
        {
            disk.take(step, Some(random.rng().random_range(0..=bytes.len())));
        }
    }
    let work = tempfile::tempdir().unwrap();
    disk.lay_out(work.path());
    let said: String =
        steps.iter().filter_map(|step| if let Step::Said(text) = step { Some(&**text) } else { None }).collect();
    let when = format!("{}, cut after step {moment} of {}", case.name, recorded.steps.len());
    case.judge(work.path(), &Done::only(acknowledged(&said), work.path()), &when, tally);
    let side = tempfile::tempdir().unwrap();
    if let Err(why) = starts(&work.path().join("data"), &side.path().join("said")) {
        tally.silent(1, || format!("{when}: {why}"));
    }
}

/// Whether a later sync makes a change last.
fn lasts(step: &Step, later: &[Step]) -> bool {
    let folder_of = |path: &Path| path.parent().unwrap_or(Path::new("")).to_owned();
    match step {
        Step::Write { node, .. } | Step::Cut { node, .. } => {
            later.iter().any(|step| matches!(step, Step::Sync(synced) if synced == node))
        }
        Step::Folder(path)
        | Step::Unname(path)
        | Step::Name { path, .. }
        | Step::Rename { to: path, .. }
        | Step::Moved { to: path, .. } => {
            let folder = folder_of(path);
            later.iter().any(|step| matches!(step, Step::SyncFolder(synced) if *synced == folder))
        }
        Step::Sync(_) | Step::SyncFolder(_) | Step::Said(_) => true,
    }
}

impl Disk {
    fn of(root: &Path) -> Self {
        let mut disk = Self::default();
        disk.folders.insert(PathBuf::new());
        let mut folders = vec![PathBuf::new()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(root.join(&folder)).unwrap() {
                let entry = entry.unwrap();
                let path = folder.join(entry.file_name());
                if entry.file_type().unwrap().is_dir() {
                    disk.folders.insert(path.clone());
                    folders.push(path);
                } else {
                    disk.names.insert(path, disk.contents.len());
                    disk.contents.push(fs::read(entry.path()).unwrap());
                }
            }
        }
        disk
    }

    /// Lets a step happen; of a write only so many bytes, where that is said.
    fn take(&mut self, step: &Step, only: Option<usize>) {
        match step {
            Step::Write { node, at, bytes } => {
                let bytes = &bytes[..only.unwrap_or(bytes.len())];
                let file = self.file(*node);
                // What was never written in between reads as zeros.
                file.resize(file.len().max(at + bytes.len()), 0);
                file[*at..at + bytes.len()].copy_from_slice(bytes);
            }
            Step::Cut { node, length } => self.file(*node).resize(*length, 0),
            Step::Folder(path) => drop(self.folders.insert(path.clone())),
            Step::Name { path, node } => drop(self.names.insert(path.clone(), *node)),
            Step::Unname(path) => drop(self.names.remove(path)),
            Step::Rename { from, to, node } => {
                self.names.remove(from);
                self.names.insert(to.clone(), *node);
            }
            Step::Moved { from, to } => {
                let under = |path: PathBuf| match path.strip_prefix(from) {
                    Ok(rest) => to.join(rest).components().collect(),
                    Err(_) => path,
                };
                self.folders = std::mem::take(&mut self.folders).into_iter().map(under).collect();
                self.names =
                    std::mem::take(&mut self.names).into_iter().map(|(path, node)| (under(path), node)).collect();
            }
            Step::Sync(_) | Step::SyncFolder(_) | Step::Said(_) => {}
        }
    }

    fn file(&mut self, node: Node) -> &mut Vec<u8> {
        if self.contents.len() <= node {
            self.contents.resize(node + 1, Vec::new());
        }
        &mut self.contents[node]
    }

    fn lay_out(&self, root: &Path) {
        let there = |path: &Path| path.ancestors().skip(1).all(|above| self.folders.contains(above));
        for folder in self.folders.iter().filter(|folder| there(folder)) {
            fs::create_dir_all(root.join(folder)).unwrap();
        }
        for (path, node) in self.names.iter().filter(|(path, _)| there(path)) {
            fs::write(root.join(path), self.contents.get(*node).map_or(&[][..], Vec::as_slice)).unwrap();
        }
    }
}

fn record(case: &Case) -> Recorded {
    let (work, side) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    case.lay_begin(work.path());
    let begin = Disk::of(work.path());
    let path = side.path().join("trace").to_string_lossy().into_owned();
    case.run(work.path(), &["strace", "-f", "-qq", "-s", "4194304", "-o", &path, "-e", &format!("trace={DISK}")]);
    let mut reader = Reader {
        root: work.path().canonicalize().unwrap(),
        now: begin.clone(),
        open: HashMap::new(),
        steps: Vec::new(),
    };
    for call in trace::read(path.as_ref()) {
        if call.result >= 0 {
            reader.call(&call);
        }
    }
    let left = Disk::of(work.path());
    assert_eq!(reader.shown(), show(&left), "{}: the calls do not make what the program left", case.name);
    Recorded { begin, steps: reader.steps }
}

/// What a number of an open file stands for.
#[derive(Clone)]
enum Open {
    Folder(PathBuf),
    File { node: Node, at: usize },
}

/// Makes steps of calls.
struct Reader {
    root: PathBuf,
    now: Disk,
    open: HashMap<u32, Open>,
    steps: Vec<Step>,
}

impl Reader {
    fn step(&mut self, step: Step) {
        self.now.take(&step, None);
        self.steps.push(step);
    }

    /// The names of a call, as far as they lie in the folder.
    fn paths(&self, call: &Call) -> Vec<Option<PathBuf>> {
        let path = |bytes: Vec<u8>| {
            let path = self.root.join(String::from_utf8_lossy(&bytes).into_owned());
            path.strip_prefix(&self.root).ok().map(|path| path.components().collect())
        };
        call.strings().into_iter().map(path).collect()
    }

    fn call(&mut self, call: &Call) {
        match call.name.as_str() {
            "openat" => self.opened(call),
            "close" => drop(call.file().and_then(|file| self.open.remove(&file))),
            "rename" | "renameat" | "renameat2" | "link" | "linkat" => {
                let [Some(from), Some(to)] = &self.paths(call)[..] else { return };
                let (from, to) = (from.clone(), to.clone());
                if let Some(node) = self.now.names.get(&from).copied() {
                    let name = Step::Name { path: to.clone(), node };
                    self.step(if call.name.starts_with("link") { name } else { Step::Rename { from, to, node } });
                } else if self.now.folders.contains(&from) {
                    self.step(Step::Moved { from, to });
                }
            }
            "unlink" | "unlinkat" => {
                if let Some(Some(path)) = self.paths(call).pop() {
                    self.step(Step::Unname(path));
                }
            }
            "mkdir" | "mkdirat" => {
                if let Some(Some(path)) = self.paths(call).pop() {
                    self.step(Step::Folder(path));
                }
            }
            "write" if call.file() == Some(1) => {
                self.steps.push(Step::Said(String::from_utf8_lossy(&call.strings()[0]).into_owned()));
            }
            _ => self.through_a_number(call),
        }
    }

    fn opened(&mut self, call: &Call) {
        let Some(Some(path)) = self.paths(call).pop() else { return };
        let Ok(file) = u32::try_from(call.result) else { return };
        if self.now.folders.contains(&path) {
            self.open.insert(file, Open::Folder(path));
            return;
        }
        let node = match self.now.names.get(&path).copied() {
            Some(node) => node,
            None if call.args.contains("O_CREAT") => {
                let node = self.now.contents.len();
                self.now.file(node);
                self.step(Step::Name { path, node });
                node
            }
            None => return,
        };
        if call.args.contains("O_TRUNC") {
            self.step(Step::Cut { node, length: 0 });
        }
        self.open.insert(file, Open::File { node, at: 0 });
    }

    fn through_a_number(&mut self, call: &Call) {
        let Some(number) = call.file() else { return };
        let Some(open) = self.open.get(&number).cloned() else { return };
        let last = call.last();
        let result = usize::try_from(call.result).unwrap_or(0);
        match (call.name.as_str(), open) {
            ("fsync" | "fdatasync", Open::Folder(path)) => self.step(Step::SyncFolder(path)),
            ("fsync" | "fdatasync", Open::File { node, .. }) => self.step(Step::Sync(node)),
            ("ftruncate", Open::File { node, .. }) => self.step(Step::Cut { node, length: last.unwrap_or(0) }),
            ("lseek", Open::File { node, .. }) => drop(self.open.insert(number, Open::File { node, at: result })),
            ("read", Open::File { node, at }) => {
                self.open.insert(number, Open::File { node, at: at + result });
            }
            ("write", Open::File { node, at }) => {
                let bytes = call.strings()[0][..result].to_vec();
                self.step(Step::Write { node, at, bytes });
                self.open.insert(number, Open::File { node, at: at + result });
            }
            ("pwrite64", Open::File { node, .. }) => {
                let bytes = call.strings()[0][..result].to_vec();
                self.step(Step::Write { node, at: last.unwrap_or(0), bytes });
            }
            _ => {}
        }
    }

    fn shown(&self) -> BTreeMap<PathBuf, String> {
        show(&self.now)
    }
}

/// Files by name, to be compared.
fn show(disk: &Disk) -> BTreeMap<PathBuf, String> {
    let text = |node: &Node| disk.contents.get(*node).map(|bytes| String::from_utf8_lossy(bytes).into_owned());
    disk.names.iter().map(|(path, node)| (path.clone(), text(node).unwrap_or_default())).collect()
}
