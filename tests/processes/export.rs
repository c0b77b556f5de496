//! `evenbite export`: the same to a file as to a pipe, and nothing left out without a word and an exit code.

use std::fs;
use std::process::{Command, Output};

use crate::invented::{at, card, rack, whole_round};
use evenbite::record::Rack;

fn export(rack: &Rack, more: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
    command.arg("--data").arg(rack.root()).arg("export").args(more).output().unwrap()
}

#[test]
fn what_is_left_out_is_told_and_ends_in_failure() {
    let (dir, rack) = rack();
    for tag in ["one", "two"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", 9.0);
    }
    for format in ["json", "csv"] {
        let piped = export(&rack, &["--format", format]);
        assert_eq!((piped.status.code(), piped.stderr), (Some(0), Vec::new()));
        let file = dir.path().join("all");
        let written = export(&rack, &["--format", format, "--output", file.to_str().unwrap()]);
        assert_eq!((written.status.code(), written.stdout), (Some(0), Vec::new()));
        assert_eq!(fs::read(&file).unwrap(), piped.stdout);
    }
    let path = rack.rounds("two").unwrap().remove(0);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("seq = 2", "seq = 3", 1)).unwrap();
    for format in ["json", "csv"] {
        let out = export(&rack, &["--format", format]);
        let said = String::from_utf8(out.stderr).unwrap();
        assert!(
            out.status.code() == Some(1) && said.contains("not included: ") && said.contains("the check sum reads"),
            "{said}"
        );
        let rows = String::from_utf8(out.stdout).unwrap();
        assert!(rows.contains("one") && rows.lines().count() > 10, "the rest is there");
    }
}
