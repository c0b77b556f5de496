//! Flags: one plain line a cutter and fault. What is wrong, by how much, what it does in the cut, what to do.
//!
//! What a fault does in the cut follows the fault tables of operator manuals and trainers; that a raker too low raises
//! kickback is in public safety guides.

use super::CutterFinding;
use super::evenness::{self, Evenness, From, Reference};
use super::now::Now;
use super::rakers::Act;
use super::say;
use super::skill::Skill;
use super::verdict::{AngleWord, GapWord, LengthWord};
use crate::chain::{CutterNumber, Side};
use crate::round::Round;
use crate::units::Degrees;

/// What is wrong. In the order in which it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FlagKind {
    /// Raker proven too low: the dangerous kind.
    RakerLow,
    /// Raker that may be too low.
    RakerMayBeLow,
    /// At its witness mark.
    AtMark,
    /// Much shorter than the rest of its side as it came.
    Struck,
    /// Longer than it should be.
    Long,
    /// Shorter than it should be.
    Short,
    /// Angle proven off.
    AngleOff,
    /// Angle stands out from its side.
    AngleApart,
    /// Raker too high.
    RakerHigh,
}

impl FlagKind {
    /// True where it endangers who cuts.
    pub const fn is_dangerous(self) -> bool {
        matches!(self, Self::RakerLow | Self::RakerMayBeLow | Self::AtMark)
    }
}

/// Something wrong with one cutter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flag {
    /// Its number.
    pub cutter: CutterNumber,
    /// What.
    pub kind: FlagKind,
    /// One plain line.
    pub line: String,
}

/// All flags of a round, the ones that matter most first.
pub(crate) fn flags(
    round: &Round,
    cutters: &[CutterFinding],
    evenness: &Evenness,
    lengths: &[Option<Now>],
    skill: &Skill,
) -> Vec<Flag> {
    let mut flags = Vec::new();
    for found in cutters {
        let mut put = |kind, line| flags.push(Flag { cutter: found.number, kind, line });
        raker(found, round, &mut put);
        angle(found, round, &mut put);
        if found.length_now.is_some_and(|length| round.header.spec.at_mark(length)) {
            put(
                FlagKind::AtMark,
                format!("Cutter {}: at its witness mark, spent. Replace it or retire the loop.", found.number),
            );
        }
    }
    flags.extend(lengths_off(round, cutters, evenness, lengths, skill));
    flags.extend(angles_apart(round, cutters, skill));
    flags.sort_by_key(|flag| (flag.kind, flag.cutter));
    flags
}

fn raker(found: &CutterFinding, round: &Round, put: &mut impl FnMut(FlagKind, String)) {
    let unit = round.header.units;
    let Some(off) = found.gap.off_by else { return };
    let (number, by) = (found.number, say::length(unit, off.abs()));
    let over = found.gap_now.is_some_and(|gap| round.header.spec.is_over(gap));
    match found.gap.word {
        GapWord::Low => {
            let what = too_low_remedy(found, round);
            let how =
                if over { "TOO LOW, its gap over the limit.".to_owned() } else { format!("{by} TOO LOW: kicks back.") };
            put(FlagKind::RakerLow, format!("Cutter {number}: raker {how} {what}"));
        }
        GapWord::High => {
            put(
                FlagKind::RakerHigh,
                format!("Cutter {number}: raker {by} high: fine chips, must be pushed. File it down."),
            );
        }
        GapWord::Again if found.raker.act == Act::TooLow => {
            let how = if over { "its gap over the limit".to_owned() } else { format!("{by} too low") };
            let line = format!("Cutter {number}: raker may be {how}, kicks back. Measure again.");
            put(FlagKind::RakerMayBeLow, line);
        }
        _ => {}
    }
}

/// What can be done about a raker filed too low, a short sentence. Past the changeover a gap that is too large for the fixed rule
/// may be just what the wear asks for.
pub(super) fn too_low_remedy(found: &CutterFinding, round: &Round) -> String {
    let unit = round.header.units;
    if let Some(scaled) = found.raker.scaled_fits {
        return format!("Scaled gap {} fits it.", say::length(unit, scaled));
    }
    match found.raker.recovery {
        Some(r) if !r.possible => "Spent: replace it.".into(),
        Some(r) if r.stays_even => format!("File tooth {}.", say::length(unit, r.tooth)),
        Some(r) => format!("Mark it, or file tooth {}.", say::length(unit, r.tooth)),
        None => "Mark it.".into(),
    }
}

fn angle(found: &CutterFinding, round: &Round, put: &mut impl FnMut(FlagKind, String)) {
    if let (AngleWord::Off, Some(off), Some(angle)) = (found.angle.word, found.angle.off_by, found.angle_now) {
        put(FlagKind::AngleOff, format!("Cutter {}: {}", found.number, angle_words(angle, off, round)));
    }
}

/// `angle 34.0, 4.0 too large: sharp but dulls fast. File to 30.0 deg.`
pub(super) fn angle_words(angle: Degrees, off: Degrees, round: &Round) -> String {
    let target = round.header.spec.top_plate_for(round.header.wood).get();
    let (angle, off) = (angle.get(), off.get());
    let does = if off > 0.0 { "large: sharp but dulls fast" } else { "small: slow, must be pushed" };
    format!("angle {angle:.1}, {:.1} too {does}. File to {target:.1} deg.", off.abs())
}

fn lengths_off(
    round: &Round,
    cutters: &[CutterFinding],
    evenness: &Evenness,
    lengths: &[Option<Now>],
    skill: &Skill,
) -> Vec<Flag> {
    let unit = round.header.units;
    let mut flags = Vec::new();
    let fall = round.header.spec.fall();
    let filed = lengths.iter().flatten().any(|now| now.filed);
    let struck: Vec<CutterNumber> = evenness.struck.iter().map(|s| s.cutter).collect();
    if !filed {
        for s in &evenness.struck {
            let by = say::length(unit, s.short_by);
            let line = format!("Cutter {}: {by} shorter than its side, cuts nothing. Hit? Look it over.", s.cutter);
            flags.push(Flag { cutter: s.cutter, kind: FlagKind::Struck, line });
        }
    }
    // Before a length is chosen all but the struck are held against the shortest sound cutter: else one struck cutter
    // would make every other one long.
    let reference = match &round.target {
        Some(_) => evenness.reference,
        None => evenness::shortest(round, lengths, skill, &struck),
    };
    for (found, (cutter, now)) in cutters.iter().zip(round.cutters.iter().zip(lengths)) {
        let waits = round.target.is_some() && !now.is_some_and(|now| now.filed);
        if !cutter.is_matched() || (struck.contains(&found.number) && !filed) {
            continue;
        }
        let judged = evenness::judge(cutter, *now, reference, round, skill);
        let Some(off) = judged.off_by else { continue };
        let (by, height) = (say::length(unit, off.abs()), say::length(unit, off.abs() * fall));
        let number = found.number;
        match judged.word {
            LengthWord::Long if !waits => {
                let line =
                    format!("Cutter {number}: {by} {}, {height} high: grabs, cuts rough. File it.", longer(reference));
                flags.push(Flag { cutter: number, kind: FlagKind::Long, line });
            }
            LengthWord::Short if round.target.is_some() => {
                let line = format!("Cutter {number}: {by} short, {height} low: cuts little. Leave short or match it.");
                flags.push(Flag { cutter: number, kind: FlagKind::Short, line });
            }
            _ => {}
        }
    }
    flags
}

fn longer(reference: Option<Reference>) -> String {
    match reference.map(|r| r.from) {
        Some(From::Shortest(number)) => format!("longer than {number}"),
        _ => "long".into(),
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
        .map(|(cutter, by)| {
            let (way, by) = (if by > 0.0 { "larger" } else { "smaller" }, Degrees::new(by.abs()));
            let line = format!("Cutter {cutter}: angle {by} {way} than its side: cuts unlike the rest. Check it.");
            Flag { cutter, kind: FlagKind::AngleApart, line }
        })
        .collect()
}
