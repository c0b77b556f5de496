//! Flags: one per cutter and fault, with what it is and by how much.
//!
//! What a fault does in the cut follows the fault tables of operator manuals and trainers; that a raker too low raises
//! kickback is in public safety guides.

use super::CutterFinding;
use super::evenness::{self, Evenness, From, Reference};
use super::mark::{self, Mark};
use super::now::Now;
use super::rakers::Act;
use super::skill::Skill;
use super::verdict::{AngleWord, GapWord, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::round::Round;
use crate::stats::belief::Belief;
use crate::units::{Degrees, Millimetres};

/// What is wrong. In the order in which it matters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FlagKind {
    /// Raker proven too low: the dangerous kind.
    RakerLow {
        /// By how much.
        by: Millimetres,
        /// Its gap is over the largest that the loop may have.
        over: bool,
        /// What can be done.
        remedy: Remedy,
    },
    /// Raker that may be too low.
    RakerMayBeLow {
        /// By how much.
        by: Millimetres,
        /// Its gap reads over the largest that the loop may have.
        over: bool,
    },
    /// Raker that reads right and is too low where the geometry, which is not measured, is not as assumed.
    RakerOnEdge,
    /// At its witness mark.
    AtMark,
    /// At its witness mark or too close to tell, by one reading.
    MayBeAtMark,
    /// Much shorter than the rest of its side as it came.
    Struck {
        /// Less than the median of its side by this.
        by: Millimetres,
    },
    /// Longer than it should be.
    Long {
        /// By how much.
        by: Millimetres,
        /// What that is in height.
        height: Millimetres,
        /// The shortest cutter, where it is held against that and not against a chosen length.
        than: Option<CutterNumber>,
    },
    /// Shorter than it should be.
    Short {
        /// By how much.
        by: Millimetres,
        /// What that is in height.
        height: Millimetres,
    },
    /// Angle proven off.
    AngleOff(AngleOff),
    /// Angle stands out from its side.
    AngleApart {
        /// Its angle less that of its side.
        by: Degrees,
    },
    /// Raker too high.
    RakerHigh {
        /// By how much.
        by: Millimetres,
    },
}

/// A top-plate angle that is proven off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleOff {
    /// As measured.
    pub angle: Degrees,
    /// The same less the angle wanted.
    pub off: Degrees,
    /// Angle wanted.
    pub target: Degrees,
}

/// What can be done about a raker filed too low.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// Nothing: the wear-scaled gap, this one, fits it.
    ScaledFits(Millimetres),
    /// No tooth is left to file.
    Replace,
    /// File this much off the tooth: it stays even with the rest.
    FileTooth(Millimetres),
    /// The same would make it uneven: mark it, or file this much.
    MarkOrFile(Millimetres),
    /// Mark the cutter.
    Mark,
}

impl Remedy {
    /// For the raker of a cutter. Past the changeover a gap that is too large for the fixed rule may be just what the wear asks for.
    pub(super) fn of(found: &CutterFinding) -> Self {
        if let Some(scaled) = found.raker.scaled_fits {
            return Self::ScaledFits(scaled);
        }
        match found.raker.recovery {
            Some(r) if !r.possible => Self::Replace,
            Some(r) if r.stays_even => Self::FileTooth(r.tooth),
            Some(r) => Self::MarkOrFile(r.tooth),
            None => Self::Mark,
        }
    }
}

impl FlagKind {
    /// True where it endangers who cuts.
    pub const fn is_dangerous(self) -> bool {
        matches!(
            self,
            Self::RakerLow { .. } | Self::RakerMayBeLow { .. } | Self::RakerOnEdge | Self::AtMark | Self::MayBeAtMark
        )
    }

    /// Place among the kinds: what matters most comes first.
    const fn rank(self) -> u8 {
        match self {
            Self::RakerLow { .. } => 0,
            Self::RakerMayBeLow { .. } => 1,
            Self::AtMark | Self::MayBeAtMark => 2,
            Self::RakerOnEdge => 3,
            Self::Struck { .. } => 4,
            Self::Long { .. } => 5,
            Self::Short { .. } => 6,
            Self::AngleOff(_) => 7,
            Self::AngleApart { .. } => 8,
            Self::RakerHigh { .. } => 9,
        }
    }
}

/// Something wrong with one cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flag {
    /// Its number.
    pub cutter: CutterNumber,
    /// What.
    pub kind: FlagKind,
}

/// All flags of a round, the ones that matter most first.
pub(crate) fn flags(
    round: &Round,
    cutters: &[CutterFinding],
    evenness: &Evenness,
    (lengths, bests): (&[Option<Now>], &[Option<Belief>]),
    skill: &Skill,
) -> Vec<Flag> {
    let mut flags = Vec::new();
    for found in cutters {
        let mut put = |kind| flags.push(Flag { cutter: found.number, kind });
        raker(found, round, &mut put);
        angle(found, round, &mut put);
    }
    let step = round.length_step();
    for (found, now) in cutters.iter().zip(lengths) {
        let kind = match now.map(|now| mark::of(&round.header.spec, now, skill, step)) {
            Some(Mark::At) => FlagKind::AtMark,
            Some(Mark::Again) => FlagKind::MayBeAtMark,
            Some(Mark::Near | Mark::Clear) | None => continue,
        };
        flags.push(Flag { cutter: found.number, kind });
    }
    flags.extend(lengths_off(round, cutters, evenness, (lengths, bests)));
    flags.extend(angles_apart(round, cutters, skill));
    flags.sort_by_key(|flag| (flag.kind.rank(), flag.cutter));
    flags
}

fn raker(found: &CutterFinding, round: &Round, put: &mut impl FnMut(FlagKind)) {
    let Some(by) = found.gap.off_by.map(Millimetres::abs) else { return };
    let over = found.gap_now.is_some_and(|gap| round.header.spec.is_over(gap));
    match found.gap.word {
        GapWord::Low => put(FlagKind::RakerLow { by, over, remedy: Remedy::of(found) }),
        GapWord::High => put(FlagKind::RakerHigh { by }),
        GapWord::Again if found.raker.act == Act::TooLow => put(FlagKind::RakerMayBeLow { by, over }),
        GapWord::Good | GapWord::Again if found.raker.on_edge => put(FlagKind::RakerOnEdge),
        _ => {}
    }
}

fn angle(found: &CutterFinding, round: &Round, put: &mut impl FnMut(FlagKind)) {
    if let Some(off) = angle_off(found, round).filter(|_| found.angle.word == AngleWord::Off) {
        put(FlagKind::AngleOff(off));
    }
}

/// How far a cutter's angle is off, where that is known.
pub(super) fn angle_off(found: &CutterFinding, round: &Round) -> Option<AngleOff> {
    let target = round.header.spec.top_plate_for(round.header.wood);
    Some(AngleOff { angle: found.angle_now?, off: found.angle.off_by?, target })
}

fn lengths_off(
    round: &Round,
    cutters: &[CutterFinding],
    evenness: &Evenness,
    (lengths, bests): (&[Option<Now>], &[Option<Belief>]),
) -> Vec<Flag> {
    let mut flags = Vec::new();
    let fall = round.header.spec.fall();
    let filed = lengths.iter().flatten().any(|now| now.filed);
    let struck: Vec<CutterNumber> = evenness.struck.iter().map(|s| s.cutter).collect();
    if !filed {
        flags.extend(
            evenness.struck.iter().map(|s| Flag { cutter: s.cutter, kind: FlagKind::Struck { by: s.short_by } }),
        );
    }
    // Before a length is chosen all but the struck are held against the shortest sound cutter: else one struck cutter
    // would make every other one long.
    let apart = round.target.is_none() && !struck.is_empty();
    let reference = if apart { evenness::shortest(round, bests, &struck) } else { evenness.reference };
    for (found, (cutter, (now, best))) in cutters.iter().zip(round.cutters.iter().zip(lengths.iter().zip(bests))) {
        let waits = evenness::waits(round, *now);
        if !cutter.is_present() || (struck.contains(&found.number) && !filed) {
            continue;
        }
        let judged = if apart { evenness::judge(cutter, *now, *best, reference, round) } else { found.length };
        let Some(off) = judged.off_by else { continue };
        let (by, height) = (off.abs(), off.abs() * fall);
        let kind = match judged.word {
            // One left short may be short, never long; before a length is chosen it is held against nothing.
            LengthWord::Long if !waits && (cutter.is_matched() || round.target.is_some()) => {
                FlagKind::Long { by, height, than: shortest(reference) }
            }
            LengthWord::Short if round.target.is_some() && cutter.is_matched() => FlagKind::Short { by, height },
            _ => continue,
        };
        flags.push(Flag { cutter: found.number, kind });
    }
    flags
}

fn shortest(reference: Option<Reference>) -> Option<CutterNumber> {
    match reference?.from {
        From::Shortest(number) => Some(number),
        From::Target => None,
    }
}

/// Angles that stand out from their side and are not flagged for themselves already.
fn angles_apart(round: &Round, cutters: &[CutterFinding], skill: &Skill) -> Vec<Flag> {
    let values: Vec<(CutterNumber, Side, f64)> =
        cutters.iter().filter_map(|found| Some((found.number, found.side, found.angle_now?.get()))).collect();
    let least = round.header.spec.angle_tolerance.get().max(2.0 * std::f64::consts::SQRT_2 * skill.angle.get());
    let out = evenness::standing_out(&values, least, skill.angle.get());
    let flagged = |number: CutterNumber| cutters.iter().any(|c| c.number == number && c.angle.word == AngleWord::Off);
    out.into_iter()
        .filter(|(number, _)| !flagged(*number))
        .map(|(cutter, by)| Flag { cutter, kind: FlagKind::AngleApart { by: Degrees::new(by) } })
        .collect()
}
