//! What reckonings are made from, and how lines are put down one after another.

use super::{Operand, Reckoning, Source, Subject, Term, Value};
use crate::advice::redo::What;
use crate::advice::verdict::GapWord;
use crate::advice::{Context, CutterFinding, Findings};
use crate::chain::profile::{Profile, built_in};
use crate::chain::{CutterNumber, Origin, Spec, Wood};
use crate::round::Round;
use crate::units::clean::clean;

/// A round and what was found on it.
pub(crate) struct Book<'a> {
    pub(super) ctx: &'a Context<'a>,
    pub(super) found: &'a Findings,
    profile: Option<Profile>,
    /// Whose readings they are judged as.
    who: &'a str,
}

impl<'a> Book<'a> {
    /// Of a round.
    pub(crate) fn of(ctx: &'a Context<'a>, found: &'a Findings) -> Self {
        Self { ctx, found, profile: built_in::named(&ctx.round.header.profile), who: ctx.round.hand() }
    }

    /// The same, with who is at work now.
    pub(crate) fn by(self, who: &'a str) -> Self {
        Self { who, ..self }
    }

    pub(super) const fn round(&self) -> &'a Round {
        self.ctx.round
    }

    pub(super) const fn spec(&self) -> &'a Spec {
        &self.ctx.round.header.spec
    }

    pub(super) const fn wood(&self) -> Wood {
        self.ctx.round.header.wood
    }

    pub(super) fn cutter(&self, number: CutterNumber) -> Option<&'a CutterFinding> {
        self.found.cutter(number)
    }

    /// A figure of the profile; how far it can be trusted is told where it is the built-in one's own.
    pub(super) fn profile(&self, key: &str, value: f64) -> Source {
        let stated = self.profile.as_ref().and_then(|profile| profile.get(key));
        Source::Profile(stated.filter(|stated| (stated.value - value).abs() < 1e-9).map(|stated| stated.standing))
    }

    pub(super) fn new_length(&self) -> Operand {
        let (length, from) = (self.spec().new_length, self.spec().known.new_length.from);
        Operand::new(Term::NewLength, Value::Length(length), self.known("new_length_mm", length.get(), from))
    }

    pub(super) fn reach_new(&self) -> Operand {
        let (reach, from) = (self.spec().reach_new, self.spec().known.reach.from);
        Operand::new(Term::ReachNew, Value::Length(reach), self.known("reach_new_mm", reach.get(), from))
    }

    /// What a millimetre of length costs in height.
    pub(super) fn fall(&self) -> Operand {
        let (slope, from) = (self.spec().back_slope, self.spec().known.back_slope.from);
        let source = self.known("back_slope_deg", slope.get(), from);
        Operand::new(Term::FallPerMm, Value::Ratio(self.spec().fall()), source)
    }

    pub(super) fn mark(&self) -> Operand {
        let mark = self.spec().mark_length;
        Operand::new(Term::MarkLength, Value::Length(mark), self.profile("mark_length_mm", mark.get()))
    }

    pub(super) fn usable(&self) -> Operand {
        Operand::new(Term::Usable, Value::Length(self.spec().usable()), Source::Reckoned)
    }

    pub(super) fn tolerance(&self) -> Operand {
        let tolerance = self.spec().length_tolerance;
        let source = self.profile("length_tolerance_mm", tolerance.get());
        Operand::new(Term::Tolerance, Value::Length(tolerance), source)
    }

    /// The largest gap that the loop may have.
    pub(super) fn gap_max(&self) -> Operand {
        let (most, limits) = (self.spec().gap_max, self.spec().limits);
        let on_card = limits.largest.is_some() || limits.stamped.is_some();
        let source = if on_card { Source::Card } else { self.profile("gap_max_mm", most.get()) };
        Operand::new(Term::AtMost, Value::Length(most), source)
    }

    /// The fixed gap for this wood, before the loop's limits.
    pub(super) fn base_gap(&self) -> Operand {
        let (gap, key) = match self.wood() {
            Wood::SoftwoodNoFrost => (self.spec().softwood_gap, "softwood_gap_mm"),
            Wood::Any | Wood::Hardwood => (self.spec().base_gap, "base_gap_mm"),
        };
        let source = if self.spec().limits.stamped == Some(gap) { Source::Card } else { self.profile(key, gap.get()) };
        Operand::new(Term::BaseGap, Value::Length(gap), source)
    }

    fn known(&self, key: &str, value: f64, from: Origin) -> Source {
        match from {
            Origin::Profile => self.profile(key, value),
            other => Source::Loop(other),
        }
    }

    /// All reckonings of the round: that of `first`, those about the cutter in hand, then what the proof sends back, then the loop.
    pub(crate) fn all(&self, first: &[Subject], here: Option<CutterNumber>) -> Vec<Reckoning> {
        let mut all: Vec<Reckoning> = Vec::new();
        let mut put = |reckoning: Option<Reckoning>| {
            let known = |new: &Reckoning, all: &[Reckoning]| all.iter().any(|known| known.subject == new.subject);
            if let Some(new) = reckoning.filter(|new| !known(new, &all)) {
                all.push(new);
            }
        };
        for subject in first {
            put(self.about(*subject));
        }
        for number in here.into_iter().chain(self.sent_back()) {
            for reckoning in self.of_cutter(number) {
                put(Some(reckoning));
            }
        }
        let middle = self.middle().and_then(|number| self.gap(number));
        let of_loop = [self.length(), self.left_short(), middle, self.balance(), self.changeover(), self.rounds()];
        of_loop.into_iter().chain([self.file()]).for_each(put);
        for reckoning in all.iter_mut().filter(|reckoning| reckoning.subject.rests_on_lengths()) {
            reckoning.judged = self.ctx.skill.own.then(|| (clean(self.who), *self.ctx.skill));
        }
        if self.round().is_rejected() {
            // Of a rejected loop no work is left: only how it was found is told.
            let found = |subject| {
                matches!(subject, Subject::LowRaker(_) | Subject::Even(_) | Subject::Again(..) | Subject::Balance)
            };
            all.retain(|reckoning| found(reckoning.subject));
        }
        all
    }

    /// What is advised at one cutter.
    pub(crate) fn of_cutter(&self, number: CutterNumber) -> Vec<Reckoning> {
        [self.low_raker(number), self.strokes(number), self.even(number), self.again(number), self.gap(number)]
            .into_iter()
            .flatten()
            .collect()
    }

    /// The one about this, where there is something to reckon.
    pub(crate) fn about(&self, subject: Subject) -> Option<Reckoning> {
        match subject {
            Subject::Gap(number, _) => self.gap(number),
            Subject::LowRaker(number) => self.low_raker(number),
            Subject::Length | Subject::Allowed => self.length(),
            Subject::LeftShort => self.left_short(),
            Subject::Strokes(number) => self.strokes(number),
            Subject::Even(number) => self.even(number),
            Subject::Again(number, reading) => self.again_of(number, reading),
            Subject::Balance => self.balance(),
            Subject::Changeover => self.changeover(),
            Subject::Rounds => self.rounds(),
            Subject::File => self.file(),
            Subject::Rotation => None,
        }
    }

    /// Cutters at fault or to be measured again, what matters most first; a few of them.
    fn sent_back(&self) -> Vec<CutterNumber> {
        const FEW: usize = 4;
        let mut numbers: Vec<CutterNumber> = Vec::new();
        let low = self.found.cutters.iter().filter(|found| found.gap.word == GapWord::Low).map(|found| found.number);
        let again = self.found.redo.iter().filter(|redo| matches!(redo.what, What::Again(_))).map(|redo| redo.cutter);
        let all = low.chain(self.found.evenness.uneven.iter().copied()).chain(again);
        for number in all {
            if numbers.len() < FEW && !numbers.contains(&number) {
                numbers.push(number);
            }
        }
        numbers
    }
}
