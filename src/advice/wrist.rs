//! Wrist turn: a side whose angles are all off the same way, because the hand turns on that side.

use super::balance::{BalanceWord, Difference, Sample, difference, judge};
use super::skill::Skill;
use crate::chain::Side;
use crate::round::Round;
use crate::stats::summary::Summary;
use crate::units::{Degrees, deg};

/// Level of the intervals.
const LEVEL: f64 = 0.90;

/// One side's angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideAngles {
    /// How many were measured.
    pub count: usize,
    /// Mean less target.
    pub bias: Degrees,
    /// Lower end of its 90 % interval.
    pub low: Degrees,
    /// Upper end.
    pub high: Degrees,
    /// Standard deviation.
    pub sd: Degrees,
}

/// Angles by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Wrist {
    /// Left cutters, from two angles on.
    pub left: Option<SideAngles>,
    /// Right cutters.
    pub right: Option<SideAngles>,
    /// Mean left angle less mean right angle.
    pub difference: Option<Difference<Degrees>>,
    /// `LeftLonger` stands here for larger angles on the left.
    pub word: BalanceWord,
    /// The side whose mean is proven off the target by more than half the tolerance, and by how much.
    pub turned: Vec<(Side, Degrees)>,
}

/// The round's angles by side.
pub(crate) fn wrist(round: &Round, skill: &Skill) -> Wrist {
    let target = round.header.spec.top_plate_for(round.header.wood);
    let margin = round.header.spec.angle_tolerance * 0.5;
    let of = |side: Side| -> Vec<f64> {
        let there = round.cutters.iter().filter(|cutter| cutter.is_present() && cutter.side == side);
        there.filter_map(|cutter| cutter.angle.mean()).map(Degrees::get).collect()
    };
    let present = |side: Side| round.cutters.iter().filter(|c| c.is_present() && c.side == side).count();
    let (left, right) = (of(Side::Left), of(Side::Right));
    let difference = difference(
        Sample { values: &left, of: present(Side::Left) },
        Sample { values: &right, of: present(Side::Right) },
        skill.angle.get(),
    );
    let word = judge(difference, margin.get());
    let difference = difference.map(|found| found.of(deg));
    let (left, right) = (side_angles(&left, target, skill), side_angles(&right, target, skill));
    let turned: Vec<(Side, Degrees)> = [(Side::Left, left), (Side::Right, right)]
        .into_iter()
        .filter_map(|(side, angles)| Some((side, angles?)))
        .filter(|(_, a)| a.low > margin || a.high < -margin)
        .map(|(side, a)| (side, a.bias))
        .collect();
    Wrist { left, right, difference, word, turned }
}

fn side_angles(values: &[f64], target: Degrees, skill: &Skill) -> Option<SideAngles> {
    let seen = Summary::of(values).ok()?;
    let widened = Summary { sd: seen.sd.max(skill.angle.get()), ..seen };
    let interval = widened.mean_interval(LEVEL).ok()?.interval;
    // What the protractor itself is off by does not average over cutters.
    let half =
        (0.5 * (interval.high - interval.low)).hypot(crate::stats::conformity::GUARD * skill.angle_shared().get());
    let (bias, half) = (deg(seen.mean) - target, deg(half));
    Some(SideAngles { count: seen.n, bias, low: bias - half, high: bias + half, sd: deg(seen.sd) })
}

#[cfg(test)]
mod tests {
    use crate::advice::tests::readings::Bench;
    use crate::chain::Side;

    #[test]
    fn a_turn_is_called_only_when_proven() {
        let mut bench = Bench::measured(20, &[9.0; 10]);
        bench.angle(1, 31.2).angle(3, 31.3);
        assert!(bench.findings().wrist.turned.is_empty(), "two angles prove little");
        for cutter in [5, 7, 9] {
            bench.angle(cutter, 31.2);
        }
        assert!(bench.findings().wrist.turned.is_empty(), "the protractor may be off by as much");
        for cutter in [1, 3, 5, 7, 9] {
            bench.angle(cutter, 27.5);
        }
        let wrist = bench.findings().wrist;
        assert_eq!(wrist.turned, [(Side::Left, crate::units::deg(-2.5))]);
        assert_eq!(wrist.words().unwrap(), "Left angles run 2.5 deg small: the wrist turns on that side.");
        assert_eq!(wrist.right, None);
    }

    #[test]
    fn the_protractors_own_error_widens_a_sides_interval() {
        let mut bench = Bench::measured(20, &[9.0; 10]);
        for cutter in [1, 3, 5, 7, 9] {
            bench.angle(cutter, 30.0);
        }
        let left = bench.findings().wrist.left.unwrap();
        // t(0.95, 4) = 2.131847 times 1 / sqrt(5), and 1.644854 times 0.29.
        let half = (2.131_847 / 5.0_f64.sqrt()).hypot(1.644_854 * 0.29);
        assert!((left.high.get() - half).abs() < 1e-5, "{left:?}");
    }
}
