//! Texts that know the form of what they stand for.

use proptest::prelude::RngExt;
use proptest::test_runner::TestRunner;
use regex_lite::Regex;

/// Numbers at an edge, or beside one.
const NUMBERS: [&str; 22] = [
    "0",
    "-0.0",
    "1",
    "-1",
    "0.01",
    "0.65",
    "2",
    "3.0",
    "5.5",
    "7.9",
    "8.05",
    "9.999",
    "12.7",
    "30",
    "72",
    "200",
    "201",
    "65536",
    "9223372036854775807",
    "1e308",
    "nan",
    "inf",
];
/// Values of any type.
const VALUES: [&str; 16] = [
    "true",
    "false",
    "\"\"",
    "\"left\"",
    "\"full\"",
    "\"LR-LR-\"",
    "\"three-eighths\"",
    "\"2026-05-01T08:00:00+02:00\"",
    "\"\\u001b[31m\"",
    "\"\\u202e\"",
    "\"a\\\"b\"",
    "[]",
    "[1, 2]",
    "{}",
    "1979-05-27T07:32:00Z",
    "\"published\"",
];

/// One of some.
pub(super) fn one<'a, T: ?Sized>(of: &[&'a T], random: &mut TestRunner) -> &'a T {
    of[random.rng().random_range(0..of.len())]
}

pub(super) fn below(count: usize, random: &mut TestRunner) -> usize {
    random.rng().random_range(0..count.max(1))
}

pub(super) fn chance(of: f64, random: &mut TestRunner) -> bool {
    random.rng().random_bool(of)
}

/// One of the texts, with up to four changes to its lines.
pub(super) fn changed(bases: &[String], random: &mut TestRunner) -> String {
    let mut lines: Vec<String> = bases[below(bases.len(), random)].lines().map(str::to_owned).collect();
    for _ in 0..below(4, random) {
        let at = below(lines.len(), random);
        let Some(line) = lines.get(at).cloned() else { continue };
        match below(10, random) {
            0..=3 => lines[at] = other_number(&line, random),
            4 | 5 => lines[at] = other_value(&line, random),
            6 => drop(lines.remove(at)),
            7 => {
                let from: Vec<&str> = bases[below(bases.len(), random)].lines().collect();
                lines.insert(at, from[below(from.len(), random)].to_owned());
            }
            8 => {
                let to = below(lines.len(), random);
                lines.swap(at, to);
            }
            _ => lines.insert(at, line),
        }
    }
    lines.join("\n") + "\n"
}

fn other_number(line: &str, random: &mut TestRunner) -> String {
    let number = Regex::new(r"-?\d+(\.\d+)?").unwrap();
    let found: Vec<_> = number.find_iter(line).map(|found| found.range()).collect();
    let Some(range) = found.get(below(found.len(), random)) else { return line.to_owned() };
    format!("{}{}{}", &line[..range.start], one(&NUMBERS, random), &line[range.end..])
}

fn other_value(line: &str, random: &mut TestRunner) -> String {
    let Some((key, _)) = line.split_once(" = ") else { return line.to_owned() };
    let value = if chance(0.3, random) { one(&NUMBERS, random) } else { one(&VALUES, random) };
    format!("{key} = {value}")
}

/// Now and then a byte that is not the right one.
pub(super) fn bytes(text: String, random: &mut TestRunner) -> Vec<u8> {
    let mut bytes = text.into_bytes();
    if chance(0.08, random) && !bytes.is_empty() {
        let at = below(bytes.len(), random);
        bytes[at] = random.rng().random();
    }
    bytes
}

/// A record with its sums, and mostly its numbers, put right again.
pub(super) fn sealed(text: &str, random: &mut TestRunner) -> String {
    if chance(0.1, random) {
        return text.to_owned();
    }
    let numbered = chance(0.8, random);
    let mut out = String::new();
    let mut seq = 0;
    let mut block = String::new();
    for line in text.lines().chain(["["]) {
        if line.starts_with('[') {
            if !block.is_empty() {
                out.push_str(&format!("{block}crc = \"{:08x}\"\n\n", crc32fast::hash(block.as_bytes())));
            }
            block.clear();
        }
        match line.split_once(" = ") {
            Some(("crc", _)) => {}
            Some(("seq", _)) if numbered => {
                seq += 1;
                block.push_str(&format!("seq = {seq}\n"));
            }
            _ if line.is_empty() => {}
            _ => block.push_str(&format!("{line}\n")),
        }
    }
    out.truncate(out.trim_end().len() + 1);
    out
}

/// A derived text with the sum over the rest put right in its first line.
pub(super) fn summed(text: &str) -> String {
    let body = text.split_once('\n').map_or("", |(_, body)| body);
    format!("crc = \"{:08x}\"\n{body}", crc32fast::hash(body.as_bytes()))
}

/// A reading as people and instruments send one.
pub(super) fn reading(random: &mut TestRunner) -> String {
    let number = match below(6, random) {
        0 => format!("{}", below(40, random)),
        1 => format!("{},{:02}", below(12, random), below(100, random)),
        2 => one(&NUMBERS, random).to_owned(),
        3 => format!("{}:{:02}", below(60, random), below(60, random)),
        _ => format!("{}.{:0width$}", below(12, random), below(1000, random), width = 1 + below(4, random)),
    };
    if chance(0.5, random) {
        return number;
    }
    let before = one(&["", " ", "+", "N+  ", "01A+0000", "1 +0", "\u{2212}", "A+", "\u{2}", "ERR"], random);
    let after =
        one(&["", " mm", "mm", " in", "\"", " deg", "\u{b0}", " M O", " mm =", "\t", "um", ";", "\u{202e}"], random);
    format!("{before}{number}{after}")
}

/// A table of readings as a spreadsheet saves it.
pub(super) fn table(random: &mut TestRunner) -> String {
    const NAMES: [&str; 14] = [
        "after_mm",
        "top plate",
        "gap_before_mm",
        "Raker gap (in)",
        "strokes",
        "need mm",
        "state",
        "note",
        "unknown",
        "",
        "filed_to_mm",
        "angle",
        "gap_mm",
        "condition",
    ];
    let cut = one(&[",", ";", "\t"], random);
    let cutter = one(&["cutter", "Tooth", "no", "#"], random);
    let side = one(&["side", "hand", "L/R"], random);
    let length = one(&["length_mm", "length mm", "before_mm", "length_in", "length"], random);
    let mut names = vec![cutter, side, length];
    (0..below(4, random)).for_each(|_| names.push(one(&NAMES, random)));
    if chance(0.04, random) {
        names.remove(below(names.len(), random));
    }
    let mut text = String::from(one(&["", "", "", "\u{feff}", "sep=,\n"], random)) + &names.join(cut) + "\n";
    let first = below(2, random);
    for n in 1..=4 + below(20, random) {
        let mut row = vec![n.to_string(), one(&[["left", "l"], ["right", "R"]][(n + first) % 2], random).to_owned()];
        for _ in 2..names.len() {
            row.push(match below(12, random) {
                0 => reading(random),
                1 => String::new(),
                2 => one(&["damaged", "missing", "healthy", "=1+1", "\"a\"\"b\"", "30", "4"], random).to_owned(),
                _ => format!("{}.{:02}", 7 + below(2, random), below(100, random)),
            });
        }
        text.push_str(&(row.join(cut) + one(&["\n", "\n", "\n", "\r\n"], random)));
    }
    text
}

/// Keys of one's own.
pub(super) fn keys(bases: &[String], random: &mut TestRunner) -> String {
    const PLACES: [&str; 8] = ["round", "rack", "everywhere", "question", "page", "saw", "nowhere", "form"];
    const NAMES: [&str; 10] =
        ["back", "pause", "sheet", "new", "search", "damaged", "view", "quit", "enough", "nothing"];
    const KEYS: [&str; 12] = ["p", "/", "Backspace", "F2", "Ctrl-b", "7", "Enter", "x", "Esc", "Alt-x", "", "Home"];
    if chance(0.3, random) {
        return changed(bases, random);
    }
    let mut text = String::new();
    let first = below(PLACES.len(), random);
    for n in 0..=below(3, random) {
        text.push_str(&format!("[{}]\n", PLACES[(first + n) % PLACES.len()]));
        let name = below(NAMES.len(), random);
        for n in 0..below(4, random) {
            let name = NAMES[(name + n) % NAMES.len()];
            let keys: Vec<String> = (0..=below(2, random)).map(|_| format!("\"{}\"", one(&KEYS, random))).collect();
            text.push_str(&format!("{name} = [{}]\n", keys.join(", ")));
        }
    }
    text
}

/// A script of a rehearsal.
pub(super) fn script(random: &mut TestRunner) -> String {
    const KEYS: [&str; 24] = [
        "Enter", "Esc", "Up", "Down", "Left", "Right", "PgDn", "F1", "Tab", "Space", "n", "e", "s", "h", "t", "c", "m",
        "l", "g", "p", ",", "*", "/", "d",
    ];
    let mut text = String::new();
    for _ in 0..=below(14, random) {
        let line = match below(14, random) {
            0..=5 => format!("key {} {}", one(&KEYS, random), one(&KEYS, random)),
            6 => format!("type {}", reading(random)),
            7 => format!("enter {}", reading(random)),
            8 => format!("line {}", reading(random)),
            9 => format!("paste {}", reading(random)),
            10 => format!("size {}x{}", 1 + below(200, random), 1 + below(60, random)),
            11 => format!("wait {}", one(&["1", "60", "31536000", "4294967295"], random)),
            12 => format!(
                "at {}",
                one(&["2026-10-31T08:00:00+01:00", "1970-01-01T00:00:00Z", "9999-12-31T23:59:59Z"], random)
            ),
            _ => one(
                &["show x", "hold Down 20", "# remark", "hold Enter 3", "show", "wish", "key Nokey", "at noon"],
                random,
            )
            .to_owned(),
        };
        text.push_str(&(line + "\n"));
    }
    text
}

/// Lines for the plain dialogue: mostly a loop and its intake, then anything that can be answered there.
pub(super) fn dialogue(random: &mut TestRunner) -> String {
    const WISHES: [&str; 30] = [
        "back",
        "pause",
        "again",
        "damaged 7 0.6",
        "damaged 1",
        "missing 3",
        "kept 7",
        "short 4",
        "reject rivets 7 loose",
        "reject",
        "go 12",
        "go rakers",
        "go choose",
        "go prove",
        "enough",
        "note 7: a nick",
        "note \u{202e}x",
        "zero 0.00",
        "zero 9",
        "saw Big",
        "keep",
        "keep",
        "sheet",
        "give up",
        "help",
        "release bench",
        "scrap bench",
        "*",
        "/",
        "missing 999",
    ];
    let mut text = String::new();
    if chance(0.92, random) {
        text.push_str("new\nbench\nthree-eighths\n");
        text.push_str(one(&["24", "24", "40", "72", "13\n24"], random));
        text.push_str(one(&["\nfull\nleft\n", "\nskip\nskip\nfull\nright\n", "\n\n\n"], random));
        text.push_str(one(&["\n\n\n\n", "0.65\n0.9\nno\nround\n", "0.6\n\nyes\nsquare\n"], random));
        text.push_str(one(&["Ina\nany\nfile\nmm\n", "Ina\nhardwood\nfile\nmm\n", "Tove\nsoft\ngrind\ninch\n"], random));
        text.push_str(one(&["length\nleft\n", "all\nleft\n", "\n\n"], random));
        if chance(0.8, random) {
            text.push_str(&format!("{}0.00\n", "1\n".repeat(7 + below(2, random))));
        }
    }
    for _ in 0..below(60, random) {
        let line = match below(10, random) {
            0..=4 => format!("{}.{:02}", 7 + below(2, random), below(100, random)),
            5 => reading(random),
            6 => one(&["1", "2", "0", "", "*", "30", "4"], random).to_owned(),
            _ => one(&WISHES, random).to_owned(),
        };
        text.push_str(&(line + one(&["\n", "\n", "\n", "\r\n"], random)));
    }
    text
}
