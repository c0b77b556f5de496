//! One length for all: the exact band plan.
//!
//! Each cutter must lose at least its `need`, so it can reach `a = L - need`. The kept ones end in one band
//! `[t, t + band]`, `t` the smallest `a` kept, and no cutter may stand above the band. A cutter then ends at
//! `min(a, t + band)`, and the steel taken off is least when the cutters left short are those of smallest `a`: to leave any
//! other short would keep `t` where it is. So the options are nested: none left short, the smallest, the two smallest ...

use super::now;
use crate::chain::{CutterNumber, Layout, Side, Spec};
use crate::round::Round;
use crate::stats::belief::{Belief, Smallest};
use crate::stats::conformity::GUARD;
use crate::units::{Millimetres, mm};

/// At most one cutter in this many is left short.
pub const ONE_IN: usize = 12;
/// With this probability the shortest falls short of the target, by less than a reading can tell, and the target lies above where it
/// most likely is by no more than this, mm (chosen on simulated loops).
const FALLS_SHORT: (f64, f64) = (0.9, 0.05);
/// Rounding in sums of readings: differences below count as none.
const SLACK: Millimetres = mm(1e-9);

/// A cutter as the plan sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Number from the start mark.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// Length.
    pub length: Millimetres,
    /// Length that it must lose.
    pub need: Millimetres,
    /// Standard uncertainty of the length.
    pub u: Millimetres,
    /// Readings behind the length.
    pub readings: usize,
}

impl Candidate {
    /// `a`: the length that the cutter can reach.
    pub fn reach(&self) -> Millimetres {
        self.length - self.need
    }

    fn belief(&self) -> Belief {
        let variance = self.u.get().powi(2);
        Belief::new(self.reach().get(), variance, 0.0, variance)
    }

    /// Length at which it ends for a target.
    pub fn end(&self, target: Millimetres, band: Millimetres) -> Millimetres {
        self.reach().min(target + band)
    }
}

/// One way to go.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanOption {
    /// Cutters deliberately not matched, by number.
    pub left_short: Vec<CutterNumber>,
    /// Length to file to: the lower end of the band.
    pub target: Millimetres,
    /// What the shortest cutter kept can most likely reach, and the standard uncertainty of that.
    pub shortest: Millimetres,
    /// See `shortest`.
    pub u: Millimetres,
    /// Length taken off all cutters together.
    pub removed: Millimetres,
    /// Mean loss of the kept cutters.
    pub each: Millimetres,
    /// The same as a share of the usable length.
    pub life_share: f64,
    /// And in typical rounds.
    pub rounds: f64,
    /// Cutters that this brings to the witness mark or that are there already, by number.
    pub retires: Vec<CutterNumber>,
}

/// Why there are no further options.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// One in twelve are left short already.
    OneInTwelve,
    /// These two of one side stand next to each other.
    Neighbours(CutterNumber, CutterNumber),
    /// No cutter would be kept.
    All,
}

/// Why a plan is what it is.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanWhy {
    /// Every option brings a cutter to the witness mark; these are spent with none left short.
    AllRetire(Vec<CutterNumber>),
    /// All to one length, as leaving one short raises the target by no more than this.
    SavesLittle {
        /// Length saved on each other cutter.
        by: Millimetres,
    },
    /// All to one length, as none can be left short.
    NoneMayBe(Limit),
    /// Leaving some short is worth it.
    Saves {
        /// How many.
        left_short: usize,
        /// Length saved on each other cutter.
        each: Millimetres,
        /// Why not one more.
        next: Next,
    },
    /// Chosen again because one cutter cannot reach the length chosen.
    CannotReach {
        /// That cutter.
        cutter: CutterNumber,
        /// The length chosen.
        target: Millimetres,
        /// What more the others lose where they follow.
        more: Millimetres,
        /// Why it should not be left short, if anything stands against it.
        limit: Limit,
    },
}

/// Why no further cutter is left short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Next {
    /// It saves no more than this.
    SavesOnly(Millimetres),
    /// There are no more options.
    Limit(Limit),
}

/// All ways to go and the one recommended.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// By number of cutters left short, none first.
    pub options: Vec<PlanOption>,
    /// Place of the recommended one; none where every option brings a cutter to the witness mark.
    pub recommended: Option<usize>,
    /// Why.
    pub why: PlanWhy,
    /// Why there are no more options.
    pub limit: Limit,
    /// Width of the band: half the length tolerance.
    pub band: Millimetres,
    /// Wear of a typical round, which savings are held against.
    pub typical: Millimetres,
    /// Cutters measured.
    pub measured: usize,
    /// Cutters not measured yet: one of them may be the shortest.
    pub unmeasured: usize,
    /// Cutters whose single reading sets the length for all: measure them once more before the file.
    pub check: Vec<CutterNumber>,
}

impl Plan {
    /// The recommended option.
    pub fn best(&self) -> Option<&PlanOption> {
        self.options.get(self.recommended?)
    }
}

/// Width of the band that kept cutters end in.
pub fn band(spec: &Spec) -> Millimetres {
    spec.band()
}

/// Options for every allowed number of cutters left short, in O(n log n), with the reason why they end. `unmeasured`
/// cutters count for one in twelve, not for the plan.
pub fn options(
    candidates: &[Candidate],
    spec: &Spec,
    layout: &Layout,
    unmeasured: usize,
    typical: Millimetres,
) -> (Vec<PlanOption>, Limit) {
    let mut sorted = candidates.to_vec();
    sorted.sort_by(|a, b| a.reach().total_cmp(&b.reach()).then(a.number.cmp(&b.number)));
    let most = (candidates.len() + unmeasured) / ONE_IN;
    let beliefs: Vec<Belief> = sorted.iter().map(Candidate::belief).collect();
    let mut smallest = Smallest::of(&beliefs);
    let mut found = Vec::new();
    for k in 0..sorted.len() {
        if k > most {
            return (found, Limit::OneInTwelve);
        }
        let (short, kept) = sorted.split_at(k);
        if let Some((newest, before)) = short.split_last()
            && let Some(other) = before.iter().find(|c| layout.neighbours_on_side(c.number, newest.number))
        {
            return (found, Limit::Neighbours(other.number.min(newest.number), other.number.max(newest.number)));
        }
        found.push(option_to(Allowed::by(&mut smallest, k), short, kept, spec, typical));
    }
    (found, Limit::All)
}

/// What the kept cutters allow.
#[derive(Default)]
struct Allowed {
    /// The length to file to. The smallest of uncertain lengths is no length to file to: it is too small, and all others would pay for
    /// it. Instead the shortest will most likely end a little under it; of exact lengths it is the smallest.
    target: Millimetres,
    /// What the shortest of uncertain lengths most likely is.
    shortest: Millimetres,
}

impl Allowed {
    /// By all but the first `short`.
    fn by(reach: &mut Smallest<'_>, short: usize) -> Self {
        let Some(shortest) = reach.below_with(0.5, short) else { return Self::default() };
        // One struck cutter sets it alone: all of the doubt about it would be taken off its length.
        let above = reach.below_with(FALLS_SHORT.0, short).unwrap_or(shortest);
        Self { target: mm(above.min(shortest + FALLS_SHORT.1)), shortest: mm(shortest) }
    }

    fn by_all(kept: &[Candidate]) -> Self {
        let beliefs: Vec<Belief> = kept.iter().map(Candidate::belief).collect();
        Self::by(&mut Smallest::of(&beliefs), 0)
    }
}

fn option_to(
    Allowed { target, shortest }: Allowed,
    short: &[Candidate],
    kept: &[Candidate],
    spec: &Spec,
    typical: Millimetres,
) -> PlanOption {
    let loss = |c: &Candidate| c.length - c.end(target, band(spec));
    let kept_loss: Millimetres = kept.iter().map(loss).sum();
    let mean_loss = kept_loss / kept.len().max(1) as f64;
    let mut left_short: Vec<CutterNumber> = short.iter().map(|c| c.number).collect();
    left_short.sort_unstable();
    let spent = |c: &Candidate, end: Millimetres| spec.at_mark(end).then_some(c.number);
    // A cutter left short is sharpened, but its damage need not go.
    let of_short = short.iter().filter_map(|c| spent(c, c.length - c.need.min(spec.need)));
    let of_kept = kept.iter().filter_map(|c| spent(c, c.end(target, band(spec))));
    let mut retires: Vec<CutterNumber> = of_short.chain(of_kept).collect();
    retires.sort_unstable();
    PlanOption {
        left_short,
        target,
        shortest,
        u: kept.iter().min_by(|a, b| a.reach().total_cmp(&b.reach())).map_or(mm(0.0), |shortest| shortest.u),
        removed: kept_loss + short.iter().map(loss).sum::<Millimetres>(),
        each: mean_loss,
        life_share: mean_loss / spec.usable(),
        rounds: mean_loss / typical,
        retires,
    }
}

/// A saving may fall short of what it must come to by this many standard deviations of the shortest cutter's length (chosen on simulated
/// loops): in doubt the steel stays on, as a cutter left short comes level in time and what is filed off the others does not come back.
const IN_DOUBT: f64 = GUARD;

/// The smallest number left short after which leaving more short saves less than a typical round's wear for each. More
/// than one step is looked ahead, so that two struck cutters that hide each other are seen. Options that bring a cutter
/// to the witness mark are never recommended.
pub fn recommend(options: &[PlanOption], typical: Millimetres) -> Option<usize> {
    let fit = |o: &PlanOption| o.retires.is_empty();
    let mut best = options.iter().position(fit)?;
    while let Some(next) = (best + 1..options.len()).find(|j| {
        let saved = options[*j].shortest - options[best].shortest;
        fit(&options[*j]) && saved >= typical * (j - best) as f64 - options[best].u * IN_DOUBT - SLACK
    }) {
        best = next;
    }
    Some(best)
}

/// The plan of a round: from lengths as they came, or as they are now when the length is chosen anew after filing has begun.
/// `None` without a length and for a loop that the look-over rejected.
pub fn plan(round: &Round, typical: Millimetres) -> Option<Plan> {
    if round.is_rejected() {
        return None;
    }
    let candidates = candidates(round);
    let unmeasured = round.cutters.iter().filter(|c| c.is_present()).count() - candidates.len();
    let spec = &round.header.spec;
    let of = |options, recommended, why, limit, check| Plan {
        options,
        recommended,
        why,
        limit,
        band: band(spec),
        typical,
        measured: candidates.len(),
        unmeasured,
        check,
    };
    if let Some(found) = about_one(round, &candidates, unmeasured, typical) {
        let why = found.why();
        return Some(of(found.options, found.recommended, why, found.limit, Vec::new()));
    }
    let (options, limit) = options(&candidates, spec, &round.layout, unmeasured, typical);
    let recommended = recommend(&options, typical);
    let taken = recommended.and_then(|k| options.get(k)).or(options.first())?;
    let check = check(&candidates, &taken.left_short, taken.target, &undecided(&candidates, &options, typical));
    let why = why(&options, recommended, limit);
    Some(of(options, recommended, why, limit, check))
}

/// The choice taken up again because of one cutter.
struct AboutOne {
    cutter: CutterNumber,
    /// The length chosen before.
    target: Millimetres,
    options: Vec<PlanOption>,
    recommended: Option<usize>,
    limit: Limit,
}

/// All that are kept to the length that one cutter can still reach; or that one left short as well, and the length stays.
/// What is left short already stays so in both.
fn about_one(round: &Round, candidates: &[Candidate], unmeasured: usize, typical: Millimetres) -> Option<AboutOne> {
    let cutter = round.reopened?.about?;
    let target = round.target.as_ref()?.length;
    let spec = &round.header.spec;
    let is_short = |c: &Candidate| {
        c.number != cutter && round.cutter(c.number).is_some_and(|c| c.state == crate::round::CutterState::LeftShort)
    };
    let (mut short, mut kept): (Vec<Candidate>, Vec<Candidate>) = candidates.iter().copied().partition(is_short);
    let lower = option_to(Allowed::by_all(&kept), &short, &kept, spec, typical);
    let one = kept.remove(kept.iter().position(|c| c.number == cutter)?);
    let neighbour = short.iter().find(|c| round.layout.neighbours_on_side(c.number, cutter)).map(|c| c.number);
    short.push(one);
    let many = short.len() > (candidates.len() + unmeasured) / ONE_IN;
    let leave = option_to(Allowed { target, ..Allowed::by_all(&kept) }, &short, &kept, spec, typical);
    let limit = match neighbour {
        Some(other) => Limit::Neighbours(other.min(cutter), other.max(cutter)),
        None if many => Limit::OneInTwelve,
        None => Limit::All,
    };
    let (fit_lower, fit_leave) = (lower.retires.is_empty(), leave.retires.is_empty() && limit == Limit::All);
    let saves = target - lower.target >= typical - SLACK;
    let recommended = match (fit_lower, fit_leave) {
        (_, true) if saves || !fit_lower => Some(1),
        (true, _) => Some(0),
        (false, _) => None,
    };
    Some(AboutOne { cutter, target, options: vec![lower, leave], recommended, limit })
}

impl AboutOne {
    fn why(&self) -> PlanWhy {
        let more = self.options.first().map_or(mm(0.0), |lower| self.target - lower.target);
        PlanWhy::CannotReach { cutter: self.cutter, target: self.target, more, limit: self.limit }
    }
}

/// At most this many cutters are asked to be measured once more before the plan is trusted.
const CHECKED: usize = 3;

/// A cutter sets the target where this share of what falls short of it is its own.
const SETS: f64 = 0.2;

/// Savings this near what they must come to, in standard deviations, may come out otherwise by a second reading.
const NEAR: f64 = 1.3;

/// Cutters whose reading decides whether they are left short: what that saves is as much as it must save, as far as one reading tells.
fn undecided(candidates: &[Candidate], options: &[PlanOption], typical: Millimetres) -> Vec<CutterNumber> {
    let mut found = Vec::new();
    for (fewer, more) in options.iter().zip(options.iter().skip(1)) {
        let Some(number) = more.left_short.iter().find(|number| !fewer.left_short.contains(number)) else { continue };
        let Some(one) = candidates.iter().find(|candidate| candidate.number == *number) else { continue };
        // Against the last option: what is short beside all others is what the readings must tell.
        let near = |to: &PlanOption| {
            let each = typical * (to.left_short.len() - fewer.left_short.len()) as f64;
            ((to.shortest - fewer.shortest) - each).abs() < one.u * NEAR
        };
        if options[fewer.left_short.len() + 1..].iter().any(near) {
            found.push(*number);
        }
    }
    found
}

/// Kept cutters that set the target with a single reading, the one that does so most first; before them those that may be left short
/// or not by their reading.
fn check(
    candidates: &[Candidate],
    short: &[CutterNumber],
    target: Millimetres,
    undecided: &[CutterNumber],
) -> Vec<CutterNumber> {
    let once = || candidates.iter().filter(|c| c.readings < 2);
    let kept = once().filter(|c| !short.contains(&c.number) && !undecided.contains(&c.number));
    let mut found: Vec<(f64, CutterNumber)> = kept.map(|c| (c.belief().below(target.get()), c.number)).collect();
    found.retain(|(share, _)| *share >= SETS);
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let deciding = once().map(|c| c.number).filter(|number| undecided.contains(number));
    deciding.chain(found.into_iter().map(|(_, number)| number)).take(CHECKED).collect()
}

/// The length that each kept cutter can reach, as far as it is known.
pub fn reaches(round: &Round) -> Vec<(CutterNumber, Millimetres)> {
    let is_kept = |c: &Candidate| round.cutter(c.number).is_some_and(crate::round::Cutter::is_matched);
    candidates(round).iter().filter(|c| is_kept(c)).map(|c| (c.number, c.reach())).collect()
}

/// The cutters that a plan looks at.
pub(super) fn candidates(round: &Round) -> Vec<Candidate> {
    let anew = round.target.is_none() || round.reopened.is_some();
    let came = round.came();
    let of = |cutter: &crate::round::Cutter| {
        let (number, side) = (cutter.number, cutter.side);
        let filed = now::length(round, cutter).filter(|now| anew && now.filed && now.is_measured());
        if let Some(now) = filed {
            // Filed in this round: it is sharp and needs no more, but for damage found since.
            let need = if cutter.hurt_since { round.need(cutter) } else { mm(0.0) };
            let best = cutter.best();
            let length = best.map_or(now.length, |best| mm(best.mean()));
            let u = mm(best.map_or(0.0, |best| best.sd()));
            return Some(Candidate { number, side, length, need, u, readings: now.readings });
        }
        let best = came.get(number.index()).copied().flatten()?;
        let (length, u) = (mm(best.mean()), mm(best.sd()));
        Some(Candidate { number, side, length, need: round.need(cutter), u, readings: cutter.before.count() })
    };
    round.cutters.iter().filter(|cutter| cutter.is_present()).filter_map(of).collect()
}

fn why(options: &[PlanOption], recommended: Option<usize>, limit: Limit) -> PlanWhy {
    let Some(k) = recommended else {
        return PlanWhy::AllRetire(options.first().map(|option| option.retires.clone()).unwrap_or_default());
    };
    let saved = |from: usize, to: usize| options[to].shortest - options[from].shortest;
    match (k, k + 1 < options.len()) {
        (0, true) => PlanWhy::SavesLittle { by: saved(0, 1) },
        (0, false) => PlanWhy::NoneMayBe(limit),
        (_, more) => {
            let next = if more { Next::SavesOnly(saved(k, k + 1)) } else { Next::Limit(limit) };
            PlanWhy::Saves { left_short: k, each: saved(0, k), next }
        }
    }
}

#[cfg(test)]
mod tests;
