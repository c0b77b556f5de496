//! How long the loop will last: wear a round, rounds and dates to the changeover and to the witness mark, cost.
//!
//! Wears of single rounds are above zero and skewed, so they are taken as log-normal with unknown mean and spread. The mean of the
//! rounds seen is shrunk toward the profile's figure, which is believed to two fifths of itself: with `c` the spread of single rounds
//! as a share of the mean, the profile counts for `c^2 / 0.4^2` rounds, four at most. The spread is the rounds' own; before the
//! third round there is none, and a proposal stands in for it. `N` further rounds wear `N m exp(-/+ t sqrt(ln(1 + c^2 / N) + c^2 / k))`,
//! `k` the weight of the mean and `t` Student's. Where this equals the length left lies an end of the interval. It has no upper end
//! where the mean wear cannot be told from none, neither by its own interval nor by what all rounds took together. Then the forecast
//! says so. Whole rounds are counted so that the interval holds as much as it says (tried on simulated loops).

use chrono::{DateTime, Duration, FixedOffset};

use crate::chain::{CutterNumber, Spec, Wood};
use crate::round::card::Prices;
use crate::round::{Closing, Summary};
use crate::stats::quantile::t_two_sided;
use crate::stats::summary;
use crate::units::{Millimetres, mm};

use super::place::{self, Place};
use super::say;
pub use fan::{Expected, way};

mod fan;

/// Level of the intervals.
pub const LEVEL: f64 = 0.90;
/// No typical round is taken to wear less than this: it divides.
pub const LEAST_WEAR: Millimetres = mm(0.01);
/// How far a loop's mean wear is from the profile's figure, as a share of it (proposal).
const PRIOR_MEAN: f64 = 0.4;
/// However much the rounds differ, the profile's figure counts for no more rounds than this.
const MOST_PRIOR: f64 = 4.0;
/// Spread of single rounds as a share of the mean, and the degrees of freedom that this is worth, before they tell it themselves, and
/// once they do (the first a proposal, the second chosen on simulated loops).
const PRIOR_SPREAD: [(f64, f64); 2] = [(0.4, 6.0), (0.15, 0.5)];
/// Fewer rounds tell no spread.
const FEWEST: usize = 3;
/// No single round is taken to wear less: readings tell no smaller one.
const LEAST_SEEN: f64 = 0.02;
/// Middle lengths of many cutters may be off by this in one round, and what rounds took together by this at most: steel does not grow.
const SEEN_ROUND: Millimetres = mm(0.03);
const SEEN_ALL: Millimetres = mm(0.2);
/// A loop that comes back longer by more than this has new cutters: its history starts again.
const RENEWED: Millimetres = mm(0.5);
/// Forecasts end here: nobody plans further, and dates have an end.
const MOST_ROUNDS: f64 = 1000.0;

/// Wear of a typical round, which savings are held against: what the loop's own rounds and its profile say, but never less
/// than a dull edge needs.
pub fn typical(wear: &Wear, need: Millimetres) -> Millimetres {
    wear.mean.max(need).max(LEAST_WEAR)
}

/// What is known of the wear of one round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wear {
    /// Mean a round.
    pub mean: Millimetres,
    /// Rounds of this loop behind it; 0 for the profile's figure alone.
    pub rounds: usize,
    /// The profile's figure.
    pub prior: Millimetres,
    /// What those rounds took together.
    pub taken: Millimetres,
    /// What the least of them took.
    least: Millimetres,
    /// Variance of the wear of single rounds, mm², as they were seen.
    seen: f64,
    /// The same as a share of the mean squared, as it is taken for the rounds to come.
    to_come: f64,
    /// Weight of the mean, in rounds.
    weight: f64,
    /// Standard errors to either side of an interval at [`LEVEL`].
    t: f64,
}

/// A whole number of rounds with its 90 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rounds {
    /// Best value; none where no upper end can be told: a number would be invented.
    pub best: Option<u32>,
    /// Lower end.
    pub low: u32,
    /// Upper end; none where no end can be told.
    pub high: Option<u32>,
}

impl Wear {
    /// Learns from the wears of single rounds; `prior` is the profile's figure.
    pub fn learn(prior: Millimetres, observed: &[Millimetres]) -> Self {
        let prior = prior.max(LEAST_WEAR).get();
        let observed: Vec<f64> = observed.iter().map(|wear| wear.get()).collect();
        let mean = summary::mean(&observed).unwrap_or(prior);
        let n = observed.len();
        let tells = n >= FEWEST;
        let (share, worth) = PRIOR_SPREAD[usize::from(tells)];
        let df = if tells { worth + n as f64 - 1.0 } else { worth };
        let variance = |values: &[f64], prior: f64| {
            let middle = summary::mean(values).unwrap_or_default();
            let squares: f64 = values.iter().map(|x| (x - middle).powi(2)).sum();
            if tells { (worth * prior + squares) / df } else { prior }
        };
        let logs: Vec<f64> = observed.iter().map(|wear| wear.max(LEAST_SEEN).ln()).collect();
        let to_come = variance(&logs, (share * share).ln_1p()).exp_m1();
        let seen = variance(&observed, (share * mean).powi(2));
        let prior_rounds = (to_come / PRIOR_MEAN.powi(2)).min(MOST_PRIOR);
        let weight = prior_rounds + n as f64;
        let mean = (prior_rounds * prior + n as f64 * mean) / weight;
        let taken = observed.iter().copied().map(mm).sum();
        let least = mm(observed.iter().copied().fold(f64::INFINITY, f64::min));
        // There are two degrees of freedom or more, where the quantile is always found.
        let t = t_two_sided(LEVEL, df).unwrap_or(2.0);
        Self { mean: mm(mean), rounds: n, prior: mm(prior), taken, least, seen, to_come, weight, t }
    }

    /// Rounds that the profile's figure counts for.
    pub(crate) fn prior_rounds(&self) -> f64 {
        self.weight - self.rounds as f64
    }

    /// How far, in logarithms, so many further rounds may wear more or less than the mean says.
    fn reach(&self, rounds: f64) -> f64 {
        self.t * ((self.to_come / rounds.max(0.5)).ln_1p() + self.to_come / self.weight).sqrt()
    }

    /// Rounds that the mean rests on, the profile's figure counted among them.
    pub(crate) const fn weight(&self) -> f64 {
        self.weight
    }

    /// 90 % interval of the mean wear a round.
    pub fn interval(&self) -> (Millimetres, Millimetres) {
        let half = mm(self.t * (self.seen / self.weight).sqrt());
        (self.mean - half, self.mean + half)
    }

    /// Whether the mean wear can be told from none: by its interval, or as all rounds together took far more than readings can be off
    /// and none of them left more than it found.
    pub fn is_visible(&self) -> bool {
        self.interval().0 > mm(0.0) || (self.least > -SEEN_ROUND && self.taken > SEEN_ALL)
    }

    /// Whole rounds that fit into `distance`.
    pub fn rounds_over(&self, distance: Millimetres) -> Rounds {
        self.rounds(distance, f64::floor, 0.0)
    }

    /// Rounds until `distance` is worn, the one that wears the last of it included.
    pub fn rounds_until(&self, distance: Millimetres) -> Rounds {
        self.rounds(distance, |n| (n - 1e-9).ceil(), 1.0)
    }

    /// `whole` makes a count of rounds whole; `begun` is 1 where one that is only begun counts.
    fn rounds(&self, distance: Millimetres, whole: impl Fn(f64) -> f64, begun: f64) -> Rounds {
        if distance <= mm(0.0) {
            return Rounds { best: Some(0), low: 0, high: Some(0) };
        }
        let count = |n: f64| say::whole(n.clamp(0.0, MOST_ROUNDS));
        let best = count(whole((distance / self.mean.max(LEAST_WEAR) + 1e-9).min(MOST_ROUNDS)));
        // To the nearest whole round at either end: the interval then holds as much as it says, and not more.
        let low = count(self.end(distance, 1.0).round() + begun).min(best);
        if !self.is_visible() {
            return Rounds { best: None, low, high: None };
        }
        let high = count(self.end(distance, -1.0).round() + begun - 1.0).max(best);
        Rounds { best: Some(best), low, high: Some(high) }
    }

    /// The rounds that wear `distance` where each wears as much (`sign` 1) or as little (-1) as the interval allows.
    fn end(&self, distance: Millimetres, sign: f64) -> f64 {
        let middle = distance / self.mean.max(LEAST_WEAR);
        let mut n = middle;
        // Each step leaves at most two thirds of what is wrong.
        for _ in 0..30 {
            n = f64::midpoint(n, (middle * (-sign * self.reach(n)).exp()).min(MOST_ROUNDS));
        }
        n
    }
}

/// Wear of each signed round of a loop: from the median length after the round before (or as it came, for the
/// first) to the median after it. Starts again where the loop came back with new cutters.
pub fn wears<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> Vec<Millimetres> {
    let mut wears = Vec::new();
    let mut from: Option<Millimetres> = None;
    for round in signed(rounds) {
        let Some(after) = round.median_after else { continue };
        let came = round.median_before;
        if let (Some(last), Some(came)) = (from, came)
            && came > last + RENEWED
        {
            wears.clear();
            from = None;
        }
        if let Some(start) = from.or(came) {
            wears.push(start - after);
        }
        from = Some(after);
    }
    wears
}

fn signed<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> impl Iterator<Item = &'a Summary> {
    rounds.into_iter().filter(|round| round.how == Some(Closing::Signed))
}

/// Days between rounds: the median of the past, `None` before the second.
pub fn days_between<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> Option<f64> {
    usual_days(&signed(rounds).map(|round| round.ended).collect::<Vec<_>>())
}

fn usual_days(ends: &[DateTime<FixedOffset>]) -> Option<f64> {
    let days: Vec<f64> =
        ends.windows(2).map(|pair| (pair[1] - pair[0]).num_seconds() as f64 / 86_400.0).filter(|d| *d > 0.0).collect();
    summary::median(&days).ok()
}

/// When the next round is due if rounds go on coming as they did: the usual time between signed rounds after the last of
/// them. `ends` are their ends, oldest first; none before the second.
pub fn next_round(ends: &[DateTime<FixedOffset>]) -> Option<DateTime<FixedOffset>> {
    let days = usual_days(ends)?;
    let later = std::time::Duration::try_from_secs_f64((days * 86_400.0).round()).ok()?;
    ends.last()?.checked_add_signed(Duration::from_std(later).ok()?)
}

/// Rounds ahead, and the days on which they fall if rounds go on coming as they did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ahead {
    /// Rounds.
    pub rounds: Rounds,
    /// Day at the best value; none before two rounds, or where no wear is visible.
    pub date: Option<DateTime<FixedOffset>>,
    /// Day at the lower end.
    pub from: Option<DateTime<FixedOffset>>,
    /// Day at the upper end.
    pub to: Option<DateTime<FixedOffset>>,
}

/// What keeping the loop costs, in the owner's own money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cost {
    /// A round: its own price and its share of a new loop.
    pub per_round: f64,
    /// Its own price alone, where it was entered.
    pub bench: Option<f64>,
    /// What it wears off a new loop, and the price of one, where that was entered.
    pub of_loop: Option<(f64, f64)>,
    /// An hour of cutting, where the hours between rounds are known.
    pub per_hour: Option<f64>,
    /// What the rounds left are worth: their share of a new loop.
    pub left: Option<f64>,
}

/// What scrapping a loop now would throw away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lost {
    /// Rounds left.
    pub rounds: u32,
    /// What they are worth in the owner's own money, where prices were entered.
    pub worth: Option<f64>,
}

/// The forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Wear of a round.
    pub wear: Wear,
    /// Whether it can be told from none.
    pub visible: bool,
    /// Where the loop stands now; none where nothing is measured.
    pub place: Option<Place>,
    /// Wood that the changeover is for: that of the round that tells the lengths.
    pub wood: Wood,
    /// Rounds to the changeover; 0 when past it. None where nothing is measured.
    pub to_changeover: Option<Ahead>,
    /// Rounds to the witness mark.
    pub to_mark: Option<Ahead>,
    /// Cost, where prices were entered.
    pub cost: Option<Cost>,
    /// What scrapping the loop now would throw away; none where nothing is left.
    pub early: Option<Lost>,
}

/// Lengths that a forecast starts from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Length left to the changeover: median length less that at the changeover; below zero when past it.
    pub to_changeover: Millimetres,
    /// Length left to the witness mark, of the cutter that gets there first.
    pub to_mark: Millimetres,
    /// Usable length of a new cutter.
    pub usable: Millimetres,
}

/// Puts the forecast together; `start` is none where nothing is measured.
pub fn forecast<'a>(
    wear: Wear,
    start: Option<Start>,
    rounds: impl IntoIterator<Item = &'a Summary> + Clone,
    prices: &Prices,
    now: Option<DateTime<FixedOffset>>,
) -> Forecast {
    let visible = wear.is_visible();
    let days = days_between(rounds.clone()).filter(|_| visible);
    let now = now.or_else(|| signed(rounds).last().map(|round| round.ended));
    let ahead = |rounds: Rounds| {
        let day = |n: u32| now.zip(days).and_then(|(now, days)| after(now, days * f64::from(n)));
        Ahead { rounds, date: rounds.best.and_then(day), from: day(rounds.low), to: rounds.high.and_then(day) }
    };
    let to_mark = start.map(|start| ahead(wear.rounds_over(start.to_mark)));
    let cost = start.and_then(|start| cost(&wear, start, prices)).filter(|_| visible);
    Forecast {
        wear,
        visible,
        place: None,
        wood: Wood::Any,
        to_changeover: start.map(|start| ahead(wear.rounds_until(start.to_changeover))),
        to_mark,
        cost,
        early: to_mark.filter(|_| visible).and_then(|ahead| early(ahead.rounds, cost)),
    }
}

fn after(now: DateTime<FixedOffset>, days: f64) -> Option<DateTime<FixedOffset>> {
    now.checked_add_signed(Duration::try_days(i64::from(say::whole(days.round())))?)
}

fn cost(wear: &Wear, start: Start, prices: &Prices) -> Option<Cost> {
    if prices.new_loop.is_none() && prices.round.is_none() {
        return None;
    }
    let life = start.usable / wear.mean.max(LEAST_WEAR);
    let share = prices.new_loop.map(|price| price / life.max(1.0));
    let per_round = prices.round.unwrap_or(0.0) + share.unwrap_or(0.0);
    let hours = prices.hours_between.filter(|hours| *hours > 0.0);
    let left = share.map(|share| share * (start.to_mark.max(mm(0.0)) / wear.mean.max(LEAST_WEAR)).floor());
    Some(Cost {
        per_round,
        bench: prices.round,
        of_loop: share.zip(prices.new_loop),
        per_hour: hours.map(|hours| per_round / hours),
        left,
    })
}

/// What would be lost where a loop with rounds left is scrapped. A study of 640 scrapped chains found 77 % retired early,
/// with 4.5 sharpenings left on average (Arboriculture & Urban Forestry, journal from memory).
fn early(rounds: Rounds, cost: Option<Cost>) -> Option<Lost> {
    let rounds = rounds.best.filter(|best| *best > 0)?;
    Some(Lost { rounds, worth: cost.and_then(|cost| cost.left) })
}

/// The forecast of a loop from all its rounds, oldest first, the one at the bench included: wear from those that are signed
/// off, counted from the latest lengths that are known. Whoever shows rounds left, dates or cost shows this.
pub fn of_loop<'a>(rounds: impl IntoIterator<Item = &'a Summary> + Clone, spec: &Spec, prices: &Prices) -> Forecast {
    let wear = Wear::learn(spec.wear_per_round, &wears(rounds.clone()));
    let told = place::told_by(rounds.clone());
    let place = told.map(|(round, lengths)| place::of(spec, round.wood, &lengths));
    let wood = told.map_or(Wood::Any, |(round, _)| round.wood);
    let start = place.map(|place| Start::of(spec, wood, &place));
    let now = told.map(|(round, _)| round.ended);
    Forecast { place, wood, ..forecast(wear, start, rounds, prices, now) }
}

impl Forecast {
    /// The cutter that ends the loop's life, where the middle one would go on for a round more.
    pub fn ends(&self) -> Option<CutterNumber> {
        let place = self.place?;
        let (number, length) = place.ends;
        (place.length - length >= self.wear.mean.max(LEAST_WEAR)).then_some(number)
    }
}

impl Start {
    /// What is left of a loop at that place.
    pub fn of(spec: &Spec, wood: Wood, place: &Place) -> Self {
        let to_mark = place.ends.1 - spec.mark_length;
        Self { to_changeover: spec.worth_wear(wood) - place.wear, to_mark, usable: spec.usable() }
    }
}

#[cfg(test)]
mod tests;
