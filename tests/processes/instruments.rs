//! Instruments and scripts: every line that is sent is taken, held or refused, and said; what is cut off is no reading.

use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use evenbite::record::Rack;
use evenbite::round::Ask;
use evenbite::units::{Millimetres, mm};
use rustix::process::Signal;

use crate::invented::{at, card, header, rack, work};
use crate::terminal::pty::{LAST_WORDS, Term, restored};

pub(crate) const SIZE: (u16, u16) = (100, 30);

/// A loop of so many drive links with an open round that asks for its first length.
pub(crate) fn bench(links: u16) -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    let kept = card("one", links);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    while !matches!(round.step().ask, Ask::Read(_)) {
        work(&mut file, &mut round, 9.0, 1);
    }
    (dir, rack)
}

/// The lengths on record, cutter by cutter.
pub(crate) fn lengths(rack: &Rack) -> Vec<Vec<Millimetres>> {
    let round = rack.read_round(rack.rounds("one").unwrap().last().unwrap()).unwrap();
    round.cutters.iter().map(|cutter| cutter.before.readings().to_vec()).collect()
}

pub(crate) fn taken(rack: &Rack) -> usize {
    lengths(rack).iter().map(Vec::len).sum()
}

/// The plain face under pipes.
struct Plain {
    child: Child,
    typed: Option<ChildStdin>,
    said: Arc<Mutex<String>>,
}

impl Plain {
    fn start(rack: &Rack, more: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
        command.arg("--data").arg(rack.root()).arg("--plain").args(more);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let (mut out, said) = (child.stdout.take().unwrap(), Arc::new(Mutex::new(String::new())));
        let to = Arc::clone(&said);
        thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(n @ 1..) = out.read(&mut buffer) {
                to.lock().unwrap().push_str(&String::from_utf8_lossy(&buffer[..n]));
            }
        });
        Self { typed: child.stdin.take(), child, said }
    }

    fn types(&mut self, text: &str) -> &mut Self {
        self.typed.as_mut().unwrap().write_all(text.as_bytes()).unwrap();
        self
    }

    fn said(&self) -> String {
        self.said.lock().unwrap().clone()
    }

    fn wait_for(&mut self, wanted: &str) -> &mut Self {
        wait(wanted, || self.said(), |said| said.contains(wanted));
        self
    }

    /// The end of input, and what was said until then.
    fn end(mut self) -> String {
        self.typed = None;
        assert!(self.child.wait().unwrap().success());
        thread::sleep(Duration::from_millis(50));
        self.said()
    }
}

impl Drop for Plain {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub(crate) fn wait<T: std::fmt::Debug>(what: &str, now: impl Fn() -> T, found: impl Fn(&T) -> bool) {
    let start = Instant::now();
    while !found(&now()) {
        assert!(start.elapsed().as_secs() < 60, "waited for {what}: {:?}", now());
        thread::sleep(Duration::from_millis(5));
    }
}

fn pipe(folder: &Path) -> PathBuf {
    let path = folder.join("caliper");
    assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
    path
}

/// Opens a pipe to send into it, once somebody listens.
fn instrument(path: &Path) -> File {
    OpenOptions::new().write(true).open(path).unwrap()
}

fn screen(rack: &Rack, source: &Path) -> Term {
    let mut term = Term::start(rack.root(), &["--source", source.to_str().unwrap()], &[], SIZE);
    term.wait_for("open round");
    term.enter("").wait_for("Cutter 1, left");
    term
}

#[test]
fn a_script_that_is_cut_off_gives_no_reading() {
    let (_dir, rack) = bench(24);
    let mut plain = Plain::start(&rack, &[]);
    plain.types("one\n9.01\n9.0");
    let said = plain.end();
    assert!(said.contains("Cut off: '9.0' arrived without its line end"), "{said}");
    assert_eq!(taken(&rack), 1, "{said}");
}

#[test]
fn a_script_may_end_its_lines_in_any_way_and_is_never_held() {
    for end in ["\n", "\r", "\r\n"] {
        let (_dir, rack) = bench(72);
        let mut plain = Plain::start(&rack, &[]);
        let lines: String = (0..30).map(|n| format!("9.{:02}{end}", n % 7)).collect();
        plain.types(&format!("one{end}{lines}"));
        let said = plain.end();
        assert_eq!(taken(&rack), 30, "{end:?}: {said}");
    }
}

#[test]
fn what_an_instrument_sends_slowly_is_taken_by_both_faces_however_its_lines_end() {
    for end in ["\n", "\r", "\r\n"] {
        let (dir, rack) = bench(24);
        let path = pipe(dir.path());
        let mut plain = Plain::start(&rack, &["--source", path.to_str().unwrap()]);
        plain.types("one\n").wait_for("Cutter 1, left");
        let mut caliper = instrument(&path);
        for n in 1..=3 {
            write!(caliper, "9.0{n}{end}").unwrap();
            wait("reading", || taken(&rack), |taken| *taken == n);
        }
        write!(caliper, "9.0").unwrap();
        drop(caliper);
        plain.wait_for("Cut off: '9.0' arrived without its line end").wait_for("the instrument went away");
        plain.wait_for("[no instrument]> ");
        plain.end();
        assert_eq!(taken(&rack), 3);

        let mut term = screen_at(&rack, &path, "Cutter 4, right");
        let mut caliper = instrument(&path);
        for n in 4..=6 {
            write!(caliper, "9.0{n}{end}").unwrap();
            wait("reading", || taken(&rack), |taken| *taken == n);
        }
        write!(caliper, "9.0").unwrap();
        drop(caliper);
        term.wait_for("Cut off: '9.0' arrived without its line end");
        term.wait_for("the instrument went away");
        term.send("v").wait("the notice to go", |text| !text.contains("Cut off"));
        assert!(term.text().contains("the instrument went away"), "it stays said");
        assert_eq!(lengths(&rack)[5], [mm(9.06)]);
        assert_eq!(taken(&rack), 6);
    }
}

fn screen_at(rack: &Rack, source: &Path, at: &str) -> Term {
    let mut term = Term::start(rack.root(), &["--source", source.to_str().unwrap()], &[], SIZE);
    term.wait_for("open round");
    term.enter("").wait_for(at);
    term
}

#[test]
fn a_burst_is_taken_or_held_and_counted() {
    for end in ["\n", "\r", "\r\n"] {
        let (dir, rack) = bench(72);
        let path = pipe(dir.path());
        let mut term = screen(&rack, &path);
        let lines: String = (0..24).map(|n| format!("9.{:02}{end}", n % 7)).collect();
        let mut caliper = instrument(&path);
        caliper.write_all(lines.as_bytes()).unwrap();
        term.wait_for("14 lines of the instrument held");
        assert_eq!(taken(&rack), 10);
        thread::sleep(Duration::from_secs(2));
        term.enter("").wait("the count to go", |text| !text.contains("held"));
        caliper.write_all(format!("9.10{end}").as_bytes()).unwrap();
        wait("the next reading", || taken(&rack), |taken| *taken == 11);
    }
}

/// How long a key takes to stand on the screen: the middle of nine.
fn key_answered(term: &mut Term) -> Duration {
    let mut typed = "8.".to_owned();
    term.send("8.").wait_for("> 8.");
    let mut took: Vec<Duration> = (1..=9)
        .map(|digit| {
            typed.push_str(&digit.to_string());
            let before = Instant::now();
            term.send(&digit.to_string()).wait_for(&format!("> {typed}"));
            before.elapsed()
        })
        .collect();
    took.sort();
    took[took.len() / 2]
}

/// How long the program takes to end, with nothing amiss.
fn ended(term: &mut Term, end: impl FnOnce(&mut Term)) -> Duration {
    let before = Instant::now();
    end(term);
    assert_eq!(term.end(), Some(0));
    before.elapsed().saturating_sub(LAST_WORDS)
}

/// Memory that a program holds, in kilobytes.
fn resident(term: &Term) -> u64 {
    let memory = std::fs::read_to_string(format!("/proc/{}/status", term.id())).unwrap();
    let resident = memory.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
    resident.trim().trim_end_matches(" kB").parse().unwrap()
}

#[test]
fn a_flood_leaves_keys_and_signals_their_way_and_chooses_nothing() {
    let (dir, rack) = bench(24);
    let path = pipe(dir.path());
    let flood = || Command::new("sh").args(["-c", "exec yes 1 > \"$0\""]).arg(&path).spawn().unwrap();
    // The floor: as busy a machine, the instrument silent.
    let mut busy = Command::new("yes").stdout(Stdio::null()).spawn().unwrap();
    let mut term = screen(&rack, &path);
    let key_alone = key_answered(&mut term);
    let end_alone = ended(&mut term, |term| term.signal(Signal::TERM));
    busy.kill().unwrap();
    busy.wait().unwrap();
    let mut term = screen(&rack, &path);
    let mut source = flood();
    term.wait_for("lines of the instrument held");
    let at_first = resident(&term);
    let key = key_answered(&mut term);
    let later = resident(&term);
    // A tenth of a second, or as much more than alone as a machine that is busy with other things makes of it.
    let allowed = |floor: Duration| (3 * floor).max(Duration::from_millis(100));
    // One end is one turn of the scheduler, whoever else runs: of three the quickest.
    let mut end = ended(&mut term, |term| term.signal(Signal::TERM));
    assert!(restored(&term.bytes()));
    for _ in 0..2 {
        if end >= allowed(end_alone) {
            let mut term = screen(&rack, &path);
            source.kill().unwrap();
            source.wait().unwrap();
            source = flood();
            term.wait_for("lines of the instrument held");
            end = end.min(ended(&mut term, |term| term.signal(Signal::TERM)));
        }
    }
    source.kill().unwrap();
    source.wait().unwrap();
    println!("a key {key_alone:?} alone, {key:?} in a flood; TERM {end_alone:?} alone, {end:?} in a flood; {later} kB");
    assert!(key < allowed(key_alone), "a key: {key_alone:?} alone, {key:?} in a flood");
    assert!(end < allowed(end_alone), "TERM: {end_alone:?} alone, {end:?} in a flood");
    assert!(later < at_first + 4_000 && later < 60_000, "{at_first} kB, then {later} kB");

    // At a choice nothing of it counts.
    let mut plain = Plain::start(&rack, &[]);
    let lines: String = (0..12).map(|n| format!("9.0{}\n", n % 3)).collect();
    plain.types(&format!("one\n{lines}"));
    let said = plain.end();
    assert!(said.contains("Choose the length to file to"), "{said}");
    let mut end = Duration::MAX;
    for _ in 0..3 {
        let mut term = screen_at(&rack, &path, "Choose the length to file to");
        let mut source = flood();
        term.wait_for("no figure is asked for here").wait_for("lines of the instrument held");
        assert!(term.text().contains("Choose the length to file to"));
        instrument(&path).write_all(b"1\n").unwrap();
        end = end.min(ended(&mut term, |term| {
            term.send("\u{3}");
        }));
        source.kill().unwrap();
        source.wait().unwrap();
        if end < allowed(end_alone) {
            break;
        }
    }
    assert!(end < allowed(end_alone), "Ctrl-C: TERM {end_alone:?} alone, {end:?} in a flood");
    let round = rack.read_round(&rack.rounds("one").unwrap()[0]).unwrap();
    assert!(round.target.is_none());
}

#[test]
fn a_source_that_is_none_is_said_and_stays_said() {
    let (dir, rack) = bench(24);
    for (path, says) in [(dir.path().to_owned(), "is a folder"), (dir.path().join("none"), "No such file")] {
        let mut term = screen(&rack, &path);
        term.wait_for(says);
        term.send("v").send("v");
        thread::sleep(Duration::from_millis(300));
        assert!(term.text().contains(says), "{}", term.text());
        term.send("\u{3}");
        assert_eq!(term.end(), Some(0));
        let mut plain = Plain::start(&rack, &["--source", path.to_str().unwrap()]);
        plain.types("one\n").wait_for(says).wait_for("[no instrument]> ");
    }
}

#[test]
fn a_plain_file_is_read_on_and_never_twice() {
    let (dir, rack) = bench(24);
    let path = dir.path().join("readings.txt");
    std::fs::write(&path, "9.00\n").unwrap();
    // At the rack nothing is asked for.
    let mut term = Term::start(rack.root(), &["--source", path.to_str().unwrap()], &[], SIZE);
    term.wait_for("The instrument sent '9.00': not taken");
    term.enter("").wait_for("Cutter 1, left");
    OpenOptions::new().append(true).open(&path).unwrap().write_all(b"9.01\n9.02\n9.0").unwrap();
    term.wait_for("Cut off: '9.0'");
    thread::sleep(Duration::from_millis(2500));
    assert_eq!(taken(&rack), 2);
    OpenOptions::new().append(true).open(&path).unwrap().write_all(b"3\n").unwrap();
    wait("the rest of it", || taken(&rack), |taken| *taken == 3);
    assert_eq!(lengths(&rack)[2], [mm(9.03)]);
}

#[test]
fn the_plain_face_speaks_as_the_screen_does_and_its_speaker_goes_with_it() {
    let (dir, rack) = bench(24);
    let log = dir.path().join("log");
    let mut plain = Plain::start(&rack, &["--speak", &format!("tee -a {}", log.display())]);
    plain.types("one\n9.01\n");
    wait("words", || std::fs::read_to_string(&log).unwrap_or_default(), |said| said.contains("Cutter 2, right"));
    plain.end();
    let said = std::fs::read_to_string(&log).unwrap();
    assert!(said.contains("Cutter 1: 9.01 mm"), "{said}");

    let mark = dir.path().join("hangs");
    std::fs::write(&mark, "sleep 1000\n").unwrap();
    let mark = mark.display().to_string();
    let mut plain = Plain::start(&rack, &["--speak", &format!("sh {mark}")]);
    plain.types("one\n9.02\n");
    wait("the speaker", || crate::speak::runs(&format!("sh\0{mark}")), |runs| *runs);
    let id = rustix::process::Pid::from_child(&plain.child);
    rustix::process::kill_process(id, Signal::TERM).unwrap();
    plain.child.wait().unwrap();
    assert!(!crate::speak::runs(&format!("sh\0{mark}")));
}

#[test]
fn a_terminal_that_makes_two_ends_of_one_leaves_nothing_out() {
    let (_dir, rack) = bench(24);
    let mut term = Term::start(rack.root(), &["--plain"], &[], SIZE);
    term.wait_for("Loop, by its tag");
    term.send("one\r").wait_for("Cutter 1, left");
    for n in 1..=3 {
        // The terminal turns the first of both ends into the second.
        term.send(&format!("9.0{n}\r\n"));
        wait("reading", || taken(&rack), |taken| *taken == n);
    }
    thread::sleep(Duration::from_millis(300));
    term.wait_for("Cutter 4, right");
}
