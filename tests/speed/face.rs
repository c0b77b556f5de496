//! How fast the face is: figures, printed next to a floor measured in the same run. Nothing is judged.
//!
//! `cargo bench --bench face`

#[path = "../common/invented/mod.rs"]
mod invented;
#[path = "../common/scratch.rs"]
mod scratch;

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use chrono::DateTime;
use crossterm::event::{KeyCode, KeyEvent};
use evenbite::advice::{Context, Findings, Skill};
use evenbite::chain::nth;
use evenbite::record::Rack;
use evenbite::round::{Entry, Event, Past, Prices, Round, When};
use evenbite::tui::app::App;
use evenbite::tui::desk::Desk;
use evenbite::tui::look::Shared;
use evenbite::tui::rehearse::Rehearsal;
use evenbite::tui::settings::Settings;
use evenbite::units::mm;
use portable_pty::{CommandBuilder, PtySize, native_pty_system};

fn report(name: &str, mut times: Vec<Duration>) {
    times.sort();
    let at = |share: usize| times[(times.len() - 1) * share / 1000].as_secs_f64() * 1e6;
    println!("{name:<46} n {:>5}  median {:>8.0} us  p99 {:>8.0} us", times.len(), at(500), at(990));
}

/// A loop of 36 cutters in care, its round begun and looked over, the caliper closed.
fn intake() -> String {
    let enters = |times: usize| "enter\n".repeat(times);
    let (card, round) = (enters(11), enters(6));
    let looked = "enter 1\n".repeat(7);
    format!("key n\nenter Twelve\n{}enter 72\n{card}key Esc\nkey Enter\nenter Ina\n{round}{looked}enter 0\n", enters(3))
}

fn rehearsal(dir: &std::path::Path, size: (u16, u16)) -> Rehearsal {
    let rack = Rack::open(dir.join("data")).expect("a fresh folder");
    let settings = Settings::default();
    let start = DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").expect("a time");
    let shared = Shared::new(settings.theme, settings.units, start);
    Rehearsal::new(App::new(shared), Desk::new(rack, settings), size, start)
}

/// Update and draw at 200 x 60 in memory: digits into the field, and whole readings with their write and sync.
fn in_memory() {
    let dir = tempfile::tempdir().expect("a folder");
    let mut play = rehearsal(dir.path(), (200, 60));
    play.play(&intake()).expect("the intake");
    assert!(play.screen().contains("length before"), "the intake leads elsewhere\n{}", play.screen());
    let mut keys = Vec::new();
    let mut readings = Vec::new();
    for n in 0..36 {
        for _ in 0..20 {
            for code in [KeyCode::Char('8'), KeyCode::Backspace] {
                let start = Instant::now();
                play.press(KeyEvent::from(code));
                keys.push(start.elapsed());
            }
        }
        play.types(&format!("8.0{}", n % 7));
        let start = Instant::now();
        play.press(KeyEvent::from(KeyCode::Enter));
        readings.push(start.elapsed());
    }
    report("a key, update and draw, 200x60", keys);
    report("a reading, written, synced, judged and drawn", readings);
}

/// A round of 72 cutters, none of it done yet.
fn seventy_two() -> Round {
    let header = invented::header(&invented::card("speed", 144), invented::at(0), "Ina");
    Round::begin(header).expect("links fit")
}

/// What a round of 72 cutters means: measured as it came, filed by half, and with every raker read.
fn meaning() {
    let mut round = seventy_two();
    let put = |round: &mut Round, event: Event| {
        let seq = u32::try_from(round.entries.len()).expect("few") + 1;
        round.apply(Entry { seq, at: round.header.started, by: None, typed: None, event });
    };
    let cast = |number: u16| f64::from(number * 37 % 23) / 100.0;
    for number in 1..=72 {
        let length =
            Event::Length { cutter: nth(number), when: When::Before, mm: mm(8.5 + cast(number)), again: false };
        put(&mut round, length);
    }
    timed("what a round means, 72 measured", &round);
    put(&mut round, Event::Target { mm: mm(8.4), left_short: Vec::new(), recommended: true });
    for number in 1..=36 {
        let after = 8.42 + cast(number) / 10.0;
        put(&mut round, Event::Length { cutter: nth(number), when: When::After, mm: mm(after), again: false });
    }
    timed("what a round means, 72, half of them filed", &round);
    for number in 1..=72 {
        if number > 36 {
            put(&mut round, Event::Length { cutter: nth(number), when: When::After, mm: mm(8.43), again: false });
        }
        put(
            &mut round,
            Event::Gap { cutter: nth(number), when: When::Before, mm: mm(0.6 + cast(number)), again: false },
        );
    }
    timed("what a round means, 72 with their rakers", &round);
}

fn timed(name: &str, round: &Round) {
    let (past, skill, prices) = (Past::default(), Skill::default(), Prices::default());
    let times = (0..1000).map(|_| {
        let start = Instant::now();
        std::hint::black_box(Findings::of(&Context {
            round,
            past: &past,
            skill: &skill,
            prices: &prices,
            tension: None,
        }));
        start.elapsed()
    });
    report(name, times.collect());
}

/// Time from a byte into a pseudo-terminal to the first byte back.
fn through_a_terminal(name: &str, command: CommandBuilder, warm: &[&str], keys: &[&str], rounds: usize) {
    let pair = native_pty_system()
        .openpty(PtySize { rows: 60, cols: 200, pixel_width: 0, pixel_height: 0 })
        .expect("a pseudo-terminal");
    let mut child = pair.slave.spawn_command(command).expect("the program");
    let mut reader = pair.master.try_clone_reader().expect("a reader");
    let mut writer = pair.master.take_writer().expect("a writer");
    let (to, from) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let mut buffer = [0; 8192];
        while let Ok(1..) = reader.read(&mut buffer) {
            if to.send(Instant::now()).is_err() {
                return;
            }
        }
    });
    std::thread::sleep(Duration::from_millis(700));
    for text in warm {
        writer.write_all(text.as_bytes()).expect("the terminal takes keys");
        std::thread::sleep(Duration::from_millis(60));
    }
    let mut times = Vec::new();
    for n in 0..rounds {
        std::thread::sleep(Duration::from_millis(8));
        while from.try_recv().is_ok() {}
        let start = Instant::now();
        writer.write_all(keys[n % keys.len()].as_bytes()).expect("the terminal takes keys");
        if let Ok(at) = from.recv_timeout(Duration::from_secs(2)) {
            times.push(at.duration_since(start));
        }
    }
    let _ = child.kill();
    let _ = child.wait();
    report(name, times);
}

/// A plain program that sends every byte back: the floor of any terminal program here.
fn echo() {
    crossterm::terminal::enable_raw_mode().expect("raw mode");
    let (mut stdin, mut stdout) = (std::io::stdin().lock(), std::io::stdout().lock());
    let mut byte = [0];
    while let Ok(1..) = stdin.read(&mut byte) {
        if stdout.write_all(&byte).and_then(|()| stdout.flush()).is_err() {
            return;
        }
    }
}

fn main() {
    if std::env::args().any(|arg| arg == "--echo") {
        return echo();
    }
    meaning();
    if std::env::args().any(|arg| arg == "--meaning") {
        return;
    }
    in_memory();
    let mut floor = CommandBuilder::new(std::env::current_exe().expect("this program"));
    floor.arg("--echo");
    through_a_terminal("floor: key to byte, a plain echo program", floor, &[], &["8"], 600);
    let dir = tempfile::tempdir().expect("a folder");
    rehearsal(dir.path(), (200, 60)).play(&intake()).expect("the intake");
    let mut program = CommandBuilder::new(env!("CARGO_BIN_EXE_evenbite"));
    program.args(["--data", &dir.path().join("data").display().to_string()]);
    program.env("TERM", "xterm-256color");
    program.env("LANG", "C.UTF-8");
    through_a_terminal("key to bytes, this program, 200x60", program, &["\r", "\r"], &["8", "\u{7f}"], 600);
}
