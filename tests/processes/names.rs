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

    let slip = run(&["history", "mil-lane"]);
    assert_eq!(slip.status.code(), Some(1));
    assert_eq!(
        String::from_utf8_lossy(&slip.stderr),
        "evenbite: There is no loop mil-lane. The nearest is mill-lane.\n"
    );
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
