//! The length to file to, what is left short, strokes, even and uneven, and why a reading is asked for again.

use super::lines::Lines;
use super::{Book, Change, Op, Operand, Reckoning, Source, Subject, Sure, Term, Value};
use crate::advice::evenness::From;
use crate::advice::plan::{self, Candidate, Limit, Plan, PlanOption, PlanWhy};
use crate::advice::redo::What;
use crate::advice::verdict::{AngleWord, GapWord, LengthWord, RISK};
use crate::chain::CutterNumber;
use crate::round::Reading;
use crate::units::{Millimetres, mm};

/// Rounding in sums of lengths.
const SAME: f64 = 1e-9;

impl Book<'_> {
    /// The option that was chosen, else the one recommended.
    fn option<'p>(&self, plan: &'p Plan) -> Option<&'p PlanOption> {
        let target = self.round().target.as_ref();
        let is_chosen =
            |option: &&PlanOption| target.is_some_and(|target| (target.length - option.target).abs().get() < SAME);
        plan.options.iter().find(is_chosen).or_else(|| plan.best())
    }

    /// The kept cutter that can reach least.
    fn shortest(&self, option: &PlanOption) -> Option<Candidate> {
        let kept = plan::candidates(self.round()).into_iter().filter(|c| !option.left_short.contains(&c.number));
        kept.min_by(|a, b| a.reach().total_cmp(&b.reach()))
    }

    /// The length that a cutter can reach: its own, less what must go.
    fn reached(&self, lines: &mut Lines, of: &Candidate) -> Operand {
        let length = Operand::length(Term::Shorter(of.number), of.length, Source::Best);
        let own = self.round().cutter(of.number).and_then(|cutter| cutter.need).is_some();
        let source = if own { Source::Read } else { self.profile("need_mm", of.need.get()) };
        let need = Operand::length(Term::Need, of.need, source);
        lines.figure(Term::MayEndAt, length, Op::Less, Some(need), Value::Length(of.reach()))
    }

    /// The length to file to.
    pub(super) fn length(&self) -> Option<Reckoning> {
        let plan = self.found.plan.as_ref()?;
        let option = self.option(plan)?;
        let shortest = self.shortest(option)?;
        let mut lines = Lines::default();
        let reached = self.reached(&mut lines, &shortest);
        let answer = lines.to(Term::Target, reached, (Term::Smallest, Source::Reckoned), option.target);
        let each = || Operand::length(Term::Each, option.each, Source::Reckoned);
        lines.figure(Term::LifeShare, each(), Op::Over, Some(self.usable()), Value::Share(option.life_share));
        let typical = Operand::length(Term::Typical, plan.typical, Source::Reckoned);
        lines.figure(Term::Rounds, each(), Op::Over, Some(typical), Value::Count(option.rounds));
        let other = self.round().target.as_ref().filter(|target| (target.length - option.target).abs().get() >= SAME);
        if let Some(target) = other {
            let chosen = Operand::length(Term::Chosen, target.length, Source::Chosen);
            let lower = target.length < option.target;
            lines.apart(Term::ChosenBy(lower), chosen, answer.clone());
        }
        let subject = if other.is_some() { Subject::Allowed } else { Subject::Length };
        let again = plan.check.first().copied();
        let sure = Sure::Shortest { u: shortest.u, unmeasured: plan.unmeasured };
        lines.end(subject, &answer, sure, Change::Length { again })
    }

    /// Whether cutters are left short.
    pub(super) fn left_short(&self) -> Option<Reckoning> {
        let plan = self.found.plan.as_ref()?;
        let mut lines = Lines::default();
        let (from, to, saved) = match &plan.why {
            PlanWhy::SavesLittle { by } => (plan.options.first()?, plan.options.get(1)?, *by),
            PlanWhy::Saves { left_short, each, .. } => (plan.options.first()?, plan.options.get(*left_short)?, *each),
            PlanWhy::NoneMayBe(Limit::OneInTwelve) => return one_in_twelve(plan),
            PlanWhy::CannotReach { target, more, .. } => return self.cannot_reach(plan, *target, *more),
            PlanWhy::NoneMayBe(_) | PlanWhy::AllRetire(_) => return None,
        };
        let more = to.left_short.len().saturating_sub(from.left_short.len()).max(1) as f64;
        let high = Operand::length(Term::LengthWithout(to.left_short.clone()), to.shortest, Source::Reckoned);
        let low = Operand::length(Term::LengthForAll, from.shortest, Source::Reckoned);
        let answer = lines.figure(Term::Saved, high, Op::Less, Some(low), Value::Length(saved));
        let worth = worth(&mut lines, plan, more);
        let term = match (saved.get() < worth.value.get(), &plan.why) {
            (false, _) => Term::MoreThanWorth,
            (true, PlanWhy::Saves { .. }) => Term::InDoubt,
            (true, _) => Term::TooLittle,
        };
        lines.apart(term, answer.clone(), worth);
        let u = |option: &PlanOption| self.shortest(option).map_or(0.0, |shortest| shortest.u.get());
        let sure = Sure::Within(mm(u(from).hypot(u(to))));
        lines.end(Subject::LeftShort, &answer, sure, Change::LeftShort)
    }

    fn cannot_reach(&self, plan: &Plan, target: Millimetres, more: Millimetres) -> Option<Reckoning> {
        let mut lines = Lines::default();
        let lower = plan.options.first()?;
        if more.get() <= 0.0 {
            return None;
        }
        let chosen = Operand::length(Term::Chosen, target, Source::Chosen);
        let low = Operand::length(Term::LengthForAll, lower.target, Source::Reckoned);
        let answer = lines.figure(Term::LoseMore, chosen, Op::Less, Some(low), Value::Length(more));
        let worth = worth(&mut lines, plan, 1.0);
        let term = if more.get() < worth.value.get() { Term::TooLittle } else { Term::MoreThanWorth };
        lines.apart(term, answer.clone(), worth);
        let u = self.shortest(lower)?.u;
        lines.end(Subject::LeftShort, &answer, Sure::Within(u), Change::LeftShort)
    }

    /// Strokes to give.
    pub(super) fn strokes(&self, number: CutterNumber) -> Option<Reckoning> {
        let advice = self.cutter(number)?.strokes.filter(|advice| advice.strokes > 0)?;
        let mut lines = Lines::default();
        let from = Operand::length(Term::LengthNow, advice.from, Source::Best);
        let to = Operand::length(Term::Target, advice.to, Source::Chosen);
        let off = lines.on(Term::ToTake, from, Op::Less, to);
        if advice.wished == 0 && off.value.get() <= advice.band.get() {
            // It is there: the stroke only sharpens it.
            let band = Operand::length(Term::AllowedOver, advice.band, Source::Proposal);
            lines.apart(Term::Room, band, off);
            let one = Operand::new(Term::AtLeastOne, Value::Count(f64::from(advice.strokes)), Source::Proposal);
            let answer = lines.figure(Term::StrokesTold, one.clone(), Op::AsIs, None, one.value);
            let sure = Sure::Between(Value::Length(advice.low), Value::Length(advice.high));
            return lines.end(Subject::Strokes(number), &answer, sure, Change::Strokes);
        }
        let near = if advice.band.get() > 0.0 {
            let half = Operand::length(Term::BandHalf, advice.band * 0.5, Source::Proposal);
            lines.on(Term::ToMiddle, off, Op::Less, half)
        } else {
            off
        };
        let rate = Operand::length(Term::StrokeTakes, advice.per_stroke, Source::Past);
        let exact = Value::Count(Op::Over.of(near.value.get(), Some(rate.value.get())));
        let exact = lines.figure(Term::StrokesNear, near, Op::Over, Some(rate), exact);
        let count = |n: u32| Value::Count(f64::from(n));
        let aimed = advice.wished == advice.strokes;
        let term = if aimed { Term::StrokesTold } else { Term::StrokesWished };
        let wished = lines.figure(term, exact, Op::Nearest, None, count(advice.wished));
        let answer = if aimed {
            wished
        } else if advice.wished < advice.strokes {
            let one = Operand::new(Term::AtLeastOne, Value::Count(1.0), Source::Proposal);
            lines.figure(Term::StrokesTold, wished, Op::Greatest, Some(one), count(advice.strokes))
        } else {
            let held = Operand::new(Term::HeldBack, count(advice.wished - advice.strokes), Source::Reckoned);
            lines.figure(Term::StrokesTold, wished, Op::Less, Some(held), count(advice.strokes))
        };
        let sure = Sure::Between(Value::Length(advice.low), Value::Length(advice.high));
        lines.end(Subject::Strokes(number), &answer, sure, Change::Strokes)
    }

    /// Whether a cutter is even: how far off it is, against the tolerance.
    pub(super) fn even(&self, number: CutterNumber) -> Option<Reckoning> {
        let found = self.cutter(number)?;
        let reference = self.found.evenness.reference?;
        if reference.from == From::Shortest(number) || found.length.word == LengthWord::Again {
            return None;
        }
        let (by, length) = (found.length.off_by?, found.length_now?);
        let mut lines = Lines::default();
        let source = if reference.from == From::Target { Source::Chosen } else { Source::Reckoned };
        let against = Operand::length(Term::Reference, reference.length, source);
        let now = Operand::length(Term::LengthNow, length, Source::Read);
        let answer = lines.apart(Term::Off(by.get() >= 0.0), now, against);
        let inside = by.abs() <= self.spec().length_tolerance;
        lines.apart(if inside { Term::Room } else { Term::OverTolerance }, answer.clone(), self.tolerance());
        lines.on(Term::HeightStep, answer.clone(), Op::Times, self.fall());
        let readings = self.round().cutter(number).map_or(1, |cutter| cutter.after.count().max(cutter.before.count()));
        let change = self.one_more(Reading::LengthAfter, readings);
        lines.end(Subject::Even(number), &answer, Sure::Chance(found.length.conformity?), change)
    }

    /// Why a reading of this cutter is asked for once more: the one that is too close to call, or that sets the length for all.
    pub(super) fn again(&self, number: CutterNumber) -> Option<Reckoning> {
        let asked = self.found.redo.iter().find_map(|redo| match redo.what {
            What::Again(reading) if redo.cutter == number => Some(reading),
            _ => None,
        });
        let found = self.cutter(number)?;
        let open = [
            (found.length.word == LengthWord::Again && found.length.worth_again, Reading::LengthAfter),
            (found.gap.word == GapWord::Again && found.gap.worth_again, Reading::GapAfter),
            (found.angle.word == AngleWord::Again && found.angle.worth_again, Reading::Angle),
        ];
        let open = open.into_iter().find_map(|(open, reading)| open.then_some(reading));
        self.again_of(number, asked.or(open)?)
    }

    /// Why this reading of a cutter is asked for once more.
    pub(super) fn again_of(&self, number: CutterNumber, reading: Reading) -> Option<Reckoning> {
        let (found, cutter) = (self.cutter(number)?, self.round().cutter(number)?);
        let plan = self.found.plan.as_ref().filter(|plan| plan.check.contains(&number));
        if let Some(plan) = plan.filter(|_| self.round().target.is_none() && reading == Reading::LengthBefore) {
            return self.sets(plan, number);
        }
        // A gap and a length are one figure, whenever they were read.
        let reading = match reading {
            Reading::LengthBefore => Reading::LengthAfter,
            Reading::GapBefore => Reading::GapAfter,
            other => other,
        };
        let spec = self.spec();
        let read = |value: Value, term| Operand::new(term, value, Source::Read);
        let length = |value: Millimetres| Value::Length(value);
        let (now, wanted, tolerance, p, readings) = match reading {
            Reading::LengthBefore | Reading::LengthAfter => {
                let reference = self.found.evenness.reference.filter(|_| found.length.word == LengthWord::Again)?;
                let now = read(length(found.length_now?), Term::LengthNow);
                let source = if reference.from == From::Target { Source::Chosen } else { Source::Reckoned };
                let wanted = Operand::length(Term::Reference, reference.length, source);
                let count = crate::advice::now::length(self.round(), cutter).map_or(1, |now| now.readings);
                (now, wanted, self.tolerance(), found.length.conformity?, count)
            }
            Reading::GapBefore | Reading::GapAfter => {
                let gap = found.raker.gap.filter(|_| found.gap.word == GapWord::Again && !found.gap_stale)?;
                let wanted = Operand::length(Term::GapWanted, found.raker.target?, Source::Reckoned);
                let tolerance = spec.gap_tolerance;
                let source = self.profile("gap_tolerance_mm", tolerance.get());
                let tolerance = Operand::length(Term::Tolerance, tolerance, source);
                let gaps = if cutter.gap_after.is_empty() { &cutter.gap_before } else { &cutter.gap_after };
                (read(length(gap.gap), Term::GapNow), wanted, tolerance, found.gap.conformity?, gaps.count())
            }
            Reading::Angle => {
                let angle = found.angle_now.filter(|_| found.angle.word == AngleWord::Again)?;
                let (target, tolerance) = (spec.top_plate_for(self.wood()), spec.angle_tolerance);
                let source = self.profile("top_plate_deg", target.get());
                let wanted = Operand::new(Term::AngleWanted, Value::Angle(target), source);
                let source = self.profile("angle_tolerance_deg", tolerance.get());
                let tolerance = Operand::new(Term::Tolerance, Value::Angle(tolerance), source);
                let now = read(Value::Angle(angle), Term::AngleNow);
                (now, wanted, tolerance, found.angle.conformity?, cutter.angle.count())
            }
            Reading::Strokes => return None,
        };
        let mut lines = Lines::default();
        let answer = lines.apart(Term::AwayBy, now, wanted);
        let inside = answer.value.get() <= tolerance.value.get();
        lines.apart(if inside { Term::Room } else { Term::OverTolerance }, answer.clone(), tolerance);
        let one = Operand::new(Term::All, Value::Share(1.0), Source::Reckoned);
        let inside = Operand::new(Term::Inside, Value::Share(p), Source::Reckoned);
        let outside = lines.figure(Term::Outside, one, Op::Less, Some(inside), Value::Share(1.0 - p));
        if 1.0 - p > RISK {
            let risk = Operand::new(Term::Risk, Value::Share(RISK), Source::Proposal);
            lines.figure(Term::RiskOver, outside, Op::Less, Some(risk), Value::Share(1.0 - p - RISK));
        }
        lines.end(Subject::Again(number, reading), &answer, Sure::Chance(p), self.one_more(reading, readings))
    }

    /// The one reading that sets the length for all.
    fn sets(&self, plan: &Plan, number: CutterNumber) -> Option<Reckoning> {
        let of = plan::candidates(self.round()).into_iter().find(|candidate| candidate.number == number)?;
        let option = plan.best().or(plan.options.first())?;
        let mut lines = Lines::default();
        let reached = self.reached(&mut lines, &of);
        let target = Operand::length(Term::Target, option.target, Source::Reckoned);
        let answer = lines.apart(Term::AwayBy, reached, target);
        let kept = plan.measured.saturating_sub(option.left_short.len()) as f64;
        let others = Operand::new(Term::Cutters, Value::Count(kept), Source::Read);
        let u = Operand::length(Term::U, of.u, Source::Reckoned);
        lines.on(Term::ForAll, u, Op::Times, others);
        lines.end(Subject::Again(number, Reading::LengthBefore), &answer, Sure::Within(of.u), Change::Sets)
    }

    /// How well it is known, and would be with one more reading.
    fn one_more(&self, reading: Reading, readings: usize) -> Change {
        let skill = self.ctx.skill;
        let known = |n: usize| match reading {
            Reading::Angle => Value::Angle(skill.angle_u(n)),
            Reading::GapBefore | Reading::GapAfter => Value::Length(skill.gap_u(n)),
            _ => Value::Length(skill.length_u(n)),
        };
        Change::OneMore { now: known(readings.max(1)), then: known(readings.max(1) + 1) }
    }
}

/// What leaving so many short must save.
fn worth(lines: &mut Lines, plan: &Plan, cutters: f64) -> Operand {
    let typical = Operand::length(Term::Typical, plan.typical, Source::Reckoned);
    if cutters <= 1.0 {
        let result = typical.value;
        return lines.figure(Term::MustSave, typical, Op::AsIs, None, result);
    }
    let cutters = Operand::new(Term::Cutters, Value::Count(cutters), Source::Reckoned);
    lines.on(Term::MustSave, typical, Op::Times, cutters)
}

fn one_in_twelve(plan: &Plan) -> Option<Reckoning> {
    let mut lines = Lines::default();
    let cutters = (plan.measured + plan.unmeasured) as f64;
    let all = Operand::new(Term::Cutters, Value::Count(cutters), Source::Read);
    let twelve = Operand::new(Term::OneInTwelve, Value::Count(plan::ONE_IN as f64), Source::Proposal);
    let share = Value::Count(Op::Over.of(cutters, Some(plan::ONE_IN as f64)));
    let share = lines.figure(Term::ShareOfTwelve, all, Op::Over, Some(twelve), share);
    let whole = Value::Count(((plan.measured + plan.unmeasured) / plan::ONE_IN) as f64);
    let answer = lines.figure(Term::MayBeShort, share, Op::Whole, None, whole);
    lines.end(Subject::LeftShort, &answer, Sure::Set, Change::LeftShort)
}
