//! The phrase book of the command line: what every command says over a good folder, a damaged one and to wrong arguments, on standard
//! error, and on standard output where it talks instead of printing a page; and all help. The real program is started for each call,
//! because only it has both outputs: about sixty times, a second of processor time in all.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::LazyLock;

use evenbite::record::Rack;
use regex_lite::Regex;

use crate::invented::{at, card, header};
use crate::not_read::{spoil, workshop};
use crate::phrases::{Book, sentences};

/// Commands that talk on standard output.
const TALK: [&str; 3] = ["import", "check", "demo"];

/// Commands, for their help.
const COMMANDS: [&str; 23] = [
    "demo",
    "gaps",
    "sheet",
    "history",
    "loops",
    "saw",
    "tags",
    "course",
    "import",
    "export",
    "tables",
    "check",
    "schema",
    "completions",
    "manual",
    "rehearse",
    "person",
    "forget",
    "rename",
    "join",
    "questions",
    "backup",
    "restore",
];

/// Calls that a whole folder answers, well or not; `DIR` is the folder beside the data.
const WHOLE: &[&str] = &[
    "gaps none",
    "gaps three-eighths --from 9 --to 3",
    "gaps three-eighths --step 0",
    "gaps three-eighths --loop none",
    "sheet none",
    "sheet onne",
    "sheet new",
    "sheet one --round 1999",
    "sheet one --round 2026",
    "sheet one --owner --format csv",
    "sheet one --output DIR/none/sheet.txt",
    "sheet one --output DIR/data/loops/one/loop.toml",
    "history none",
    "loops --find nothing-of-the-kind",
    "loops --filter nonsense",
    "saw none",
    "saw ,,,",
    "tags none",
    "tags --filter scrapped",
    "course",
    "import DIR/none.csv --loop one",
    "import DIR/good.csv --loop one --sharpener Ina --dry-run",
    "import DIR/good.csv --loop other --sharpener Ina",
    "import DIR/good.csv --loop other --profile three-eighths --links 24",
    "import DIR/good.csv --loop other --profile three-eighths --links 24 --sharpener Ina --tool file",
    "import DIR/bad.csv --loop one --sharpener Ina",
    "import DIR/words.csv --loop one --sharpener Ina",
    "import DIR/out.jsonl",
    "import DIR/words.jsonl",
    "export --format html",
    "export --output DIR/out.jsonl",
    "export --output DIR/words.csv",
    "tables DIR/good.csv",
    "check DIR/none DIR/good.csv DIR/data",
    "check DIR/data/loops/one/loop.toml DIR/data/saws/limbing-saw.saw.toml DIR/data/rack.jsonl",
    "person nobody",
    "person Ina",
    "forget nobody",
    "rename nobody somebody",
    "rename nobody ...",
    "join DIR/none --yes",
    "join DIR/data --yes",
    "questions DIR/none",
    "restore DIR/none",
    "restore DIR/good.csv",
    "schema none",
    "completions none",
    "manual none",
    "rehearse DIR/none",
    "rehearse DIR/script --size 9x",
    "rehearse DIR/script",
    "demo --format json",
    "--plain --format csv",
    "--colour nonsense",
    "--units ell",
    "--nonsense",
    "nonsense",
    "gaps",
    "import",
];

/// Calls over a folder with something damaged in each sort of file.
const DAMAGED: &[&str] = &[
    "sheet one",
    "history one",
    "history two",
    "loops",
    "saw limbing",
    "tags",
    "course",
    "gaps three-eighths",
    "export",
    "tables DIR/tables",
    "import DIR/good.csv --loop one --sharpener Ina",
    "check DIR/data/loops/two/loop.toml DIR/data/saws/limbing-saw.saw.toml DIR/data/sharpeners.toml DIR/data/settings.toml DIR/data/keys.toml",
    "check DIR/data/profiles/three-eighths.toml DIR/data/loops/one/history.toml",
];

/// Says it and what was said, without what differs from one run to the next.
fn hear(book: &mut Book, rack: &Rack, line: &str) {
    static SUMS: LazyLock<Regex> = LazyLock::new(|| Regex::new("\"[0-9a-f]{8}\"").unwrap());
    let folder = rack.root().parent().unwrap().display().to_string();
    let mut args: Vec<String> = line.split(' ').map(|word| word.replace("DIR", &folder)).collect();
    if args[0] == "saw" && args[1] == "limbing" {
        args = vec!["saw".into(), "limbing saw".into()];
    }
    let helps = args.contains(&"--help".to_owned());
    let place = if helps { "help" } else { args[0].trim_start_matches('-') }.to_owned();
    let out = Command::new(env!("CARGO_BIN_EXE_evenbite"))
        .arg("--data")
        .arg(rack.root())
        .args(&args)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let talks = TALK.contains(&&*place) || helps;
    let said = [&out.stderr[..], if talks { &out.stdout } else { b"" }].concat();
    let said = String::from_utf8(said).unwrap().replace(&folder, "DIR");
    assert!(out.status.code().is_some_and(|code| code < 3), "{line}: {said}");
    let said = SUMS.replace_all(&said, "\"#\"");
    for sentence in said.lines().flat_map(sentences) {
        book.line(&place, sentence);
    }
}

fn put(folder: &Path, name: &str, text: &str) {
    fs::write(folder.join(name), text).unwrap();
}

#[test]
fn what_the_command_line_says() {
    let mut book = Book::default();
    let (dir, rack) = workshop();
    rack.create_loop(&card("new", 24)).unwrap();
    rack.refresh();
    put(dir.path(), "good.csv", "cutter,length_mm,measured\n1,9.0,2026-03-01\n2,9.1,2026-03-01\n");
    put(dir.path(), "bad.csv", "cutter,length\n1,9.0\n1,999\n99,8.0\n3,x\n");
    put(dir.path(), "words.csv", "who,what\nIna,nothing\n");
    put(dir.path(), "words.jsonl", "{\"what\": 1}\n");
    put(dir.path(), "script", "type x\nnonsense\n");
    for command in COMMANDS {
        hear(&mut book, &rack, &format!("{command} --help"));
    }
    for line in WHOLE {
        hear(&mut book, &rack, line);
    }

    let card_two = card("three", 24);
    rack.create_loop(&card_two).unwrap();
    drop(rack.begin_round(&header(&card_two, at(5), "Ina")).unwrap());
    let root = rack.root();
    // An index that is some seconds old believes a folder in which nothing was added: what is said must not hang on the clock.
    let _ = fs::remove_file(root.join("rack.jsonl"));
    spoil(&rack.rounds("one").unwrap()[1], "seq = 4", "seq = 5");
    spoil(&root.join("loops/two/loop.toml"), "links = 24", "links = -1");
    spoil(&root.join("saws/limbing-saw.saw.toml"), "seq = 1", "seq = 2");
    fs::create_dir_all(root.join("profiles")).unwrap();
    put(&root.join("profiles"), "three-eighths.toml", "name = \"three-eighths\"\npitch = -9\n");
    put(root, "sharpeners.toml", "[[sharpener]]\nname = \"Ina\"\nlength_u_mm = -3\n");
    put(root, "settings.toml", "colours = \"none\"\nnonsense = 1\n");
    put(root, "keys.toml", "[round]\nnonsense = [\"b\"]\n");
    put(root, "practice.toml", "nonsense\n");
    for line in DAMAGED {
        hear(&mut book, &rack, line);
    }
    insta::assert_snapshot!("phrases", book.text());
}
