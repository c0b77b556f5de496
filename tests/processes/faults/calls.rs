//! Every system call that touches the data made to fail, to lie, or to be the last.

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;

use super::bench::starts;
use super::cases::Case;
use super::tally::Tally;
use super::trace::{self, Call, DISK};

/// One fault at one call of one case.
struct Point {
    case: usize,
    call: String,
    /// Which one of that name, from 1.
    nth: usize,
    fault: String,
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
    let Point { call, nth, fault, file, .. } = point;
    let when = format!("{}, {call} {nth} ({file}) {fault}", case.name);
    let work = tempfile::tempdir().unwrap();
    let (side, inject) = (tempfile::tempdir().unwrap(), format!("inject={call}:{fault}:when={nth}"));
    let only = format!("trace={call}");
    let done =
        case.run(work.path(), &["strace", "-f", "--seccomp-bpf", "-qq", "-o", "/dev/null", "-e", &only, "-e", &inject]);
    tally.calls += 1;
    case.judge(work.path(), &done, &when, tally);
    case.judge_silence(&done, &when, tally);
    if let Err(why) = starts(&work.path().join("data"), &side.path().join("said")) {
        tally.silent(1, || format!("{when}: {why}"));
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
    name.unwrap_or_default().replace(folder, "")
}

fn faults(call: &Call) -> Vec<String> {
    let errors: &[&str] = match call.name.as_str() {
        "write" | "pwrite64" => &["ENOSPC", "EIO", "EINTR"],
        "fsync" | "fdatasync" => &["EIO", "ENOSPC", "EINTR"],
        "openat" => &["EACCES", "EMFILE", "EIO"],
        "flock" => &["ENOLCK", "EINTR"],
        "mkdir" | "mkdirat" => &["ENOSPC", "EACCES"],
        "rename" | "renameat" | "renameat2" | "link" | "linkat" => &["EIO", "ENOSPC", "EXDEV"],
        "close" | "lseek" => &[],
        _ => &["EIO"],
    };
    let mut faults: Vec<String> = errors.iter().map(|error| format!("error={error}")).collect();
    if call.name.contains("write") && call.result > 0 && !call.args.starts_with("1<") {
        // Claims to have written all and has written nothing.
        faults.push(format!("retval={}", call.result));
    }
    if !matches!(call.name.as_str(), "read" | "pread64" | "statx" | "newfstatat" | "getdents64" | "close") {
        faults.push("signal=KILL".to_owned());
    }
    faults
}
