//! Commands that only print open nothing in the data folder for writing.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::SystemTime;

use crate::invented::{at, card, header, rack, whole_round, work};
use evenbite::record::Rack;
use evenbite::saw::SawEvent;

/// Each command with its arguments.
const PRINTING: [&[&str]; 10] = [
    &["gaps", "three-eighths", "--loop", "one"],
    &["sheet", "one"],
    &["sheet", "one", "--owner", "--format", "html"],
    &["history", "one", "--format", "json"],
    &["tags", "--format", "html"],
    &["saw", "limbing saw"],
    &["loops", "--order", "last", "--format", "json"],
    &["export"],
    &["export", "--format", "csv"],
    &["history", "two"],
];

/// A data folder without anything derived: two loops of one saw, a closed and an open round.
fn folder() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    for tag in ["one", "two"] {
        rack.create_loop(&card(tag, 24)).unwrap();
        whole_round(&rack, &card(tag, 24), at(1), "Ina", 9.0);
    }
    let (mut file, mut round) = rack.begin_round(&header(&card("two", 24), at(30), "Ina")).unwrap();
    work(&mut file, &mut round, 8.5, 12);
    drop(file);
    rack.add_to_saw("limbing saw", at(2), &[SawEvent::Note { text: "new bar".into() }]).unwrap();
    for derived in ["rack.jsonl", "saws.jsonl", "loops/one/history.toml", "loops/two/history.toml"] {
        let _ = std::fs::remove_file(rack.root().join(derived));
    }
    (dir, rack)
}

/// Everything below a folder with the time of its last change, the folders too: what is made and taken away again shows in them.
fn tree(path: &Path, out: &mut BTreeMap<PathBuf, (u64, SystemTime)>) {
    let about = std::fs::metadata(path).unwrap();
    out.insert(path.to_owned(), (about.len(), about.modified().unwrap()));
    if about.is_dir() {
        for entry in std::fs::read_dir(path).unwrap() {
            tree(&entry.unwrap().path(), out);
        }
    }
}

fn tree_of(rack: &Rack) -> BTreeMap<PathBuf, (u64, SystemTime)> {
    let mut out = BTreeMap::new();
    tree(rack.root(), &mut out);
    out
}

/// The command over the folder, below `under` where one is named.
fn run(rack: &Rack, arguments: &[&str], under: &[&str]) -> String {
    let binary = env!("CARGO_BIN_EXE_evenbite");
    let mut command = Command::new(under.first().unwrap_or(&binary));
    command.args(under.iter().skip(1));
    if !under.is_empty() {
        command.arg(binary);
    }
    let out = command.args(["--data", rack.root().to_str().unwrap()]).args(arguments).output().unwrap();
    let (said, wrong) = (String::from_utf8(out.stdout).unwrap(), String::from_utf8_lossy(&out.stderr).into_owned());
    assert!(out.status.success() && !said.is_empty(), "{arguments:?}: {wrong}");
    said
}

fn checked(rack: &Rack) -> Vec<String> {
    let files = ["loops/one/loop.toml", "saws/limbing-saw.saw.toml"].map(|file| rack.root().join(file));
    let rounds = rack.rounds("two").unwrap();
    std::iter::once("check".to_owned())
        .chain(files.iter().chain(&rounds).map(|path| path.to_str().unwrap().to_owned()))
        .collect()
}

#[test]
fn nothing_in_the_data_folder_changes_when_a_command_only_prints() {
    let (_dir, rack) = folder();
    let before = tree_of(&rack);
    let check = checked(&rack);
    let check: Vec<&str> = check.iter().map(String::as_str).collect();
    for arguments in PRINTING.into_iter().chain([&check[..]]) {
        run(&rack, arguments, &[]);
        assert_eq!(tree_of(&rack), before, "{arguments:?}");
    }
}

#[test]
fn a_command_that_only_prints_says_the_same_with_and_without_derived_files() {
    let (_dir, rack) = folder();
    let without: Vec<String> = PRINTING.iter().map(|arguments| run(&rack, arguments, &[])).collect();
    rack.refresh();
    rack.refresh_saws();
    let with: Vec<String> = PRINTING.iter().map(|arguments| run(&rack, arguments, &[])).collect();
    assert_eq!(without, with);
}

/// System calls that change a folder, or open a file for writing.
fn changes(line: &str) -> bool {
    const CHANGING: [&str; 12] = [
        "mkdir",
        "rename",
        "unlink",
        "rmdir",
        "link",
        "symlink",
        "chmod",
        "fchmodat",
        "truncate",
        "creat",
        "utimensat",
        "mknod",
    ];
    let call = line.split('(').next().unwrap_or_default();
    let call = call.rsplit(' ').next().unwrap_or_default();
    CHANGING.iter().any(|name| call.starts_with(name) && call != "readlink")
        || ["O_WRONLY", "O_RDWR", "O_CREAT", "O_TRUNC"].iter().any(|flag| line.contains(flag))
}

#[test]
fn no_system_call_of_a_printing_command_opens_the_data_folder_for_writing() {
    if Command::new("strace").arg("-V").output().is_err() {
        println!("strace is not there: the folder's times are compared instead, in the test above");
        return;
    }
    let (dir, rack) = folder();
    let trace = dir.path().join("trace");
    let root = rack.root().to_str().unwrap().to_owned();
    let check = checked(&rack);
    let check: Vec<&str> = check.iter().map(String::as_str).collect();
    for arguments in PRINTING.into_iter().chain([&check[..]]) {
        run(&rack, arguments, &["strace", "-f", "-e", "trace=file", "-o", trace.to_str().unwrap()]);
        let text = std::fs::read_to_string(&trace).unwrap();
        let touched: Vec<&str> = text.lines().filter(|line| line.contains(&root)).collect();
        assert!(touched.len() > 1, "the trace tells nothing of the folder: {arguments:?}");
        let writing: Vec<&&str> = touched.iter().filter(|line| changes(line) && !line.contains("execve")).collect();
        assert!(writing.is_empty(), "{arguments:?}: {writing:?}");
    }
}
