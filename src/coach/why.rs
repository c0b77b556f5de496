//! Why: the reckonings of what is advised, those of the step at hand first.

use super::Coach;
use super::lessons::Ground;
use crate::advice::Reckoning;
use crate::advice::reckoning::{Book, Subject};
use crate::chain::CutterNumber;
use crate::round::{Ask, Reading};

/// Where there is nothing to reckon.
pub const NOTHING: &str = "Nothing is reckoned yet: no length is measured.";
/// Where no figure of advice stands.
pub const NONE_HERE: &str = "No figure on this screen has a reckoning. Those of a round, a loop and a saw have.";

impl Coach {
    /// The reckonings of all that is advised now, those of the step at hand first.
    pub fn reckonings(&self) -> Vec<Reckoning> {
        let (findings, ctx) = (self.findings(), self.context());
        let book = Book::of(&ctx, findings).by(self.at_work());
        let here = self.at_hand();
        book.all(&self.asked_for(here), here)
    }

    /// What lessons stand on: this loop, as far as it is worn.
    pub fn ground(&self) -> Ground {
        let header = &self.round.header;
        Ground::of(&header.spec, header.wood, self.findings().changeover.median_wear, header.units)
    }

    /// What the step at hand is about.
    fn asked_for(&self, here: Option<CutterNumber>) -> Vec<Subject> {
        let rule = self.round.rule_in_force();
        let at_raker = |number| vec![Subject::LowRaker(number), Subject::Gap(number, rule)];
        let about = |number: CutterNumber, reading: Reading| match reading {
            Reading::GapBefore | Reading::GapAfter => at_raker(number),
            Reading::LengthBefore => vec![Subject::Again(number, reading), Subject::Balance],
            Reading::LengthAfter => vec![Subject::Strokes(number), Subject::Even(number)],
            Reading::Strokes => vec![Subject::Strokes(number), Subject::Length],
            Reading::Angle => vec![Subject::Again(number, reading)],
        };
        if let Some(hold) = &self.hold {
            return about(hold.cutter, hold.reading);
        }
        if let Some((number, reading)) = self.repeat {
            return [vec![Subject::Again(number, reading)], about(number, reading)].concat();
        }
        match (self.round.step().ask, here) {
            (Ask::Read(reading), Some(number)) => about(number, reading),
            (Ask::Target, _) => vec![Subject::Length, Subject::LeftShort],
            (Ask::Rule, _) => vec![Subject::Changeover],
            (Ask::Do(_), _) => vec![Subject::Length, Subject::File],
            _ => Vec::new(),
        }
    }
}
