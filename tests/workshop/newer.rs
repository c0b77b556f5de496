//! Files that a newer version wrote: each is refused by name and stays as it is, and everything else works on.

use std::fs;
use std::path::Path;

use crate::invented::{at, card, header, rack, whole_round};
use evenbite::care::Workshop;
use evenbite::record::{Rack, Sharpener, check_file};
use evenbite::saw::SawEvent;
use evenbite::tui::settings::Settings;
use evenbite::tui::theme::Theme;

/// Two loops with a round each on a saw with a record, a person, and settings.
fn workshop() -> (tempfile::TempDir, Rack) {
    let (dir, rack) = rack();
    for tag in ["one", "two"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", 9.0);
    }
    rack.save_sharpener(&Sharpener { name: "Ina".into(), ..Sharpener::default() }).unwrap();
    rack.add_to_saw("limbing saw", at(2), &[SawEvent::Note { text: "new bar".into() }]).unwrap();
    fs::write(rack.root().join("settings.toml"), "format = 1\nbell = true\n").unwrap();
    (dir, rack)
}

/// As a newer version may write it: another format, and a key that nobody here knows.
fn newer(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let (block, rest) = text.split_once("\n\n").map_or((text.as_str(), None), |(block, rest)| (block, Some(rest)));
    let later = block.replacen("format = 1\n", "format = 2\nshape = \"knot\"\n", 1);
    assert_ne!(later, block, "{text}");
    let Some(rest) = rest.filter(|_| block.contains("\ncrc = ")) else {
        return later + &rest.map(|rest| format!("\n\n{rest}")).unwrap_or_default();
    };
    let header: String =
        later.lines().filter(|line| !line.starts_with("crc = ")).map(|line| format!("{line}\n")).collect();
    format!("{header}crc = \"{:08x}\"\n\n{rest}", crc32fast::hash(header.as_bytes()))
}

#[test]
fn a_file_of_a_newer_version_is_refused_by_name_and_the_rest_works_on() {
    for name in [
        "loops/one/loop.toml",
        "loops/one/20260302T070000Z.round.toml",
        "saws/limbing-saw.saw.toml",
        "sharpeners.toml",
        "settings.toml",
    ] {
        let (_dir, rack) = workshop();
        let path = rack.root().join(name);
        let text = newer(&path);
        fs::write(&path, &text).unwrap();
        let refused =
            |said: &str| said.contains(path.file_name().unwrap().to_str().unwrap()) && said.contains("format 2");
        // It is named where it is looked at ...
        let care = Workshop::from(rack.clone());
        if name == "settings.toml" {
            assert!(refused(&Settings::load(&care, Theme::default()).1.unwrap()), "{name}");
        } else {
            let faults: Vec<String> = check_file(&path).unwrap_err().iter().map(ToString::to_string).collect();
            assert!(refused(&faults.join(" ")), "{name}: {faults:?}");
            let problems = care.rows(at(3)).problems;
            assert!(problems.iter().any(|problem| refused(problem)), "{name}: {problems:?}");
        }
        // ... the other loop is worked on, and nothing writes over it.
        assert!(care.rows(at(3)).rows.iter().any(|row| row.tag == "two"), "{name}");
        whole_round(&rack, &card("two", 24), at(4), "Ina", 8.5);
        assert_eq!(rack.history("two").unwrap().0.rows.len(), 2, "{name}");
        let begun = rack.begin_round(&header(&card("one", 24), at(5), "Ina"));
        assert_eq!(begun.is_err(), name.ends_with("loop.toml"), "{name}");
        drop(begun);
        if name == "sharpeners.toml" {
            assert!(rack.save_sharpener(&Sharpener { name: "Odd".into(), ..Sharpener::default() }).is_err());
        }
        if name.starts_with("saws/") {
            assert!(rack.add_to_saw("limbing saw", at(5), &[SawEvent::Note { text: "dressed".into() }]).is_err());
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), text, "{name} is kept whole");
    }
}
