//! A loop's own back slope, learned from what its gaps lose when teeth are filed and rakers are left alone.
//!
//! Filing a tooth by `x` lowers its corner, and so its gap, by `x tan(beta)`. Every round in which gaps are measured before the
//! rakers are filed shows that once per cutter, against the gap and length of the round before. One pair is weak (the gap's
//! reading is as uncertain as what it lost); all rounds together tell the slope to a fraction of a degree.

use super::now::{self, Now};
use super::say;
use super::skill::Skill;
use crate::chain::{Origin, Spec};
use crate::round::{Closing, Cutter, GapLoss, LastCutter, Round, Summary};
use crate::stats::quantile::t_two_sided;
use crate::units::{Degrees, Millimetres, Span, Unit, mm};

/// Teeth filed by less than this between two gaps tell nothing about the slope.
const LEAST_FILED: Millimetres = mm(0.1);
/// Fewest pairs that a slope is told from.
const FEWEST: u32 = 3;

/// A loop's own back slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// Back slope.
    pub value: Degrees,
    /// Standard error.
    pub se: Degrees,
    /// 90 % interval.
    pub interval: Span<Degrees>,
    /// Pairs it rests on.
    pub pairs: u32,
}

/// What a loop counts with of its own back slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Learned {
    /// Back slope.
    pub(crate) value: Degrees,
    /// Standard error.
    pub(crate) se: Degrees,
}

/// What the gaps of this round lost since the last one, over cutters whose gap was measured before the raker was filed.
pub(crate) fn loss(round: &Round, last: &[LastCutter]) -> GapLoss {
    let mut loss = GapLoss::default();
    for cutter in &round.cutters {
        let before = last.iter().find(|last| last.number == cutter.number);
        if let Some((filed, lost)) = before.and_then(|last| pair(round, cutter, last)) {
            add(&mut loss, filed, lost);
        }
    }
    loss
}

fn pair(round: &Round, cutter: &Cutter, last: &LastCutter) -> Option<(Millimetres, Millimetres)> {
    now::length(round, cutter).filter(Now::is_measured)?;
    Some((last.length? - cutter.at_gap_before?, last.gap? - cutter.gap_before.mean()?))
}

fn add(loss: &mut GapLoss, filed: Millimetres, lost: Millimetres) {
    if filed >= LEAST_FILED && lost.get().is_finite() {
        *loss = loss.with(filed, lost);
    }
}

/// The back slope from the line through the origin, `lost = filed * tan(beta)`. `None` below three pairs, or where no loss is
/// visible. The scatter is never taken to be less than that of two gap readings.
pub(crate) fn learn(loss: &GapLoss) -> Option<Slope> {
    if loss.pairs < FEWEST || loss.filed_squared <= 0.0 {
        return None;
    }
    let slope = loss.filed_lost / loss.filed_squared;
    let df = f64::from(loss.pairs - 1);
    let left = (loss.lost_squared - slope * loss.filed_lost).max(0.0);
    let scatter = (left / df).sqrt().max(Skill::default().gap_u(1).get() * std::f64::consts::SQRT_2);
    let se = scatter / loss.filed_squared.sqrt();
    let half = t_two_sided(0.90, df).ok()? * se;
    let (low, high) = (slope - half, slope + half);
    let degrees = |slope: f64| Degrees::from_radians(slope.atan());
    (low > 0.0).then(|| Slope {
        value: degrees(slope),
        se: Degrees::from_radians(se / (1.0 + slope * slope)),
        interval: Span { low: degrees(low), high: degrees(high) },
        pairs: loss.pairs,
    })
}

/// What all signed rounds of a loop tell together.
pub(crate) fn of_rounds<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> GapLoss {
    let signed = rounds.into_iter().filter(|round| round.how == Some(Closing::Signed));
    signed.filter_map(|round| round.gap_loss).fold(GapLoss::default(), |all, one| all.and(&one))
}

/// The back slope that a loop's rounds tell.
pub(crate) fn learned<'a>(rounds: impl IntoIterator<Item = &'a Summary>) -> Option<Learned> {
    learn(&of_rounds(rounds)).map(|Slope { value, se, .. }| Learned { value, se })
}

/// The loop's figures with what its rounds tell of its back slope.
pub(crate) fn settle<'a>(spec: Spec, rounds: impl IntoIterator<Item = &'a Summary>) -> Spec {
    with(spec, learned(rounds))
}

/// As [`settle`], once that is known.
pub(crate) fn with(spec: Spec, slope: Option<Learned>) -> Spec {
    match slope {
        Some(Learned { value, se }) => spec.with_learned_slope(value, se),
        None => spec,
    }
}

/// What the round counts with where it is not the profile's: `Counted with: reach 6.10 mm (measured on this loop), ...`.
pub(crate) fn counted_with(spec: &Spec, unit: Unit) -> Option<String> {
    let known = &spec.known;
    let figures = [
        (known.new_length.from, format!("new length {}", say::length(unit, spec.new_length))),
        (known.reach.from, format!("reach {}", say::length(unit, spec.reach_new))),
        (
            known.back_slope.from,
            format!("back slope {:.1}°, give or take {:.1}°", spec.back_slope.get(), known.back_slope.u.get()),
        ),
    ];
    let own = figures.iter().filter(|(from, _)| *from != Origin::Profile);
    let named: Vec<String> = own.map(|(from, text)| format!("{text} ({})", from.word())).collect();
    (!named.is_empty()).then(|| format!("Counted with: {}.", named.join("; ")))
}

/// Said where the gaps contradict the slope that the round counts with.
pub(crate) fn differs(spec: &Spec, slope: &Slope) -> Option<String> {
    let by = slope.value.get() - spec.back_slope.get();
    let u = slope.se.get().hypot(spec.known.back_slope.u.get());
    (by.abs() > 1.96 * u).then(|| {
        format!(
            "The gaps of {} say that the back slope is {:.1}° ({:.1}° to {:.1}°); {:.1}° was counted with. \
             Measure every raker of this loop until rounds agree.",
            say::count(slope.pairs as usize, "cutter"),
            slope.value.get(),
            slope.interval.low.get(),
            slope.interval.high.get(),
            spec.back_slope.get()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::tests::readings::{Dice, spec};

    fn seen(pairs: &[(f64, f64)]) -> GapLoss {
        let mut loss = GapLoss::default();
        for (filed, lost) in pairs {
            add(&mut loss, mm(*filed), mm(*lost));
        }
        loss
    }

    fn pairs(dice: &mut Dice, slope_deg: f64, n: usize) -> Vec<(f64, f64)> {
        let one = |dice: &mut Dice| {
            let filed = 0.2 + 0.4 * dice.share();
            (filed + 0.02 * dice.normal(), filed * slope_deg.to_radians().tan() + 0.045 * dice.normal())
        };
        (0..n).map(|_| one(dice)).collect()
    }

    #[test]
    fn a_back_slope_is_learned_from_what_the_gaps_lost() {
        let pairs = pairs(&mut Dice(5), 8.0, 36);
        let slope = learn(&seen(&pairs)).unwrap();
        assert!((slope.value.get() - 8.0).abs() < 3.0 * slope.se.get(), "{slope:?}");
        assert!((slope.interval.low..slope.interval.high).contains(&slope.value) && slope.pairs == 36);
        assert_eq!(learn(&seen(&pairs[..2])), None);
        assert_eq!(learn(&seen(&[(0.3, 0.0), (0.4, 0.01), (0.5, -0.02)])), None, "no loss visible");
        assert_eq!(learn(&seen(&[(0.0, 0.1), (0.05, 0.1), (0.02, 0.1)])), None, "hardly filed");
    }

    /// NIST `StRD` `NoInt1`, certified: x 60 to 70, y 130 to 140, a line through the origin.
    #[test]
    fn the_line_through_the_origin_is_the_certified_one() {
        let pairs: Vec<(f64, f64)> = (0..11).map(|i| (60.0 + f64::from(i), 130.0 + f64::from(i))).collect();
        let slope = learn(&seen(&pairs)).unwrap();
        let tangent = slope.value.radians().tan();
        assert!((tangent / 2.074_380_165_289_26 - 1.0).abs() < 1e-13, "{tangent}");
        let se = slope.se.radians() * (1.0 + tangent * tangent);
        assert!((se / 0.016_528_925_619_834_7 - 1.0).abs() < 1e-9, "{se}");
    }

    #[test]
    fn three_lucky_pairs_do_not_pass_for_certainty() {
        let exact: Vec<_> = [0.3, 0.4, 0.5].iter().map(|x| (*x, x * 20.0_f64.to_radians().tan())).collect();
        let few = learn(&seen(&exact));
        assert!(few.is_none_or(|slope| slope.se.get() > 2.0), "{few:?}");
    }

    #[test]
    fn rounds_add_up_and_the_interval_covers() {
        let mut dice = Dice(11);
        let (mut inside, mut closer) = (0, 0);
        let all = 300;
        for _ in 0..all {
            let rounds: Vec<GapLoss> = (0..4).map(|_| seen(&pairs(&mut dice, 13.0, 30))).collect();
            let together = rounds.iter().fold(GapLoss::default(), GapLoss::and);
            let slope = learn(&together).unwrap();
            inside += usize::from((slope.interval.low..slope.interval.high).contains(&Degrees::new(13.0)));
            let settled = spec().with_learned_slope(slope.value, slope.se);
            assert_eq!(settled.known.back_slope.from, Origin::Learned);
            closer += usize::from((settled.back_slope.get() - 13.0).abs() < (spec().back_slope.get() - 13.0).abs());
        }
        // 90 % of 300, four standard deviations either way; the filed length's own reading error takes a little.
        assert!((240..=292).contains(&inside), "{inside} of {all}");
        assert!(closer > 290, "{closer} of {all}");
    }

    #[test]
    fn figures_of_the_loop_are_named_and_a_contradiction_is_said() {
        assert_eq!(counted_with(&spec(), Unit::Mm), None);
        let own = spec().with_learned_slope(Degrees::new(12.0), Degrees::new(0.5));
        let said = counted_with(&own, Unit::Mm).unwrap();
        assert!(said.contains("back slope 11.9°, give or take 0.5° (learned from this loop's rounds)"), "{said}");
        let far = Slope {
            value: Degrees::new(18.0),
            se: Degrees::new(1.0),
            interval: Span { low: Degrees::new(16.4), high: Degrees::new(19.6) },
            pairs: 40,
        };
        assert!(differs(&spec(), &far).unwrap().starts_with("The gaps of 40 cutters say that the back slope is 18.0°"));
        assert_eq!(differs(&spec(), &Slope { value: Degrees::new(12.0), ..far }), None);
    }
}
