//! The phrase book: every distinct line that the program says, digits as #, by place, for a reader to go through at a sitting.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use evenbite::care::Workshop;
use evenbite::coach::{Coach, Reply};
use evenbite::round::Round;
use regex_lite::Regex;

use super::hand::{Hand, TAG};
use super::places::Read;

/// Lines that no step can take, and some that make it doubt.
const NONSENSE: &[&str] =
    &["abc", "99", "-8.9", "0.03", "1.2.3", "nan", "1e5", "7", "33", "72", "0,31", "ERR1", "8.05 parsec", "0.33 in"];

/// What was heard so far.
#[derive(Default)]
pub(super) struct Book {
    lines: BTreeMap<String, BTreeSet<String>>,
}

/// A line with its figures, and the names of sides and cutters, made the same.
fn pattern(line: &str) -> Option<String> {
    static DIGITS: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"\d+(?:[.,]\d+)?").unwrap());
    static LISTS: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"#(?: to #)?(?:(?:, | and )#(?: to #)?)+").unwrap());
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = LISTS.replace_all(&DIGITS.replace_all(&line, "#"), "#, #").into_owned();
    let letters = line.chars().filter(|c| c.is_alphabetic()).count();
    (letters > 2).then_some(line)
}

/// The sentences of a paragraph: each ends with a full stop before a capital letter.
fn sentences(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(at) =
        rest.match_indices(". ").map(|(at, _)| at).find(|at| rest[at + 2..].starts_with(char::is_uppercase))
    {
        out.push(&rest[..=at]);
        rest = &rest[at + 2..];
    }
    out.push(rest);
    out
}

/// A sign that draws: boxes, blocks, dots.
fn is_drawn(c: char) -> bool {
    ('\u{2500}'..='\u{28ff}').contains(&c) && c != '✓'
}

impl Book {
    /// A line said in a place.
    pub(super) fn line(&mut self, place: &str, line: &str) {
        if let Some(line) = pattern(line) {
            self.lines.entry(place.to_owned()).or_default().insert(line);
        }
    }

    /// Takes in what pages say, sentence by sentence; in a page every sentence is whole, on paper it is broken where the line ends.
    pub(super) fn hear(&mut self, read: &Read) {
        for (place, lines) in &read.pages {
            for sentence in lines.iter().flat_map(|line| sentences(line)) {
                self.line(place, sentence);
            }
        }
    }

    /// Takes in what the coach says over a round, entry by entry, and what it says to nonsense.
    pub(super) fn hear_round(&mut self, hand: &Hand) {
        let care = Workshop::open(hand.data()).unwrap();
        let card = care.card(TAG).unwrap();
        let whole = hand.round();
        let round = Round::begin(whole.header.clone()).unwrap();
        let mut coach = care.coach(&card, round);
        coach.watch_doubles = false;
        let mut asked = BTreeSet::new();
        for entry in whole.entries {
            self.prompt(&coach);
            let step = coach.round.step();
            if asked.insert(format!("{:?}", step.ask)) {
                self.nonsense(&coach, entry.at);
            }
            let said = coach.recorded(entry);
            self.line("round: verdicts", &said.line());
        }
    }

    fn prompt(&mut self, coach: &Coach) {
        let prompt = coach.prompt(&coach.findings());
        self.line("round: what to do", &prompt.place);
        self.line("round: what to do", &prompt.now);
        self.line("round: fields", &prompt.field);
        self.line("round: fields", &format!("Enter alone: {}", prompt.enter));
        for (name, value) in &prompt.facts {
            self.line("round: facts", &format!("{name}: {value}"));
        }
        for (key, meaning) in &prompt.choices {
            self.line("round: choices", &format!("{key} {meaning}"));
        }
    }

    fn nonsense(&mut self, coach: &Coach, at: chrono::DateTime<chrono::FixedOffset>) {
        for line in NONSENSE {
            match coach.clone().enter(line, at) {
                Reply::Refused(why) => self.line("round: refusals", &why),
                Reply::Question(question) => self.line("round: questions", &question.text),
                Reply::Record(_) | Reply::Saw(_) | Reply::Moved => {}
            }
        }
    }

    /// What the screens say, piece by piece: columns stand apart by blanks. Drawings, and what is a table or stands in a book of
    /// its own, are left out.
    fn hear_screens(&mut self) {
        const TABLES: [&str; 7] = ["gaps", "sheet", "history", "picture", "picture-curve", "keys", "words"];
        for (_, text) in crate::screens::told().filter(|(name, _)| !TABLES.contains(name)) {
            for row in text.lines() {
                let pieces = row.split("   ").map(str::trim).filter(|piece| piece.contains(' '));
                for piece in pieces.filter(|piece| !piece.contains(is_drawn)) {
                    self.line("screens", piece);
                }
            }
        }
    }

    /// What every list in the program holds, whatever is done.
    pub(super) fn hear_lists(&mut self) {
        self.hear_screens();
        for caution in evenbite::advice::cautions::ALWAYS {
            self.line("cautions", caution);
        }
        for (place, keys) in [
            ("keys", "key F1"),
            ("words", "key w"),
            ("settings", "key ,"),
            ("a new loop", "key n"),
            ("causes", "key c"),
        ] {
            let mut bench = crate::played::Bench::new((120, 200), crate::played::MONO);
            bench.run(keys);
            for row in bench.screen().lines() {
                self.line(place, row);
            }
        }
        for lesson in evenbite::coach::lessons::Lesson::ALL {
            self.line("lessons", lesson.title());
            self.line("lessons", &lesson.text().join(" "));
            self.line("lessons", &lesson.question(evenbite::units::Unit::Mm));
        }
        for row in evenbite::coach::causes::TABLE {
            self.line("causes", &format!("{} {}", row.words, row.remedy));
        }
        for symptom in evenbite::coach::causes::Symptom::ALL {
            self.line("causes", symptom.words());
        }
    }

    /// The whole book as text.
    pub(super) fn text(&self) -> String {
        let mut out = String::new();
        for (place, lines) in &self.lines {
            out.push_str(&format!("== {place} ==\n"));
            for line in lines {
                out.push_str(&format!("{line}\n"));
            }
            out.push('\n');
        }
        out
    }
}
