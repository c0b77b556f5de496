//! A format that a report does not have is refused as usage, with those that it has; nothing is written.

use std::process::Command;

#[test]
fn what_is_not_written_in_a_format_says_which_it_has() {
    let data = crate::scratch::folder();
    let out = data.path().join("out");
    for (call, said) in [
        (
            &["sheet", "one", "--owner", "--format", "csv"][..],
            "the owner's sheet has no format csv; allowed: text and html",
        ),
        (
            &["sheet", "one", "--owner", "--format", "json"],
            "the owner's sheet has no format json; allowed: text and html",
        ),
        (&["export", "--format", "html"], "an export has no format html; allowed: csv and json"),
        (&["export", "--format", "text"], "an export has no format text; allowed: csv and json"),
        (
            &["import", "one.csv", "--loop", "one", "--format", "csv"],
            "an import has no format csv; its only format is text",
        ),
        (&["check", "one.toml", "--format", "json"], "a check has no format json; its only format is text"),
        (&["rehearse", "-", "--format", "html"], "a rehearsal has no format html; allowed: text and svg"),
        (&["demo", "--format", "html"], "the demo has no format html; its only format is text"),
        (&["--plain", "--format", "csv"], "a round at the bench has no format csv; its only format is text"),
    ] {
        let run = Command::new(env!("CARGO_BIN_EXE_evenbite"))
            .args(call)
            .arg("--data")
            .arg(data.path().join("data"))
            .arg("--output")
            .arg(&out)
            .output()
            .unwrap();
        assert_eq!(String::from_utf8_lossy(&run.stderr), format!("evenbite: {said}\n"));
        assert_eq!((run.status.code(), run.stdout.len()), (Some(2), 0), "{call:?}");
        assert!(!out.exists() && !data.path().join("data").exists(), "{call:?}");
    }
}

#[test]
fn words_of_arguments_are_listed_with_what_they_mean() {
    let help = |command: &str| {
        let out = Command::new(env!("CARGO_BIN_EXE_evenbite")).args([command, "--help"]).output().unwrap();
        String::from_utf8(out.stdout).unwrap()
    };
    let tags = help("tags");
    for line in [
        "- in-care:   All that are not scrapped",
        "- near-mark: Near the witness mark",
        "- next:      To run next on their saw",
        "- csv:  One row per line, for a spreadsheet",
        "[possible values: none, few, many, full]",
        "[possible values: mm, inch]",
    ] {
        assert!(tags.contains(line), "{line}");
    }
    assert!(help("gaps").contains("- softwood-no-frost: Softwood only, and no frost"));
}

#[test]
fn an_import_lists_its_words_and_writes_where_it_is_told_as_a_check_does() {
    let dir = crate::scratch::folder();
    let run = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
        command.current_dir(dir.path()).args(["--data", "data"]).args(args).output().unwrap()
    };
    let help = String::from_utf8(run(&["import", "--help"]).stdout).unwrap();
    for words in
        ["length, len, before", "länge", "longueur", "side: left, l, lh, left-hand, links", "gemessen am", "mesuré par"]
    {
        assert!(help.contains(words), "{words}: {help}");
    }
    let rows: String =
        (1..=12).map(|n| format!("{n};{};8,05\n", if n % 2 == 1 { "links" } else { "rechts" })).collect();
    std::fs::write(dir.path().join("one.csv"), format!("Zahn;Seite;Länge mm\n{rows}")).unwrap();
    let import = ["import", "one.csv", "--loop", "one", "--profile", "three-eighths", "--links", "24"];
    let missing = run(&import);
    assert_eq!(missing.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&missing.stderr).contains("Say it with --sharpener NAME."));
    let done = run(&[&import[..], &["--sharpener", "Ina", "--output", "said"]].concat());
    assert_eq!((done.status.code(), done.stdout.len()), (Some(0), 0), "{}", String::from_utf8_lossy(&done.stderr));
    let said = std::fs::read_to_string(dir.path().join("said")).unwrap();
    assert!(said.contains("12 understood, 0 refused") && said.contains("the readings are on record"), "{said}");
    let checked = run(&["check", "data/loops/one/loop.toml", "--output", "checked"]);
    assert_eq!((checked.status.code(), checked.stdout.len()), (Some(0), 0));
    assert_eq!(
        std::fs::read_to_string(dir.path().join("checked")).unwrap(),
        "data/loops/one/loop.toml: loop one\nmade by evenbite\n"
    );
}

#[test]
fn a_file_of_somebody_else_is_not_written_over_unless_that_is_said() {
    let dir = crate::scratch::folder();
    let run = |args: &[&str]| {
        let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/workshop");
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
        command.current_dir(dir.path()).env("EVENBITE_DATA", demo).args(args).output().unwrap()
    };
    std::fs::write(dir.path().join("theirs"), "cutter,side,length_mm\n1,left,8.05\n").unwrap();
    let refused = run(&["tags", "--output", "theirs"]);
    assert_eq!((refused.status.code(), refused.stdout.len()), (Some(2), 0));
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    let why = "it is there, and this program did not write it. Name another file, or say --replace.";
    assert_eq!(said, format!("evenbite: cannot write theirs: {why}\n"));
    assert!(std::fs::read_to_string(dir.path().join("theirs")).unwrap().starts_with("cutter,side"));
    // A text is known again by its last line: the next one replaces what the one before wrote.
    for call in [&["completions", "bash", "--replace"][..], &["manual"], &["schema", "loops"], &["manual", "import"]] {
        let done = run(&[call, &["--output", "theirs"]].concat());
        assert!(done.status.success(), "{call:?}: {}", String::from_utf8_lossy(&done.stderr));
    }
}
