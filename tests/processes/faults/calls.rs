//! Every system call that touches the data made to fail, to lie, or to be the last.
//!
//! A fault counts only where the tracer says that it came about, once, and at the file that it was meant for: what a program
//! does between two runs is not always the same, and a lie about more bytes than were to be written is one that no system tells.

use std::fmt;
use std::path::Path;

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::starts;
use super::cases::{Case, without_new_times};
use super::tally::Tally;
use super::trace::{self, Call, DISK};

/// Runs after which a fault that never came about is given up.
const TRIES: usize = 4;

/// What is made of a call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Error(&'static str),
    /// It claims to have written so many bytes, all that it was given, and has written nothing.
    Lie(usize),
    /// The program ends before it.
    Last,
}

impl fmt::Display for Fault {
    /// As the tracer wants to be told.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Error(name) => write!(f, "error={name}"),
            Self::Lie(bytes) => write!(f, "retval={bytes}"),
            Self::Last => write!(f, "signal=KILL"),
        }
    }
}

/// One fault at one call of one case.
struct Point {
    case: usize,
    call: String,
    /// Which one of that name, from 1.
    nth: usize,
    fault: Fault,
    /// The file that it is about, to be told.
    file: String,
}

/// All faults at all calls, in a random order.
pub(super) struct Sweep {
    cases: Vec<Case>,
    points: Vec<Point>,
    at: usize,
    cannot: Option<String>,
}

impl Sweep {
    /// Nothing is looked at where none of it is wanted.
    pub(super) fn new(random: &mut TestRunner, wanted: bool) -> Self {
        let mut sweep = Self { cases: Vec::new(), points: Vec::new(), at: 0, cannot: None };
        if !wanted {
            return sweep;
        }
        sweep.cannot = trace::cannot();
        if sweep.cannot.is_some() {
            return sweep;
        }
        sweep.cases = Case::all(random);
        for (index, case) in sweep.cases.iter().enumerate() {
            let found = points(index, case);
            assert!(found.len() > 20, "{}: hardly any calls", case.name);
            sweep.points.extend(found);
        }
        for n in (1..sweep.points.len()).rev() {
            sweep.points.swap(n, random.rng().random_range(0..=n));
        }
        println!("{} faults at the calls of {} cases", sweep.points.len(), sweep.cases.len());
        sweep
    }

    /// So many faults more; at most each of them once.
    pub(super) fn lap(&mut self, faults: usize, tally: &mut Tally) {
        if let Some(why) = &self.cannot {
            tally.skipped.insert(format!("system calls: {why}"));
            return;
        }
        for _ in 0..faults.min(self.points.len()) {
            let point = &self.points[self.at % self.points.len()];
            self.at += 1;
            one(&self.cases[point.case], point, tally);
        }
    }
}

fn one(case: &Case, point: &Point, tally: &mut Tally) {
    let (Point { call, nth, file, .. }, mut fault) = (point, point.fault);
    let when = |fault: Fault| format!("{}, {call} {nth} ({file}) {fault}", case.name);
    for _ in 0..TRIES {
        let (work, side) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let path = side.path().join("trace");
        let behind = behind(call, *nth, fault, &path);
        let done = case.run(work.path(), &behind.iter().map(String::as_str).collect::<Vec<_>>());
        match came_about(&path, work.path(), file, fault) {
            Came::AsMeant => {
                let when = when(fault);
                tally.calls += 1;
                case.judge(work.path(), &done, &when, tally);
                case.judge_silence(&done, &when, tally);
                if let Err(why) = starts(&work.path().join("data"), &side.path().join("said")) {
                    tally.silent(1, || format!("{when}: {why}"));
                }
                return;
            }
            Came::Of(bytes) => fault = Fault::Lie(bytes),
            Came::Not => {}
        }
    }
    tally.never += 1;
    println!("never came about: {}", when(fault));
}

/// The tracer and its arguments, for one fault at the nth call of a name.
fn behind(call: &str, nth: usize, fault: Fault, path: &Path) -> Vec<String> {
    let mut behind = vec!["strace".to_owned(), "-f".to_owned(), "-y".to_owned(), "-qq".to_owned()];
    // With that filter, which is quicker, signals are not delivered.
    behind.extend((fault != Fault::Last).then(|| "--seccomp-bpf".to_owned()));
    let path = path.to_string_lossy().into_owned();
    // The start is traced too, so that the first line is one of the first thread.
    let (traced, inject) = (format!("trace=execve,{call}"), format!("inject={call}:{fault}:when={nth}"));
    behind.extend(["-o".to_owned(), path, "-e".to_owned(), traced, "-e".to_owned(), inject]);
    behind
}

/// What came of a fault.
#[derive(Debug, PartialEq, Eq)]
enum Came {
    AsMeant,
    /// The write was of so many bytes, and not of those that it claimed.
    Of(usize),
    /// No fault, several of them, or one at another file.
    Not,
}

fn came_about(path: &Path, work: &Path, file: &str, fault: Fault) -> Came {
    let folder = format!("{}/", work.canonicalize().unwrap().display());
    let Some(call) = trace::disturbed(path) else { return Came::Not };
    if file_of(&call, &folder) != file {
        return Came::Not;
    }
    match (fault, call.last()) {
        (Fault::Lie(claimed), Some(asked)) if asked != claimed => Came::Of(asked),
        _ => Came::AsMeant,
    }
}

/// What can go wrong at the calls of a case that touch its folder.
fn points(index: usize, case: &Case) -> Vec<Point> {
    let (work, side) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let path = side.path().join("trace").to_string_lossy().into_owned();
    case.run(work.path(), &["strace", "-f", "-y", "-qq", "-s", "200", "-o", &path, "-e", &format!("trace={DISK}")]);
    let folder = format!("{}/", work.path().canonicalize().unwrap().display());
    let calls = trace::read(path.as_ref());
    let mut points = Vec::new();
    let mut seen = std::collections::HashMap::<&str, usize>::new();
    // Before the first look at the folder it is the loader that works.
    let begin = calls.iter().position(|call| call.args.contains(&folder)).unwrap_or(calls.len());
    for (n, call) in calls.iter().enumerate() {
        let nth = seen.entry(&call.name).or_default();
        *nth += 1;
        // Relative names, and what the program says, stand for themselves.
        let ours = call.args.contains(&folder) || call.args.contains("AT_FDCWD") || call.args.starts_with("1<");
        if n >= begin && ours {
            let file = file_of(call, &folder);
            let point = |fault| Point { case: index, call: call.name.clone(), nth: *nth, fault, file: file.clone() };
            points.extend(faults(call).into_iter().map(point));
        }
    }
    points
}

/// The name of the file that a call is about, by its number or by its name.
fn file_of(call: &Call, folder: &str) -> String {
    let numbered = call.args.split_once('<').and_then(|(_, rest)| rest.split_once('>')).map(|(name, _)| name);
    let named = call.strings().into_iter().next().map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    let name = if call.args.starts_with("AT_FDCWD") { named } else { numbered.map(str::to_owned) };
    let name = name.unwrap_or_default();
    match name.strip_prefix(folder) {
        Some(inside) => without_new_times(inside),
        None if name == folder.trim_end_matches('/') => ".".to_owned(),
        None if matches!(call.file(), Some(1 | 2)) => "what is said".to_owned(),
        None => without_new_times(&name),
    }
}

fn faults(call: &Call) -> Vec<Fault> {
    let errors: &[&'static str] = match call.name.as_str() {
        "write" | "pwrite64" => &["ENOSPC", "EIO", "EINTR"],
        "fsync" | "fdatasync" => &["EIO", "ENOSPC", "EINTR"],
        "openat" => &["EACCES", "EMFILE", "EIO"],
        "flock" => &["ENOLCK", "EINTR"],
        "mkdir" | "mkdirat" => &["ENOSPC", "EACCES"],
        "rename" | "renameat" | "renameat2" | "link" | "linkat" => &["EIO", "ENOSPC", "EXDEV"],
        "close" | "lseek" => &[],
        _ => &["EIO"],
    };
    let mut faults: Vec<Fault> = errors.iter().copied().map(Fault::Error).collect();
    if call.name.contains("write") && call.result > 0 && !call.args.starts_with("1<") {
        faults.extend(call.last().map(Fault::Lie));
    }
    if !matches!(call.name.as_str(), "read" | "pread64" | "statx" | "newfstatat" | "getdents64" | "close") {
        faults.push(Fault::Last);
    }
    faults
}

#[test]
fn a_fault_counts_only_where_the_trace_shows_it() {
    if trace::cannot().is_some() {
        return;
    }
    let came = |nth, fault| {
        let (work, side) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let path = side.path().join("trace");
        let behind = behind("write", nth, fault, &path);
        let work_done = "echo hello > a; echo again > b";
        let mut command = std::process::Command::new(&behind[0]);
        command.args(&behind[1..]).args(["sh", "-c", work_done]).current_dir(work.path());
        let _ = command.output().unwrap();
        let written = ["a", "b"].map(|name| std::fs::read_to_string(work.path().join(name)).unwrap_or_default());
        (came_about(&path, work.path(), "a", fault), written.concat())
    };
    assert_eq!(came(1, Fault::Error("EIO")), (Came::AsMeant, "again\n".to_owned()));
    assert_eq!(came(1, Fault::Lie(6)), (Came::AsMeant, "again\n".to_owned()));
    assert_eq!(came(1, Fault::Last), (Came::AsMeant, String::new()), "the program ends before the call");
    assert_eq!(came(1, Fault::Lie(5)).0, Came::Of(6), "a lie about another length");
    assert_eq!(came(2, Fault::Error("EIO")), (Came::Not, "hello\n".to_owned()), "another file than the one meant");
    assert_eq!(came(3, Fault::Error("EIO")), (Came::Not, "hello\nagain\n".to_owned()), "a call that never comes");
    assert_eq!(came(3, Fault::Last), (Came::Not, "hello\nagain\n".to_owned()));
}
