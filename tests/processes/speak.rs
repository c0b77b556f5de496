//! The speaking program. In a test program of its own: a process that is being started holds, for a moment, every file and lock that
//! other tests of the same program have open.

use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

use evenbite::devices::Speaker;

fn wait_for(what: &str, found: impl Fn() -> bool) {
    let start = Instant::now();
    while !found() {
        assert!(start.elapsed().as_secs() < 30, "{what}");
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_hanging_program_never_blocks_and_is_replaced_and_told() {
    let dir = crate::scratch::folder();
    let (hangs, log) = (dir.path().join("hangs"), dir.path().join("log"));
    // The first time it hangs, then it writes what it hears.
    let script = dir.path().join("speak");
    let (flag, out) = (hangs.display(), log.display());
    std::fs::write(&script, format!("if mkdir {flag}; then sleep 1000; else cat >> {out}; fi\n")).unwrap();
    let (told, from) = channel();
    let speaker = Speaker::start(&format!("sh {}", script.display()), move |text| told.send(text).unwrap()).unwrap();
    speaker.say("first");
    wait_for("never started", || hangs.exists());
    let start = Instant::now();
    for n in 0..1000 {
        speaker.say(&format!("line {n}"));
    }
    assert!(start.elapsed().as_millis() < 500);
    let told = from.recv_timeout(Duration::from_secs(30)).unwrap();
    assert!(told.contains("did not end within 10 s"), "{told}");
    wait_for("not replaced", || log.exists() && std::fs::read_to_string(&log).unwrap() == "line 998 line 999\n");
}

/// True while a process runs with this in its call.
#[cfg(unix)]
pub(crate) fn runs(mark: &str) -> bool {
    std::fs::read_dir("/proc").unwrap().flatten().any(|process| {
        let call = std::fs::read(process.path().join("cmdline")).unwrap_or_default();
        let stat = std::fs::read_to_string(process.path().join("stat")).unwrap_or_default();
        String::from_utf8_lossy(&call).contains(mark) && !stat.contains(") Z ")
    })
}

#[cfg(target_os = "linux")]
#[test]
fn it_does_not_outlive_the_one_who_speaks() {
    let dir = crate::scratch::folder();
    let script = dir.path().join("speak");
    std::fs::write(&script, "sh -c 'sleep 1000; : \"$0\"' $0 & wait\n").unwrap();
    let mark = script.display().to_string();
    let speaker = Speaker::start(&format!("sh {mark}"), |_| {}).unwrap();
    speaker.say("a line");
    wait_for("never started", || runs(&mark));
    drop(speaker);
    assert!(!runs(&mark));
}

#[test]
fn a_program_that_cannot_be_started_is_told() {
    let (told, from) = channel();
    let speaker = Speaker::start("/nowhere/speaks", move |text| told.send(text).unwrap()).unwrap();
    speaker.say("a line");
    let told = from.recv_timeout(Duration::from_secs(30)).unwrap();
    assert!(told.starts_with("Nothing is spoken: /nowhere/speaks cannot be started"), "{told}");
}

#[test]
#[cfg(unix)]
fn a_program_that_fails_is_told_once() {
    let (told, from) = channel();
    let speaker = Speaker::start("false", move |text| told.send(text).unwrap()).unwrap();
    for line in ["a line", "another"] {
        speaker.say(line);
        std::thread::sleep(Duration::from_millis(60));
    }
    let first = from.recv_timeout(Duration::from_secs(30)).unwrap();
    assert_eq!(first, "false ended with an error (exit status: 1): perhaps nothing is spoken.");
    drop(speaker);
    assert!(from.recv().is_err(), "told twice");
}

#[test]
fn nothing_typed_becomes_a_command() {
    let dir = crate::scratch::folder();
    let (out, trap) = (dir.path().join("out"), dir.path().join("trap"));
    let speaker = Speaker::start(&format!("tee {}", out.display()), |_| {}).unwrap();
    speaker.say(&format!("; touch {} $(touch {})\n`x`", trap.display(), trap.display()));
    wait_for("never said", || std::fs::metadata(&out).map_or(0, |found| found.len()) > 0);
    assert!(!trap.exists());
    assert_eq!(std::fs::read_to_string(&out).unwrap().lines().count(), 1);
}
