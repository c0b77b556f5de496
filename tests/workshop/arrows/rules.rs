//! The rules that the map of the house states, and the judge of them.

use super::names::{self, Names};

/// What a rule speaks of, by the path it begins with.
type Paths = &'static [&'static str];

const TERMINALS: Paths = &["ratatui", "crossterm", "tui_input", "tui_big_text"];
const FILES: Paths = &["std::fs", "tempfile", "directories", "include_dir", "crate::record::files"];
const SYSTEM: Paths =
    &["std::os", "std::env", "std::process", "std::net", "std::thread", "rustix", "signal_hook", "ctrlc", "same_file"];
const CLOCKS: Paths = &["chrono::Local", "chrono::Utc::now", "std::time::Instant", "std::time::SystemTime"];
const STREAMS: Paths = &["std::io"];
const ARGUMENTS: Paths = &["clap"];

/// A room: its name, the rooms it may use, and what it must not know.
pub(super) struct Room {
    pub name: &'static str,
    pub uses: Paths,
    pub not: &'static [Paths],
}

const DOMAIN: &[Paths] = &[TERMINALS, FILES, STREAMS, SYSTEM, CLOCKS, ARGUMENTS];

/// The rooms in the order of the map, lowest first.
pub(super) const HOUSE: &[Room] = &[
    Room { name: "units", uses: &[], not: DOMAIN },
    Room { name: "stats", uses: &[], not: DOMAIN },
    Room { name: "sim", uses: &[], not: DOMAIN },
    Room { name: "chain", uses: &["units"], not: DOMAIN },
    Room { name: "drawing", uses: &["units", "chain"], not: DOMAIN },
    Room { name: "round", uses: &["units", "stats", "chain"], not: DOMAIN },
    Room { name: "saw", uses: &["units"], not: DOMAIN },
    Room { name: "drill", uses: &["units", "stats", "chain"], not: DOMAIN },
    Room { name: "advice", uses: &["units", "stats", "chain", "round", "saw", "drill"], not: DOMAIN },
    Room { name: "coach", uses: &["units", "stats", "chain", "round", "saw", "drill", "advice"], not: DOMAIN },
    Room { name: "practice", uses: &["units", "stats", "chain", "round", "sim", "advice", "coach"], not: DOMAIN },
    Room { name: "system", uses: &[], not: &[TERMINALS, CLOCKS, ARGUMENTS] },
    Room {
        name: "devices",
        uses: &["units", "system"],
        not: &[TERMINALS, ARGUMENTS, &["std::env", "std::os", "rustix", "signal_hook", "ctrlc", "tempfile"]],
    },
    Room {
        name: "record",
        uses: &["units", "chain", "round", "saw", "drill", "advice", "system"],
        not: &[TERMINALS, CLOCKS, ARGUMENTS, &["std::env", "std::process", "std::os"]],
    },
    Room {
        name: "report",
        uses: &["units", "stats", "chain", "drawing", "round", "saw", "drill", "advice", "record"],
        not: &[TERMINALS, FILES, STREAMS, SYSTEM, CLOCKS, ARGUMENTS],
    },
    Room {
        name: "care",
        uses: &["units", "stats", "chain", "round", "saw", "drill", "advice", "coach", "record", "report"],
        not: &[TERMINALS, SYSTEM, CLOCKS, ARGUMENTS, &["std::fs"]],
    },
    Room {
        name: "plain",
        uses: &["units", "chain", "round", "saw", "drill", "advice", "coach", "practice", "devices", "report", "care"],
        not: &[TERMINALS, FILES, SYSTEM, CLOCKS, ARGUMENTS],
    },
    Room {
        name: "tui",
        uses: &[
            "units", "chain", "drawing", "round", "saw", "drill", "advice", "coach", "practice", "system", "devices",
            "report", "care",
        ],
        not: &[ARGUMENTS, &["std::env", "std::os", "rustix", "signal_hook", "ctrlc"]],
    },
    Room {
        name: "cli",
        uses: &["units", "chain", "round", "practice", "system", "devices", "report", "care", "plain", "tui"],
        not: &[TERMINALS, &["std::fs", "std::os", "rustix", "signal_hook", "ctrlc"]],
    },
];

/// A rule about a part of the house: below these folders, or files, nobody names that; save where it is let be.
pub(super) struct Part {
    pub says: &'static str,
    pub under: Paths,
    pub save: Paths,
    pub not: Paths,
}

/// Ways to change what is on the disk.
const WRITING: Paths = &[
    "std::fs::write",
    "std::fs::rename",
    "std::fs::copy",
    "std::fs::remove_file",
    "std::fs::remove_dir",
    "std::fs::remove_dir_all",
    "std::fs::create_dir",
    "std::fs::create_dir_all",
    "std::fs::OpenOptions",
    "std::fs::DirBuilder",
    "std::fs::File::create",
    "std::fs::File::create_new",
    "std::fs::File::options",
];

pub(super) const PARTS: &[Part] = &[
    Part {
        says: "only `record::files` and what stands below it writes",
        under: &["src"],
        save: &["src/record/files.rs", "src/record/files", "src/record/faults.rs", "src/system"],
        not: WRITING,
    },
    Part { says: "the command line knows no screen", under: &["src/cli"], save: &[], not: &["crate::tui::screens"] },
    Part {
        says: "screens and drawings hand over data and read no file",
        under: &["src/tui/screens", "src/tui/widgets", "src/tui/keys"],
        save: &[],
        not: &[
            "std::fs",
            "std::io",
            "std::thread",
            "std::process",
            "crate::care::Workshop",
            "crate::record::files",
            "crate::tui::desk",
        ],
    },
    Part {
        says: "a drawing knows no screen and no place in the program",
        under: &["src/tui/widgets"],
        save: &[],
        not: &["crate::tui::screens", "crate::tui::app", "crate::tui::effect", "crate::care", "crate::coach"],
    },
];

/// A rule about words of the code itself.
pub(super) struct Word {
    pub says: &'static str,
    pub save: Paths,
    pub under: Paths,
    pub words: Paths,
}

pub(super) const WORDS: &[Word] = &[
    Word {
        // A general float parser takes nan, inf and 1e400.
        says: "what people type goes through the one parser",
        under: &["src/units", "src/coach", "src/plain", "src/tui"],
        save: &[],
        words: &["parse::<f64>", "parse::<f32>", "f64::from_str", "f32::from_str"],
    },
    Word {
        says: "what depends on the operating system stands in one room",
        under: &["src"],
        save: &["src/system"],
        words: &[
            "cfg(unix",
            "cfg!(unix",
            "cfg(windows",
            "cfg!(windows",
            "cfg(not(unix",
            "cfg(not(windows",
            "target_os",
        ],
    },
];

/// A source file by its place in the package: `src/record/files.rs`.
pub(super) type Source = (String, String);

/// Every break of a rule, in a sentence.
pub(super) fn breaks(sources: &[Source]) -> Vec<String> {
    let read: Vec<(&str, Names)> =
        sources.iter().map(|(path, text)| (path.as_str(), names::read(path, text))).collect();
    let tests: Vec<String> = read.iter().flat_map(|(_, names)| names.tests.clone()).collect();
    let mut found = Vec::new();
    for (path, names) in &read {
        let module = names::module_path(path);
        if !tests.iter().any(|test| begins(&module, test)) {
            judge(path, names, &mut found);
        }
    }
    found
}

fn judge(path: &str, names: &Names, found: &mut Vec<String>) {
    let own = path.split('/').nth(1).filter(|part| !part.contains('.'));
    let room = own.map(|own| HOUSE.iter().find(|room| room.name == own));
    if let (Some(own), Some(None)) = (own, &room) {
        found.push(format!("{path}: `{own}` is a room that the map does not name"));
    }
    for named in &names.named {
        let mut tell = |says: String| found.push(format!("{path}:{} names {}: {says}", named.line, named.path));
        if let Some(Some(room)) = room {
            let to = named.path.strip_prefix("crate::").and_then(|rest| rest.split("::").next());
            let known = to.filter(|to| HOUSE.iter().any(|room| room.name == *to) && *to != room.name);
            if known.is_some_and(|to| !room.uses.contains(&to)) {
                tell(format!("`{}` may use {:?}", room.name, room.uses));
            }
            if room.not.iter().copied().flatten().any(|not| begins(&named.path, not)) {
                tell(format!("`{}` must not know it", room.name));
            }
        }
        for part in PARTS.iter().filter(|part| within(path, part.under) && !within(path, part.save)) {
            if part.not.iter().any(|not| begins(&named.path, not)) {
                tell(part.says.to_owned());
            }
        }
    }
    for rule in WORDS.iter().filter(|rule| within(path, rule.under) && !within(path, rule.save)) {
        for word in rule.words.iter().filter(|word| names.bare.contains(**word)) {
            found.push(format!("{path} says {word}: {}", rule.says));
        }
    }
}

/// A path that is another or goes on from it.
fn begins(path: &str, with: &str) -> bool {
    path.strip_prefix(with).is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
}

/// A file that is one of these or stands below one.
fn within(path: &str, places: &[&str]) -> bool {
    places.iter().any(|place| {
        path.strip_prefix(place).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
            || path == format!("{place}.rs")
    })
}
