//! What is known of one value: normal, or with a small chance much wider.
//!
//! The wide part keeps a value that does not belong to the rest from being smoothed away: readings far from what was expected move
//! the weight to it, and then they are believed as they are.

use super::quantile::normal_cdf_quick;

/// One normal part.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Part {
    weight: f64,
    mean: f64,
    variance: f64,
}

impl Part {
    /// The part after a reading `y` with variance `noise`, its weight times how likely that reading was.
    fn after(self, y: f64, noise: f64) -> Self {
        let total = self.variance + noise;
        let (off, gain) = (y - self.mean, self.variance / total);
        let likely = (-0.5 * off * off / total).exp() / total.sqrt();
        Self { weight: self.weight * likely, mean: self.mean + gain * off, variance: (1.0 - gain) * self.variance }
    }

    /// Its share of what lies at or below `limit`.
    fn below(&self, limit: f64) -> f64 {
        self.weight * normal_cdf_quick((limit - self.mean) / self.variance.sqrt())
    }
}

/// What is known of a value, in the caller's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    usual: Part,
    odd: Part,
}

impl Belief {
    /// About `mean` with variance `variance`; with the chance `odd` the variance is `wide` instead.
    pub fn new(mean: f64, variance: f64, odd: f64, wide: f64) -> Self {
        Self {
            usual: Part { weight: 1.0 - odd, mean, variance },
            odd: Part { weight: odd, mean, variance: wide.max(variance) },
        }
    }

    /// After a reading `y` with variance `noise`.
    #[must_use]
    pub fn read(&self, y: f64, noise: f64) -> Self {
        let (mut usual, mut odd) = (self.usual.after(y, noise), self.odd.after(y, noise));
        let all = usual.weight + odd.weight;
        if all > f64::MIN_POSITIVE {
            usual.weight /= all;
            odd.weight /= all;
        } else {
            // So far off that nothing expected it: the reading alone counts.
            (usual.weight, odd.weight) = (0.0, 1.0);
        }
        Self { usual, odd }
    }

    /// Of the same value less another one that is off by `by` and known with variance `variance`.
    #[must_use]
    pub fn less(&self, by: f64, variance: f64) -> Self {
        let part = |part: Part| Part { mean: part.mean - by, variance: part.variance + variance, ..part };
        Self { usual: part(self.usual), odd: part(self.odd) }
    }

    /// After the value itself changed by `by`, known with variance `variance`; with the chance `odd` with `wide`.
    #[must_use]
    pub fn moved(&self, by: f64, variance: f64, odd: f64, wide: f64) -> Self {
        let (mean, had) = (self.mean() + by, self.variance());
        Self::new(mean, had + variance, odd, had + wide)
    }

    /// Best value.
    pub fn mean(&self) -> f64 {
        self.usual.weight * self.usual.mean + self.odd.weight * self.odd.mean
    }

    /// Variance about it.
    pub fn variance(&self) -> f64 {
        let apart = self.usual.mean - self.odd.mean;
        let within = self.usual.weight * self.usual.variance + self.odd.weight * self.odd.variance;
        within + self.usual.weight * self.odd.weight * apart * apart
    }

    /// Standard deviation about it.
    pub fn sd(&self) -> f64 {
        self.variance().sqrt()
    }

    /// Probability that the value does not belong to the rest.
    pub const fn odd(&self) -> f64 {
        self.odd.weight
    }

    /// Probability that the value is at most `limit`.
    pub fn below(&self, limit: f64) -> f64 {
        self.usual.below(limit) + self.odd.below(limit)
    }

    /// Probability that the value lies within.
    pub fn within(&self, low: f64, high: f64) -> f64 {
        (self.below(high) - self.below(low)).clamp(0.0, 1.0)
    }
}

/// What values of one kind have in common, readings' scatter taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kin {
    /// Their middle.
    pub middle: f64,
    /// Variance of the true values about it.
    pub variance: f64,
}

/// What is expected of a spread before it is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Standard deviation expected.
    pub sd: f64,
    /// Values that this is worth.
    pub values: f64,
    /// No spread below this standard deviation is believed.
    pub least: f64,
}

/// Share of the variance that a normal sample keeps without its farthest ninth.
const KEPT_VARIANCE: f64 = 0.63;

/// Learned from readings of variance `noise` each; the farthest ninth is left out, so that a few that do not belong do not widen it.
/// `None` below `fewest` readings.
pub fn kin(readings: &[f64], noise: f64, expected: Expected, fewest: usize) -> Option<Kin> {
    if readings.len() < fewest {
        return None;
    }
    let middle = super::summary::median(readings).ok()?;
    let mut off: Vec<f64> = readings.iter().map(|reading| (reading - middle).powi(2)).collect();
    off.sort_by(f64::total_cmp);
    let kept = off.len() - off.len() / 9;
    let share = if kept < off.len() { KEPT_VARIANCE } else { 1.0 };
    let seen = off[..kept].iter().sum::<f64>() / share;
    let before = expected.values * (noise + expected.sd.powi(2));
    let all = (seen + before) / (kept as f64 + expected.values);
    Some(Kin { middle, variance: (all - noise).max(expected.least.powi(2)) })
}

/// How many of the widest standard deviation make a step on the scale of the smallest of some dozens of normal values (tables of extreme
/// values, any text); it says where to look next, and nothing more rests on it.
const STEEP: f64 = 0.45;

/// The probability asked for is met within this: a hundredth of the standard deviation of the smallest and less.
const MET: f64 = 1e-3;

/// The smallest of several values, each known apart from the others: `P(smallest > x)` is the product of all `P(value > x)`.
///
/// Asked again, also for those that are left without the first few, it goes on from where it looked already.
pub struct Smallest<'a> {
    beliefs: &'a [Belief],
    /// Weight, mean and one over the standard deviation of both parts of each.
    parts: Vec<[(f64, f64, f64); 2]>,
    /// Where it looked, and for each number of first ones left out the probability that all others lie above.
    seen: Vec<(f64, Vec<f64>)>,
}

impl<'a> Smallest<'a> {
    /// Of these.
    pub fn of(beliefs: &'a [Belief]) -> Self {
        let part = |part: Part| (part.weight, part.mean, 1.0 / part.variance.sqrt());
        let parts = beliefs.iter().map(|belief| [belief.usual, belief.odd].map(part)).collect();
        Self { beliefs, parts, seen: Vec::new() }
    }

    /// The value that the smallest lies below with probability `p`, the first `without` left out; `None` where none is left.
    ///
    /// Until it stands on either side of it, it steps by how steep that of many is; then it follows the chord, an end that stays weighing
    /// half as much each time (the Illinois rule, any text on finding roots); it halves where that does not narrow. It ends below a
    /// micrometre.
    pub fn below_with(&mut self, p: f64, without: usize) -> Option<f64> {
        let rest = self.beliefs.get(without..)?;
        let least = rest.iter().map(Belief::mean).min_by(f64::total_cmp)?;
        let widest = rest.iter().map(Belief::sd).fold(0.0, f64::max);
        let ends = (least - 8.0 * widest - 1e-7, least + 5.0 * widest + 1e-7);
        if let Some((at, _)) = self.seen.iter().find(|(_, above)| (above[without] - (1.0 - p)).abs() < MET) {
            return Some(*at);
        }
        let wanted = scaled(1.0 - p);
        let known = || self.seen.iter().map(|(at, above)| (*at, scaled(above[without]) - wanted));
        let mut low = known().filter(|end| end.1 < 0.0).max_by(|a, b| a.0.total_cmp(&b.0));
        let mut high = known().filter(|end| end.1 >= 0.0).min_by(|a, b| a.0.total_cmp(&b.0));
        let mut side = 0_i8;
        for step in 0..60 {
            let at = match (low, high) {
                (Some(low), Some(high)) if high.0 - low.0 < 1e-6 => break,
                (Some(low), Some(high)) if step % 4 == 3 => f64::midpoint(low.0, high.0),
                (Some(low), Some(high)) => chord(low, high),
                (Some((at, off)), None) | (None, Some((at, off))) => {
                    (at - off * (STEEP * widest) - off.signum() * 1e-7).clamp(ends.0, ends.1)
                }
                (None, None) => least - 0.5 * widest,
            };
            let above = self.above(at, without);
            if (above - (1.0 - p)).abs() < MET {
                return Some(at);
            }
            let off = scaled(above) - wanted;
            if off < 0.0 {
                low = Some((at, off));
                high = high.map(|(at, off)| (at, if side == -1 { 0.5 * off } else { off }));
                side = -1;
            } else {
                high = Some((at, off));
                low = low.map(|(at, off)| (at, if side == 1 { 0.5 * off } else { off }));
                side = 1;
            }
        }
        high.or(low).map(|(at, _)| at)
    }

    /// Probability that all but the first `without` lie above `limit`.
    fn above(&mut self, limit: f64, without: usize) -> f64 {
        let mut all = vec![1.0; self.parts.len() + 1];
        for (i, parts) in self.parts.iter().enumerate().rev() {
            let below = parts.map(|(weight, mean, per_sd)| weight * normal_cdf_quick((limit - mean) * per_sd));
            all[i] = all[i + 1] * (1.0 - below[0] - below[1]);
        }
        let above = all[without];
        self.seen.push((limit, all));
        above
    }
}

/// A probability that all lie above, on the scale on which that of the smallest of many is all but straight: that of the extreme value
/// distribution, `ln(-ln P(smallest > x))`.
fn scaled(above: f64) -> f64 {
    (-above.clamp(1e-9, 1.0 - 1e-12).ln()).ln()
}

/// Where the line through two ends, one under nought and one over it, is nought.
fn chord(low: (f64, f64), high: (f64, f64)) -> f64 {
    let at = low.0 - (high.0 - low.0) * low.1 / (high.1 - low.1);
    if (low.0..=high.0).contains(&at) { at } else { f64::midpoint(low.0, high.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_weighed_with_what_was_known() {
        // Equal variances meet in the middle, with half the variance (conjugate normal, any text).
        let belief = Belief::new(8.0, 0.01, 0.0, 1.0).read(8.1, 0.01);
        assert!((belief.mean() - 8.05).abs() < 1e-12 && (belief.variance() - 0.005).abs() < 1e-12);
        assert!((belief.below(8.05) - 0.5).abs() < 1e-9);
    }

    #[test]
    fn what_does_not_belong_is_believed_as_it_reads() {
        let belief = Belief::new(8.0, 0.0025, 0.03, 0.0625);
        let (near, far) = (belief.read(8.03, 0.0025), belief.read(7.5, 0.0025));
        assert!(near.odd() < 0.03 && near.mean() < 8.02);
        assert!(far.odd() > 0.99 && (far.mean() - 7.52).abs() < 0.01, "{far:?}");
        assert!(belief.read(-900.0, 0.0025).mean().is_finite());
    }

    #[test]
    fn the_smallest_of_exact_values_is_the_smallest_and_of_noisy_ones_lies_below() {
        let exact: Vec<Belief> = [8.0, 8.1, 8.5].map(|mean| Belief::new(mean, 0.0, 0.0, 0.0)).into();
        let mut smallest = Smallest::of(&exact);
        for (without, is) in [(0, 8.0), (1, 8.1), (2, 8.5), (0, 8.0)] {
            assert!((smallest.below_with(0.8, without).unwrap() - is).abs() < 1e-6, "{without}");
        }
        let noisy = [Belief::new(8.0, 0.0025, 0.0, 1.0); 36];
        // The normal quantile at 1 - 2^(-1/36) = 0.01907 is -2.0734, and at 1 - 2^(-1/24) = 0.02847 -1.9038 (SciPy 1.17.1): medians of
        // the smallest of 36 and of 24; asked after one another they are the same as asked alone.
        let mut smallest = Smallest::of(&noisy);
        for (without, sd) in [(0, 2.0734), (12, 1.9038), (0, 2.0734)] {
            assert!((smallest.below_with(0.5, without).unwrap() - (8.0 - sd * 0.05)).abs() < 1e-4, "{without}");
        }
        assert_eq!(smallest.below_with(0.5, 36), None);
    }
}
