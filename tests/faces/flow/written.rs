//! Whatever is done at the bench, what the program writes is what its own check takes.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use evenbite::record::{Sharpener, check_file};
use evenbite::tui::settings::Settings;
use evenbite::units::mm;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};

use super::super::played::{Bench, COLOUR, intake, measured, sound};

/// Numbers and words as hands and instruments leave them, right and wrong.
const TYPED: [&str; 24] = [
    "8.05",
    "7.62",
    "738",
    "-8.9",
    "0.03",
    "80.5",
    "45.3",
    "",
    "0",
    "1",
    "2",
    "3",
    "0.65",
    "1.4",
    "30",
    "67",
    "72",
    "0.31in",
    "7,9mm",
    "nan",
    "1e5",
    "x\u{202e}y",
    "Ina",
    "999999",
];

/// Keys that do something in a round, a form or on a page; none of them leaves the program.
const KEYS: [&str; 22] = [
    "Enter",
    "Enter",
    "Esc",
    "*",
    "/",
    "y",
    "d",
    "x",
    "k",
    "e",
    "r",
    "z",
    "n",
    "g",
    "j",
    "h",
    "Right",
    "Down",
    "Up",
    "Left",
    "End",
    "Backspace",
];

/// How many kinds of work there are.
const KINDS: u8 = 12;

/// One thing done at the bench, by two numbers.
fn done(what: u8, number: u32) -> String {
    let typed = |shift: u32| TYPED[(number.rotate_right(shift) as usize) % TYPED.len()];
    let key = |shift: u32| KEYS[(number.rotate_right(shift) as usize) % KEYS.len()];
    let back = "key Esc\nkey Esc\nkey Esc\n";
    match what {
        // A card, a field of it changed, kept or refused.
        0 => format!(
            "{back}key *\nkey e\n{}enter {}\n{}",
            "enter\n".repeat(number as usize % 23),
            typed(5),
            "enter\n".repeat(24)
        ),
        1 => format!("{back}key *\nkey Enter\n{}", "enter\n".repeat(8)),
        2 => format!("{back}key *\nkey g\nenter {}\nenter {}\nenter {}\nenter\nenter\n", typed(1), typed(7), typed(13)),
        3 => format!(
            "{back}key *\nkey l\nenter Big saw\nkey Enter\nenter {}\nenter {}\nkey e\nkey Enter\n",
            typed(3),
            typed(9)
        ),
        4 => {
            format!("{back}key *\nkey ,\n{}key Right\n{}", "enter\n".repeat(number as usize % 9), "enter\n".repeat(10))
        }
        5 => format!("{back}key *\nkey x\nenter {}\n", typed(2)),
        6 => format!("{back}key *\nkey r\nenter {}\nenter {}\n", typed(4), typed(8)),
        7 => (0..12).map(|step| format!("enter {}\n", typed(step * 3))).collect(),
        8 => (0..6).map(|step| format!("key {}\n", key(step * 5))).collect(),
        9 => format!("enter {}\nkey {}\nenter {}\nkey {}\n", typed(0), key(3), typed(6), key(9)),
        10 => "enter 1\n".repeat(7) + "enter\n" + &measured(12) + &format!("enter {}\nkey *\n", typed(11)),
        _ => "enter 7.92\n".repeat(11) + "enter\n",
    }
}

/// Every file below a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

/// What the check says against the files of a data folder.
fn faults(root: &Path) -> Vec<String> {
    let mut faults = Vec::new();
    for path in files(root) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        match name.as_str() {
            // A page for people, and what says that it is a demo.
            _ if path.extension().is_none_or(|end| end != "toml" && end != "jsonl") => {}
            "settings.toml" => faults.extend(Settings::check(&path).err().map(|error| error.to_string())),
            _ => faults.extend(check_file(&path).err().into_iter().flatten().map(|error| error.to_string())),
        }
    }
    faults
}

/// What sort of file a name is of.
fn sort(name: &str) -> &str {
    let suffixes = [".round.toml", ".saw.toml"];
    suffixes.into_iter().find(|suffix| name.ends_with(suffix)).unwrap_or(name)
}

/// Every kind of work once, in any order, and then some more.
fn work() -> impl Strategy<Value = Vec<(u8, u32)>> {
    let kinds = Just((0..KINDS).collect::<Vec<u8>>()).prop_shuffle();
    let numbers = prop::collection::vec(any::<u32>(), usize::from(KINDS));
    (kinds, numbers, prop::collection::vec((0..KINDS, any::<u32>()), 0..4))
        .prop_map(|(kinds, numbers, more)| kinds.into_iter().zip(numbers).chain(more).collect())
}

#[test]
fn whatever_is_written_is_taken_by_the_check() {
    let written = RefCell::new(BTreeSet::new());
    let config = ProptestConfig { cases: 10, failure_persistence: None, ..ProptestConfig::default() };
    // The same work each time: by chance alone a sort of file was not reached in one run of a few.
    let dice = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let done = TestRunner::new_with_rng(config, dice).run(&work(), |work| {
        let mut bench = Bench::new((80, 24), COLOUR);
        bench.run(&intake(20, 0, 0));
        let root = bench.rack().root().to_owned();
        let card = fs::read(root.join("loops/twelve/loop.toml")).unwrap();
        for (what, number) in work {
            let script = done(what, number);
            bench.run(&script);
            let u = TYPED[number as usize % TYPED.len()].parse().ok().map(mm);
            // Whether it is taken or refused, the list stays one that can be read.
            let name = format!("hand {}", number % 3);
            let _ = bench.rack().save_sharpener(&Sharpener { name, length_u: u, ..Sharpener::default() });
            prop_assert_eq!(faults(&root), Vec::<String>::new(), "after\n{}", script);
        }
        let names = files(&root).into_iter().map(|path| path.file_name().unwrap().to_string_lossy().into_owned());
        written.borrow_mut().extend(names.map(|name| sort(&name).to_owned()));
        if fs::read(root.join("loops/twelve/loop.toml")).unwrap() != card {
            written.borrow_mut().insert("a card, changed".to_owned());
        }
        Ok(())
    });
    done.unwrap();
    // What the work never reached was not checked.
    let written = written.into_inner();
    for sort in [
        ".round.toml",
        ".saw.toml",
        "a card, changed",
        "history.toml",
        "loop.toml",
        "rack.jsonl",
        "saws.jsonl",
        "settings.toml",
        "sharpeners.toml",
    ] {
        assert!(written.contains(sort), "{sort} was never written: {written:?}");
    }
}

#[test]
fn a_length_to_file_to_that_no_cutter_can_have_is_refused_and_never_kept() {
    for typed in ["-8.9", "0.03", "-0.5"] {
        let mut bench = Bench::looked();
        bench.run(&measured(10)).run(&format!("enter {typed}\nkey *\n"));
        assert_eq!(bench.round().target, None, "{typed}\n{}", bench.screen());
        assert_eq!(faults(bench.rack().root()), Vec::<String>::new(), "{typed}");
    }
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, 0)).run(&sound()).run("key e\nenter -8.9\nkey *\n");
    assert_eq!(bench.round().target, None, "nothing measured either");
}
