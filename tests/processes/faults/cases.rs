//! Work that writes at every place where the program writes, to be disturbed.

use std::collections::BTreeMap;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus};
use std::sync::LazyLock;

use proptest::test_runner::TestRunner;
use regex_lite::Regex;

use super::bench::{Script, Session, Typed, acknowledged, copy, plain, program};
use super::oracle::Expected;
use super::tally::Tally;

/// Some work over a folder that begins as `begin`.
pub(super) struct Case {
    pub name: &'static str,
    /// What lies in the folder before; the data folder is `data` in it.
    begin: tempfile::TempDir,
    before: Facts,
    args: Vec<&'static str>,
    lines: String,
    readings: Vec<Typed>,
    /// What is on record before.
    expected: Expected,
    /// What comes of it undisturbed.
    pub clean: Done,
}

/// What came of the work.
#[derive(Debug, Clone, Default)]
pub(super) struct Done {
    pub status: Option<ExitStatus>,
    /// What it said, without times.
    said: String,
    pub acknowledged: Vec<Typed>,
    /// All that lies there, without times and sums; derived files are left out.
    facts: Facts,
}

/// What files hold, by their names.
type Facts = BTreeMap<String, String>;

impl Done {
    /// Nothing but acknowledgements and what lies in the folder, the program having ended in the middle.
    pub(super) fn only(acknowledged: Vec<Typed>, work: &Path) -> Self {
        Self { acknowledged, facts: facts(work), ..Self::default() }
    }
}

/// Loops of the demo's workshop that stand for a small one.
const SMALL: [&str; 2] = ["hollow-1", "visitor"];

impl Case {
    /// All of them.
    pub(super) fn all(random: &mut TestRunner) -> Vec<Self> {
        let face = ["--data", "data", "--plain"];
        let mut cases = Vec::new();
        let mut add = |name, begin: Begin, args: &[&'static str], lines: &str| {
            let begin = begin.folder(random);
            let mut case = Self {
                name,
                args: args.to_vec(),
                lines: lines.to_owned(),
                readings: begin.readings,
                expected: begin.expected,
                clean: Done::default(),
                before: facts(begin.folder.path()),
                begin: begin.folder,
            };
            if lines.is_empty() {
                case.lines = begin.lines;
            }
            let work = tempfile::tempdir().unwrap();
            case.clean = case.run(work.path(), &[]);
            assert_eq!(case.clean.status.and_then(|status| status.code()), Some(0), "{name}: {}", case.clean.said);
            cases.push(case);
        };
        add("a record", Begin::Round, &face, "");
        add("a card and a round", Begin::Nothing, &face, "");
        let saw = "bench\nsaw Big\n1\n2\n1\n1\n1\n1\n";
        add("a saw", Begin::Round, &face, saw);
        add("the end of a round", Begin::Round, &face, "bench\nreject rivets 7 turns by hand\n1\n");
        add("a card", Begin::Small, &face, "scrap hollow-1\nworn out\n");
        add("derived files", Begin::Small, &face, "\n");
        let rehearse = ["--data", "data", "rehearse", "-"];
        add("settings", Begin::Small, &rehearse, "key ,\nkey Down\nkey Right\nshow a\nkey Esc\nshow b\n");
        add("a folder read back", Begin::Export, &["--data", "data", "import", "all.jsonl"], "\n");
        let table = ["--data", "data", "import", "table.csv", "--loop", "fir", "--profile", "three-eighths"];
        let table = [&table[..], &["--links", "72", "--sharpener", "Ina"]].concat();
        add("a table taken in", Begin::Table, &table, "\n");
        add("an export", Begin::Small, &["--data", "data", "export", "--output", "out"], "\n");
        let sheet = ["--data", "data", "sheet", "visitor", "--format", "html", "--output", "out"];
        add("a sheet", Begin::Small, &sheet, "\n");
        add("tags", Begin::Small, &["--data", "data", "tags", "--output", "out"], "\n");
        add("a history", Begin::Small, &["--data", "data", "history", "visitor", "--output", "out"], "\n");
        add("a backup", Begin::Small, &["--data", "data", "backup", "all.tar.gz"], "\n");
        add("a backup brought back", Begin::Backup, &["--data", "data", "restore", "all.tar.gz"], "\n");
        add("folders joined", Begin::Apart, &["--data", "data", "join", "other", "--yes"], "\n");
        add("a name taken out", Begin::Small, &["--data", "data", "forget", "Marek", "--yes"], "\n");
        cases
    }

    /// Lays out what is there before the work.
    pub(super) fn lay_begin(&self, work: &Path) {
        copy(self.begin.path(), work);
    }

    /// Does the work in a folder, behind another program (a tracer) where one is named.
    pub(super) fn run(&self, work: &Path, behind: &[&str]) -> Done {
        self.lay_begin(work);
        let mut command = match behind {
            [] => Command::new(program()),
            [tracer, rest @ ..] => {
                let mut command = Command::new(tracer);
                command.args(rest).arg(program());
                command
            }
        };
        command.args(&self.args).current_dir(work);
        let side = tempfile::tempdir().unwrap();
        let (status, said) = Session::start(&mut command, &self.lines, &side.path().join("said")).end();
        Done { status, acknowledged: acknowledged(&said), said: without_times(&said), facts: facts(work) }
    }

    /// Holds what the folder holds now against what was there, what was typed and what was acknowledged.
    pub(super) fn judge(&self, work: &Path, done: &Done, when: &str, tally: &mut Tally) {
        let mut expected = self.expected.clone();
        expected.typed(&self.readings);
        tally.acknowledged += expected.acknowledged(&done.acknowledged);
        expected.judge(&work.join("data"), "bench", when, tally);
        let (before, after, found) = (&self.before, &self.clean.facts, &done.facts);
        for name in before.keys().chain(after.keys()).collect::<std::collections::BTreeSet<_>>() {
            let known = [before.get(name), after.get(name)];
            let now = found.get(name);
            let part = |whole: &String| now.is_some_and(|now| whole.starts_with(now.as_str()));
            let grows = [".round.toml", ".saw.toml", "sharpeners.toml"].iter().any(|end| name.ends_with(end));
            match now {
                _ if known.contains(&now) => {}
                // A page from which something was left out is judged by what was said of it.
                Some(_) if name == "out" && done.status.is_some_and(|status| status.code().is_some()) => {}
                // Readings are judged one by one; of what else a record says the beginning must be there.
                Some(_) if grows && known[1].is_some_and(part) => {}
                Some(_) if name.ends_with(".round.toml") && known[0].is_some() => {}
                None => tally.lost(1, || format!("{when}: {name} is gone")),
                Some(_) => tally.invented(1, || format!("{when}: {name} is neither the old nor the new")),
            }
        }
    }

    /// Counts it as silent where all was said as if nothing had happened, and something had.
    pub(super) fn judge_silence(&self, done: &Done, when: &str, tally: &mut Tally) {
        let as_ever = done.status == self.clean.status && done.said == self.clean.said;
        tally.silent(usize::from(done.status.is_none()), || format!("{when}: hung: {}", done.said));
        if as_ever && done.facts != self.clean.facts {
            let differ = |name: &&String| done.facts.get(*name) != self.clean.facts.get(*name);
            let names: Vec<&String> = self.clean.facts.keys().chain(done.facts.keys()).filter(differ).collect();
            tally.silent(1, || format!("{when}: {names:?} not as ever, and not a word of it"));
        }
        tally.silent(usize::from(done.said.contains("panicked")), || format!("{when}: {}", done.said));
    }
}

/// How a folder begins.
enum Begin {
    Nothing,
    /// A loop with an open round and three readings.
    Round,
    /// Two loops of the demo.
    Small,
    /// An export of them.
    Export,
    /// A backup of them.
    Backup,
    /// One of them in a folder of its own.
    Apart,
    /// A table of readings.
    Table,
}

struct Begun {
    folder: tempfile::TempDir,
    lines: String,
    readings: Vec<Typed>,
    expected: Expected,
}

impl Begin {
    fn folder(self, random: &mut TestRunner) -> Begun {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("data");
        let side = tempfile::tempdir().unwrap();
        let said = side.path().join("said");
        let mut begun = Begun { folder, lines: String::new(), readings: Vec::new(), expected: Expected::default() };
        match self {
            Self::Nothing | Self::Round => {
                if matches!(self, Self::Round) {
                    let script = Script::next(&data, "bench", 3, random);
                    let (_, heard) = Session::start(&mut plain(&data), &script.lines, &said).end();
                    begun.expected.typed(&script.readings);
                    assert_eq!(begun.expected.acknowledged(&acknowledged(&heard)), 3, "{heard}");
                }
                let script = Script::next(&data, "bench", 3, random);
                (begun.lines, begun.readings) = (script.lines, script.readings);
            }
            Self::Small => small(&data),
            Self::Export => written(&begun, &side, &["export", "--output"], "all.jsonl"),
            Self::Backup => written(&begun, &side, &["backup"], "all.tar.gz"),
            Self::Apart => {
                small(&data);
                let other = begun.folder.path().join("other");
                small(&other);
                fs::remove_dir_all(data.join("loops/visitor")).unwrap();
                fs::remove_dir_all(other.join("loops/hollow-1")).unwrap();
            }
            Self::Table => {
                let rows =
                    (1..=36).map(|n| format!("{n},{},8.0{}\n", if n % 2 == 1 { "left" } else { "right" }, n % 10));
                let text = format!("cutter,side,length_mm\n{}", rows.collect::<String>());
                fs::write(begun.folder.path().join("table.csv"), text).unwrap();
            }
        }
        begun
    }
}

/// The small workshop, lying elsewhere, in one file where the work is done.
fn written(begun: &Begun, side: &tempfile::TempDir, args: &[&str], name: &str) {
    let data = side.path().join("data");
    small(&data);
    let mut command = Command::new(program());
    command.arg("--data").arg(data).args(args).arg(begun.folder.path().join(name));
    let (status, heard) = Session::start(&mut command, "", &side.path().join("said")).end();
    assert!(status.unwrap().success(), "{heard}");
}

fn small(data: &Path) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop");
    for tag in SMALL {
        copy(&demo.join("loops").join(tag), &data.join("loops").join(tag));
    }
    copy(&demo.join("saws"), &data.join("saws"));
    copy(&demo.join("profiles"), &data.join("profiles"));
    fs::copy(demo.join("sharpeners.toml"), data.join("sharpeners.toml")).unwrap();
}

fn facts(work: &Path) -> Facts {
    const DERIVED: [&str; 3] = ["rack.jsonl", "saws.jsonl", "history.toml"];
    let mut found = Facts::new();
    let mut folders: Vec<PathBuf> = vec![work.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(work).unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                folders.push(path);
            } else if !DERIVED.iter().any(|derived| name.ends_with(derived)) {
                let bytes = fs::read(&path).unwrap();
                let text = unpacked(&bytes).unwrap_or_else(|_| String::from_utf8_lossy(&bytes).into_owned());
                found.insert(without_new_times(&name), without_times(&text));
            }
        }
    }
    found
}

/// What an archive holds, without the times in it.
fn unpacked(bytes: &[u8]) -> std::io::Result<String> {
    let mut text = String::new();
    let mut archive = tar::Archive::new(flate2::read::GzDecoder::new(bytes));
    for entry in archive.entries()? {
        let mut entry = entry?;
        text.push_str(&format!("{}\n", entry.path()?.display()));
        entry.read_to_string(&mut text)?;
    }
    Ok(text)
}

/// A file's name without what is different at every run; times of before this one tell files apart.
pub(super) fn without_new_times(name: &str) -> String {
    static BEGUN: LazyLock<String> = LazyLock::new(|| chrono::Utc::now().format("%Y%m%dT%H%M%SZ").to_string());
    static CHANGING: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"\d{8}T\d{6}Z|\.new-\w+").unwrap());
    let told = |found: &regex_lite::Captures<'_>| {
        let found = &found[0];
        if found < BEGUN.as_str() && !found.starts_with(".new-") { found.to_owned() } else { "#".to_owned() }
    };
    CHANGING.replace_all(name, told).into_owned()
}

/// A text without what is different at every run: times, sums and what a record is known by.
fn without_times(text: &str) -> String {
    static CHANGING: LazyLock<Regex> = LazyLock::new(|| {
        let changing = concat!(
            r#"(?m)^((?:at|started|created|id|crc|sums) = ).*$"#,
            r"|\d{8}T\d{6}Z|\d{4}-\d\d-\d\d(T[0-9:.]+([+-]\d\d:\d\d|Z))?|\b\d\d:\d\d\b|\.new-\w+",
            r#"|"id":"[0-9a-f-]+""#
        );
        Regex::new(changing).unwrap()
    });
    CHANGING.replace_all(text, "${1}#").into_owned()
}
