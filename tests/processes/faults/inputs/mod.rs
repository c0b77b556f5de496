//! Made-up inputs for every reader: texts that know the form, and go wrong in what they say.
//!
//! More than half of the inputs of each reader must get past its first check (for a file, that it parses and its sums fit; for a table, its
//! header; for a script, its first wish; for the dialogue, that a round begins), else the checks behind it are hardly tried. No input may
//! make a reader panic, and what the plain dialogue writes must be in order by `check`.
//!
//! `tests/fuzz` keeps, for each reader, one small input of every kind of answer that was found. With `FAULTS_LEARN=1` the laps
//! add to it.

mod corpus;
mod forms;
mod readers;

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

use proptest::test_runner::TestRunner;

use super::tally::Tally;
use corpus::Corpus;
use readers::Reader;

/// From so many inputs on, their share past the first check is judged.
const FEWEST: usize = 40;

/// What a reader made of an input.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Answer {
    /// It was taken.
    Taken,
    /// It was refused, before or after the first check.
    Refused { first: bool, why: String },
    /// What must not be.
    Wrong(String),
}

impl Answer {
    fn past_first(&self) -> bool {
        !matches!(self, Self::Refused { first: true, .. })
    }
}

/// All readers, and how many inputs of each got how far.
pub(super) struct Inputs {
    readers: Vec<Reader>,
    corpus: Corpus,
    /// By reader: inputs, and those past the first check.
    counts: BTreeMap<&'static str, [usize; 2]>,
}

impl Inputs {
    pub(super) fn new() -> Self {
        Self { readers: readers::all(), corpus: Corpus::open(), counts: BTreeMap::new() }
    }

    /// So many inputs, the readers in turn; those that take long get fewer.
    pub(super) fn lap(&mut self, random: &mut TestRunner, inputs: usize, tally: &mut Tally) {
        for reader in self.readers.iter_mut().filter(|_| inputs > 0) {
            for _ in 0..(inputs / reader.costs).max(1) {
                let input = (reader.make)(random);
                let answer = answer(reader, &input);
                tally.inputs += 1;
                let [all, past] = self.counts.entry(reader.name).or_default();
                *all += 1;
                *past += usize::from(answer.past_first());
                if let Answer::Wrong(what) = &answer {
                    tally.silent(1, || format!("{}: {what}: {}", reader.name, String::from_utf8_lossy(&input)));
                }
                self.corpus.learn(reader, &input, &answer);
            }
        }
    }

    /// Readers of which half of the inputs, or more, stop at the first check; a few inputs say nothing.
    pub(super) fn shallow(&self) -> Vec<String> {
        let shallow = self.counts.iter().filter(|(_, [all, past])| *all >= FEWEST && past * 2 <= *all);
        shallow.map(|(name, [all, past])| format!("{name}: {past} of {all}")).collect()
    }

    /// How far the inputs got, in a line.
    pub(super) fn told(&self) -> String {
        let told = self.counts.iter().map(|(name, [all, past])| format!("{name} {past} of {all}"));
        told.collect::<Vec<_>>().join(", ")
    }
}

/// What the reader makes of it; a panic is wrong.
fn answer(reader: &mut Reader, input: &[u8]) -> Answer {
    catch_unwind(AssertUnwindSafe(|| (reader.read)(input))).unwrap_or_else(|_| Answer::Wrong("panicked".to_owned()))
}

#[test]
fn made_up_inputs_get_past_the_first_check_and_make_no_reader_panic() {
    let mut inputs = Inputs::new();
    let mut tally = Tally::default();
    inputs.lap(&mut super::runner(16), 400, &mut tally);
    assert!(tally.faults.is_empty(), "{:?}", tally.faults);
    assert!(inputs.shallow().is_empty(), "{:?}", inputs.shallow());
}

#[test]
fn the_kept_inputs_are_answered_as_they_were() {
    let mut readers = readers::all();
    let kept = Corpus::open();
    assert!(kept.bytes() < 200_000, "tests/fuzz is to be small: {} bytes", kept.bytes());
    for reader in &mut readers {
        let inputs = kept.of(reader.name);
        assert!(inputs.len() >= 2, "{}: {} inputs are kept", reader.name, inputs.len());
        for (path, input) in inputs {
            let answer = answer(reader, &input);
            assert!(!matches!(answer, Answer::Wrong(_)), "{}: {answer:?}", path.display());
        }
    }
}
