//! What is kept of all findings with every round and every loop.
//!
//! Derived files keep the status of a loop and what each sheet lets one expect of the cut. They are made of thousands of rounds, so
//! nothing else is looked at for them: least of all a plan, which costs more than all the rest.

use super::cautions::{self, Grounds};
use super::now::Now;
use super::{
    Balance, Context, CutterFinding, Evenness, Findings, Gaps, Status, balance, changeover, cut, evenness, forecast,
    gaps, of_cutters,
};
use crate::round::{Cut, Round, Summary};
use crate::stats::belief::Belief;
use crate::units::Millimetres;

/// What the readings prove about the loop as it stands: the part of all findings that takes no plan.
#[derive(Debug, Clone)]
pub(super) struct Proven {
    pub(super) cutters: Vec<CutterFinding>,
    pub(super) evenness: Evenness,
    pub(super) balance: Balance,
    pub(super) gaps: Gaps,
}

impl Proven {
    pub(super) fn of(
        ctx: &Context<'_>,
        (lengths, bests): (&[Option<Now>], &[Option<Belief>]),
        per_round: Millimetres,
    ) -> Self {
        let (round, skill) = (ctx.round, ctx.skill);
        let reference = evenness::reference(round, bests);
        let cutters = of_cutters(ctx, lengths, bests, reference);
        let verdicts: Vec<_> = cutters.iter().map(|found| found.length).collect();
        Self {
            evenness: evenness::evenness(round, lengths, reference, &verdicts, skill),
            balance: balance::balance(round, skill),
            gaps: gaps::gaps(round, &cutters, per_round),
            cutters,
        }
    }
}

/// Steel that a usual round takes. It is told by the rounds before: what rests on it must not change once the round is signed off.
pub(super) fn usual_round(ctx: &Context<'_>) -> Millimetres {
    let spec = &ctx.round.header.spec;
    let wear = forecast::Wear::learn(spec.wear_per_round, &forecast::wears(&ctx.past.rounds));
    forecast::typical(&wear, spec.need)
}

impl Findings {
    /// What the readings let one expect of the cut; `round` is the one that these findings are of.
    pub(crate) fn promised(&self, round: &Round) -> Option<Cut> {
        cut::promised(round, (&self.cutters, &self.evenness, &self.balance, &self.gaps))
    }
}

/// As [`Findings::promised`].
pub(crate) fn promised(ctx: &Context<'_>) -> Option<Cut> {
    let (lengths, bests) = (evenness::lengths(ctx.round), evenness::bests(ctx.round));
    let found = Proven::of(ctx, (&lengths, &bests), usual_round(ctx));
    cut::promised(ctx.round, (&found.cutters, &found.evenness, &found.balance, &found.gaps))
}

/// As [`Findings::status`].
pub(crate) fn status(ctx: &Context<'_>) -> Status {
    let (round, past) = (ctx.round, ctx.past);
    let (lengths, bests) = (evenness::lengths(round), evenness::bests(round));
    let Proven { cutters, evenness, gaps, .. } = Proven::of(ctx, (&lengths, &bests), usual_round(ctx));
    let this = Summary::of(round);
    let wear = forecast::of_loop(past.rounds.iter().chain([&this]), &round.header.spec, ctx.prices).wear;
    let changeover = changeover::of_loop(round, &lengths, &wear, ctx.skill);
    let grounds = Grounds { round, cutters: &cutters, changeover: &changeover, gaps: &gaps, tension: ctx.tension };
    Status::of(round, &cautions::of_round(&grounds), &evenness.uneven)
}
