//! The cut is the judge: what a round lets one expect of the cut, and how often the cut came out so.

use serde::{Deserialize, Serialize};

use super::gaps::Way;
use super::{AngleWord, Balance, BalanceWord, CutterFinding, Evenness, GapWord, Gaps, LengthWord};
use crate::chain::Side;
use crate::round::{Closing, Cut, Cutter, CutterState, Round, Summary};

/// What the readings prove about the cut, what matters most first; `None` where they promise nothing.
pub(super) fn promised(
    round: &Round,
    (cutters, evenness, balance, gaps): (&[CutterFinding], &Evenness, &Balance, &Gaps),
) -> Option<Cut> {
    match balance.word.pulls() {
        Some(Side::Left) => return Some(Cut::PulledLeft),
        Some(Side::Right) => return Some(Cut::PulledRight),
        None => {}
    }
    if !evenness.uneven.is_empty() {
        return Some(Cut::Rough);
    }
    if gaps.whole.as_ref().is_some_and(|whole| whole.way == Way::High) {
        return Some(Cut::Dust);
    }
    is_straight(round, cutters, evenness, balance).then_some(Cut::Straight)
}

/// Every length, gap and angle was measured and is proven right, no damage is left, no two cutters differ by more than the tolerance, and left and
/// right match.
fn is_straight(round: &Round, cutters: &[CutterFinding], evenness: &Evenness, balance: &Balance) -> bool {
    let present = || cutters.iter().filter(|cutter| cutter.state != CutterState::Missing);
    let matched = || present().filter(|cutter| cutter.state != CutterState::LeftShort);
    let dull = round.light.as_ref().is_some_and(|light| !light.dull.is_empty());
    let hurt = round.cutters.iter().any(Cutter::is_hurt);
    !dull
        && !hurt
        && present().next().is_some()
        && matched().all(|cutter| cutter.after.is_some() && cutter.length.word == LengthWord::Even)
        && present().all(|cutter| cutter.gap.word == GapWord::Good && cutter.angle.word == AngleWord::True)
        && evenness.spread.is_some_and(|spread| spread <= evenness.tolerance)
        && balance.word == BalanceWord::Balanced
}

/// Puts down at each signed round how the loop cut after it, as the intake of the next one tells, be that closed or not; `rounds`
/// come oldest first.
pub(crate) fn settle<'a>(rounds: impl IntoIterator<Item = &'a mut Summary>) {
    let mut last: Option<&mut Summary> = None;
    for round in rounds {
        round.cut_since = None;
        if let (Some(cut), Some(before)) = (round.cut, last.as_mut()) {
            before.cut_since = Some(cut);
        }
        if round.how == Some(Closing::Signed) {
            last = Some(round);
        }
    }
}

/// How it cut after a round, beside what the sheet had said; `None` for an answer that tells nothing.
pub(crate) fn beside(promised: Option<Cut>, cut: Cut) -> Option<String> {
    let said = match promised.filter(|_| cut.is_told()) {
        Some(promised) if promised == cut => ", as the sheet had said".to_owned(),
        Some(promised) => format!("; by the sheet: it {}", promised.words()),
        None => "; the sheet had promised nothing".to_owned(),
    };
    cut.is_told().then(|| format!("after it: it {}{said}", cut.words()))
}

/// How often the cut was as the sheet had said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Agreement {
    /// Rounds after which it was.
    pub agreed: usize,
    /// Rounds that it rests on: their sheet said how it would cut, and somebody told how it did.
    pub of: usize,
}

impl Agreement {
    /// Over the rounds of a loop, the oldest first.
    pub fn of<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> Self {
        let told = |round: &Summary| Some(round.promised? == round.cut_since.filter(|cut| cut.is_told())?);
        rounds
            .into_iter()
            .filter_map(told)
            .fold(Self::default(), |sum, agrees| Self { agreed: sum.agreed + usize::from(agrees), of: sum.of + 1 })
    }

    /// Both together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self { agreed: self.agreed + other.agreed, of: self.of + other.of }
    }

    /// `as said in 9 of 12 rounds`; `None` where it rests on none.
    pub fn words(self) -> Option<String> {
        let rounds = if self.of == 1 { "round" } else { "rounds" };
        (self.of > 0).then(|| format!("as said in {} of {} {rounds}", self.agreed, self.of))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::tests::readings::Bench;

    fn rounds(of: &[(Option<Cut>, Option<Cut>)]) -> Vec<Summary> {
        let blank = Summary::of(&Bench::measured(20, &[9.0; 10]).round);
        let round = |(cut, promised): &(Option<Cut>, Option<Cut>)| Summary {
            how: Some(Closing::Signed),
            cut: *cut,
            promised: *promised,
            ..blank.clone()
        };
        let mut rounds: Vec<Summary> = of.iter().map(round).collect();
        settle(&mut rounds);
        rounds
    }

    #[test]
    fn a_sheet_is_held_against_the_answer_at_the_next_intake() {
        let straight = Some(Cut::Straight);
        let rounds = rounds(&[
            (None, straight),
            (straight, Some(Cut::PulledLeft)),
            (straight, None),
            (Some(Cut::Rough), straight),
            (Some(Cut::NotYet), straight),
        ]);
        let since: Vec<_> = rounds.iter().map(|round| round.cut_since).collect();
        assert_eq!(since, [straight, straight, Some(Cut::Rough), Some(Cut::NotYet), None]);
        // What promised nothing and what has not cut yet count neither way.
        assert_eq!(Agreement::of(&rounds), Agreement { agreed: 1, of: 2 });
        assert_eq!(Agreement::of(&rounds).words().unwrap(), "as said in 1 of 2 rounds");
        assert_eq!(Agreement::default().words(), None);
    }
}
