//! A disk that does not take a reading: the word, the reading kept, how to go on, in both faces.

use std::fs;
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use evenbite::units::mm;

use crate::instruments::{SIZE, bench, lengths, taken, wait};
use crate::terminal::pty::Term;

#[test]
fn a_reading_that_is_not_stored_stays_in_the_field_and_is_asked_about_before_leaving() {
    let (_dir, rack) = bench(24);
    let (folder, away) = (rack.root().join("loops/one"), rack.root().join("loops/away"));
    let mut term = Term::start(rack.root(), &[], &[], SIZE);
    term.wait_for("open round");
    term.enter("").wait_for("Cutter 1, left");
    fs::rename(&folder, &away).unwrap();
    term.enter("9.01").wait_for("NOT STORED. ").wait_for("Enter stores it").wait_for("> 9.01");
    for leave in ["*", "\u{3}"] {
        term.send(leave).wait_for("9.01 is NOT STORED").wait_for("> 9.01");
        term.send("\u{1b}[C").wait("the word to go", |text| !text.contains("9.01 is NOT STORED"));
    }
    fs::rename(&away, &folder).unwrap();
    term.enter("").wait_for("The round goes on in").wait_for("Cutter 2, right");
    assert_eq!(lengths(&rack)[0], [mm(9.01)]);
    fs::rename(&folder, &away).unwrap();
    term.enter("9.02").wait_for("NOT STORED");
    term.send("\u{3}").wait_for("9.02 is NOT STORED");
    term.send("\u{3}");
    assert_eq!(term.end(), Some(0));
}

#[test]
fn the_plain_face_keeps_it_too_and_ends_in_failure_if_it_is_left() {
    let (_dir, rack) = bench(24);
    let (folder, away) = (rack.root().join("loops/one"), rack.root().join("loops/away"));
    let mut term = Term::start(rack.root(), &["--plain"], &[], SIZE);
    term.wait_for("Loop, by its tag");
    term.enter("one").wait_for("Cutter 1, left");
    fs::rename(&folder, &away).unwrap();
    term.enter("9.01").wait_for("NOT STORED. ").wait_for("Enter alone stores it");
    term.enter("pause").wait_for("9.01 is NOT STORED");
    fs::rename(&away, &folder).unwrap();
    term.enter("").wait_for("The round goes on in").wait_for("Cutter 2, right");
    assert_eq!(lengths(&rack)[0], [mm(9.01)]);
    fs::rename(&folder, &away).unwrap();
    term.enter("9.02").wait_for("NOT STORED");
    term.send("\u{4}");
    assert_eq!(term.end(), Some(1));
    assert!(term.text().contains("9.02 is NOT STORED"), "{}", term.text());
}

#[test]
fn a_script_stops_at_what_is_not_stored_and_gives_no_cutter_the_reading_of_the_next() {
    let (_dir, rack) = bench(24);
    let file = rack.rounds("one").unwrap().remove(0);
    let room = fs::metadata(&file).unwrap().len() / 512 + 2;
    let lines: String = (0..24).map(|n| format!("9.{n:02}\n")).collect();
    let script = format!("ulimit -f {room}; printf 'one\\n{lines}' | \"$0\" --data \"$1\" --plain");
    let out =
        Command::new("sh").args(["-c", &script, env!("CARGO_BIN_EXE_evenbite")]).arg(rack.root()).output().unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.code() == Some(1) && said.contains("NOT STORED"), "{said}");
    let found = lengths(&rack);
    for (n, readings) in found.iter().enumerate().take(taken(&rack)) {
        assert_eq!(readings, &[mm(9.0 + n as f64 / 100.0)]);
    }
}

#[test]
fn a_file_that_is_deleted_or_replaced_is_left_for_a_new_one_which_is_named() {
    let spoil: [fn(&std::path::Path); 2] =
        [|path| fs::remove_file(path).unwrap(), |path| fs::rename(path, path.with_extension("bak")).unwrap()];
    for spoil in spoil {
        let (_dir, rack) = bench(24);
        let mut term = Term::start(rack.root(), &[], &[], SIZE);
        term.wait_for("open round");
        term.enter("").wait_for("Cutter 1, left");
        spoil(&rack.rounds("one").unwrap()[0]);
        term.enter("9.01").wait_for("The round goes on in").wait_for("r2.round.toml").wait_for("Cutter 2, right");
        let round = rack.read_round(rack.rounds("one").unwrap().last().unwrap()).unwrap();
        assert_eq!(round.cutters[0].before.readings(), [mm(9.01)]);
    }
}

/// The system call that makes a reading last is made to fail once in the running program, where it can be.
#[cfg(target_os = "linux")]
#[test]
fn the_screen_says_when_the_record_moved_after_a_failed_sync() {
    let (_dir, rack) = bench(24);
    let mut term = Term::start(rack.root(), &[], &[], SIZE);
    term.wait_for("open round");
    term.enter("").wait_for("Cutter 1, left");
    let id = term.id().to_string();
    let inject = ["-f", "-qq", "-o", "/dev/null", "-e", "trace=fdatasync", "-e", "inject=fdatasync:error=EIO:when=1"];
    let tracer = Command::new("strace").args(inject).args(["-p", &id]).stderr(Stdio::null()).spawn();
    let Ok(mut tracer) = tracer else { return println!("skipped: there is no strace") };
    let status = || fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
    for _ in 0..200 {
        if !status().contains("TracerPid:\t0") {
            break;
        }
        thread::sleep(Duration::from_millis(20));
    }
    if status().contains("TracerPid:\t0") {
        return println!("skipped: nothing may be traced here");
    }
    term.enter("9.01").wait_for("The round goes on in").wait_for("Cutter 2, right");
    wait("the reading", || lengths(&rack)[0].len(), |read| *read == 1);
    let _ = tracer.kill();
    let _ = tracer.wait();
}
