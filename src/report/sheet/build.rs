//! From a round and what advice says about it to the plain values of a sheet.

use chrono::{DateTime, FixedOffset};

use super::model::{
    AnglesPart, BalancePart, CardPart, ChangeoverPart, DriftPart, EvennessPart, FilePart, FlagPart, ForecastPart,
    OptionPart, PlanPart, RakersPart, Reference, SawPart, Sheet, SidePart, WholePart, WhyPart, Worst,
};
use crate::advice::evenness::{From, SideLengths};
use crate::advice::reckoning::Book;
use crate::advice::saw::faults;
use crate::advice::say::skill::judged_with;
use crate::advice::verdict::{GapWord, LengthWord};
use crate::advice::{Context, CutterFinding, Findings, Flag, Reckoning, Status, cautions, forecast};
use crate::chain::CutterNumber;
use crate::report::data::Number;
use crate::report::release::ReleasePart;
use crate::report::saw::FaultRow;
use crate::round::{Card, Closing, CutterState, Held, Round, SawLook};
use crate::saw::Saw;
use crate::units::clean::clean;
use crate::units::{Millimetres, Unit, mm};

mod cutters;
mod geometry;
mod round;

impl Sheet {
    /// Everything there is to say about a round; `card` adds the loop's name and owner.
    pub fn of(ctx: &Context<'_>, card: Option<&Card>) -> Self {
        let (of, header) = (ctx.round, &ctx.round.header);
        let found = Findings::of(ctx);
        let own_cautions = found.cautions.len();
        let always = cautions::ALWAYS.iter().map(|line| (*line).to_owned());
        let cutters = cutters::parts(of, &found);
        Self {
            tag: header.tag.clone(),
            profile: header.profile.clone(),
            round: round::part(of),
            sharpener: clean(&header.sharpener),
            other_hands: of.other_hands().into_iter().map(clean).collect(),
            units: header.units,
            judged_with: judged_with(ctx.skill, &clean(of.hand()), header.units),
            evenness: evenness(&found),
            balance: balance(&found, header.units),
            drift: drift(&found, header.units),
            plan: plan(of, &found),
            changeover: changeover(&found, header.units),
            forecast: forecast(ctx, &found),
            card: card.map(card_part),
            angles: angles(of, &found),
            rakers: rakers(of, &found),
            file: found.file.map(|file| FilePart {
                diameter_mm: Number::from(file.diameter),
                instead_of_mm: file.instead_of.map(Number::from),
                above_mm: Number::from(file.above),
                wedge_deg: Number::from(file.wedge),
            }),
            flags: found.flags.iter().map(|found| flag(found, header.units)).collect(),
            not_measured: round::not_measured(of),
            worst: worst(&found, header.units),
            geometry: geometry::part(header, &found),
            saw: None,
            reckonings: whys(ctx, &found),
            status: (&found.status).into(),
            promised: found.promised(of),
            cautions: found.cautions.iter().map(|caution| caution.words(header.units)).chain(always).collect(),
            own_cautions,
            not_read: Vec::new(),
            demo: false,
            cutters,
            spec: header.spec.clone(),
        }
    }
}

/// How the figures were reckoned.
fn whys(ctx: &Context<'_>, found: &Findings) -> Vec<WhyPart> {
    let all = Book::of(ctx, found).all(&[], None);
    let part = |reckoning: Reckoning| {
        let told = reckoning.told(ctx.round.header.units);
        WhyPart {
            line: told.claim.clone(),
            steps: told.lines.iter().map(|(name, sum)| format!("{name}: {sum}")).collect(),
            numbers: told.numbers.clone(),
            sure: told.sure.clone(),
            changes_with: told.change.clone(),
            lesson: reckoning.subject.lesson().title(),
            told,
        }
    };
    all.into_iter().map(part).collect()
}

impl Sheet {
    /// The sheet with what was known of the saw when the round was last worked on.
    #[must_use]
    pub fn with_saw(mut self, round: &Round, saw: Option<&Saw>) -> Self {
        let end = round.entries.last().map_or(round.header.started, |entry| entry.at);
        self.saw = saw.map(|saw| saw.until(end)).filter(|saw| !saw.looks().is_empty()).map(|saw| {
            let glance = saw.glance();
            SawPart {
                name: clean(&glance.name),
                looked_at: matches!(&round.saw, SawLook::LookedAt(_)),
                last: glance.last.map(|last| last.to_rfc3339()),
                bar: glance.bar,
                sprocket: glance.sprocket,
                oil: glance.oil,
                tension: glance.tension,
                warm_tension_due: glance.warm_due,
                faults: faults(&saw).iter().map(|fault| FaultRow::of(fault, round.header.units)).collect(),
            }
        });
        self
    }
}

impl Sheet {
    /// The sheet of a loop that is held back, by whichever round.
    #[must_use]
    pub fn with_held(mut self, held: Option<&Held>) -> Self {
        if let Some(held) = held.filter(|_| !self.is_rejected()) {
            self.status = (&Status::held(held)).into();
        }
        self
    }

    /// The sheet of a loop that is set aside for practice, or not.
    #[must_use]
    pub fn with_practice(mut self, practice: bool, held: Option<&Held>) -> Self {
        if practice {
            self.status = (&Status::practice(held)).into();
        }
        self
    }
}

impl Sheet {
    /// The same, without these files, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// Files that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// The same, of the invented workshop or not: what is printed of it says so in its first line.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }
}

/// The text in one safe line; `None` where nothing is left of it.
fn said(text: &str) -> Option<String> {
    Some(clean(text)).filter(|text| !text.is_empty())
}

fn card_part(card: &Card) -> CardPart {
    CardPart {
        name: clean(&card.name),
        owner: said(&card.owner),
        saw: said(&card.saw),
        start_mark: said(&card.start_mark),
        scrapped: card.scrapped.as_ref().map(|scrapped| clean(&scrapped.reason)),
        releases: card.releases.iter().map(ReleasePart::of).collect(),
    }
}

fn side(of: &SideLengths) -> SidePart {
    SidePart {
        cutters: of.count,
        mean_mm: Number::from(of.mean),
        spread_mm: Number::from(of.spread),
        sd_mm: of.sd.map(Number::from),
    }
}

fn evenness(found: &Findings) -> EvennessPart {
    let even = &found.evenness;
    let (reference, reference_cutter) = match even.reference.map(|reference| reference.from) {
        Some(From::Target) => (Some(Reference::Target), None),
        Some(From::Shortest(number)) => (Some(Reference::Shortest), Some(number)),
        None => (None, None),
    };
    EvennessPart {
        reference_mm: even.reference.map(|reference| Number::from(reference.length)),
        tolerance_mm: Number::from(even.tolerance),
        spread_mm: even.spread.map(Number::from),
        uneven: even.uneven.clone(),
        again: even.again.clone(),
        reference,
        reference_cutter,
        tolerance_height_mm: Number::from(even.tolerance_height),
        struck: even.struck.iter().map(|struck| struck.cutter).collect(),
        left: even.left.as_ref().map(side),
        right: even.right.as_ref().map(side),
    }
}

fn balance(found: &Findings, unit: Unit) -> BalancePart {
    let balance = &found.balance;
    BalancePart {
        difference_mm: balance.difference.map(|difference| Number::from(difference.value)),
        low_mm: balance.difference.map(|difference| Number::from(difference.low)),
        high_mm: balance.difference.map(|difference| Number::from(difference.high)),
        verdict: balance.word,
        margin_mm: Number::from(balance.margin),
        pulls: balance.word.pulls(),
        line: balance.words(unit),
    }
}

fn drift(found: &Findings, unit: Unit) -> DriftPart {
    found.drift.as_ref().map_or_else(DriftPart::default, |drift| DriftPart {
        slope_mm_per_cutter: Some(Number::from(drift.both.per_cutter)),
        low: Some(Number::from(drift.both.low)),
        high: Some(Number::from(drift.both.high)),
        line: drift.words(unit),
    })
}

fn plan(of: &Round, found: &Findings) -> PlanPart {
    let short = of.cutters.iter().filter(|cutter| cutter.state == CutterState::LeftShort);
    let plan = found.plan.as_ref();
    let options = plan.map(|plan| plan.options.as_slice()).unwrap_or_default();
    PlanPart {
        target_mm: of.target.as_ref().map(|target| Number(target.length.get())),
        left_short: short.map(|cutter| cutter.number).collect(),
        options: options
            .iter()
            .map(|option| OptionPart {
                left_short: option.left_short.clone(),
                target_mm: Number::from(option.target),
                removed_mm: Number::from(option.removed),
                life_share: Number::from(option.life_share),
                rounds: Number::from(option.rounds),
                retires: option.retires.clone(),
            })
            .collect(),
        recommended: plan.and_then(|plan| plan.recommended),
        reason: plan.map(|plan| plan.words(of.header.units)),
        band_mm: plan.map(|plan| Number::from(plan.band)),
    }
}

fn changeover(found: &Findings, unit: Unit) -> ChangeoverPart {
    let report = &found.changeover;
    let known = report.median_wear.is_some();
    ChangeoverPart {
        worth_mm: Number::from(report.worth),
        due_mm: Number::from(report.due),
        median_wear_mm: report.median_wear.map(Number::from),
        past_worth: known.then_some(report.past_worth),
        past_due: known.then_some(report.past_due),
        probability: report.probability.map(Number::from),
        stage: report.stage,
        low_mm: report.low.map(Number::from),
        high_mm: report.high.map(Number::from),
        cutters: report.cutters,
        at_mark: report.at_mark.clone(),
        spent: report.spent(),
        mark_again: report.mark_again.clone(),
        near_mark: report.near_mark.clone(),
        rounds_away: report.rounds_away,
        statement: report.words(unit),
    }
}

fn forecast(ctx: &Context<'_>, found: &Findings) -> ForecastPart {
    let forecast = &found.forecast;
    let date = |at: Option<DateTime<FixedOffset>>| at.map(|at| at.to_rfc3339());
    // Where no wear is visible yet no end can be told, only how many rounds there are at least.
    let shown = forecast.visible;
    let left = forecast.to_mark.map(|ahead| ahead.rounds);
    let change = forecast.to_changeover.map(|ahead| ahead.rounds);
    let (per_round_low, per_round_high) = forecast.wear.interval();
    ForecastPart {
        per_round_mm: Number::from(forecast.wear.mean),
        rounds_to_changeover: change.filter(|_| shown).and_then(|rounds| rounds.best),
        rounds_left: left.filter(|_| shown).and_then(|rounds| rounds.best),
        low: left.map(|rounds| rounds.low),
        high: left.and_then(|rounds| rounds.high),
        date: date(forecast.to_mark.and_then(|ahead| ahead.date)),
        date_low: date(forecast.to_mark.and_then(|ahead| ahead.from)),
        date_high: date(forecast.to_mark.and_then(|ahead| ahead.to)),
        per_round_low_mm: Number::from(per_round_low),
        per_round_high_mm: Number::from(per_round_high),
        rounds_seen: forecast.wear.rounds,
        visible: shown,
        changeover_low: change.map(|rounds| rounds.low),
        changeover_high: change.and_then(|rounds| rounds.high),
        changeover_date: date(
            forecast
                .to_changeover
                .filter(|ahead| ahead.rounds.best.is_some_and(|n| n > 0))
                .and_then(|ahead| ahead.date),
        ),
        next_date: date(next_date(ctx)),
        cost_per_round: forecast.cost.map(|cost| Number::from(cost.per_round)),
        cost_per_hour: forecast.cost.and_then(|cost| cost.per_hour).map(Number::from),
        cost_line: forecast.cost.map(|cost| cost.words()),
        worth_left: forecast.cost.and_then(|cost| cost.left).map(Number::from),
        line: forecast.words(),
        early: forecast.early.map(|lost| lost.words()),
    }
}

/// The usual time between rounds after the end of this one, once it is signed.
fn next_date(ctx: &Context<'_>) -> Option<DateTime<FixedOffset>> {
    let end = ctx.round.entries.last().filter(|_| ctx.round.closed == Some(Closing::Signed))?.at;
    let signed = ctx.past.rounds.iter().filter(|round| round.how == Some(Closing::Signed));
    forecast::next_round(&signed.map(|round| round.ended).chain([end]).collect::<Vec<_>>())
}

fn angles(of: &Round, found: &Findings) -> AnglesPart {
    let spec = &of.header.spec;
    AnglesPart {
        target_deg: Number(spec.top_plate_for(of.header.wood).get()),
        tolerance_deg: Number(spec.angle_tolerance.get()),
        left_bias_deg: found.wrist.left.map(|side| Number::from(side.bias)),
        right_bias_deg: found.wrist.right.map(|side| Number::from(side.bias)),
        line: found.wrist.words(),
    }
}

fn rakers(of: &Round, found: &Findings) -> RakersPart {
    let present = || found.cutters.iter().filter(|cutter| cutter.state != CutterState::Missing);
    let count = |word: GapWord| present().filter(|cutter| cutter.gap.word == word).count();
    let targets = || present().filter_map(|cutter| cutter.raker.target);
    RakersPart {
        rule: of.rule,
        tolerance_mm: Number(of.header.spec.gap_tolerance.get()),
        recommended: found.rule.rule,
        why: found.rule.words(of.header.units),
        target_low_mm: targets().reduce(Millimetres::min).map(Number::from),
        target_high_mm: targets().reduce(Millimetres::max).map(Number::from),
        good: count(GapWord::Good),
        high: count(GapWord::High),
        low: count(GapWord::Low),
        again: count(GapWord::Again),
        unmeasured: count(GapWord::Unmeasured),
        judged_by: found.gaps.rule,
        judged_line: found.gaps.judged_by(),
        whole: found.gaps.whole.as_ref().map(|whole| WholePart {
            way: whole.way,
            off: whole.off,
            of: whole.of,
            fits: whole.fits(),
            line: whole.words(of.header.units),
        }),
        limits: Some(of.header.spec.limits.line(of.header.units)).filter(|line| !line.is_empty()),
        accepted_mm: of.accepted.map(|accepted| Number(accepted.largest.get())),
    }
}

fn flag(flag: &Flag, unit: Unit) -> FlagPart {
    FlagPart { cutter: flag.cutter, dangerous: flag.kind.is_dangerous(), line: flag.words(unit) }
}

/// The cutter of the gravest flag; without flags the one least sure to be of the right length, else the most worn. A cutter that
/// waits for the file is as long as it came: that is no doubt.
fn worst(found: &Findings, unit: Unit) -> Option<Worst> {
    let measured = |number: CutterNumber| found.cutter(number).is_some_and(|cutter| cutter.length_now.is_some());
    if let Some(flag) = found.flags.iter().find(|flag| measured(flag.cutter)) {
        return Some(Worst { cutter: flag.cutter, why: flag.words(unit) });
    }
    let known = || found.cutters.iter().filter(|cutter| cutter.length_now.is_some());
    // Before a length is chosen cutters are as long as they came: uneven, and no fault of the work yet. A cutter without a length may
    // have another fault.
    let proven = !found.evenness.uneven.is_empty() || !found.flags.is_empty();
    let none = if proven { "" } else { "no fault is proven; " };
    let waits = |cutter: &&CutterFinding| matches!(cutter.length.word, LengthWord::Long | LengthWord::Short);
    let doubtful =
        known().filter(|cutter| !waits(cutter)).filter_map(|cutter| Some((cutter, cutter.length.off_by?.abs())));
    if let Some((cutter, by)) = doubtful.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, by)| *by > mm(0.0)) {
        let why = format!("{none}it is farthest from the rest, by {}.", unit.show_named(by));
        return Some(Worst { cutter: cutter.number, why: format!("Cutter {}: {why}", cutter.number) });
    }
    let shortest =
        known().min_by(|a, b| a.length_now.partial_cmp(&b.length_now).unwrap_or(std::cmp::Ordering::Equal))?;
    Some(Worst { cutter: shortest.number, why: format!("Cutter {}: {none}it is the shortest.", shortest.number) })
}
