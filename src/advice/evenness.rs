//! Are the cutters of one length? Reference, tolerance, spread by side, and who stands out.

use super::now::{self, Now};
use super::skill::Skill;
use super::verdict::{self, Judged, Known, LengthWord, RISK};
use crate::chain::{CutterNumber, Side};
use crate::round::{Closing, Cutter, Round};
use crate::stats::belief::{Belief, Smallest};
use crate::stats::outlier::generalized_esd;
use crate::stats::summary::{self, Summary};
use crate::units::{Millimetres, mm};

/// Fewest values among which one may be said to stand out. The test is fair from about 15; below 8 it sees little.
const FEWEST: usize = 8;
/// Risk of finding one that stands out where none does: 5 % at either end, and only short ones are called struck.
const ALPHA: f64 = 0.10;
/// At most one in this many is looked at as standing out: more would not be outliers but a second population.
const ONE_IN: usize = 6;

/// What lengths are held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// The length chosen to file to.
    Target,
    /// This cutter, the shortest of those brought to the common length.
    Shortest(CutterNumber),
}

/// The length that cutters are held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// Where it comes from.
    pub from: From,
    /// The length.
    pub length: Millimetres,
    /// Its standard uncertainty: a chosen length has none, a measured one that of its readings.
    pub u: Millimetres,
}

/// One side's lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLengths {
    /// Cutters measured.
    pub count: usize,
    /// Mean.
    pub mean: Millimetres,
    /// Longest less shortest.
    pub spread: Millimetres,
    /// Standard deviation, from two cutters on.
    pub sd: Option<Millimetres>,
}

/// How even the loop is.
#[derive(Debug, Clone, PartialEq)]
pub struct Evenness {
    /// What lengths are held against; none before the first reading.
    pub reference: Option<Reference>,
    /// Tolerance either way.
    pub tolerance: Millimetres,
    /// Height that the tolerance makes: `tolerance * tan(back slope)`.
    pub tolerance_height: Millimetres,
    /// Longest less shortest of the cutters to be of one length.
    pub spread: Option<Millimetres>,
    /// Left cutters.
    pub left: Option<SideLengths>,
    /// Right cutters.
    pub right: Option<SideLengths>,
    /// Proven long or short, by number. Cutters that wait for the file are not listed once a length is chosen, until the round
    /// is signed off without it.
    pub uneven: Vec<CutterNumber>,
    /// To be measured again, by number.
    pub again: Vec<CutterNumber>,
    /// Shorter than the rest of their side by more than chance: hit or damaged. By number, the farthest first.
    pub struck: Vec<Struck>,
}

/// A cutter that stands out short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Struck {
    /// Its number.
    pub cutter: CutterNumber,
    /// How much shorter than the median of its side.
    pub short_by: Millimetres,
}

/// What is known of each cutter's length now: since a length was chosen by all its readings and strokes, before that by its readings
/// and those of its side.
pub fn bests(round: &Round) -> Vec<Option<Belief>> {
    let came = round.came();
    round.cutters.iter().zip(came).map(|(cutter, came)| cutter.best().or(came)).collect()
}

/// The chosen length, else the shortest measured cutter of those brought to the common length.
pub fn reference(round: &Round, bests: &[Option<Belief>]) -> Option<Reference> {
    if let Some(target) = &round.target {
        return Some(Reference { from: From::Target, length: target.length, u: mm(0.0) });
    }
    shortest(round, bests, &[])
}

/// The shortest measured cutter, those listed set aside; its length is that of the shortest of so many uncertain ones.
pub fn shortest(round: &Round, bests: &[Option<Belief>], aside: &[CutterNumber]) -> Option<Reference> {
    let kept = || {
        let all = round.cutters.iter().zip(bests).filter_map(|(cutter, best)| Some((cutter, (*best)?)));
        all.filter(|(cutter, _)| cutter.is_matched() && !aside.contains(&cutter.number))
    };
    let (cutter, _) = kept().min_by(|a, b| a.1.mean().total_cmp(&b.1.mean()))?;
    // Median, and one standard deviation either way.
    let beliefs: Vec<Belief> = kept().map(|(_, best)| best).collect();
    let mut smallest = Smallest::of(&beliefs);
    let [low, middle, high] = [0.159, 0.5, 0.841].map(|p| smallest.below_with(p, 0));
    Some(Reference { from: From::Shortest(cutter.number), length: mm(middle?), u: mm(0.5 * (high? - low?)) })
}

/// The measured cutters that are to be of one length.
fn matched<'a>(round: &'a Round, lengths: &'a [Option<Now>]) -> impl Iterator<Item = (&'a Cutter, Now)> {
    let all = round.cutters.iter().zip(lengths);
    all.filter_map(|(cutter, now)| Some((cutter, (*now)?)))
        .filter(|(cutter, now)| cutter.is_matched() && now.is_measured())
}

/// One cutter's length verdict. The shortest cutter, where it is the reference, is even by definition. Against a chosen
/// length a cutter is short once it is proven more than the plan's band under it: steel cannot be put back, and those that end
/// at the upper end of the band would be out of tolerance with it.
pub fn judge(
    cutter: &Cutter,
    now: Option<Now>,
    best: Option<Belief>,
    against: Option<Reference>,
    round: &Round,
) -> Judged<LengthWord> {
    let (Some(now), Some(best), Some(reference)) = (now.filter(Now::is_measured), best, against) else {
        return Judged::nothing(LengthWord::Unmeasured);
    };
    if may_be_filed(round, now) {
        return Judged::nothing(LengthWord::Unmeasured);
    }
    if reference.from == From::Shortest(cutter.number) {
        return Judged { word: LengthWord::Even, off_by: Some(mm(0.0)), conformity: Some(1.0), worth_again: false };
    }
    let spec = &round.header.spec;
    let noise = round.hand.noise();
    let by = (now.length - reference.length).get();
    let known = Known::new(by, best.less(reference.length.get(), reference.u.get().powi(2)), noise);
    let judged = verdict::length_known(known, spec.length_tolerance);
    let too_short = reference.from == From::Target
        && now.filed
        && best.below(reference.length.get() - super::plan::band(spec).get()) > 1.0 - RISK;
    if too_short {
        return Judged { word: LengthWord::Short, worth_again: false, ..judged };
    }
    // Filing goes on: the next reading comes by itself.
    let goes_on = crate::round::script::is_still_long(round, cutter);
    Judged { worth_again: judged.worth_again && !goes_on, ..judged }
}

/// True for a cutter that the file has yet to come to. Once the round is signed off none does.
pub(super) fn waits(round: &Round, now: Option<Now>) -> bool {
    round.target.is_some() && round.closed != Some(Closing::Signed) && !now.is_some_and(|now| now.filed)
}

/// True where nobody can tell: signed off without a length after filing, and strokes were not counted.
fn may_be_filed(round: &Round, now: Now) -> bool {
    let signed = round.target.is_some() && round.closed == Some(Closing::Signed);
    signed && !now.filed && !round.header.take_strokes
}

/// The whole picture; `verdicts` are those of [`judge`], cutter by cutter.
pub fn evenness(
    round: &Round,
    lengths: &[Option<Now>],
    reference: Option<Reference>,
    verdicts: &[Judged<LengthWord>],
    skill: &Skill,
) -> Evenness {
    let spec = &round.header.spec;
    let tolerance = spec.length_tolerance;
    let listed = |wanted: fn(LengthWord) -> bool| -> Vec<CutterNumber> {
        let known = round.cutters.iter().zip(lengths).zip(verdicts);
        let due = known.filter(|((cutter, now), _)| cutter.is_matched() && !waits(round, **now));
        due.filter(|(_, judged)| wanted(judged.word)).map(|((cutter, _), _)| cutter.number).collect()
    };
    let values: Vec<f64> = matched(round, lengths).map(|(_, now)| now.length.get()).collect();
    let side = |side: Side| {
        let of_side = matched(round, lengths).filter(|(cutter, _)| cutter.side == side);
        side_lengths(&of_side.map(|(_, now)| now.length.get()).collect::<Vec<_>>())
    };
    Evenness {
        reference,
        tolerance,
        tolerance_height: tolerance * spec.fall(),
        spread: side_lengths(&values).map(|all| all.spread),
        left: side(Side::Left),
        right: side(Side::Right),
        uneven: listed(LengthWord::is_uneven),
        again: listed(|word| word == LengthWord::Again),
        struck: struck(round, skill),
    }
}

fn side_lengths(values: &[f64]) -> Option<SideLengths> {
    let mean = mm(summary::mean(values).ok()?);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sd = Summary::of(values).ok().map(|summary| mm(summary.sd));
    Some(SideLengths { count: values.len(), mean, spread: mm(high - low), sd })
}

/// Cutters that came shorter than their side by more than chance: generalized ESD test (Rosner) on lengths as they
/// came, less the median of their side. A side that is shorter as a whole is no outlier.
///
/// A deviation within half the tolerance or within twice what two readings can differ by is never an outlier, so readings
/// that are nearly all equal cannot make one of a last digit.
pub fn struck(round: &Round, skill: &Skill) -> Vec<Struck> {
    let known: Vec<(CutterNumber, Side, f64)> =
        round.matched().filter_map(|cutter| Some((cutter.number, cutter.side, cutter.before.mean()?.get()))).collect();
    let least =
        (0.5 * round.header.spec.length_tolerance.get()).max(2.0 * std::f64::consts::SQRT_2 * skill.length.get());
    let out = standing_out(&known, least, skill.length.get());
    out.into_iter().filter(|(_, by)| *by < 0.0).map(|(cutter, by)| Struck { cutter, short_by: mm(-by) }).collect()
}

/// Values that stand out from the median of their side, the farthest first, with how far they do. Values that differ by
/// no more than `resolution` count as equal, and only those farther than `least` from their side are named.
pub fn standing_out(values: &[(CutterNumber, Side, f64)], least: f64, resolution: f64) -> Vec<(CutterNumber, f64)> {
    if values.len() < FEWEST {
        return Vec::new();
    }
    let median_of = |side: Side| {
        summary::median(&values.iter().filter(|v| v.1 == side).map(|v| v.2).collect::<Vec<_>>()).unwrap_or_default()
    };
    let (left, right) = (median_of(Side::Left), median_of(Side::Right));
    let centred = |v: &(CutterNumber, Side, f64)| v.2 - if v.1 == Side::Left { left } else { right };
    let off: Vec<f64> = values.iter().map(centred).collect();
    // The test is dear, and mostly there is nothing to name.
    if off.iter().all(|by| by.abs() <= least) {
        return Vec::new();
    }
    let Ok(found) = generalized_esd(&off, values.len().div_ceil(ONE_IN), ALPHA, resolution) else { return Vec::new() };
    found.indices().map(|i| (values[i].0, off[i])).filter(|(_, by)| by.abs() > least).collect()
}

/// Lengths now, cutter by cutter.
pub fn lengths(round: &Round) -> Vec<Option<Now>> {
    round.cutters.iter().map(|cutter| now::length(round, cutter)).collect()
}

#[cfg(test)]
mod tests;
