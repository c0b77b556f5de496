//! Advice: what the readings of a round prove, and what to do about it.
//!
//! What the room is for: looking at a folded [`Round`] and saying what is even, what is not, how sure that is, and what
//! costs least steel. It changes nothing and remembers nothing. It must not know terminals, files or clocks; where a date is
//! to be told, it counts from the last entry of the round.
//!
//! Every subject has its own pure function, so that a face can ask for one thing after each reading; [`Findings::of`] asks
//! for everything.
//!
//! # Example
//!
//! A round of 36 cutters is folded from its events and its findings are asked for ([`crate::round`] shows how it begins):
//!
//! ```
//! use evenbite::advice::{Context, Findings, LengthWord, Skill};
//! # use chrono::DateTime;
//! # use evenbite::chain::{Sequence, Side, Wood, profile::built_in};
//! # use evenbite::round::{Header, Tool, Trust};
//! # use evenbite::units::{Unit};
//! use evenbite::chain::nth;
//! use evenbite::round::{Entry, Event, Finding, LookItem, Past, Prices, Round, When};
//! use evenbite::units::mm;
//!
//! # let profile = built_in::named("three-eighths").ok_or("not built in")?;
//! # let mut round = Round::begin(Header {
//! #     tag: "big-saw".into(),
//! #     started: DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00")?,
//! #     sharpener: "Ina".into(),
//! #     wood: Wood::Any,
//! #     tool: Tool::File,
//! #     units: Unit::Mm,
//! #     begin: Side::Left,
//! #     take_strokes: false,
//! #     take_angles: false,
//! #     spread: false,
//! #     edges: true,
//! #     trust: Trust::default(),
//! #     links: 72,
//! #     sequence: Sequence::Full,
//! #     first: Side::Left,
//! #     start_mark: String::new(),
//! #     saw: String::new(),
//! #     profile: profile.name.clone(),
//! #     spec: profile.spec().clone(),
//! # })?;
//! let sound = LookItem::ALL.map(|item| Event::Looked { item, finding: Finding::Sound, note: None });
//! let lengths = (1..=36).map(|number| Event::Length {
//!     cutter: nth(number),
//!     when: When::Before,
//!     mm: if number == 7 { mm(7.0) } else { mm(8.0) },
//!     again: false,
//! });
//! for (seq, event) in (1..).zip(sound.into_iter().chain(lengths)) {
//!     round.apply(Entry { seq, at: round.header.started, by: None, typed: None, event });
//! }
//! let (past, skill, prices) = (Past::default(), Skill::default(), Prices::default());
//! let findings = Findings::of(&Context { round: &round, past: &past, skill: &skill, prices: &prices, tension: None });
//! // The shortest cutter sets the length: against it the others are long.
//! assert_eq!(findings.cutter(nth(7)).map(|cutter| cutter.length.word), Some(LengthWord::Even));
//! assert_eq!(findings.cutter(nth(8)).map(|cutter| cutter.length.word), Some(LengthWord::Long));
//! assert_eq!(findings.evenness.spread, Some(mm(1.0)));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod balance;
pub mod cautions;
pub(crate) mod changeover;
pub(crate) mod cut;
pub(crate) mod drift;
pub(crate) mod enough;
pub mod evenness;
pub(crate) mod flags;
pub mod forecast;
pub(crate) mod gaps;
pub mod lesson;
pub(crate) mod mark;
pub(crate) mod now;
pub mod person;
pub(crate) mod place;
pub mod plan;
pub mod rakers;
pub mod reckoning;
pub(crate) mod redo;
pub mod repeatability;
pub(crate) mod rotation;
pub(crate) mod saw;
pub(crate) mod say;
pub(crate) mod setting;
mod short;
pub(crate) mod skill;
pub(crate) mod slope;
pub(crate) mod status;
pub(crate) mod strokes;
#[cfg(test)]
mod tests;
pub(crate) mod tips;
pub mod verdict;
mod verdicts;
pub(crate) mod wrist;

pub use balance::{Balance, BalanceWord};
pub use cautions::{Caution, Loose};
pub use changeover::{ChangeoverReport, CutterStage, RuleAdvice};
pub use cut::Agreement;
pub use drift::Drift;
pub use enough::Enough;
pub use evenness::Evenness;
pub use flags::{Flag, FlagKind};
pub use forecast::Forecast;
pub use gaps::Gaps;
pub use lesson::Lesson;
pub use person::Person;
pub use plan::{Plan, PlanOption};
pub use rakers::{FileAdvice, RakerAdvice};
pub use reckoning::Reckoning;
pub use redo::Redo;
pub(crate) use short::{promised, status};
pub use skill::Skill;
pub use status::{Status, StatusWord, Why};
pub use strokes::StrokeAdvice;
pub use verdict::{AngleWord, GapWord, Judged, LengthWord};
pub(crate) use verdicts::Verdicts;
pub use wrist::Wrist;

use crate::chain::{CutterNumber, Rule, Side};
use crate::round::card::Prices;
use crate::round::{Cutter, CutterState, Past, Round, Summary, Tool};
use crate::saw::Grade;
use crate::stats::belief::{Belief, Expected, Kin, kin};
use crate::units::{Degrees, Millimetres};
use now::Now;
use short::Proven;

/// What advice rests on.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The round so far.
    pub round: &'a Round,
    /// Earlier rounds of the loop.
    pub past: &'a Past,
    /// How well readings repeat.
    pub skill: &'a Skill,
    /// What rounds and loops cost, where the owner says so.
    pub prices: &'a Prices,
    /// The latest word on the tension of the loop's saw, as its record stands today.
    pub tension: Option<Grade>,
}

/// Everything there is to say about one cutter; what is not known is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct CutterFinding {
    /// Number from the start mark.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// What is to be done with it.
    pub state: CutterState,
    /// Length as it came.
    pub before: Option<Millimetres>,
    /// Length after filing.
    pub after: Option<Millimetres>,
    /// Length now: measured, or taken for granted where it was filed and not measured.
    pub length_now: Option<Millimetres>,
    /// Wear at that length.
    pub wear: Option<Millimetres>,
    /// Length to file to; `None` before one is chosen and for cutters not to be matched.
    pub target: Option<Millimetres>,
    /// Top-plate angle, as measured.
    pub angle_now: Option<Degrees>,
    /// Gap before the raker was filed.
    pub gap_before: Option<Millimetres>,
    /// Gap now, as measured.
    pub gap_now: Option<Millimetres>,
    /// The tooth was filed after its gap was measured.
    pub gap_stale: bool,
    /// Length verdict.
    pub length: Judged<LengthWord>,
    /// Angle verdict.
    pub angle: Judged<AngleWord, Degrees>,
    /// Gap verdict.
    pub gap: Judged<GapWord>,
    /// Where it stands in its life.
    pub stage: Option<CutterStage>,
    /// What to do at its raker.
    pub raker: RakerAdvice,
    /// How many strokes to give now.
    pub strokes: Option<StrokeAdvice>,
}

/// Everything there is to say about a round.
#[derive(Debug, Clone, PartialEq)]
pub struct Findings {
    /// Cutter by cutter, number 1 first.
    pub cutters: Vec<CutterFinding>,
    /// Are lengths even?
    pub evenness: Evenness,
    /// Left against right.
    pub balance: Balance,
    /// Drift along the filing order.
    pub drift: Option<Drift>,
    /// Angles by side.
    pub wrist: Wrist,
    /// One length for all.
    pub plan: Option<Plan>,
    /// Where the loop stands between fixed and wear-scaled gap.
    pub changeover: ChangeoverReport,
    /// How long it will last.
    pub forecast: Forecast,
    /// The raker gaps of the whole loop.
    pub gaps: Gaps,
    /// Which rule for the raker gap.
    pub rule: RuleAdvice,
    /// Which file.
    pub file: Option<FileAdvice>,
    /// The loop's own back slope, as far as its signed rounds and this one tell it.
    pub slope: Option<slope::Slope>,
    /// What is wrong, what matters most first.
    pub flags: Vec<Flag>,
    /// What the proof sends back.
    pub redo: Vec<Redo>,
    /// What this round calls for, beyond [`cautions::ALWAYS`].
    pub cautions: Vec<Caution>,
    /// How the loop stands after it.
    pub status: Status,
    /// Whether enough is measured; `None` once everything is.
    pub enough: Option<Enough>,
}

impl Findings {
    /// Looks at everything.
    pub fn of(ctx: &Context<'_>) -> Self {
        Self::complete(ctx, Verdicts::of(ctx))
    }

    /// Everything, from the verdicts of the same round.
    pub(crate) fn complete(ctx: &Context<'_>, verdicts: Verdicts) -> Self {
        let (round, past, skill) = (ctx.round, ctx.past, ctx.skill);
        let Verdicts { lengths, proven, flags, .. } = verdicts;
        let Proven { mut cutters, evenness, balance, gaps } = proven;
        let spec = &round.header.spec;
        let this = Summary::of(round);
        let forecast = forecast::of_loop(past.rounds.iter().chain([&this]), spec, ctx.prices);
        let changeover = changeover::of_loop(round, &lengths, &forecast.wear, skill);
        let plan = plan::plan(round, short::usual_round(ctx));
        if round.target.is_none() {
            for found in &mut cutters {
                found.length.worth_again = plan.as_ref().is_some_and(|plan| plan.check.contains(&found.number));
            }
        }
        let grounds =
            cautions::Grounds { round, cutters: &cutters, changeover: &changeover, gaps: &gaps, tension: ctx.tension };
        let cautions = cautions::of_round(&grounds);
        Self {
            balance,
            drift: drift::drift(round),
            wrist: wrist::wrist(round, skill),
            forecast,
            rule: changeover::rule(round, &changeover, past),
            file: file(round, past, &changeover),
            slope: slope::learn(&slope::of_rounds(&past.rounds).and(&slope::loss(round, &past.last))),
            flags,
            redo: redo::redo(round, &cutters, &lengths),
            status: Status::of(round, &cautions, &evenness.uneven),
            cautions,
            gaps,
            enough: enough::enough(round, plan.as_ref(), !evenness.struck.is_empty(), skill),
            cutters,
            evenness,
            plan,
            changeover,
        }
    }

    /// One cutter by number.
    pub fn cutter(&self, number: CutterNumber) -> Option<&CutterFinding> {
        self.cutters.get(number.index())
    }
}

fn of_cutters(
    ctx: &Context<'_>,
    lengths: &[Option<Now>],
    bests: &[Option<Belief>],
    reference: Option<evenness::Reference>,
) -> Vec<CutterFinding> {
    let (round, skill) = (ctx.round, ctx.skill);
    let at_gap = now::length_at_gap(round);
    let common = Common::of(round, skill);
    let rates = [Side::Left, Side::Right].map(|side| strokes::rate(round, ctx.past, side, skill));
    let all = round.cutters.iter().zip(lengths.iter().zip(bests).zip(at_gap));
    all.map(|(cutter, ((now, best), at_gap))| {
        let rate = &rates[usize::from(cutter.side == Side::Right)];
        let found = CutterFinding {
            length: evenness::judge(cutter, *now, *best, reference, round),
            ..of_cutter(ctx, cutter, *now, at_gap, &common)
        };
        let strokes = match rakers::tooth_back(cutter, &found) {
            Some(back) => strokes::back_to(round, cutter, back.length, rate),
            None => strokes::for_cutter(round, cutter, rate),
        };
        CutterFinding { strokes, ..found }
    })
    .collect()
}

/// A reading is asked for once more, not again and again.
const ASKED: usize = 2;

/// A second length reading is asked for only where it can change what is done: before a length is chosen at the cutters
/// that set it, which the plan tells, and afterwards at those that have been filed.
fn spare_repeats(cutters: &mut [CutterFinding], lengths: &[Option<Now>], round: &Round) {
    for ((found, now), cutter) in cutters.iter_mut().zip(lengths).zip(&round.cutters) {
        let gaps = if cutter.gap_after.is_empty() { &cutter.gap_before } else { &cutter.gap_after };
        found.gap.worth_again &= gaps.count() < ASKED;
        found.angle.worth_again &= cutter.angle.count() < ASKED;
        found.length.worth_again &= round.target.is_some() && now.is_some_and(|now| now.filed && now.readings < ASKED);
    }
}

/// All about one cutter that can be said without any other.
fn of_cutter(
    ctx: &Context<'_>,
    cutter: &Cutter,
    now: Option<Now>,
    at_gap: Option<Millimetres>,
    common: &Common,
) -> CutterFinding {
    let (round, skill) = (ctx.round, ctx.skill);
    let spec = &round.header.spec;
    let target_gap = if cutter.is_present() { round.gap_by(common.rule, cutter) } else { None };
    let gap = rakers::gap_now(cutter, now, at_gap, ctx.past, spec, skill);
    CutterFinding {
        number: cutter.number,
        side: cutter.side,
        state: cutter.state,
        before: cutter.before.mean(),
        after: cutter.after.mean(),
        length_now: now.map(|now| now.length),
        wear: now.map(|now| spec.wear(now.length)),
        target: round.target.as_ref().filter(|_| cutter.is_matched()).map(|target| target.length),
        angle_now: cutter.angle.mean(),
        gap_before: cutter.gap_before.mean(),
        gap_now: cutter.gap(),
        gap_stale: cutter.gap_stale,
        length: Judged::nothing(LengthWord::Unmeasured),
        angle: judge_angle(round, cutter, skill, common),
        gap: rakers::judge(cutter, gap, target_gap, round, now, (skill, common.rule, common.gaps)),
        stage: now.map(|now| changeover::of_cutter(round, now, skill, &common.ends)),
        raker: rakers::advise(gap, target_gap, now, round, (common.rule, common.gaps)),
        strokes: None,
    }
}

/// How far the angles of one hand differ from each other, before they are read, degrees.
const HELD: Expected = Expected { sd: 0.4, values: 10.0, least: 0.2 };
/// Chance that an angle does not belong to the rest of its side, and how far such a one may be off, degrees (standard deviation).
const ODD_ANGLE: (f64, f64) = (0.015, 3.0);
/// Fewer angles tell nothing of the others.
const FEWEST_ANGLES: usize = 5;

/// What cutters worked by one hand have in common, as far as verdicts rest on it.
struct Common {
    rule: Rule,
    gaps: Option<Kin>,
    /// How far angles are off, left and right.
    angles: [Option<Kin>; 2],
    ends: changeover::Ends,
}

impl Common {
    fn of(round: &Round, skill: &Skill) -> Self {
        let rule = round.rule_in_force();
        let target = round.header.spec.top_plate_for(round.header.wood);
        let angles = [Side::Left, Side::Right].map(|side| {
            let of_side = round.cutters.iter().filter(|cutter| cutter.is_present() && cutter.side == side);
            let off: Vec<f64> = of_side.filter_map(|cutter| Some((cutter.angle.mean()? - target).get())).collect();
            kin(&off, skill.angle_u(1).get().powi(2), HELD, FEWEST_ANGLES)
        });
        Self { rule, gaps: rakers::process(round, rule, skill), angles, ends: changeover::Ends::of(round) }
    }
}

fn judge_angle(round: &Round, cutter: &Cutter, skill: &Skill, common: &Common) -> Judged<AngleWord, Degrees> {
    let Some(angle) = cutter.angle.mean().filter(|_| cutter.is_present()) else {
        return Judged::nothing(AngleWord::Unmeasured);
    };
    let off = (angle - round.header.spec.top_plate_for(round.header.wood)).get();
    let noise = skill.angle_u(cutter.angle.count()).get().powi(2);
    let known = match common.angles[usize::from(cutter.side == Side::Right)] {
        Some(kin) => Belief::new(kin.middle, kin.variance, ODD_ANGLE.0, ODD_ANGLE.1.powi(2)).read(off, noise),
        None => Belief::new(off, noise, 0.0, noise),
    };
    let once = skill.angle_u(1).get().powi(2);
    verdict::angle_known(verdict::Known::new(off, known, once), round.header.spec.angle_tolerance)
}

fn file(round: &Round, past: &Past, changeover: &ChangeoverReport) -> Option<FileAdvice> {
    if round.header.tool == Tool::Grinder {
        return None;
    }
    let spec = &round.header.spec;
    let length = spec.new_length - changeover.median_wear?;
    let last = past.rounds.iter().rev().find_map(|summary| summary.median_after);
    rakers::file_size(spec, spec.top_plate_for(round.header.wood), length, last)
}
