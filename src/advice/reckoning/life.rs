//! The loop as a whole: left against right, the changeover, the rounds left, the file.

use super::lines::Lines;
use super::{Book, Change, Op, Operand, Reckoning, Source, Subject, Sure, Term, Value};
use crate::advice::balance::Difference;
use crate::advice::forecast::Rounds;
use crate::chain::Origin;
use crate::chain::spec::FileStep;
use crate::units::Millimetres;

impl Book<'_> {
    /// Left against right.
    pub(super) fn balance(&self) -> Option<Reckoning> {
        let balance = &self.found.balance;
        let Difference { value, low, high } = balance.difference?;
        let [left, right] = balance.means?;
        let mut lines = Lines::default();
        let mean = |term, value| Operand::length(term, value, Source::Read);
        let (left, right) = (mean(Term::LeftMean, left), mean(Term::RightMean, right));
        let answer = lines.figure(Term::LeftLessRight, left, Op::Less, Some(right), Value::Length(value));
        let half = Operand::length(Term::HalfWidth, high - value, Source::Reckoned);
        lines.figure(Term::Low, answer.clone(), Op::Less, Some(half.clone()), Value::Length(low));
        lines.figure(Term::High, answer.clone(), Op::Plus, Some(half), Value::Length(high));
        let half = Operand::new(Term::Half, Value::Ratio(0.5), Source::Proposal);
        lines.figure(Term::Margin, self.tolerance(), Op::Times, Some(half), Value::Length(balance.margin));
        let sure = Sure::Between(Value::Length(low), Value::Length(high));
        lines.end(Subject::Balance, &answer, sure, Change::Balance)
    }

    /// Whether the wear-scaled gap is worth using: how sure the loop is past the changeover.
    pub(super) fn changeover(&self) -> Option<Reckoning> {
        let (spec, report) = (self.spec(), &self.found.changeover);
        let (wear, p, u) = (report.median_wear?, report.probability?, report.u_median?);
        let mut lines = Lines::default();
        let middle = Operand::length(Term::MiddleLength, spec.new_length - wear, Source::Read);
        let worn = lines.figure(Term::Worn, self.new_length(), Op::Less, Some(middle), Value::Length(wear));
        let worth = self.worth_from(&mut lines, report.worth);
        let past = lines.on(Term::PastBy, worn, Op::Less, worth);
        let uncertain = |term, value| Operand::length(term, value, Source::Reckoned);
        let (of_middle, of_worth) = (uncertain(Term::UMedian, u), uncertain(Term::UWorth, report.u_worth));
        let together = lines.on(Term::Together, of_middle, Op::Root, of_worth);
        let answer = lines.figure(Term::Chance, past, Op::Chance, Some(together), Value::Share(p));
        let measured = spec.known.new_length.from != Origin::Profile;
        let change = if measured || wood_is_held(self) { Change::Wear } else { Change::NewCutter };
        lines.end(Subject::Changeover, &answer, Sure::IsPast(p), change)
    }

    /// The wear from which it is worth using.
    fn worth_from(&self, lines: &mut Lines, worth: Millimetres) -> Operand {
        let (spec, wood) = (self.spec(), self.wood());
        let by_share = spec.wear_at_share(wood, spec.worth_share);
        let is = |other: Millimetres| (worth - other).abs().get() < 1e-9;
        let result = Value::Length(worth);
        if !spec.is_held(wood) && is(by_share) {
            let reach = Operand::length(Term::ReachAtShare, spec.reach(worth), Source::Reckoned);
            if spec.reach_mark.is_none() {
                return lines.figure(Term::Worth, reach, Op::Less, Some(self.reach_new()), result);
            }
            let further = lines.on(Term::Further, reach, Op::Less, self.reach_new());
            let growth = Operand::new(Term::ReachGrowth, Value::Ratio(spec.reach_growth()), Source::Reckoned);
            return lines.figure(Term::Worth, further, Op::Over, Some(growth), result);
        }
        if !spec.is_held(wood) && is(spec.usable() * spec.due_life) {
            let share = Value::Share(spec.due_life);
            let share = Operand::new(Term::DueLife, share, self.profile("due_life", spec.due_life));
            return lines.figure(Term::Worth, self.usable(), Op::Times, Some(share), result);
        }
        let at = Operand::length(Term::Worth, worth, Source::Reckoned);
        lines.figure(Term::Worth, at, Op::AsIs, None, result)
    }

    /// Rounds left.
    pub(super) fn rounds(&self) -> Option<Reckoning> {
        let forecast = &self.found.forecast;
        let Rounds { best, low, high } = forecast.to_mark?.rounds;
        let (best, high) = best.zip(high)?;
        let (wear, (number, shortest)) = (forecast.wear, forecast.place?.ends);
        let count = |n: u32| Value::Count(f64::from(n));
        let mut lines = Lines::default();
        let prior = Operand::length(Term::Prior, wear.prior, self.profile("wear_per_round_mm", wear.prior.get()));
        let mean = if wear.rounds == 0 {
            Operand { term: Term::PerRound, ..prior }
        } else {
            let weight = Operand::new(Term::PriorRounds, Value::Ratio(wear.prior_rounds()), Source::Reckoned);
            let prior = lines.on(Term::PriorTaken, prior, Op::Times, weight);
            let taken = Operand::length(Term::Taken, wear.taken, Source::Past);
            let together = lines.on(Term::TakenTogether, prior, Op::Plus, taken);
            let rounds = Operand::new(Term::Weight, Value::Ratio(wear.weight()), Source::Reckoned);
            lines.figure(Term::PerRound, together, Op::Over, Some(rounds), Value::Length(wear.mean))
        };
        let shortest = Operand::length(Term::Shorter(number), shortest, Source::Best);
        let left = lines.on(Term::LeftToMark, shortest, Op::Less, self.mark());
        if left.value.get() <= 0.0 {
            return None;
        }
        let exact = Value::Count(Op::Over.of(left.value.get(), Some(mean.value.get())));
        let exact = lines.figure(Term::RoundsNear, left, Op::Over, Some(mean), exact);
        let answer = lines.figure(Term::RoundsLeft, exact, Op::Whole, None, count(best));
        lines.end(Subject::Rounds, &answer, Sure::Between(count(low), count(high)), Change::Rounds)
    }

    /// The size of the file.
    pub(super) fn file(&self) -> Option<Reckoning> {
        let spec = self.spec();
        let (file, wear) = (self.found.file.as_ref()?, self.found.changeover.median_wear?);
        let mut lines = Lines::default();
        let middle = Operand::length(Term::MiddleLength, spec.new_length - wear, Source::Read);
        let worn = lines.figure(Term::Worn, self.new_length(), Op::Less, Some(middle), Value::Length(wear));
        let spent = spec.life_spent(spec.new_length - wear);
        let spent = lines.figure(Term::SpentShare, worn, Op::Over, Some(self.usable()), Value::Share(spent));
        let FileStep { from_life, diameter } = spec.file_for(spec.new_length - wear)?;
        if from_life > 0.0 {
            let from = Operand::new(Term::FromLife, Value::Share(from_life), Source::Profile(None));
            let past = Value::Share(Op::Less.of(spent.value.get(), Some(from_life)));
            lines.figure(Term::PastStep, spent, Op::Less, Some(from), past);
        }
        let size = Operand::length(Term::FileFrom(from_life > 0.0), diameter, Source::Profile(None));
        let answer = lines.figure(Term::File, size, Op::AsIs, None, Value::Length(file.diameter));
        let fifth = Operand::new(Term::FileShare, Value::Ratio(0.2), Source::Proposal);
        lines.figure(Term::HeightAbove, answer.clone(), Op::Times, Some(fifth), Value::Length(file.above));
        lines.end(Subject::File, &answer, Sure::Table, Change::Wear)
    }
}

/// The limits of the loop leave the wear-scaled gap no room, whatever a new cutter measured.
fn wood_is_held(book: &Book<'_>) -> bool {
    book.found.changeover.held
}
