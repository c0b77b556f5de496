//! How the program ends where it cannot go on, and what it says where it can.

use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::process::{Command, Stdio};

use super::bench::{Script, Session, acknowledged, plain, program};

#[test]
fn the_end_of_input_pauses_and_a_torn_end_is_set_aside_and_told() {
    let folder = tempfile::tempdir().unwrap();
    let (data, said) = (folder.path().join("data"), folder.path().join("said"));
    let mut random = super::runner(2);
    let script = Script::next(&data, "bench", 5, &mut random);
    let (_, heard) = Session::start(&mut plain(&data), &script.lines, &said).end();
    assert!(heard.contains("Paused; every reading is stored. Go on with:"), "{heard}");
    let record = fs::read_dir(data.join("loops/bench"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.to_string_lossy().ends_with(".round.toml"))
        .unwrap();
    OpenOptions::new()
        .append(true)
        .open(record)
        .unwrap()
        .write_all(b"[[event]]\nseq = 99\nat = \"2026-01-01T0")
        .unwrap();
    let script = Script::next(&data, "bench", 2, &mut random);
    let (_, heard) = Session::start(&mut plain(&data), &script.lines, &said).end();
    assert!(heard.contains("set aside, every stored reading is here"), "{heard}");
    assert_eq!(acknowledged(&heard), script.readings, "it goes on at the next cutter: {heard}");
    let aside = fs::read_dir(data.join("loops/bench")).unwrap();
    assert!(aside.map(|entry| entry.unwrap().file_name()).any(|name| name.to_string_lossy().contains("tail-")));
}

#[test]
fn without_a_terminal_it_says_what_to_use_instead() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(program());
    let output = command.arg("--data").arg(folder.path().join("data")).stdin(Stdio::null()).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--plain"));
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_device_for_output_is_an_error_and_no_panic() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("table.csv");
    let rows = (1..=12).map(|n| format!("{n},{},8.0{}\n", if n % 2 == 1 { "left" } else { "right" }, n % 10));
    fs::write(&table, format!("cutter,side,length_mm\n{}", rows.collect::<String>())).unwrap();
    let table = table.to_string_lossy().into_owned();
    let import = ["import", &*table, "--loop", "fir", "--profile", "three-eighths", "--sharpener", "Ina", "--dry-run"];
    for args in [&["gaps", "three-eighths"][..], &import, &["--plain"]] {
        let mut command = Command::new(program());
        command.arg("--data").arg(folder.path().join("data")).args(args).stdin(Stdio::null());
        let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
        let told = folder.path().join("told");
        let status = command.stdout(full).stderr(File::create(&told).unwrap()).status().unwrap();
        let told = fs::read_to_string(told).unwrap();
        assert_eq!(status.code(), Some(1), "{args:?}: {told}");
        assert!(!told.contains("panic") && told.contains("No space left"), "{args:?}: {told}");
    }
}
