//! What is said of a reading at once: the verdicts on each cutter and what is wrong with it.
//!
//! The room is for what may not wait: a face says this as soon as a reading is on record. The plan, the forecast and all else that
//! [`Findings`](super::Findings) hold come after, from the same verdicts.

use super::short::{self, Proven};
use super::{Context, CutterFinding, Flag, changeover, evenness, flags, now, spare_repeats};
use crate::chain::CutterNumber;

/// The verdicts of a round.
#[derive(Debug, Clone)]
pub(crate) struct Verdicts {
    pub(super) lengths: Vec<Option<now::Now>>,
    pub(super) proven: Proven,
    /// What is wrong, what matters most first.
    pub flags: Vec<Flag>,
    /// Cutters so near their mark that it takes a reading more to tell.
    pub mark_again: Vec<CutterNumber>,
}

impl Verdicts {
    /// Looks at each cutter.
    pub(crate) fn of(ctx: &Context<'_>) -> Self {
        let (round, skill) = (ctx.round, ctx.skill);
        let (lengths, bests) = (evenness::lengths(round), evenness::bests(round));
        let mut proven = Proven::of(ctx, (&lengths, &bests), short::usual_round(ctx));
        spare_repeats(&mut proven.cutters, &lengths, round);
        let flags = flags::flags(round, &proven.cutters, &proven.evenness, (&lengths, &bests), skill);
        let mark_again = changeover::mark_again(round, &lengths, skill);
        Self { lengths, proven, flags, mark_again }
    }

    /// One cutter by number. Whether its length is worth a second reading before a length is chosen, only the plan tells.
    pub(crate) fn cutter(&self, number: CutterNumber) -> Option<&CutterFinding> {
        self.proven.cutters.get(number.index())
    }

    /// True where the rakers of the whole loop are off alike.
    pub(crate) const fn whole_loop_is_off(&self) -> bool {
        self.proven.gaps.whole.is_some()
    }
}
