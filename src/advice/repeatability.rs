//! Repeatability: how well this sharpener repeats a reading, from cutters measured again without seeing the first figure.
//!
//! The first drill is such a study ([`crate::drill::Drill::MeasureTwice`]).

use super::skill::Skill;
use crate::stats::Interval;
use crate::stats::summary::{Summary, mean, pooled_sd};
use crate::units::{deg, mm};

/// Fewer degrees of freedom tell a spread too loosely to replace the proposed figure: with six it is known to about a third.
pub const LEAST_DF: f64 = 6.0;
/// Level of the interval of the spread.
const LEVEL: f64 = 0.90;

/// Result of a study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeatability {
    /// Pooled standard deviation of single readings, in the unit read.
    pub sd: f64,
    /// Its 90 % interval.
    pub interval: Interval,
    /// Degrees of freedom.
    pub df: f64,
    /// Six standard deviations as a share of the whole tolerance, 0.30 and less being usable (from memory: automotive
    /// measurement system analysis).
    pub tolerance_share: f64,
    /// Spread of the cutters themselves.
    pub part_sd: f64,
    /// How many kinds of cutter the readings can tell apart, 5 and more being good (from memory, as above).
    pub categories: u32,
}

/// Evaluates repeats: one list of readings per cutter, blind. `tolerance` is the tolerance either way.
/// `None` below one repeated cutter or where nothing varies.
pub fn study(groups: &[Vec<f64>], tolerance: f64) -> Option<Repeatability> {
    let repeated: Vec<Summary> = groups.iter().filter_map(|group| Summary::of(group).ok()).collect();
    let pooled = pooled_sd(&repeated).ok().filter(|pooled| pooled.sd > 0.0)?;
    let part_sd = part_sd(groups, pooled.sd);
    Some(Repeatability {
        sd: pooled.sd,
        interval: pooled.interval(LEVEL).ok()?,
        df: pooled.df,
        tolerance_share: 3.0 * pooled.sd / tolerance,
        part_sd,
        categories: categories(part_sd, pooled.sd),
    })
}

/// Spread of the cutters: that of their means, less what the readings' scatter adds to it.
fn part_sd(groups: &[Vec<f64>], sd: f64) -> f64 {
    let known: Vec<&Vec<f64>> = groups.iter().filter(|group| !group.is_empty()).collect();
    let means: Vec<f64> = known.iter().filter_map(|group| mean(group).ok()).collect();
    let Ok(seen) = Summary::of(&means) else { return 0.0 };
    let scatter = sd * sd * known.iter().map(|group| 1.0 / group.len() as f64).sum::<f64>() / known.len() as f64;
    (seen.sd * seen.sd - scatter).max(0.0).sqrt()
}

/// Number of distinct categories, `1.41 * part / repeat`, cut to the whole number below, at least 1.
///
/// Source: automotive measurement system analysis, from memory.
pub fn categories(part_sd: f64, repeat_sd: f64) -> u32 {
    super::say::whole(1.41 * part_sd / repeat_sd).max(1)
}

impl Skill {
    /// The sharpener's own figures in place of the proposed ones, where a study is long enough. What an instrument is off
    /// by does not show in repeats, so the figure never falls below that part.
    #[must_use]
    pub fn with_studies(
        self,
        length: Option<&Repeatability>,
        gap: Option<&Repeatability>,
        angle: Option<&Repeatability>,
    ) -> Self {
        let sound = |study: Option<&Repeatability>| study.filter(|s| s.df >= LEAST_DF).map(|s| s.sd);
        let whole = Self::default();
        let with = |own: Option<f64>, old: f64, floor: f64| own.map_or(old, |sd| sd.hypot(floor));
        let (length, gap, angle) = (sound(length), sound(gap), sound(angle));
        Self {
            length: mm(with(length, self.length.get(), whole.length_shared().get())),
            gap: mm(with(gap, self.gap.get(), whole.gap_shared().get())),
            angle: deg(with(angle, self.angle.get(), whole.angle_shared().get())),
            own: self.own || length.is_some() || gap.is_some() || angle.is_some(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_of_readings_give_the_spread_within_not_between_cutters() {
        let groups: Vec<Vec<f64>> = (0..8).map(|i| vec![8.0 + 0.1 * f64::from(i), 8.04 + 0.1 * f64::from(i)]).collect();
        let study = study(&groups, 0.2).unwrap();
        assert!((study.sd - 0.04 / 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(study.df, 8.0);
        assert!(study.interval.low < study.sd && study.sd < study.interval.high);
        assert!((study.part_sd - 0.24).abs() < 0.01 && study.categories == 12, "{study:?}");
        let skill = Skill::default().with_studies(Some(&study), None, None);
        assert!(skill.own && (skill.length.get() - study.sd.hypot(0.012)).abs() < 1e-12);
        assert_eq!(skill.gap, Skill::default().gap);
    }

    #[test]
    fn a_short_study_replaces_nothing_and_no_repeats_are_no_study() {
        let short = study(&[vec![8.0, 8.1], vec![8.2, 8.2]], 0.2).unwrap();
        assert_eq!(Skill::default().with_studies(Some(&short), None, None), Skill::default());
        assert_eq!(study(&[vec![8.0], vec![8.1]], 0.2), None);
        assert_eq!(study(&[vec![8.0, 8.0]], 0.2), None);
    }
}
