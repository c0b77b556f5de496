//! Sentences that may not stand together, and what may not stand beside the data.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use regex_lite::Regex;
use serde_json::Value;

use super::places::Read;

/// What is said or so.
enum Sign {
    /// A place whose name begins so says what the pattern matches.
    Says(&'static str, &'static str),
    /// The data of the sheet or of another report are so.
    Is(&'static str, fn(&Read) -> bool),
}

use Sign::{Is, Says};

/// Two that may not be true at once.
struct Pair {
    one: Sign,
    other: Sign,
    /// Why not.
    why: &'static str,
}

const fn pair(one: Sign, other: Sign, why: &'static str) -> Pair {
    Pair { one, other, why }
}

/// Cutters that are there.
fn present(read: &Read) -> impl Iterator<Item = &Value> {
    let cutters = read.sheet["cutters"].as_array().map(Vec::as_slice).unwrap_or_default();
    cutters.iter().filter(|cutter| cutter["state"] != "missing")
}

/// Those that are to be of one length.
fn matched(read: &Read) -> impl Iterator<Item = &Value> {
    present(read).filter(|cutter| cutter["state"] != "left-short")
}

fn any(cutters: impl Iterator<Item = impl std::borrow::Borrow<Value>>, verdict: &str, words: &[&str]) -> bool {
    let mut cutters = cutters;
    cutters.any(|cutter| words.iter().any(|word| cutter.borrow()["verdicts"][verdict] == *word))
}

/// True where the length after filing was skipped on purpose: what is asked for no more is nothing to redo.
fn left_out(read: &Read, cutter: &Value) -> bool {
    let left = read.sheet["round"]["left_out"].as_array().map(Vec::as_slice).unwrap_or_default();
    left.iter().any(|left| left["cutter"] == cutter["number"] && left["reading"] == "length-after")
}

/// A cutter is proven off in length, angle or gap, and nobody said that it may be.
fn open_fault(read: &Read) -> bool {
    // Where most rakers are off the same way, that is one matter of the loop, asked once.
    let whole = !read.sheet["rakers"]["whole"].is_null();
    any(matched(read).filter(|cutter| !left_out(read, cutter)), "length", &["long", "short"])
        || any(present(read), "angle", &["off"])
        || (!whole && any(present(read), "gap", &["high"]))
        || (!whole && any(present(read).filter(|cutter| !left_low(read, cutter)), "gap", &["low"]))
}

/// True for a raker that is too low and was left so by an answer: the dialogue says so, and asks no more.
fn left_low(read: &Read, cutter: &Value) -> bool {
    let left = Regex::new(r"left too low: raker of ([\d, ]+)").unwrap();
    let plain = read.told.iter().filter(|told| told.place == "plain face");
    let mut listed = plain.filter_map(|told| Some(left.captures(&told.words)?[1].to_owned()));
    listed.any(|list| {
        list.split([',', ' ']).any(|number| number.parse() == Ok(cutter["number"].as_u64().unwrap_or_default()))
    })
}

fn low_raker(read: &Read) -> bool {
    any(present(read), "gap", &["low"])
}

/// Cutters are proven uneven that do not wait for the file.
fn uneven(read: &Read) -> bool {
    read.sheet["evenness"]["uneven"].as_array().is_some_and(|uneven| !uneven.is_empty())
}

fn not_all_even(read: &Read) -> bool {
    any(matched(read), "length", &["long", "short", "again", "unmeasured"])
}

fn not_all_proven(read: &Read) -> bool {
    not_all_even(read)
        || any(present(read), "gap", &["high", "low", "again", "unmeasured"])
        || any(present(read), "angle", &["off", "again", "unmeasured"])
}

fn damage_left(read: &Read) -> bool {
    let proven = ["even", "again"];
    // A grinder goes over all of them: who was not measured since is taken to be as long as the stop.
    let ground = |cutter: &Value| {
        read.sheet["round"]["tool"] == "grinder"
            && cutter["after_mm"].is_null()
            && !cutter["length_mm"].is_null()
            && cutter["length_mm"] == cutter["target_mm"]
    };
    let out = |cutter: &Value| ground(cutter) || proven.iter().any(|word| cutter["verdicts"]["length"] == *word);
    present(read).any(|cutter| cutter["state"] == "damaged" && !out(cutter) && !left_out(read, cutter))
}

fn is_rejected(read: &Read) -> bool {
    read.sheet["round"]["stops"].as_array().is_some_and(|stops| !stops.is_empty())
}

fn is_signed(read: &Read) -> bool {
    read.sheet["round"]["how"] == "signed"
}

fn lacks_gap(read: &Read) -> bool {
    present(read).any(|cutter| cutter["gap_mm"].is_null())
}

fn has_gap(read: &Read) -> bool {
    present(read).any(|cutter| !cutter["gap_mm"].is_null())
}

fn lacks_look(read: &Read) -> bool {
    let looks = read.sheet["round"]["looks"].as_array().map(Vec::as_slice).unwrap_or_default();
    looks.iter().any(|look| look["finding"] != "sound")
}

fn no_rule(read: &Read) -> bool {
    read.sheet["round"]["rule"].is_null()
}

fn no_round_left(read: &Read) -> bool {
    read.sheet["forecast"]["rounds_left"] == 0
}

/// The proof, on both faces.
const NOTHING: &str = "Nothing to redo";
/// What the owner is promised.
const STRAIGHT: &str = "Straight, with even chips";

const PAIRS: &[Pair] = &[
    // Nothing to redo, and yet something.
    pair(
        Says("round on the screen", NOTHING),
        Is("an open fault", open_fault),
        "a fault is to be redone or left short",
    ),
    pair(Says("plain face", NOTHING), Is("an open fault", open_fault), "a fault is to be redone or left short"),
    pair(
        Says("round on the screen", NOTHING),
        Is("damage that was not filed out", damage_left),
        "damage found late is work",
    ),
    pair(Says("plain face", NOTHING), Is("damage that was not filed out", damage_left), "damage found late is work"),
    pair(Says("", NOTHING), Says("", r"(One thing|\d+ things) to redo"), "both faces stand at one list"),
    pair(Says("", NOTHING), Says("", "damaged since it was filed"), "damage found late is work"),
    // One light stroke is less than a stroke to come off.
    pair(
        Says("round on the screen", "one light stroke if dull"),
        Says("round on the screen", "at most .{3,9} comes off"),
        "a light stroke takes nothing that must come off",
    ),
    pair(
        Says("plain face", "one light stroke if dull"),
        Says("plain face", "at most .{3,9} comes off"),
        "a light stroke takes nothing that must come off",
    ),
    // What the owner is promised rests on readings that prove it.
    pair(
        Says("owner's page", STRAIGHT),
        Is("a reading that proves nothing", not_all_proven),
        "every reading must prove it",
    ),
    pair(Says("owner's page", STRAIGHT), Is("an open fault", open_fault), "a fault makes a cut crooked or rough"),
    pair(
        Says("owner's page", STRAIGHT),
        Says(
            "owner's page",
            "DANGER|pull to the|still uneven|little high|off the usual angle|BAR IS BAD|bar is worn|No fault is known|not finished",
        ),
        "one verdict on the cut",
    ),
    pair(Says("owner's page", STRAIGHT), Says("owner's page", "DO NOT USE|REJECTED"), "a rejected loop cuts nothing"),
    pair(
        Says("owner's page", "every cutter length and raker gap was measured and proven right"),
        Says("owner's page", "too little is proven"),
        "proven or not",
    ),
    pair(
        Says("owner's page", "filed to one length|ground to one length"),
        Is("a length that is not proven even", not_all_even),
        "one length is what every reading proves",
    ),
    pair(Says("owner's page", "to one length"), Says("owner's page", "still uneven"), "of one length or uneven"),
    pair(Says("owner's page", "rakers.: all measured"), Is("a gap that was not measured", lacks_gap), "all is all"),
    pair(
        Says("owner's page", "were not measured"),
        Is("a gap that was measured", has_gap),
        "what was measured is said",
    ),
    pair(
        Says("owner's page", "set for a fixed gap|set for a gap that grows as the cutters wear"),
        Is("no rule chosen", no_rule),
        "a rule that nobody chose set nothing",
    ),
    pair(
        Says("owner's page", "no cracks, loose rivets or bent parts"),
        Is("a look that was not sound, or none", lacks_look),
        "only what was looked at and sound",
    ),
    pair(
        Says("owner's page", "no cracks, loose rivets or bent parts"),
        Says("owner's page", ": REJECTED|: worn"),
        "only what was looked at and sound",
    ),
    pair(
        Says("owner's page", "How it should cut"),
        Is("not signed off", |read| !is_signed(read)),
        "nothing is promised of work that is not done",
    ),
    pair(Says("owner's page", "work is not finished"), Is("signed off", is_signed), "finished or not"),
    // Right and wrong at once.
    pair(Says("full sheet", "Left and right match"), Says("full sheet", "cut will pull"), "it pulls or it does not"),
    pair(
        Says("full sheet", "no fault is proven"),
        Is("an open fault", |read| uneven(read) || low_raker(read)),
        "the worst cutter has the fault that is proven",
    ),
    pair(
        Says("full sheet", r"(\d+) measured, \d+ good(, |\.)"),
        Says("full sheet", "Raker gap: no cutter measured"),
        "measured or not",
    ),
    pair(Says("full sheet", "Signed off"), Is("not signed off", |read| !is_signed(read)), "as the record has it"),
    pair(Says("full sheet", "Not finished"), Is("signed off", is_signed), "as the record has it"),
    pair(
        Says("", r"[Aa]bout [1-9]\d* (rounds?|sharpenings?) left"),
        Is("no round left", no_round_left),
        "one figure everywhere",
    ),
    // How it stands.
    pair(Says("tag", r"\bReady\b"), Is("a rejection", is_rejected), "a rejected loop is not ready"),
    pair(Says("full sheet", r"Status[: ]+Ready"), Is("a rejection", is_rejected), "a rejected loop is not ready"),
    pair(Says("owner's page", r"^Ready"), Is("a rejection", is_rejected), "a rejected loop is not ready"),
    pair(Says("tag", r"\bReady\b"), Is("not signed off", |read| !read.closed), "an open round is not ready"),
    pair(Says("owner's page", r"^Ready\."), Is("a raker too low", low_raker), "kickback is to be watched at the least"),
    pair(Says("tag", r"Ready( |$)"), Says("full sheet", "DO NOT USE"), "one status"),
    pair(
        Says("rack on the screen", "begins a round"),
        Is("an open round", |read| !read.closed),
        "an open round is gone on with",
    ),
    // A verdict belongs to a reading.
    pair(
        Says("round on the screen", r"EVEN: cutter"),
        Says("round on the screen", "1 measure it again"),
        "a fault holds the screen with its own verdict",
    ),
    pair(
        Says("round on the screen", r"(EVEN|GOOD|TRUE): cutter"),
        Says("round on the screen", "Too close to call"),
        "once more is asked where nothing is proven",
    ),
];

impl Sign {
    /// What makes it so: a place, or the words for the data.
    fn seen(&self, read: &Read, pattern: Option<&Regex>) -> Vec<String> {
        match self {
            Is(words, so) => so(read).then(|| (*words).to_owned()).into_iter().collect(),
            Says(place, _) => {
                let told = read.told.iter().filter(|told| told.place.starts_with(place));
                let of = |told: &super::places::Told| {
                    let found = pattern.and_then(|pattern| pattern.find(&told.words))?;
                    Some(format!("{:?} ({})", found.as_str(), told.place))
                };
                told.filter_map(of).collect()
            }
        }
    }

    fn pattern(&self) -> Option<Regex> {
        match self {
            Says(_, words) => Some(Regex::new(words).unwrap()),
            Is(..) => None,
        }
    }
}

/// Cutters of which words say what the pattern says; its first group holds their numbers.
fn cutters(words: &str, said: &Regex) -> BTreeSet<u16> {
    let numbers = said.captures_iter(words).flat_map(|found| {
        let list = found.get(1).map_or("", |list| list.as_str());
        list.split(|c: char| !c.is_ascii_digit()).filter_map(|n| n.parse().ok()).collect::<Vec<_>>()
    });
    numbers.collect()
}

/// What may not be said of one and the same cutter.
const OF_ONE_CUTTER: &[(&str, &str)] = &[
    (r"[Cc]utters? ([\d, and]+) (?:was|were) damaged; the damage was", r"[Cc]utters? ([\d, and]+) (?:is|are) damaged"),
    (r"Proven uneven: cutters? ([\d, andto]+)", r"Not proven, measure again: cutters? ([\d, andto]+)"),
    (r"Missing: cutters? ([\d, and]+)", r"Cutter (\d+): (?:grabs|cuts|raker|\d)"),
];

/// Patterns of the pairs, in their order.
static PATTERNS: LazyLock<Vec<[Option<Regex>; 2]>> =
    LazyLock::new(|| PAIRS.iter().map(|pair| [pair.one.pattern(), pair.other.pattern()]).collect());

static OF_ONE: LazyLock<Vec<[Regex; 2]>> = LazyLock::new(|| {
    OF_ONE_CUTTER.iter().map(|(one, other)| [one, other].map(|pattern| Regex::new(pattern).unwrap())).collect()
});

/// Every pair that stands together, in a sentence.
pub(super) fn faults(read: &Read, faults: &mut Vec<String>) {
    for told in &read.told {
        for [one, other] in &*OF_ONE {
            for cutter in cutters(&told.words, one).intersection(&cutters(&told.words, other)) {
                faults.push(format!(
                    "{}: of cutter {cutter} both {:?} and {:?}",
                    told.place,
                    one.as_str(),
                    other.as_str()
                ));
            }
        }
    }
    for (pair, [one, other]) in PAIRS.iter().zip(&*PATTERNS) {
        // What the data say is looked up sooner than words are searched for.
        if [&pair.one, &pair.other].iter().any(|sign| matches!(sign, Is(_, so) if !so(read))) {
            continue;
        }
        let Some(one) = pair.one.seen(read, one.as_ref()).pop() else { continue };
        if let Some(other) = pair.other.seen(read, other.as_ref()).pop() {
            faults.push(format!("{one} beside {other}: {}", pair.why));
        }
    }
}
