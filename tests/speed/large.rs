//! How a large workshop feels: the real program in a pseudo-terminal over thousands of loops, next to an empty folder and
//! to a data-frame library over the same readings. Figures are printed, nothing is judged.
//!
//! `cargo bench --bench large`; `SCALE_LOOPS` (500), `SCALE_ROUNDS` (10), `SCALE_DIR` to keep the workshop between runs.

#[path = "../common/invented/mod.rs"]
mod invented;
#[path = "../common/scratch.rs"]
mod scratch;

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::Command;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use evenbite::record::Rack;
use invented::large::{fill, number};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

const SIZE: (u16, u16) = (24, 80);

fn parser() -> vt100::Parser {
    let of = |count| std::num::NonZero::new(count).expect("a window");
    vt100::Parser::new(of(SIZE.0), of(SIZE.1), 0)
}

/// The program in a pseudo-terminal, and what its screen shows.
struct Face {
    screen: vt100::Parser,
    bytes: Receiver<(Instant, Vec<u8>)>,
    keys: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    begun: Instant,
    _master: Box<dyn MasterPty + Send>,
}

impl Face {
    fn start(data: &Path) -> Self {
        let size = PtySize { rows: SIZE.0, cols: SIZE.1, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenbite"));
        command.args(["--data", &data.display().to_string()]);
        command.env("TERM", "xterm-256color");
        command.env("LANG", "C.UTF-8");
        let mut reader = pair.master.try_clone_reader().expect("a reader");
        let keys = pair.master.take_writer().expect("a writer");
        let (to, bytes) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0; 8192];
            while let Ok(count @ 1..) = reader.read(&mut buffer) {
                if to.send((Instant::now(), buffer[..count].to_vec())).is_err() {
                    return;
                }
            }
        });
        let begun = Instant::now();
        let child = pair.slave.spawn_command(command).expect("the program");
        Self { screen: parser(), bytes, keys, child, begun, _master: pair.master }
    }

    /// When the screen first showed the words.
    fn shows(&mut self, words: &str) -> Instant {
        let end = Instant::now() + Duration::from_secs(30);
        if self.screen.screen().contents().contains(words) {
            return Instant::now();
        }
        loop {
            let left = end.saturating_duration_since(Instant::now());
            let Ok((at, bytes)) = self.bytes.recv_timeout(left) else {
                panic!("{words:?} was not shown within half a minute\n{}", self.screen.screen().contents());
            };
            self.screen.process(&bytes);
            if self.screen.screen().contents().contains(words) {
                return at;
            }
        }
    }

    /// Presses keys and says how long it took until the words showed.
    fn press(&mut self, keys: &str, words: &str) -> Duration {
        let start = Instant::now();
        self.keys.write_all(keys.as_bytes()).expect("keys");
        self.shows(words).duration_since(start)
    }

    /// Presses keys and gives the program time to answer.
    fn send(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).expect("keys");
        std::thread::sleep(Duration::from_millis(60));
        while let Ok((_, bytes)) = self.bytes.try_recv() {
            self.screen.process(&bytes);
        }
    }

    /// Leaves a screen. What follows an Escape at once would be one key with Alt, so all is quiet before and after.
    fn escape(&mut self, words: &str) {
        self.send("");
        self.send("\x1b");
        self.shows(words);
    }

    /// Highest resident memory so far, MB, where the system tells.
    fn memory(&self) -> Option<f64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.process_id()?)).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        Some(line.split_whitespace().next()?.parse::<f64>().ok()? / 1024.0)
    }
}

impl Drop for Face {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

/// Process start to the frame that shows the words, the median of some starts.
fn first_frame(data: &Path, words: &str) -> Duration {
    let once = |_| {
        let mut face = Face::start(data);
        face.shows(words).duration_since(face.begun)
    };
    median((0..21).map(once).collect())
}

fn started(root: &Path, empty: &Path, loops: u32) {
    let nothing = first_frame(empty, "No loop is in care yet");
    println!("start to first frame, empty folder          {:>9.1} ms", ms(nothing));
    let shown = first_frame(root, "Loop loop-00000");
    let times = shown.as_secs_f64() / nothing.as_secs_f64();
    println!(
        "start to first frame, {loops:>5} loops           {:>9.1} ms   x {times:.2} of the empty folder",
        ms(shown)
    );
    let last = format!("loop-{:05}", loops - 1);
    let whole = |_| {
        let mut face = Face::start(root);
        face.shows("Loop loop-00000");
        face.keys.write_all(format!("/{last}").as_bytes()).expect("keys");
        (face.shows(&format!("> Loop {last}")).duration_since(face.begun), face.memory())
    };
    let whole: Vec<_> = (0..11).map(whole).collect();
    println!("start to the last loop found by search      {:>9.1} ms", ms(median(whole.iter().map(|w| w.0).collect())));
    println!("peak memory with the rack shown             {:>9.1} MB", whole[0].1.unwrap_or(f64::NAN));
}

fn opened(what: &str, root: &Path, tag: &str) {
    let once = |_| {
        let mut face = Face::start(root);
        face.shows("Loop loop-00000");
        face.send(&format!("/{tag}"));
        face.shows(&format!("> Loop {tag}"));
        std::thread::sleep(Duration::from_millis(300));
        let round = face.press("\r", "Who files");
        face.escape("Search:");
        face.send(&"\x7f".repeat(tag.len() + 1));
        face.shows("Enter open");
        let history = face.press("h", "History of");
        face.escape("Enter open");
        ([round, history, face.press("s", "Sheet:")], face.memory())
    };
    let times: Vec<_> = (0..11).map(once).collect();
    let of = |part: usize| ms(median(times.iter().map(|(opens, _)| opens[part]).collect()));
    println!(
        "{what}: round {:.1} ms, history {:.1} ms, last sheet {:.1} ms, peak memory {:.1} MB",
        of(0),
        of(1),
        of(2),
        times[0].1.unwrap_or(f64::NAN)
    );
}

/// What is seen while what was derived is made anew: the program shows and takes keys all the time.
fn derived_anew(root: &Path, loops: u32) {
    let gone = loops.min(200);
    fs::remove_file(root.join("rack.jsonl")).expect("the index");
    for n in 0..gone {
        fs::remove_file(root.join(format!("loops/loop-{n:05}/history.toml"))).expect("a history");
    }
    let mut face = Face::start(root);
    let begun = face.begun;
    let told = face.shows("Reading again what changed").duration_since(begun);
    let key = face.press("\x1bOP", "Keys");
    face.send("\x1b");
    face.shows("by name");
    while face.screen.screen().contents().contains("Reading again") {
        let (_, bytes) = face.bytes.recv().expect("the program goes on");
        face.screen.process(&bytes);
    }
    let whole = begun.elapsed();
    println!("index and {gone} histories missing: told after {:.0} ms, a key meanwhile {:.1} ms", ms(told), ms(key));
    println!(
        "  everything made anew in {:.1} s, peak memory {:.1} MB",
        whole.as_secs_f64(),
        face.memory().unwrap_or(f64::NAN)
    );
}

/// The same summary by a data-frame library, from the table that the program exports.
fn beside_a_data_frame(root: &Path, derived: Duration) {
    let folder = root.parent().unwrap_or(root);
    let table = folder.join("readings.csv");
    if table.exists() {
        return frames(&table, derived);
    }
    let start = Instant::now();
    let done = Command::new(env!("CARGO_BIN_EXE_evenbite"))
        .args(["--format", "csv", "export", "--data"])
        .args([root.as_os_str(), "--output".as_ref(), table.as_os_str()])
        .status();
    if !done.is_ok_and(|status| status.success()) {
        return println!("the table could not be exported: nothing to compare with");
    }
    let size = fs::metadata(&table).map_or(0, |found| found.len() / 1_000_000);
    println!("all readings exported as CSV: {:.1} s, {size} MB", start.elapsed().as_secs_f64());
    frames(&table, derived);
}

fn frames(table: &Path, derived: Duration) {
    let python = std::env::var_os("PYTHON").unwrap_or_else(|| "python3".into());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/speed/frame.py");
    let Ok(out) = Command::new(python).arg(script).arg(table).output() else {
        return println!("python3 is not installed: no data-frame library to compare with");
    };
    let said = String::from_utf8_lossy(&out.stdout);
    print!("{said}");
    let seconds = said.lines().find_map(|line| line.split(" s in all").next()?.rsplit(' ').next()?.parse::<f64>().ok());
    if let Some(seconds) = seconds {
        println!(
            "  the rack with these figures, from what is derived: x {:.3} of that",
            derived.as_secs_f64() / seconds
        );
    }
}

fn main() {
    let dir = tempfile::tempdir().expect("a folder");
    let root = std::env::var_os("SCALE_DIR").map_or_else(|| dir.path().join("data"), Into::into);
    let (loops, rounds) = (number("SCALE_LOOPS", 500), number("SCALE_ROUNDS", 10));
    if !root.exists() {
        let start = Instant::now();
        fill(&root, loops, rounds, 500);
        println!("{} rounds written in {:.1} s", loops * rounds + 510, start.elapsed().as_secs_f64());
    }
    let rack = Rack::open(root.clone()).expect("the workshop");
    let start = Instant::now();
    rack.refresh();
    println!("every loop looked at, from what was derived so far, in {:.2} s", start.elapsed().as_secs_f64());
    std::thread::sleep(Duration::from_secs(3)); // changes this young are not believed
    rack.refresh();
    let looks = (0..11).map(|_| {
        let start = Instant::now();
        rack.refresh();
        start.elapsed()
    });
    let derived = median(looks.collect());
    println!("every loop looked at, all derived           {:>9.1} ms", ms(derived));
    started(&root, &dir.path().join("empty"), loops);
    opened("a loop of few rounds", &root, "loop-00007");
    opened("a loop of 500 rounds", &root, "long");
    derived_anew(&root, loops);
    beside_a_data_frame(&root, derived);
}
