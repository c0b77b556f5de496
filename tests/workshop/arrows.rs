//! Arrows between the rooms only point down: the domain knows no terminal, no file, no environment and no clock.

use std::fs;
use std::path::{Path, PathBuf};

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            out.push(path);
        }
    }
}

fn room(name: &str) -> Vec<(PathBuf, String)> {
    let mut files = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(name), &mut files);
    assert!(!files.is_empty(), "src/{name} has no sources");
    // Unit tests may measure time; they are not part of the room.
    let tests = |path: &PathBuf| path.ends_with("tests.rs") || path.iter().any(|part| part == "tests");
    files.retain(|path| !tests(&path.strip_prefix(env!("CARGO_MANIFEST_DIR")).unwrap().to_owned()));
    files.into_iter().map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

/// Code without its comments and documentation.
fn code(text: &str) -> String {
    text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

fn nowhere(rooms: &[&str], words: &[&str]) {
    for name in rooms {
        for (path, text) in room(name) {
            let code = code(&text);
            for word in words {
                assert!(!code.contains(word), "{} uses {word}", path.display());
            }
        }
    }
}

#[test]
fn the_domain_knows_no_terminal_no_file_and_no_clock() {
    nowhere(
        &["units", "stats", "chain", "advice", "round", "saw", "coach"],
        &[
            "ratatui",
            "crossterm",
            "std::fs",
            "std::env",
            "std::io",
            "std::process",
            "Utc::now",
            "Local::now",
            "SystemTime",
            "Instant::now",
            "crate::record",
            "crate::tui",
            "crate::plain",
            "crate::report",
            "crate::cli",
        ],
    );
}

#[test]
fn lower_rooms_do_not_look_up() {
    nowhere(&["units"], &["crate::stats", "crate::chain", "crate::round", "crate::advice", "crate::coach"]);
    nowhere(&["stats"], &["crate::units", "crate::chain", "crate::round", "crate::advice", "crate::coach"]);
    nowhere(&["chain"], &["crate::round", "crate::advice", "crate::coach"]);
    nowhere(&["round"], &["crate::saw", "crate::advice", "crate::coach"]);
    nowhere(&["saw"], &["crate::round", "crate::advice", "crate::coach"]);
    nowhere(&["advice"], &["crate::coach"]);
}

#[test]
fn reports_are_made_without_files_or_terminals() {
    nowhere(
        &["report"],
        &["ratatui", "crossterm", "std::fs", "std::env", "crate::tui", "crate::plain", "crate::record::files"],
    );
}

#[test]
fn faces_go_through_what_the_workshop_does() {
    nowhere(&["care"], &["ratatui", "crossterm", "clap", "std::env", "std::process", "Utc::now", "Local::now"]);
    nowhere(&["care", "record", "report"], &["crate::tui", "crate::plain", "crate::cli"]);
    nowhere(&["record", "report"], &["crate::care"]);
    nowhere(&["plain"], &["crate::tui", "crate::cli"]);
    nowhere(&["tui"], &["crate::plain", "crate::cli"]);
    nowhere(&["cli"], &["tui::screens::rack_rows", "desk::coach", "desk::tags"]);
}

#[test]
fn only_the_record_writes_files() {
    for name in ["plain", "tui", "cli", "report", "coach"] {
        for (path, text) in room(name) {
            let code = code(&text);
            for word in ["fs::write", "File::create", "OpenOptions", "fs::rename", "fs::remove"] {
                assert!(!code.contains(word), "{} uses {word}", path.display());
            }
        }
    }
}

#[test]
fn floats_are_never_parsed_from_what_people_type() {
    // A general float parser takes nan, inf and 1e400.
    nowhere(&["units", "coach", "plain", "tui"], &["parse::<f64>", "parse::<f32>", "f64::from_str"]);
}

#[test]
fn what_depends_on_the_system_stands_in_one_room() {
    let ways =
        ["cfg(unix", "cfg!(unix", "cfg(windows", "cfg!(windows", "target_os", "std::os::", "signal_hook", "rustix"];
    for name in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src")).unwrap() {
        let name = name.unwrap();
        if name.file_type().unwrap().is_dir() && name.file_name() != "system" {
            nowhere(&[name.file_name().to_str().unwrap()], &ways);
        }
    }
    // And that room looks at no other.
    nowhere(&["system"], &["crate::"]);
}
