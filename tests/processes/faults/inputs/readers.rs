//! Every reader of the program, behind the door through which the program itself goes.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use evenbite::advice::Skill;
use evenbite::care::Workshop;
use evenbite::chain::Profile;
use evenbite::coach::{Coach, Reply};
use evenbite::record::import::{Options, preview};
use evenbite::record::{ImportError, Rack, check_file};
use evenbite::round::{Ask, Entry, Past, Prices, Reading, Round};
use evenbite::tui::app::App;
use evenbite::tui::desk::Desk;
use evenbite::tui::look::Shared;
use evenbite::tui::rehearse::Rehearsal;
use evenbite::tui::remap;
use evenbite::tui::settings::Settings;
use evenbite::tui::theme::Theme;
use evenbite::{plain, units::Unit};
use proptest::test_runner::TestRunner;

use super::{Answer, forms};
use crate::invented;

/// A reader and the inputs that know its form.
pub(super) struct Reader {
    pub name: &'static str,
    /// How many inputs of the quickest reader one of its inputs costs.
    pub costs: usize,
    pub make: Make,
    pub read: Read,
}

type Make = Box<dyn Fn(&mut TestRunner) -> Vec<u8>>;
type Read = Box<dyn FnMut(&[u8]) -> Answer>;

/// All of them.
pub(super) fn all() -> Vec<Reader> {
    vec![
        readings(),
        profile(),
        file("round", "x.round.toml", &records("round.toml"), true),
        file("saw", "x.saw.toml", &records("saw.toml"), true),
        file("card", "loop.toml", &texts("tests/records/valid", "card"), false),
        file("sharpeners", "sharpeners.toml", &[source("demo/workshop/sharpeners.toml")], false),
        history(),
        settings(),
        keys(),
        table(),
        script(),
        dialogue(),
    ]
}

fn source(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// The texts of a folder whose names begin so.
fn texts(folder: &str, begin: &str) -> Vec<String> {
    files(folder, |name| name.starts_with(begin))
}

fn records(end: &str) -> Vec<String> {
    files("tests/records/valid", |name| name.ends_with(end))
}

fn files(folder: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let entries = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.retain(|path| fits(&path.file_name().unwrap().to_string_lossy()));
    let found: Vec<String> = paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    assert!(!found.is_empty(), "{folder}: no text to begin with");
    found
}

fn refused(first: bool, why: &dyn std::fmt::Display) -> Answer {
    Answer::Refused { first, why: why.to_string() }
}

fn is_toml(bytes: &[u8]) -> bool {
    std::str::from_utf8(bytes).is_ok_and(|text| toml::from_str::<toml::Table>(text).is_ok())
}

/// Readings go the way of a line at the bench: through the coach, at a length, at strokes and at an angle.
fn readings() -> Reader {
    let card = invented::card("bench", 24);
    let mut coaches = Vec::new();
    for wanted in [Reading::LengthBefore, Reading::Strokes, Reading::Angle] {
        let mut round = Round::begin(invented::header(&card, invented::at(0), "Ina")).unwrap();
        while round.step().ask != Ask::Read(wanted) {
            let event = invented::answer(&round, 8.0).unwrap();
            let seq = u32::try_from(round.entries.len()).unwrap() + 1;
            let at = invented::at(0);
            round.apply(Entry { seq, at, by: None, typed: None, event });
        }
        coaches.push(Coach::new(round, Past::default(), Skill::default(), Prices::default()));
    }
    Reader {
        name: "reading",
        costs: 1,
        make: Box::new(|random| forms::reading(random).into_bytes()),
        read: Box::new(move |bytes| {
            let line = String::from_utf8_lossy(bytes).into_owned();
            let mut last = Answer::Taken;
            for coach in &mut coaches {
                let reply = coach.enter(&line, invented::at(0));
                coach.refuse();
                last = match reply {
                    Reply::Record(_) | Reply::Moved | Reply::Saw(_) => Answer::Taken,
                    Reply::Question(question) => refused(false, &question.text),
                    Reply::Refused(why) => refused(true, &why),
                };
                // What no length, count of strokes or angle can be is not even a number.
                if last.past_first() {
                    break;
                }
            }
            last
        }),
    }
}

fn profile() -> Reader {
    let mut bases = texts("profiles", "");
    bases.extend(texts("tests/profiles/valid", ""));
    Reader {
        name: "profile",
        costs: 10,
        make: Box::new(move |random| {
            let text = forms::changed(&bases, random);
            forms::bytes(text, random)
        }),
        read: Box::new(|bytes| {
            let Ok(text) = std::str::from_utf8(bytes) else { return refused(true, &"no text") };
            match Profile::parse("x.toml", text) {
                Ok(profile) => match Profile::parse("x.toml", &profile.to_toml()) {
                    Ok(again) if again == profile => Answer::Taken,
                    again => Answer::Wrong(format!("does not read back the same: {again:?}")),
                },
                Err(error) => refused(!is_toml(bytes), &error),
            }
        }),
    }
}

/// A file of the data folder, told by its name.
fn file(reader: &'static str, name: &'static str, bases: &[String], has_sums: bool) -> Reader {
    let bases = bases.to_vec();
    let folder = tempfile::tempdir().unwrap();
    Reader {
        name: reader,
        costs: 10,
        make: Box::new(move |random| {
            let text = forms::changed(&bases, random);
            let text = if has_sums { forms::sealed(&text, random) } else { text };
            forms::bytes(text, random)
        }),
        read: Box::new(move |bytes| {
            let path = folder.path().join(name);
            fs::write(&path, bytes).unwrap();
            match check_file(&path) {
                Ok(_) => Answer::Taken,
                Err(errors) => {
                    let why = errors[0].to_string().replace(&path.display().to_string(), name);
                    let form = ["check sum", "does not end", "is cut", "no header", "first line"];
                    let first = if has_sums { form.iter().any(|word| why.contains(word)) } else { !is_toml(bytes) };
                    refused(first || (has_sums && !is_toml(bytes)), &why)
                }
            }
        }),
    }
}

fn history() -> Reader {
    let (_dir, rack) = invented::rack();
    let card = invented::card("bench", 24);
    rack.create_loop(&card).unwrap();
    invented::whole_round(&rack, &card, invented::at(1), "Ina", 8.0);
    rack.refresh();
    let base = fs::read_to_string(rack.root().join("loops/bench/history.toml")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    Reader {
        name: "history",
        costs: 10,
        make: Box::new(move |random| {
            let changed = forms::changed(std::slice::from_ref(&base), random);
            let text = if forms::chance(0.9, random) { forms::summed(&changed) } else { changed };
            forms::bytes(text, random)
        }),
        read: Box::new(move |bytes| {
            let path = folder.path().join("history.toml");
            fs::write(&path, bytes).unwrap();
            match check_file(&path) {
                Ok(_) => Answer::Taken,
                Err(errors) => refused(errors[0].to_string().contains("check sum") || !is_toml(bytes), &errors[0]),
            }
        }),
    }
}

fn settings() -> Reader {
    let base =
        "format = 1\ncolours = \"few\"\nascii = false\ncontrast = true\nunits = \"mm\"\nbell = true\nmouse = false\n"
            .to_owned();
    let folder = tempfile::tempdir().unwrap();
    Reader {
        name: "settings",
        costs: 10,
        make: Box::new(move |random| {
            let text = forms::changed(std::slice::from_ref(&base), random);
            forms::bytes(text, random)
        }),
        read: Box::new(move |bytes| {
            let path = folder.path().join("settings.toml");
            fs::write(&path, bytes).unwrap();
            Settings::check(&path).map_or_else(|error| refused(!is_toml(bytes), &error), |()| Answer::Taken)
        }),
    }
}

fn keys() -> Reader {
    let base = "[round]\n\"back\" = [\"/\", \"Backspace\"]\npause = [\"p\"]\n".to_owned();
    Reader {
        name: "keys",
        costs: 10,
        make: Box::new(move |random| {
            let text = forms::keys(std::slice::from_ref(&base), random);
            forms::bytes(text, random)
        }),
        read: Box::new(|bytes| {
            let Ok(text) = std::str::from_utf8(bytes) else { return refused(true, &"no text") };
            remap::check(text).map_or_else(|error| refused(!is_toml(bytes), &error), |()| Answer::Taken)
        }),
    }
}

fn table() -> Reader {
    Reader {
        name: "table",
        costs: 10,
        make: Box::new(|random| {
            let text = forms::table(random);
            forms::bytes(text, random)
        }),
        read: Box::new(|bytes| {
            let Ok(text) = std::str::from_utf8(bytes) else { return refused(true, &"no text") };
            match preview(text, &Options { unit: Some(Unit::Mm), ..Options::default() }, None) {
                Ok(seen) if seen.refused.is_empty() => Answer::Taken,
                Ok(seen) => refused(false, &seen.refused[0].reason),
                Err(error @ (ImportError::Empty | ImportError::Header { .. } | ImportError::Text { .. })) => {
                    refused(true, &error)
                }
                Err(error) => refused(false, &error),
            }
        }),
    }
}

fn script() -> Reader {
    Reader {
        name: "script",
        costs: 100,
        make: Box::new(|random| forms::script(random).into_bytes()),
        read: Box::new(|bytes| {
            let (dir, rack) = invented::rack();
            let card = invented::card("bench", 24);
            rack.create_loop(&card).unwrap();
            let (mut file, mut round) = rack.begin_round(&invented::header(&card, invented::at(1), "Ina")).unwrap();
            invented::work(&mut file, &mut round, 8.0, 12);
            drop(file);
            let look = Shared::new(Theme::default(), Unit::Mm, invented::at(2));
            let desk = Desk::new(rack, Settings::default());
            let mut play = Rehearsal::new(App::new(look), desk, (80, 24), invented::at(2));
            let played = play.play(&String::from_utf8_lossy(bytes));
            drop(play);
            match (in_order(dir.path()), played) {
                (Err(why), _) => Answer::Wrong(why),
                (Ok(()), Ok(_)) => Answer::Taken,
                (Ok(()), Err(error)) => refused(error.line == 1, &error),
            }
        }),
    }
}

fn dialogue() -> Reader {
    Reader {
        name: "dialogue",
        costs: 100,
        make: Box::new(|random| forms::dialogue(random).into_bytes()),
        read: Box::new(|bytes| {
            let dir = tempfile::tempdir().unwrap();
            let care = Workshop::open(dir.path().join("data")).unwrap();
            let mut said = Vec::new();
            let ended = plain::run(&care, Cursor::new(bytes), &mut said, || invented::at(3), "", false);
            match (in_order(dir.path()), ended) {
                (Err(why), _) => Answer::Wrong(why),
                (Ok(()), Ok(plain::Ended::Nothing)) => refused(true, &"nothing was begun"),
                (Ok(()), Ok(_)) => Answer::Taken,
                (Ok(()), Err(error)) => refused(false, &format!("{error:#}")),
            }
        }),
    }
}

/// Whether all files that were written are in order.
fn in_order(root: &Path) -> Result<(), String> {
    let mut folders = vec![root.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                folders.push(path);
            } else if name == "settings.toml" {
                Settings::check(&path).map_err(|error| error.to_string())?;
            } else if name != "tags.html" {
                check_file(&path).map_err(|errors| errors[0].to_string())?;
            }
        }
    }
    // A folder that cannot be opened again would be worse than any file.
    Rack::open(root.join("data")).map(drop).map_err(|error| error.to_string())
}
