//! Repeatability: how well this sharpener repeats a reading, from cutters measured again without seeing the first figure.
//!
//! The first drill is such a study ([`crate::drill::Drill::MeasureTwice`]).

use super::skill::Skill;
use crate::stats::Interval;
use crate::stats::crossed::{Crossed, Squares};
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

/// Standard uncertainty of one length reading by repeats alone, the instrument's own part included; nothing from too few.
pub(crate) fn own_length(groups: &[Vec<f64>]) -> Option<crate::units::Millimetres> {
    let skill = Skill::default().with_studies(study(groups, 1.0).as_ref(), None, None);
    skill.own.then_some(skill.length)
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

/// What two people's blind readings of the same cutters come to, beside each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Together {
    /// Repeatability, reproducibility, and the cutters themselves.
    pub study: Crossed,
    /// How much longer the second reads than the first, on average.
    pub apart: f64,
    /// Six standard deviations of reading and person together as a share of the whole tolerance.
    pub tolerance_share: f64,
    /// How many kinds of cutter the readings of both can tell apart.
    pub categories: u32,
    /// How many cutters, and how many readings of each by each.
    pub of: (usize, usize),
}

/// Below this probability their figures of single cutters differ by more than the readings' scatter.
const UNLIKE: f64 = 0.05;

impl Together {
    /// Of the readings of two people: one list per cutter, in the order of their numbers. `None` where the lists do not fit each other
    /// or nothing varies.
    pub fn of(readings: &[Vec<Vec<f64>>; 2], tolerance: f64) -> Option<Self> {
        let whole = |own: &Vec<Vec<f64>>| mean(&own.iter().flatten().copied().collect::<Vec<_>>()).ok();
        let apart = whole(&readings[1])? - whole(&readings[0])?;
        let squares = Squares::of(readings).ok()?;
        let study = squares.study().ok().filter(|study| study.together > 0.0)?;
        let (_, cutters, times) = squares.of;
        Some(Self {
            apart,
            tolerance_share: 3.0 * study.together / tolerance,
            categories: categories(study.part, study.together),
            of: (cutters, times),
            study,
        })
    }

    /// Their figures for single cutters differ so much that they may not have measured the same ones.
    pub fn is_unlike(&self) -> bool {
        self.study.interaction_p.is_some_and(|p| p < UNLIKE)
    }
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
            on: self.on,
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
    fn two_people_are_told_apart_from_the_reading_and_from_other_cutters() {
        // The second holds the jaws 0.06 mm off; both scatter by a hundredth or two.
        let reads = |off: f64| -> Vec<Vec<f64>> {
            (0..6).map(|i| [0.0, 0.02, -0.01].map(|by| 8.0 + 0.1 * f64::from(i) + off + by).to_vec()).collect()
        };
        let both = Together::of(&[reads(0.0), reads(0.06)], 0.2).unwrap();
        assert!((both.apart - 0.06).abs() < 1e-9 && !both.is_unlike() && both.of == (6, 3), "{both:?}");
        assert!(both.study.reproduce > 0.03 && both.study.repeat < 0.02, "{both:?}");
        assert!((both.tolerance_share - 3.0 * both.study.together / 0.2).abs() < 1e-12);
        // Cutters numbered from the other end are other cutters.
        let mut turned = reads(0.06);
        turned.reverse();
        assert!(Together::of(&[reads(0.0), turned], 0.2).unwrap().is_unlike());
        assert_eq!(Together::of(&[reads(0.0), reads(0.0)[..5].to_vec()], 0.2), None);
        let same = vec![vec![8.0; 3]; 6];
        assert_eq!(Together::of(&[same.clone(), same], 0.2), None);
    }

    #[test]
    fn a_short_study_replaces_nothing_and_no_repeats_are_no_study() {
        let short = study(&[vec![8.0, 8.1], vec![8.2, 8.2]], 0.2).unwrap();
        assert_eq!(Skill::default().with_studies(Some(&short), None, None), Skill::default());
        assert_eq!(study(&[vec![8.0], vec![8.1]], 0.2), None);
        assert_eq!(study(&[vec![8.0, 8.0]], 0.2), None);
    }
}
