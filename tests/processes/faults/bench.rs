//! A bench of one loop, worked through the plain face: what is typed next, and the program that takes it.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::LazyLock;
use std::thread;
use std::time::{Duration, Instant};

use evenbite::record::Rack;
use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;
use regex_lite::Regex;

/// Cutters of a loop of 72 drive links.
pub(super) const CUTTERS: u16 = 36;
/// Longest wait for the program to end by itself; the machine may be busy.
const PATIENCE: Duration = Duration::from_secs(60);

/// The binary at work.
pub(super) fn program() -> PathBuf {
    let named = std::env::var_os("FAULTS_PROGRAM").map(PathBuf::from);
    let path = named.unwrap_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_evenbite")));
    path.canonicalize().unwrap_or(path)
}

/// A reading typed at a cutter, hundredths of a millimetre.
pub(super) type Typed = (u16, i32);

/// Lines that go on with a loop from wherever its record stands, and the readings among them.
pub(super) struct Script {
    pub lines: String,
    pub readings: Vec<Typed>,
}

impl Script {
    /// At most `most` readings at the next cutters of the loop; its folder may hold nothing yet.
    pub(super) fn next(data: &Path, tag: &str, most: u16, random: &mut TestRunner) -> Self {
        let mut lines = String::new();
        let rack = Rack::open(data.to_owned()).unwrap();
        let text = rack.rounds(tag).ok().and_then(|rounds| fs::read_to_string(rounds.last()?).ok()).unwrap_or_default();
        if rack.card(tag).is_ok() {
            lines.push_str(&format!("{tag}\n"));
        } else {
            lines.push_str(&format!("new\n{tag}\nthree-eighths\n72\nfull\nleft\n\n\n\n\n"));
        }
        if !text.contains("[round]") {
            lines.push_str("Ina\nany\nfile\nmm\nlength\nleft\n");
        }
        let has = |kind: &str| text.matches(&format!("kind = \"{kind}\"")).count();
        for _ in has("looked")..7 {
            lines.push_str("1\n");
        }
        if has("zero") == 0 {
            lines.push_str("0.00\n");
        }
        let from = u16::try_from(has("length")).unwrap() + 1;
        let readings: Vec<Typed> = (from..=CUTTERS)
            .take(most.into())
            .map(|cutter| (cutter, 800 + i32::from(random.rng().random_range(0..10_u8))))
            .collect();
        for (_, hundredths) in &readings {
            lines.push_str(&format!("{}\n", shown(*hundredths)));
        }
        Self { lines, readings }
    }
}

/// Hundredths as they are typed and told.
pub(super) fn shown(hundredths: i32) -> String {
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

/// The readings that a dialogue or a screen acknowledges.
pub(super) fn acknowledged(said: &str) -> Vec<Typed> {
    static TOLD: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"Cutter (\d+): (\d)\.(\d\d) mm").unwrap());
    TOLD.captures_iter(said)
        .map(|told| {
            let number = |n: usize| told[n].parse::<i32>().unwrap();
            (told[1].parse().unwrap(), number(2) * 100 + number(3))
        })
        .collect()
}

/// The program at work; what it says goes to a file, so that it is there however it ends.
pub(super) struct Session {
    child: Child,
    /// Held open, so that no end of input comes.
    input: Option<ChildStdin>,
    said: PathBuf,
}

impl Session {
    /// Starts the command, hands it the lines and waits for nothing. `said` is the file for what it says.
    pub(super) fn start(command: &mut Command, lines: &str, said: &Path) -> Self {
        let out = File::create(said).unwrap();
        command.stdin(Stdio::piped()).stdout(out.try_clone().unwrap()).stderr(out);
        let mut child = command.spawn().unwrap();
        let mut input = child.stdin.take();
        // A program that ended early does not take its lines; that is told by what it did.
        let _ = input.as_mut().unwrap().write_all(lines.as_bytes());
        Self { child, input, said: said.to_owned() }
    }

    /// Ends the program at once.
    pub(super) fn kill(mut self) -> String {
        let _ = self.child.kill();
        self.child.wait().unwrap();
        read(&self.said)
    }

    /// Waits for the program's own end, no more lines coming. `None` where it hung and was killed.
    pub(super) fn end(mut self) -> (Option<ExitStatus>, String) {
        drop(self.input.take());
        let start = Instant::now();
        let status = loop {
            match self.child.try_wait().unwrap() {
                Some(status) => break Some(status),
                None if start.elapsed() > PATIENCE => {
                    let _ = self.child.kill();
                    let _ = self.child.wait();
                    break None;
                }
                None => thread::sleep(Duration::from_millis(1)),
            }
        };
        (status, read(&self.said))
    }
}

fn read(path: &Path) -> String {
    String::from_utf8_lossy(&fs::read(path).unwrap()).into_owned()
}

/// The plain face over a data folder.
pub(super) fn plain(data: &Path) -> Command {
    let mut command = Command::new(program());
    command.arg("--data").arg(data).arg("--plain");
    command
}

/// How long a whole round takes here when nothing disturbs it: what comes later finds nothing to disturb. It is worked in a folder
/// beside that of the data, which a power cut may bring back.
pub(super) fn whole_round(data: &Path, said: &Path, random: &mut TestRunner) -> Duration {
    let data = &data.with_extension("whole");
    let script = Script::next(data, "bench", CUTTERS, random);
    let start = Instant::now();
    let (status, heard) = Session::start(&mut plain(data), &script.lines, said).end();
    let took = start.elapsed();
    assert!(status.is_some_and(|status| status.success()), "{heard}");
    fs::remove_dir_all(data).unwrap();
    took
}

/// Whether the plain face starts over the folder and lists its loops.
pub(super) fn starts(data: &Path, said: &Path) -> Result<String, String> {
    let (status, said) = Session::start(&mut plain(data), "", said).end();
    match status {
        Some(status) if status.success() && said.contains("Loop, by its tag") => Ok(said),
        status => Err(format!("the program does not start ({status:?}): {said}")),
    }
}

/// Copies a folder with all that is in it.
pub(super) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let place = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &place);
        } else {
            fs::copy(entry.path(), place).unwrap();
        }
    }
}
