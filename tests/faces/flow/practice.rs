//! Practice by keys and in the plain face: marked on every screen, told at the end, and nothing of it reaches the data folder.

use std::collections::BTreeMap;
use std::path::Path;

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::tui::app::App;
use evenbite::tui::desk::Desk;
use evenbite::tui::look::Shared;
use evenbite::tui::rehearse::Rehearsal;
use evenbite::tui::settings::Settings;
use evenbite::units::Unit;

use crate::played::{MONO, rehearsal, start};
use crate::rehearse::copy;

/// A data folder with one loop of the demo.
fn workshop() -> (tempfile::TempDir, Rack) {
    let dir = crate::scratch::folder();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop/loops/ridge-1");
    copy(&demo, &dir.path().join("loops/ridge-1"));
    let rack = Rack::open(dir.path().to_owned()).unwrap();
    (dir, rack)
}

/// Every file below a folder, with its bytes.
fn files(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.insert(path.display().to_string(), std::fs::read(&path).unwrap());
        }
    }
    found
}

#[test]
fn practice_is_marked_on_every_screen_and_touches_no_file() {
    let (dir, rack) = workshop();
    let mut bench = rehearsal(rack, (80, 18), MONO, start());
    // The rack has made its derived files by now.
    let before = files(dir.path());
    let script = include_str!("../../../demo/practice.rehearse");
    let shown = bench.screens(script, Rehearsal::screen).unwrap();
    for (name, screen) in &shown {
        assert_eq!(screen.contains("PRACTICE"), name != "practice-rack", "{name}\n{screen}");
    }
    let told = &shown.iter().find(|(name, _)| name == "practice-told").unwrap().1;
    for said in
        ["the best one", "Struck: cutter 9, found.", "Readings: 16 taken", "Steel: ", "truly within", "Rakers: "]
    {
        assert!(told.contains(said), "{said}\n{told}");
    }
    let refused = &shown.iter().find(|(name, _)| name == "practice-reading").unwrap().1;
    assert!(refused.contains("simulated: Enter alone takes its reading"), "{refused}");
    // Other pages over it are marked too, what writes is refused, and what was left waits.
    let script = "key y Enter\nenter 11\nkey F1\nshow keys\nkey Esc F4\nshow words\nkey Esc l\nshow saw\nkey h\nshow hand\n\
                  key F3\nshow model\nkey Esc p\nshow rack\nkey y\nshow again\nkey Ctrl-C\n";
    for (name, screen) in bench.screens(script, Rehearsal::screen).unwrap() {
        assert_eq!(screen.contains("PRACTICE"), name != "rack", "{name}\n{screen}");
        assert!(!matches!(name.as_str(), "saw" | "hand") || screen.contains("loops in care"), "{name}\n{screen}");
        assert!(name != "again" || screen.contains("Going on where you"), "{screen}");
    }
    assert!(before == files(dir.path()), "a file was changed, made or removed");
}

#[test]
fn begun_alone_it_ends_without_a_rack_to_go_to() {
    let practice = evenbite::practice::Set { seed: 11, ..Default::default() };
    let shared = Shared::new(MONO, Unit::Mm, start());
    let (_dir, rack) = workshop();
    let app = App::practising(&practice, shared).unwrap();
    let mut bench = Rehearsal::new(app, Desk::new(rack, Settings::default()), (80, 24), start());
    let shown = bench.screens("key Ctrl-X\nenter yes\nshow told\nkey Esc\nshow closed\n", Rehearsal::screen).unwrap();
    let closed = &shown.last().unwrap().1;
    assert!(closed.contains("This round is closed") && !closed.to_lowercase().contains("rack"), "{closed}");
}

#[test]
fn the_plain_face_practises_from_the_rack_and_keeps_nothing() {
    let (dir, rack) = workshop();
    let care = Workshop::from(rack);
    let _ = care.rows(start());
    let before = files(dir.path());
    let lines =
        "practice 5\npractice 12 11\n\n\n\n\n\n\n\n\n8.05\nhand Uma\nsaw Old\nhistory\nleave out\nsheet\ngive up\n";
    let mut out = Vec::new();
    plain::run(&care, lines.as_bytes(), &mut out, start, "", false).unwrap();
    let out = String::from_utf8(out).unwrap();
    for said in [
        "Allowed: 12, 36, 72 cutters.",
        "PRACTICE on a made-up loop: nothing of it is recorded.",
        "PRACTICE: Cutter 1, left. Measure its length. Enter takes the reading.",
        "a typed figure would be none",
        "What was true, and how near you came:",
        "Practice is over; nothing of it was kept.",
    ] {
        assert!(out.contains(said), "{said}\n{out}");
    }
    // From its start to the sign-off, with what was true at its end: the struck cutter is marked, the others are left as they came.
    let lines = [
        "practice 12 11\n",
        &"\n".repeat(16),
        "2\n\n",
        "\n\n\n",
        "\n",
        "3\n\nenough\nenough\n",
        "\nkeep\n",
        "\n\n\nenough\n\n0\n1\n",
    ]
    .concat();
    let mut led = Vec::new();
    plain::run(&care, lines.as_bytes(), &mut led, start, "", false).unwrap();
    let led = String::from_utf8(led).unwrap();
    let (_, told) = led.split_once("SIGNED OFF").unwrap_or_else(|| panic!("{led}"));
    for said in
        ["What was true", "Struck: cutter 9, found.", "Readings: ", "Steel: ", "truly within", "Practice is over"]
    {
        assert!(told.contains(said), "{said}\n{told}");
    }
    assert!(!led.contains("with s."), "{led}");
    assert_eq!(out.matches("That belongs to loops in care").count(), 3, "{out}");
    assert!(before == files(dir.path()), "a file was changed, made or removed");
}
