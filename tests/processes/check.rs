//! `evenbite check`: every file of the data folder is known for what it is, and a fault is named with its line.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::invented::{at, card, rack, whole_round};
use evenbite::care::Workshop;
use evenbite::record::Sharpener;
use evenbite::saw::SawEvent;
use evenbite::tui::settings::Settings;
use evenbite::tui::theme::Theme;

/// What the command prints, and what it complains of.
fn check(path: &Path) -> (String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_evenbite")).arg("check").arg(path).output().unwrap();
    let (said, wrong) = (String::from_utf8(out.stdout).unwrap(), String::from_utf8(out.stderr).unwrap());
    assert_eq!(out.status.code(), Some(i32::from(!wrong.is_empty())), "{said}{wrong}");
    (said, wrong)
}

#[test]
fn every_file_of_a_data_folder_is_known() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    rack.save_sharpener(&Sharpener { name: "Ina".into(), ..Sharpener::default() }).unwrap();
    let care = Workshop::from(rack.clone());
    let (_, written) = Settings::default().save(&care, &Settings::seen(&care), at(2).to_utc()).unwrap();
    assert_eq!(written.aside, None);
    let look = SawEvent::Note { text: "new bar".into() };
    rack.add_to_saw("limbing saw", at(2), &[look]).unwrap();
    rack.refresh_saws();
    rack.refresh();
    let root = rack.root();
    fs::write(root.join("keys.toml"), "[round]\nback = [\"b\"]\n").unwrap();
    let folder = root.join("loops/one");
    for (path, known) in [
        (folder.join("loop.toml"), "loop one"),
        (folder.join("history.toml"), "history of 1 rounds, derived from them"),
        (root.join("rack.jsonl"), "index of 1 loops, derived from them"),
        (root.join("saws.jsonl"), "index of 1 saws, derived from them"),
        (root.join("sharpeners.toml"), "1 sharpeners"),
        (root.join("settings.toml"), "settings"),
        (root.join("keys.toml"), "keys of one's own"),
    ] {
        assert_eq!(check(&path).0, format!("{}: {known}\n", path.display()));
    }
    for small in ["loops/one/loop.toml", "sharpeners.toml", "settings.toml"] {
        assert!(fs::read_to_string(root.join(small)).unwrap().starts_with("format = 1\n"), "{small}");
    }
    fs::write(root.join("sharpeners.toml"), "").unwrap();
    assert!(check(&root.join("sharpeners.toml")).0.ends_with("0 sharpeners\n"));
}

#[test]
fn a_fault_is_told_as_one_of_what_the_file_is() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    rack.refresh();
    let (history, index) = (rack.root().join("loops/one/history.toml"), rack.root().join("rack.jsonl"));
    let derived = "It is derived: delete it, and it is made anew.";
    let spoil = |path: &Path, from: &str, to: &str| {
        let text = fs::read_to_string(path).unwrap();
        assert!(text.contains(from), "{text}");
        fs::write(path, text.replacen(from, to, 1)).unwrap();
        let (_, wrong) = check(path);
        fs::write(path, text).unwrap();
        wrong
    };
    for (wrong, expected) in [
        (spoil(&history, "strokes = ", "strokes = 1"), ":1: the check sum does not fit"),
        (spoil(&history, "crc = ", "sum = "), ":1: a history begins with its check sum"),
        (spoil(&index, "Loop one", "Loop two"), ":1: the check sum does not fit"),
        (spoil(&index, "\"format\":", "\"format\":9"), ":1: format is 9"),
        (spoil(&index, "{", "["), ":1: "),
    ] {
        assert!(wrong.contains(expected) && wrong.contains(derived), "{wrong}");
    }
    let file = |name: &str, text: &str| {
        let path = rack.root().join(name);
        fs::write(&path, text).unwrap();
        check(&path).1
    };
    for (wrong, expected) in [
        (
            file("settings.toml", "bell = true\ncolours = \"gaudy\"\n"),
            "settings.toml:2: colours is \"gaudy\"; allowed: none",
        ),
        (file("settings.toml", "bell = true\nbel = 1\n"), "settings.toml:2: unknown field `bel`"),
        (file("settings.toml", "bell = true\nformat = 2\nshade = 1\n"), "settings.toml:2: is of format 2"),
        (file("keys.toml", "[round]\n\"bak\" = [\"b\"]\n"), "keys.toml:2: \"bak\" cannot be done there"),
        (file("loop.toml", "x = 1\n"), "loop.toml:1: "),
        (file("sharpeners.toml", "[[sharpener]]\nname = \"\"\n"), "sharpeners.toml:2: name is empty"),
    ] {
        assert!(wrong.contains(expected), "{wrong}");
    }
}

#[test]
fn settings_that_cannot_be_understood_are_kept_beside_the_new_ones() {
    let (_dir, rack) = rack();
    fs::create_dir_all(rack.root()).unwrap();
    let path = rack.root().join("settings.toml");
    let care = Workshop::from(rack);
    for (text, fault) in [
        ("bell = true\nshade = \"dusk\"\n", "settings.toml:2: unknown field `shade`"),
        ("colours = \"gaudy\"\n", "settings.toml:1: colours is \"gaudy\""),
        ("format = 7\n", "settings.toml:1: is of format 7"),
    ] {
        fs::write(&path, text).unwrap();
        let (settings, problem) = Settings::load(&care, Theme::default());
        let problem = problem.unwrap();
        assert!(problem.contains(fault) && problem.ends_with(". Default settings are used."), "{problem}");
        let aside = settings.save(&care, &Settings::seen(&care), at(2).to_utc()).unwrap().1.aside.unwrap();
        assert_eq!(fs::read_to_string(aside).unwrap(), text);
        assert_eq!(Settings::load(&care, Theme::default()), (settings, None));
        assert_eq!(settings.save(&care, &Settings::seen(&care), at(2).to_utc()).unwrap().1.aside, None);
    }
}
