//! Which loop of a saw to run next.

use super::lines::Lines;
use super::{Change, Op, Operand, Reckoning, Source, Subject, Sure, Term, Value};
use crate::advice::rotation::{Rotation, Runner, Told};
use crate::units::clean::clean;

/// Why this loop runs next: the life left of it and of the one after it. Nothing where only one may run.
pub(crate) fn of_runners(runners: &[Runner], rotation: &Rotation) -> Option<Reckoning> {
    let most_worn = rotation.told.iter().any(|told| matches!(told, Told::RunOut(_)));
    if !most_worn && !rotation.told.iter().any(|told| matches!(told, Told::Next(_))) {
        return None;
    }
    let next = runners.iter().find(|runner| Some(&runner.tag) == rotation.next.as_ref())?;
    let may_run = |runner: &&Runner| runner.tag != next.tag && rotation.may.contains(&runner.tag);
    let by_life = |a: &&Runner, b: &&Runner| a.spent().total_cmp(&b.spent());
    let others = runners.iter().filter(may_run);
    let other = if most_worn { others.max_by(by_life) } else { others.min_by(by_life) }?;
    let mut lines = Lines::default();
    let mut left = |runner: &Runner| {
        let source = if runner.spent.is_some() { Source::Past } else { Source::Proposal };
        let all = Operand::new(Term::All, Value::Share(1.0), Source::Reckoned);
        let spent = Operand::new(Term::SpentOf(clean(&runner.name)), Value::Share(runner.spent()), source);
        let life = Value::Share(1.0 - runner.spent());
        lines.figure(Term::LifeLeft(clean(&runner.name)), all, Op::Less, Some(spent), life)
    };
    let (mine, its) = (left(next), left(other));
    let (more, less, term) = if most_worn { (its, mine, Term::LessLife) } else { (mine, its, Term::MoreLife) };
    let by = Value::Share(more.value.get() - less.value.get());
    let answer = lines.figure(term, more, Op::Less, Some(less), by);
    lines.end(Subject::Rotation, &answer, Sure::Lives, Change::Turn)
}
