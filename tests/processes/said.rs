//! What is said on standard error and standard output carries nothing that a terminal could act on, and a full or closed one is no
//! panic.

use std::fs::{self, OpenOptions};
use std::process::{Command, Output, Stdio};

use crate::invented::{card, rack};
use evenbite::record::Rack;

/// An escape that clears the screen, and a character that turns the text round.
const NASTY: &str = "x\u{1b}[2J\u{202e}y";
/// As it is shown.
const CLEAN: &str = "x\\u{1b}[2J\\u{202e}y";

fn call(rack: &Rack, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_evenbite")).arg("--data").arg(rack.root()).args(args).output().unwrap()
}

#[test]
fn file_names_and_options_are_written_out() {
    let (dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    let file = dir.path().join(format!("{NASTY}.csv"));
    fs::write(&file, "cutter,length\n1,9.0\n1,999\n").unwrap();
    let (file, none) = (file.to_str().unwrap(), dir.path().join(NASTY));
    let none = none.to_str().unwrap();
    let calls: [&[&str]; 12] = [
        &["import", file, "--loop", "one"],
        &["import", none, "--loop", "one"],
        &["import", &format!("{none}.jsonl")],
        &["import", file, "--loop", NASTY],
        &["check", none],
        &["rehearse", none],
        &["sheet", NASTY],
        &["history", NASTY],
        &["tags", NASTY],
        &["gaps", NASTY],
        &["gaps", "three-eighths", "--output", &format!("{none}/out")],
        &["--format", NASTY],
    ];
    for args in calls {
        let out = call(&rack, args);
        let said = String::from_utf8([out.stdout, out.stderr].concat()).unwrap();
        assert!(matches!(out.status.code(), Some(1 | 2)), "{args:?}: {said}");
        assert!(!said.contains(['\u{1b}', '\u{202e}']), "{args:?}: {said:?}");
        // The reader of arguments takes escape sequences out altogether.
        assert!(said.contains(CLEAN) || args[0] == "--format", "{args:?}: {said:?}");
    }
    let out = call(&rack, &["--plain", "--source", none, "--speak", NASTY]);
    let said = String::from_utf8(out.stdout).unwrap();
    assert!(!said.contains(['\u{1b}', '\u{202e}']), "{said:?}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_or_closed_standard_error_or_output_is_no_panic() {
    let (dir, rack) = rack();
    rack.create_loop(&card("one", 24)).unwrap();
    fs::write(dir.path().join("bad.csv"), "cutter,length\n1,9.0\n1,999\n").unwrap();
    fs::write(dir.path().join("good.csv"), "cutter,length_mm\n1,9.0\n").unwrap();
    let (bad, good) = (dir.path().join("bad.csv"), dir.path().join("good.csv"));
    let full = || Stdio::from(OpenOptions::new().write(true).open("/dev/full").unwrap());
    let program = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
        command.arg("--data").arg(rack.root()).stdin(Stdio::null());
        command
    };
    let failing: [(&[&str], i32); 5] = [
        (&["sheet", "none"], 1),
        (&["check", "none"], 1),
        (&["--format", "none"], 2),
        (&["import", bad.to_str().unwrap(), "--loop", "one", "--sharpener", "Ina"], 1),
        (&["export", "--format", "html"], 2),
    ];
    for (args, code) in failing {
        assert_eq!(program().args(args).stderr(full()).stdout(Stdio::null()).status().unwrap().code(), Some(code));
        let closed = "exec \"$0\" \"$@\" 2>&- >/dev/null";
        let mut shell = Command::new("sh");
        shell.args(["-c", closed, env!("CARGO_BIN_EXE_evenbite"), "--data"]).arg(rack.root()).args(args);
        assert_eq!(shell.status().unwrap().code(), Some(code), "{args:?}");
    }
    let printing: [&[&str]; 3] = [
        &["--plain"],
        &["import", good.to_str().unwrap(), "--loop", "one", "--sharpener", "Ina", "--dry-run"],
        &["gaps", "three-eighths"],
    ];
    for args in printing {
        let out = program().args(args).stdout(full()).output().unwrap();
        let said = String::from_utf8(out.stderr).unwrap();
        assert!(out.status.code() == Some(1) && !said.contains("panicked"), "{args:?}: {said}");
    }
}
