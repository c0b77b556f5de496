//! What the learner is told, and when.

use super::DrillBench;
use crate::advice::say::drill as words;
use crate::chain::Side;
use crate::drill::{Ask, Drill, Given, Set, Stage};
use crate::stats::cusum::Cusum;
use crate::units::Unit;

impl DrillBench {
    /// What is said once `before` is answered.
    pub(super) fn told(&self, set: &Set, before: Ask) -> Vec<String> {
        let drill = set.up.drill;
        let next = set.next();
        if next.is_some_and(|next| next.item == before.item) {
            return Vec::new();
        }
        let mut said = Vec::new();
        let item = set.item(before.item);
        match set.up.stage {
            _ if drill == Drill::MeasureTwice || drill == Drill::SameStrokes => {}
            Stage::Each => said.extend(self.one(set, before.item)),
            Stage::Outside if item.missed => said.extend(self.one(set, before.item)),
            Stage::Halves if before.item == 5 || before.item + 1 == drill.items() => {
                said.extend(half(set, before.item, self.unit));
            }
            Stage::Outside | Stage::Halves | Stage::End => {}
        }
        if next.is_none() {
            said.extend(self.at_end(set));
        } else if drill.side(before.item) == Some(Side::Left)
            && next.is_some_and(|next| drill.side(next.item) == Some(Side::Right))
        {
            said.push("Turn the loop, or step round: the other side.".to_owned());
        }
        said
    }

    fn one(&self, set: &Set, item: usize) -> Vec<String> {
        let (drill, came) = (set.up.drill, set.item(item));
        let guess = set.answered().into_iter().find_map(|(ask, given)| match given {
            Given::Guess(guess) if ask.item == item => Some(guess),
            _ => None,
        });
        let guess = guess.and_then(|guess| words::guessed(drill, guess, &came));
        std::iter::once(words::item(drill, &came, self.unit)).chain(guess).collect()
    }

    fn at_end(&self, set: &Set) -> Vec<String> {
        let drill = set.up.drill;
        let Some(score) = set.score() else { return Vec::new() };
        let mut said = Vec::new();
        if set.up.stage == Stage::End {
            let missed = score.items.iter().filter(|item| item.missed);
            said.extend(missed.map(|item| words::item(drill, item, self.unit)));
        }
        said.extend(words::set(drill, &score, set.up.resolution, self.unit));
        said.extend(set.tip(&score).map(words::tip));
        let done = self.learner.whole(drill);
        let running = done.iter().rev().take_while(|(_, score)| score.good).count();
        let needed = drill.sets_to_pass();
        if self.learner.passed_at(drill) == Some(set.at) {
            said.push(format!("{} is passed.", words::name(drill)));
        } else if !self.learner.has_passed(drill) && score.good && running < needed {
            said.push(format!("{running} of {needed} good sets running."));
        }
        said.push(self.curve(drill));
        said
    }

    /// The curve of a drill as a line, one sign per set; nothing for fewer than two sets.
    pub(crate) fn curve_line(&self, drill: Drill, ascii: bool) -> Option<String> {
        let steps = self.learner.curve(drill);
        let line = words::curve_line(&steps, Cusum::default().limit(), ascii);
        (steps.len() > 1).then(|| format!("{line} (a sign a set; ! where the hand is proven steady, or no longer)"))
    }

    /// The curve of a drill in two plain sentences.
    pub(crate) fn curve(&self, drill: Drill) -> String {
        words::curve(&self.learner.curve(drill), Cusum::default().fewest())
    }
}

/// What came of the half that ends with `item`.
fn half(set: &Set, item: usize, unit: Unit) -> Vec<String> {
    let drill = set.up.drill;
    let from = (item + 1).saturating_sub(6);
    let items: Vec<_> = (from..=item).map(|item| set.item(item)).collect();
    let missed: Vec<String> =
        items.iter().filter(|item| item.missed).map(|item| words::item(drill, item, unit)).collect();
    let mut said = vec![format!("Of the last {}: {} missed.", items.len(), missed.len())];
    said.extend(missed);
    said
}
