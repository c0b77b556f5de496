//! The program as a person meets it: keys into a real pseudo-terminal, bytes out of it, files left behind.

pub(crate) mod pty;

use std::time::Duration;

use evenbite::record::Rack;
use evenbite::round::{Closing, Round};
use evenbite::units::mm;
use pty::{Term, restored};
use rustix::process::Signal;

const SIZE: (u16, u16) = (80, 24);

fn data() -> (tempfile::TempDir, std::path::PathBuf) {
    let dir = crate::scratch::folder();
    let data = dir.path().join("data");
    (dir, data)
}

/// Takes a loop of 72 drive links into care and begins a round on it, lengths only.
fn begin(term: &mut Term) {
    term.wait_for("No loop is in care yet");
    term.send("n").wait_for("Take a loop into care");
    term.enter("Twelve").enter("").enter("").enter("").enter("72").wait_for("36 cutters: 18 left, 18 right.");
    for _ in 0..11 {
        term.enter("");
    }
    term.wait_for("Taken into care: 1");
    term.send("\u{1b}").wait_for("Enter begins its first round.");
    term.enter("").wait_for("Before you begin");
    term.enter("Ina");
    for _ in 0..6 {
        term.enter("");
    }
    for item in 1..=7 {
        term.wait_for(&format!("Look over {item} of 7"));
        term.enter("1");
    }
    term.wait_for("what does the caliper show?");
    term.enter("0.00");
}

/// Hundredths that never repeat from one cutter to the next.
fn before(cutter: u16) -> f64 {
    f64::from(800 + cutter % 7) / 100.0
}

fn after(cutter: u16) -> f64 {
    f64::from(790 + cutter % 9) / 100.0
}

fn measure(term: &mut Term, cutters: std::ops::RangeInclusive<u16>) {
    for cutter in cutters {
        term.wait_for(&format!("Cutter {cutter}, "));
        term.enter(&format!("{:.2}", before(cutter)).replace('.', ","));
    }
}

fn file_side(term: &mut Term, first: u16) {
    for cutter in (first..=36).step_by(2) {
        term.wait_for(&format!("Cutter {cutter}, "));
        term.enter(&format!("{:.2}", after(cutter)));
    }
}

fn the_round(data: &std::path::Path) -> Round {
    let rack = Rack::open(data.to_path_buf()).unwrap();
    let rounds = rack.rounds("twelve").unwrap();
    assert_eq!(rounds.len(), 1);
    rack.read_round(&rounds[0]).unwrap()
}

#[test]
fn a_whole_round_survives_being_killed_and_is_signed_off() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    begin(&mut term);
    measure(&mut term, 1..=20);
    term.wait_for("Cutter 21, left");
    term.signal(Signal::KILL);
    assert_eq!(term.end(), None);

    let mut term = Term::start(&data, &[], &[], SIZE);
    term.wait_for("goes on with the open round");
    term.enter("").wait_for("Going on where you stopped.");
    measure(&mut term, 21..=36);
    term.wait_for("Choose the length to file to");
    term.enter("7.9").wait_for("and no reading?");
    term.send("*").wait_for("File to 7.90 mm");
    file_side(&mut term, 1);
    term.wait_for("Turn the saw");
    term.enter("");
    file_side(&mut term, 2);
    term.wait_for("which gap today");
    term.enter("2").wait_for("a proposal, for the bite");
    term.send("*");
    for cutter in 1..=36_u16 {
        term.wait_for(&format!("Cutter {cutter}, "));
        term.enter(&format!("{:.2}", 0.90 + f64::from(cutter % 2) / 100.0));
    }
    term.wait_for("does it still show zero?");
    term.enter("0.01").wait_for("against the light");
    term.enter("0").wait_for("Nothing to redo");
    term.enter("").wait_for("Length of a new cutter, mm");
    term.enter("1").wait_for("SIGNED OFF");
    term.enter("").wait_for("Rack");
    term.send("q");
    assert_eq!(term.end(), Some(0));
    assert!(restored(&term.bytes()));

    let round = the_round(&data);
    assert_eq!(round.closed, Some(Closing::Signed));
    for cutter in &round.cutters {
        assert_eq!(cutter.before.readings(), [mm(before(cutter.number.get()))], "cutter {}", cutter.number);
        assert_eq!(cutter.after.readings(), [mm(after(cutter.number.get()))], "cutter {}", cutter.number);
        assert!(cutter.gap().is_some());
    }
}

/// Most bytes that a reading may cost a slow line, screen and acknowledgement together.
const MOST_BYTES: usize = 2000;

#[test]
fn a_reading_costs_a_slow_line_little() {
    // A telephone held upright, and the usual window.
    for size in [(40, 20), (80, 24)] {
        let (_dir, data) = data();
        let mut term = Term::start(&data, &[], &[], size);
        begin(&mut term);
        term.wait_for("Cutter 1, left");
        let mut costs = Vec::new();
        for cutter in 1..=8_u16 {
            std::thread::sleep(Duration::from_millis(60));
            let sent = term.bytes().len();
            term.enter(&format!("{:.2}", before(cutter))).wait_for(&format!("Cutter {}, ", cutter + 1));
            std::thread::sleep(Duration::from_millis(60));
            costs.push(term.bytes().len() - sent);
        }
        // After the file the verdict lights up once, and then nothing is sent until a key comes.
        term.send("e").wait_for("Choose the length to file to");
        term.enter("7.9").wait_for("and no reading?");
        term.send("*").wait_for("File to 7.90 mm");
        let sent = term.bytes().len();
        term.enter("7.90").wait_for("EVEN");
        std::thread::sleep(Duration::from_millis(700));
        let still = term.bytes().len();
        let filed = still - sent;
        std::thread::sleep(Duration::from_millis(300));
        assert_eq!(term.bytes().len(), still, "{size:?}: something still moves");
        println!("{size:?}: bytes a reading {costs:?}, after the file {filed}");
        assert!(costs.iter().all(|cost| (1..MOST_BYTES).contains(cost)), "{size:?}: {costs:?}");
        // In the usual window the next cutter is drawn.
        assert!(filed < if size.0 < 80 { MOST_BYTES } else { 2 * MOST_BYTES }, "{size:?}: {filed}");
        term.send("q");
    }
}

/// A way to make the program end.
type Way = fn(&mut Term);

#[test]
fn every_way_out_gives_the_terminal_back_and_keeps_the_readings() {
    let ways: [(&str, Way); 5] = [
        ("Ctrl-C", |term| {
            term.send("\u{3}");
        }),
        ("TERM", |term| term.signal(Signal::TERM)),
        ("INT", |term| term.signal(Signal::INT)),
        ("HUP", |term| term.signal(Signal::HUP)),
        ("QUIT", |term| term.signal(Signal::QUIT)),
    ];
    for (name, leave) in ways {
        let (_dir, data) = data();
        let mut term = Term::start(&data, &[], &[], SIZE);
        begin(&mut term);
        measure(&mut term, 1..=3);
        term.wait_for("Cutter 4, right");
        leave(&mut term);
        assert_eq!(term.end(), Some(0), "{name}");
        assert!(restored(&term.bytes()), "{name}: the terminal is not given back");
        let round = the_round(&data);
        assert_eq!(round.cutters.iter().filter(|cutter| !cutter.before.is_empty()).count(), 3, "{name}");
        assert!(round.paused, "{name}");
    }
}

#[test]
fn the_shell_and_back() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    begin(&mut term);
    term.wait_for("Cutter 1, left");
    term.send("8,").wait_for("> 8,");
    term.send("\u{1a}");
    let start = std::time::Instant::now();
    while term.state() != Some('T') {
        assert!(start.elapsed() < Duration::from_secs(30), "never stopped");
        std::thread::sleep(Duration::from_millis(10));
    }
    // A stopped program writes no more: what it wrote before may still be on its way here.
    while !restored(&term.bytes()) {
        assert!(start.elapsed() < Duration::from_secs(30), "the terminal is not given back before stopping");
        std::thread::sleep(Duration::from_millis(10));
    }
    term.signal(Signal::CONT);
    // What was typed is still there.
    term.wait_for("> 8,").wait_for("Cutter 1, left");
    term.enter("05").wait_for("Cutter 2, right");
    assert_eq!(the_round(&data).cutters[0].before.readings(), [mm(8.05)]);
}

#[test]
fn a_resized_window_keeps_the_typed_text() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    begin(&mut term);
    term.wait_for("Cutter 1, left");
    term.send("8.0").wait_for("> 8.0");
    for (columns, rows) in [(1, 1), (20, 5), (200, 60), (40, 10), (80, 24)] {
        term.resize(columns, rows);
        std::thread::sleep(Duration::from_millis(60));
    }
    term.wait_for("> 8.0");
    term.enter("5").wait_for("Cutter 1: 8.05 mm");
}

#[test]
fn no_colour_is_no_colour_in_the_bytes() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[("NO_COLOR", "1")], SIZE);
    begin(&mut term);
    term.wait_for("Cutter 1, left");
    let text = String::from_utf8_lossy(&term.bytes()).into_owned();
    for sequence in text.split('\u{1b}').filter_map(|rest| rest.strip_prefix('[')) {
        let Some((codes, _)) = sequence.split_once('m') else { continue };
        if !codes.chars().all(|c| c.is_ascii_digit() || c == ';') {
            continue;
        }
        for code in codes.split(';').filter_map(|code| code.parse::<u16>().ok()) {
            let colour = matches!(code, 30..=38 | 40..=48 | 90..=97 | 100..=107);
            assert!(!colour, "a colour ({code}) under NO_COLOR");
        }
    }
    // The cutter in hand is still told apart.
    assert!(term.text().contains("[·]"), "{}", term.text());
}

#[test]
fn an_idle_program_sends_nothing() {
    let (_dir, data) = data();
    let term = Term::start(&data, &[], &[], SIZE);
    term.wait_for("No loop is in care yet");
    std::thread::sleep(Duration::from_millis(400));
    let before = term.bytes().len();
    std::thread::sleep(Duration::from_millis(1500));
    assert_eq!(term.bytes().len(), before);
}

#[test]
fn filed_steel_goes_once_and_no_key_waits_for_it() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], (100, 30));
    begin(&mut term);
    measure(&mut term, 1..=8);
    term.send("e").wait_for("Choose the length to file to");
    term.enter("7.9").wait_for("and no reading?");
    term.send("*").wait_for("File to 7.90 mm");
    let going = |term: &Term, cutter: u16| term.text().contains(&format!("Cutter {cutter}, left, its tooth"));
    // How many pictures the Enter of a reading draws, until the next cutter stands there and nothing is sent any more.
    let pictures = |term: &mut Term, next: u16| {
        term.send("7.90").wait_for("> 7.90");
        std::thread::sleep(Duration::from_millis(50));
        let before = term.bytes().len();
        term.send("\r").wait_for(&format!("Cutter {next}, left, its tooth"));
        std::thread::sleep(Duration::from_millis(100));
        let bytes = term.bytes();
        std::thread::sleep(Duration::from_millis(300));
        assert_eq!(term.bytes().len(), bytes.len(), "something still moves");
        String::from_utf8_lossy(&bytes[before..]).matches("\u{1b}[?2026h").count()
    };
    let moved = pictures(&mut term, 3);
    assert!((3..12).contains(&moved), "{moved} pictures");
    // A key that comes meanwhile ends it.
    term.enter("7.90").wait("cutter 3", |_| the_round(&data).cutters[2].after.readings() == [mm(7.90)]);
    term.send("7").wait_for("> 7");
    assert!(!going(&term, 3) && going(&term, 5), "{}", term.text());
    term.send("\u{3}");
    assert_eq!(term.end(), Some(0));
    // Off by a setting: the next cutter at once.
    std::fs::write(data.join("settings.toml"), "motion = false\n").unwrap();
    let mut term = Term::start(&data, &[], &[], (100, 30));
    term.wait_for("goes on with the open round");
    term.enter("").wait_for("Cutter 5, left, its tooth");
    assert_eq!(pictures(&mut term, 7), 1);
}

#[test]
fn a_paste_fills_one_reading_and_submits_nothing() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    begin(&mut term);
    term.wait_for("Cutter 1, left");
    term.send("\u{1b}[200~8.1\n8.2\n\u{1b}[201~").wait_for("only the first was taken");
    term.wait_for("> 8.1").wait_for("Cutter 1, left");
    assert!(the_round(&data).cutters[0].before.is_empty());
}

#[test]
fn an_instrument_that_types_its_line_is_read_whole() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    begin(&mut term);
    term.wait_for("Cutter 1, left");
    // The letter in front would be a command if it were typed by hand.
    term.send("N+  8.0500 \r").wait_for("Cutter 2, right");
    assert_eq!(the_round(&data).cutters[0].before.readings(), [mm(8.05)]);
}

#[test]
fn the_mouse_is_left_to_the_terminal_until_it_is_switched_on_and_given_back() {
    let (_dir, data) = data();
    let said = |term: &Term, sequence: &str| String::from_utf8_lossy(&term.bytes()).contains(sequence);
    let mut term = Term::start(&data, &[], &[], SIZE);
    term.wait_for("No loop is in care yet");
    term.send("q");
    assert_eq!(term.end(), Some(0));
    assert!(!said(&term, "\u{1b}[?1000h"));
    std::fs::create_dir_all(&data).unwrap();
    std::fs::write(data.join("settings.toml"), "mouse = true\n").unwrap();
    let mut term = Term::start(&data, &[], &[], SIZE);
    // A press on the second name of the footer, as terminals report it: the form for a new loop.
    term.wait_for("No loop is in care yet");
    let foot = term.text().lines().last().unwrap().to_owned();
    let column = foot.find("new").unwrap() + 1;
    term.send(&format!("\u{1b}[<0;{column};{}M", SIZE.1)).wait_for("Take a loop into care");
    term.send("\u{3}");
    assert_eq!(term.end(), Some(0));
    assert!(said(&term, "\u{1b}[?1000h") && said(&term, "\u{1b}[?1000l"));
    assert!(restored(&term.bytes()));
}

#[test]
fn files_that_are_not_understood_are_told_together() {
    let (_dir, data) = data();
    std::fs::create_dir_all(&data).unwrap();
    std::fs::write(data.join("settings.toml"), "mouse = true\nshade = 1\n").unwrap();
    std::fs::write(data.join("keys.toml"), "[round]\nshade = 1\n").unwrap();
    let mut term = Term::start(&data, &[], &[], SIZE);
    term.wait_for("settings.toml:2:").wait_for("keys.toml:2:");
    term.send("\u{3}");
    assert_eq!(term.end(), Some(0));
}

/// Replies of a terminal as they stand on its wire: its colours, its name, its cursor's place, its attributes, its focus.
const REPLIES: [&str; 7] = [
    "\u{1b}]11;rgb:1e1e/1e1e/2e2e\u{1b}\\",
    "\u{1b}]10;rgb:ffff/ffff/ffff\u{7}",
    "\u{1b}P>|terminal 1.2\u{1b}\\",
    "\u{1b}[12;40R",
    "\u{1b}[?62;4;22c",
    "\u{1b}[>41;354;0c",
    "\u{1b}[I",
];

#[test]
fn what_a_terminal_says_unasked_or_late_fills_no_field_and_presses_no_key() {
    let (_dir, data) = data();
    let mut term = Term::start(&data, &[], &[], SIZE);
    // Before anything is drawn, then whole on the rack and in a form with a text in it.
    term.send(REPLIES[0]).wait_for("No loop is in care yet");
    for reply in REPLIES {
        term.send(reply);
    }
    term.send("n").wait_for("Take a loop into care");
    term.send("Tw").wait_for("Tw");
    for reply in REPLIES {
        term.send(reply);
        // In two pieces, the second late.
        let (head, tail) = reply.split_at(2.max(reply.len() / 2));
        term.send(head);
        std::thread::sleep(Duration::from_millis(130));
        term.send(tail);
    }
    let (head, tail) = REPLIES[0].split_at(9);
    term.send(head);
    std::thread::sleep(Duration::from_secs(5));
    term.send(tail);
    term.enter("elve").wait_for("Twelve");
    let text = term.text();
    assert!(text.contains("Take a loop into care") && text.contains("Twelve"), "{text}");
    assert!(!text.contains("rgb") && !text.contains("22c") && !text.contains("[I"), "{text}");
    // A lone Esc is a key at once, for a person: the form goes.
    let start = std::time::Instant::now();
    term.send("\u{1b}").wait_for("No loop is in care yet");
    assert!(start.elapsed() < Duration::from_secs(2), "Esc came after {:?}", start.elapsed());
}
