//! The phrase book of the faces and the pages: what is said in rounds, on screens and in answer to nonsense.

use std::collections::BTreeSet;

use evenbite::care::Workshop;
use evenbite::coach::{Coach, Reply};
use evenbite::round::Round;

use super::hand::{Hand, TAG};
use super::places::Read;
use crate::phrases::{Book, sentences};

/// Lines that no step can take, and some that make it doubt.
const NONSENSE: &[&str] =
    &["abc", "99", "-8.9", "0.03", "1.2.3", "nan", "1e5", "7", "33", "72", "0,31", "ERR1", "8.05 parsec", "0.33 in"];

/// A sign that draws: boxes, blocks, dots.
fn is_drawn(c: char) -> bool {
    ('\u{2500}'..='\u{28ff}').contains(&c) && c != '✓'
}

impl Book {
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
        let prompt = coach.prompt(coach.findings());
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
            let ground = evenbite::coach::lessons::Ground::usual(evenbite::units::Unit::Mm);
            self.line("lessons", &lesson.question(&ground));
        }
        for row in evenbite::coach::causes::TABLE {
            self.line("causes", &format!("{} {}", row.words, row.remedy));
        }
        for symptom in evenbite::coach::causes::Symptom::ALL {
            self.line("causes", symptom.words());
        }
    }
}
