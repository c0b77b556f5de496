//! A loop is found by tag or name, a slip is told the nearest, and a shell that asks is given the loops.

use std::process::{Command, Output};

fn run(call: &[&str]) -> Output {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/workshop");
    Command::new(env!("CARGO_BIN_EXE_evenbite")).env("EVENBITE_DATA", demo).args(call).output().unwrap()
}

#[test]
fn a_loop_is_found_by_its_name_and_a_slip_is_told_the_nearest() {
    let by_tag = run(&["sheet", "mill-lane", "--format", "json"]);
    assert!(by_tag.status.success());
    assert_eq!(run(&["sheet", "Mill Lane", "--format", "json"]), by_tag);
    assert_eq!(run(&["history", "mill lane"]), run(&["history", "mill-lane"]));
    assert_eq!(run(&["tags", "Mill Lane"]), run(&["tags", "mill-lane"]));
    let gaps = |named| run(&["gaps", "three-eighths", "--loop", named]);
    assert_eq!(gaps("MILL LANE"), gaps("mill-lane"));

    for call in [
        &["history", "mil-lane"][..],
        &["sheet", "mil-lane"],
        &["tags", "mil-lane"],
        &["gaps", "three-eighths", "--loop", "mil-lane"],
    ] {
        let slip = run(call);
        assert_eq!(slip.status.code(), Some(1));
        let said = String::from_utf8_lossy(&slip.stderr).into_owned();
        assert_eq!(said, "evenbite: There is no loop mil-lane. The nearest is mill-lane.\n", "{call:?}");
    }
}

#[test]
fn loops_are_listed_as_asked_for_and_another_format_is_refused() {
    let listed = run(&["loops", "--order", "left", "--filter", "past", "--format", "csv"]);
    assert!(listed.status.success() && listed.stderr.is_empty());
    let table = String::from_utf8(listed.stdout).unwrap();
    let rows = csv::Reader::from_reader(table.as_bytes()).into_records().map(Result::unwrap);
    let stages: Vec<String> = rows.map(|row| row[12].to_owned()).collect();
    assert!(!stages.is_empty() && stages.iter().all(|stage| stage != "fixed" && !stage.is_empty()), "{table}");
    let refused = run(&["loops", "--format", "html"]);
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(said, "evenbite: a list of loops has no format html; allowed: text, csv and json\n");
}

#[test]
fn a_shell_that_asks_is_given_the_loops_with_their_names_and_the_words_of_arguments() {
    let asked = |index: &str, words: &[&str]| {
        let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/workshop");
        let out = Command::new(env!("CARGO_BIN_EXE_evenbite"))
            .env("EVENBITE_COMPLETE", "zsh")
            .env("_CLAP_COMPLETE_INDEX", index)
            .env_remove("EVENBITE_DATA")
            .args(["--", "evenbite", "--data", demo])
            .args(words)
            .output()
            .unwrap();
        assert!(out.status.success() && out.stderr.is_empty());
        String::from_utf8(out.stdout).unwrap()
    };
    assert_eq!(asked("4", &["sheet", "mi"]), "mill-lane:Mill Lane");
    assert!(asked("4", &["gaps", "three-"]).contains("three-eighths-narrow"));
    assert!(asked("3", &["hist"]).starts_with("history:"));
}
