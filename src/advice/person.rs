//! One person over rounds: what their strokes take, how their cutters come out on either side, what changes within a round and
//! from round to round.
//!
//! The readings of one round belong together (one file, one caliper, one day), so a round is one unit of a mean; scatter is the
//! scatter within rounds. What rests on few rounds is told with its counts and not judged. Nothing here sets one person
//! against another.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::drift;
use super::repeatability::LEAST_DF;
use super::strokes::{self, Rate};
use crate::chain::Side;
use crate::round::{Cutter, Reading, Round, Tool};
use crate::stats::conformity::GUARD;
use crate::stats::summary::{Summary, mean, pooled_sd};
use crate::stats::theil_sen::theil_sen;
use crate::units::Millimetres;

/// Fewer rounds tell no mean: with two the 90 % interval is six standard errors either way.
pub const LEAST_ROUNDS: usize = 3;
/// Fewer rounds tell no trend.
pub const LEAST_TREND: usize = 6;
/// Fewer filings of a side tell no rate.
pub const LEAST_FILINGS: usize = 4;
/// Fewer cutters of a side in a round have no scatter of their own.
const LEAST_CUTTERS: usize = 4;
/// Level of the intervals.
const LEVEL: f64 = 0.90;
/// Level at which a trend is reported: a dozen are looked at, and a steady hand must not be told of one every other time.
const SAID: f64 = 0.98;

/// What is measured of a cutter after its filing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantArray, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// Length, from the one chosen, mm.
    Length,
    /// Top-plate angle, from the one wanted, degrees.
    Angle,
    /// Raker gap, from the one wanted, mm.
    Gap,
}

/// Both sides, in the order of all that is told by side.
pub const SIDES: [Side; 2] = [Side::Left, Side::Right];

/// What one round tells of one person.
#[derive(Debug, Clone, PartialEq)]
pub struct OfRound {
    at: DateTime<FixedOffset>,
    profile: String,
    stroke: Millimetres,
    /// Step in which lengths were read, mm.
    step: f64,
    sides: [OfSide; 2],
}

/// One side of it.
#[derive(Debug, Clone, PartialEq, Default)]
struct OfSide {
    /// How far cutters came out from what was wanted: length, angle, gap.
    off: [Vec<f64>; 3],
    filings: Vec<(u32, Millimetres)>,
    drift: Option<f64>,
}

impl OfRound {
    /// What a round tells of a person; nothing where they took no reading after a file in it.
    pub fn of(round: &Round, who: &str) -> Option<Self> {
        let sides = SIDES.map(|side| OfSide::of(round, who, side));
        let tells = |side: &OfSide| side.off.iter().any(|off| !off.is_empty()) || !side.filings.is_empty();
        sides.iter().any(tells).then(|| Self {
            at: round.header.started,
            profile: round.header.profile.clone(),
            stroke: round.header.spec.stroke,
            step: round.length_step(),
            sides,
        })
    }
}

impl OfSide {
    fn of(round: &Round, who: &str, side: Side) -> Self {
        let header = &round.header;
        let by_hand = header.tool == Tool::File;
        let target = round.target.as_ref().map(|target| target.length);
        let angle = header.spec.top_plate_for(header.wood);
        let of_side = || round.cutters.iter().filter(|cutter| cutter.side == side && cutter.is_present());
        let taken = |cutter: &&Cutter, reading: Reading| round.taker(cutter, reading) == who;
        let lengths = of_side().filter(|cutter| by_hand && cutter.is_matched());
        let lengths = lengths.filter(|cutter| taken(cutter, Reading::LengthAfter));
        let angles = of_side().filter(|cutter| by_hand && taken(cutter, Reading::Angle));
        let gaps = of_side().filter(|cutter| !cutter.gap_stale && taken(cutter, Reading::GapAfter));
        let alone = header.sharpener == who && round.other_hands().is_empty();
        let drift = if alone { drift::drift(round) } else { None };
        let drift = drift.and_then(|drift| if side == Side::Left { drift.left } else { drift.right });
        let filings = round.filings_by(who).filter(|(of, _)| by_hand && *of == side);
        Self {
            off: [
                lengths.filter_map(|cutter| Some((cutter.after.mean()? - target?).get())).collect(),
                angles.filter_map(|cutter| Some((cutter.angle.mean()? - angle).get())).collect(),
                gaps.filter_map(|cutter| Some((cutter.gap_after.mean()? - round.target_gap(cutter)?).get())).collect(),
            ],
            filings: filings.map(|(_, filed)| (filed.strokes, filed.took)).collect(),
            drift: drift.map(|slope| slope.over_all().get()),
        }
    }
}

/// A figure with its 90 % interval, in mm or degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Best value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How a figure goes from round to round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trend {
    /// Too few rounds to tell.
    TooFew,
    /// None is proven.
    NotProven,
    /// Change a round, with its 98 % interval.
    Changes(Known),
}

/// One quantity on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Which.
    pub quantity: Quantity,
    /// On which side.
    pub side: Side,
    /// Rounds that tell it.
    pub rounds: usize,
    /// Cutters in them.
    pub cutters: usize,
    /// Mean of what was left less what was wanted, a round as one unit; nothing below [`LEAST_ROUNDS`].
    pub off: Option<Known>,
    /// Standard deviation within rounds; nothing below [`LEAST_ROUNDS`].
    pub scatter: Option<Known>,
    /// How the mean goes.
    pub off_trend: Trend,
    /// How the scatter goes.
    pub scatter_trend: Trend,
}

/// What strokes take on one side of one chain type, as the advice on strokes reckons it.
#[derive(Debug, Clone, PartialEq)]
pub struct StrokeRate {
    /// Chain type.
    pub profile: String,
    /// Which side.
    pub side: Side,
    /// Filings on record.
    pub filings: usize,
    /// Length a stroke takes, mm; nothing below [`LEAST_FILINGS`].
    pub rate: Option<Known>,
}

/// How lengths change from the first cutter of a side to the last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Creeps {
    /// Which side.
    pub side: Side,
    /// Rounds that tell it.
    pub rounds: usize,
    /// Change, mm; nothing below [`LEAST_ROUNDS`].
    pub change: Option<Known>,
}

/// A person over rounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// Rounds that tell something, and when the first and the last were begun.
    pub rounds: usize,
    /// The first of them.
    pub first: Option<DateTime<FixedOffset>>,
    /// The last.
    pub last: Option<DateTime<FixedOffset>>,
    /// Coarsest step in which lengths were read, mm.
    pub step: Option<f64>,
    /// What strokes take.
    pub rates: Vec<StrokeRate>,
    /// What came out, by quantity and side; only what was ever measured.
    pub figures: Vec<Figures>,
    /// What changes within a round.
    pub creeps: Vec<Creeps>,
}

impl Person {
    /// What these rounds tell. `u` is the standard uncertainty of one length reading of theirs.
    pub fn of(mut rounds: Vec<OfRound>, u: Millimetres) -> Self {
        rounds.sort_by_key(|round| round.at);
        let of = |quantity: Quantity| {
            let rounds = &rounds;
            SIDES.into_iter().filter_map(move |side| figures(rounds, quantity, side))
        };
        Self {
            rounds: rounds.len(),
            first: rounds.first().map(|round| round.at),
            last: rounds.last().map(|round| round.at),
            step: rounds.iter().map(|round| round.step).max_by(f64::total_cmp),
            rates: rates(&rounds, u),
            figures: <Quantity as strum::VariantArray>::VARIANTS.iter().flat_map(|quantity| of(*quantity)).collect(),
            creeps: SIDES.into_iter().filter_map(|side| creeps(&rounds, side)).collect(),
        }
    }
}

const fn at(side: Side) -> usize {
    match side {
        Side::Left => 0,
        Side::Right => 1,
    }
}

fn figures(rounds: &[OfRound], quantity: Quantity, side: Side) -> Option<Figures> {
    let off = |round: &'_ OfRound| round.sides[at(side)].off[quantity as usize].clone();
    let of_rounds: Vec<Vec<f64>> = rounds.iter().map(off).filter(|off| !off.is_empty()).collect();
    let cutters = of_rounds.iter().map(Vec::len).sum();
    let means: Vec<f64> = of_rounds.iter().filter_map(|off| mean(off).ok()).collect();
    let whole = of_rounds.iter().filter(|off| off.len() >= LEAST_CUTTERS);
    let seen: Vec<Summary> = whole.filter_map(|off| Summary::of(off).ok()).collect();
    let scatters: Vec<f64> = seen.iter().map(|seen| seen.sd).collect();
    (cutters > 0).then(|| Figures {
        quantity,
        side,
        rounds: of_rounds.len(),
        cutters,
        off: mean_of_rounds(&means),
        scatter: scatter(&seen),
        off_trend: trend(&means),
        scatter_trend: trend(&scatters),
    })
}

fn mean_of_rounds(means: &[f64]) -> Option<Known> {
    let found = Summary::of(means).ok().filter(|seen| seen.n >= LEAST_ROUNDS)?.mean_interval(LEVEL).ok()?;
    Some(Known { value: found.value, low: found.interval.low, high: found.interval.high })
}

fn scatter(seen: &[Summary]) -> Option<Known> {
    let pooled = pooled_sd(seen).ok().filter(|pooled| seen.len() >= LEAST_ROUNDS && pooled.df >= LEAST_DF)?;
    let interval = pooled.interval(LEVEL).ok()?;
    Some(Known { value: pooled.sd, low: interval.low, high: interval.high })
}

/// The median slope over all pairs of rounds, which one bad round cannot bend.
fn trend(values: &[f64]) -> Trend {
    if values.len() < LEAST_TREND {
        return Trend::TooFew;
    }
    let places: Vec<f64> = (0..values.len()).map(|n| n as f64).collect();
    match theil_sen(&places, values, SAID) {
        Ok(found) if found.interval.low > 0.0 || found.interval.high < 0.0 => {
            Trend::Changes(Known { value: found.slope, low: found.interval.low, high: found.interval.high })
        }
        _ => Trend::NotProven,
    }
}

fn rates(rounds: &[OfRound], u: Millimetres) -> Vec<StrokeRate> {
    let mut of_chain: BTreeMap<&str, Vec<&OfRound>> = BTreeMap::new();
    for round in rounds {
        of_chain.entry(&round.profile).or_default().push(round);
    }
    let one = |(profile, rounds): (&str, &Vec<&OfRound>), side: Side| {
        let filings: Vec<(u32, Millimetres)> =
            rounds.iter().flat_map(|round| round.sides[at(side)].filings.iter().copied()).collect();
        let stroke = rounds.last()?.stroke;
        let Rate { mean, u, .. } = strokes::learn(stroke, &[], &filings, u);
        let half = GUARD * u.get();
        let rate = Known { value: mean.get(), low: mean.get() - half, high: mean.get() + half };
        let n = filings.len();
        (n > 0).then(|| StrokeRate {
            profile: profile.to_owned(),
            side,
            filings: n,
            rate: (n >= LEAST_FILINGS).then_some(rate),
        })
    };
    let both = |chain: (&&str, &Vec<&OfRound>)| SIDES.map(|side| one((chain.0, chain.1), side));
    of_chain.iter().flat_map(both).flatten().collect()
}

fn creeps(rounds: &[OfRound], side: Side) -> Option<Creeps> {
    let changes: Vec<f64> = rounds.iter().filter_map(|round| round.sides[at(side)].drift).collect();
    (!changes.is_empty()).then(|| Creeps { side, rounds: changes.len(), change: mean_of_rounds(&changes) })
}

#[cfg(test)]
mod tests;
