//! A finished round in a few lines: what the loop's history keeps and what later rounds learn from.

use chrono::{DateTime, Duration, FixedOffset};
use serde::{Deserialize, Serialize};

use super::cut::Cut;
use super::cutter::{Cutter, CutterState};
use super::event::{Closing, Event, Tool, When};
use super::fold::Round;
use super::look::Stop;
use super::loss::GapLoss;
use super::new_length::NewLength;
use super::now;
use crate::chain::{CutterNumber, Rule, Side, Wood};
use crate::stats::summary;
use crate::units::{Millimetres, mm};

/// A longer time without an entry is no work at the bench, minutes (proposal).
const LONGEST_MIN: i64 = 120;

/// One round of a loop's past.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Summary {
    /// When it began.
    pub started: DateTime<FixedOffset>,
    /// When its last entry was made.
    pub ended: DateTime<FixedOffset>,
    /// How it ended; absent while it is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how: Option<Closing>,
    /// Who filed.
    pub sharpener: String,
    /// For what wood.
    pub wood: Wood,
    /// With what.
    pub tool: Tool,
    /// Profile worked by.
    pub profile: String,
    /// Rule for the raker gap, once chosen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<Rule>,
    /// Length filed to.
    #[serde(rename = "target_mm", default, skip_serializing_if = "Option::is_none")]
    pub target: Option<Millimetres>,
    /// Median length of the cutters that are there, before and after.
    #[serde(rename = "median_before_mm", default, skip_serializing_if = "Option::is_none")]
    pub median_before: Option<Millimetres>,
    /// Median after.
    #[serde(rename = "median_after_mm", default, skip_serializing_if = "Option::is_none")]
    pub median_after: Option<Millimetres>,
    /// Lengths as the round leaves them; absent where none is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lengths: Option<Lengths>,
    /// Longest less shortest as the cutters came, of those that are there.
    #[serde(rename = "spread_before_mm", default, skip_serializing_if = "Option::is_none")]
    pub spread_before: Option<Millimetres>,
    /// Longest less shortest of the cutters brought to one length, after.
    #[serde(rename = "spread_after_mm", default, skip_serializing_if = "Option::is_none")]
    pub spread_after: Option<Millimetres>,
    /// Cutters that were left short: no figure of even length counts them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_short: Vec<CutterNumber>,
    /// Mean left less mean right of the matched cutters, after (before where nothing was measured after).
    #[serde(rename = "left_less_right_mm", default, skip_serializing_if = "Option::is_none")]
    pub left_less_right: Option<Millimetres>,
    /// Steel taken off all cutters together, in length, where both ends were measured.
    #[serde(rename = "removed_mm")]
    pub removed: Millimetres,
    /// Part of it that sharpening alone needed (each cutter's dull edge).
    #[serde(rename = "removed_wear_mm")]
    pub removed_wear: Millimetres,
    /// Part that damage needed: of the damaged cutters, and of the others where a damaged one set the length.
    #[serde(rename = "removed_damage_mm")]
    pub removed_damage: Millimetres,
    /// The rest: what evening-up cost.
    #[serde(rename = "removed_even_mm")]
    pub removed_even: Millimetres,
    /// Minutes at the bench: pauses and long absences left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// Strokes given.
    pub strokes: u32,
    /// What strokes took, by side: for learning.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub filings: Vec<Filing>,
    /// What gaps lost since the round before while teeth were filed: for learning the back slope. It needs that round too, so
    /// [`Summary::of`] leaves it out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_loss: Option<GapLoss>,
    /// How the loop cut since the round before, as its intake tells.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<Cut>,
    /// The length of a new cutter, where this round asked for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_length: Option<NewLength>,
    /// What the sheet of this round lets one expect of the cut, once it is signed. It needs the advice, so [`Summary::of`] leaves it out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub promised: Option<Cut>,
    /// How the loop cut after it, as the next intake tells; that round is needed too, so [`Summary::of`] leaves it out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_since: Option<Cut>,
    /// Why the loop must not go back on a saw, where this round rejects it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stops: Vec<Stop>,
    /// Remarks about the loop.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// How long the cutters of a loop are after a round, or in it: measured after filing, as they came where they were not filed,
/// and taken for granted where they were filed and not measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lengths {
    /// Median of the cutters that are to be of one length.
    #[serde(rename = "median_mm")]
    pub median: Millimetres,
    /// The shortest cutter that is there.
    #[serde(rename = "shortest_mm")]
    pub shortest: Millimetres,
    /// The shortest of those that are to be of one length: all are filed to it, and it is the first at its witness mark.
    #[serde(rename = "ends_mm")]
    pub ends: Millimetres,
    /// Which one that is.
    pub ends_at: CutterNumber,
}

impl Lengths {
    /// Of a round as it stands; `None` before the first length.
    pub fn of(round: &Round) -> Option<Self> {
        let known = |cutter: &Cutter| now::length(round, cutter).map(|now| now.length);
        let shortest = round.cutters.iter().filter_map(known).min_by(Millimetres::total_cmp)?;
        let matched = round.matched().filter_map(|cutter| Some((cutter.number, known(cutter)?)));
        let (ends_at, ends) = matched.min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(Self { median: median(round.matched().filter_map(known))?, shortest, ends, ends_at })
    }
}

/// One cutter filed with a known number of strokes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Filing {
    /// Hand of the cutter.
    pub side: Side,
    /// Strokes given.
    pub strokes: u32,
    /// Length they took.
    #[serde(rename = "mm")]
    pub took: Millimetres,
}

/// How one cutter left its last round: what the next round predicts from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LastCutter {
    /// Number from the start mark.
    pub number: CutterNumber,
    /// State it was left in.
    pub state: CutterState,
    /// Length.
    #[serde(rename = "length_mm", default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Millimetres>,
    /// Raker gap at that length.
    #[serde(rename = "gap_mm", default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<Millimetres>,
}

/// What earlier rounds of the same loop tell this one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Past {
    /// Finished rounds, oldest first.
    pub rounds: Vec<Summary>,
    /// The cutters as the last signed round left them; empty before the first.
    pub last: Vec<LastCutter>,
    /// Filings of the same sharpener and profile on other loops.
    pub filings: Vec<Filing>,
}

impl Past {
    /// How the last round left one cutter.
    pub fn last_of(&self, number: CutterNumber) -> Option<&LastCutter> {
        self.last.iter().find(|cutter| cutter.number == number)
    }
}

impl Summary {
    /// The round in short.
    pub fn of(round: &Round) -> Self {
        let header = &round.header;
        let present = || round.cutters.iter().filter(|cutter| cutter.is_present());
        let split = Split::of(round);
        let in_state = |state| {
            let found = round.cutters.iter().filter(|cutter| cutter.state == state);
            found.map(|cutter| cutter.number).collect()
        };
        Self {
            started: header.started,
            ended: round.entries.last().map_or(header.started, |entry| entry.at),
            how: round.closed,
            sharpener: header.sharpener.clone(),
            wood: header.wood,
            tool: header.tool,
            profile: header.profile.clone(),
            rule: round.rule,
            target: round.target.as_ref().map(|target| target.length),
            median_before: median(present().filter_map(|cutter| cutter.before.mean())),
            median_after: median(present().filter_map(|cutter| cutter.after.mean())),
            lengths: Lengths::of(round),
            spread_before: spread(present().filter_map(|cutter| cutter.before.mean())),
            spread_after: spread(round.matched().filter_map(|cutter| cutter.after.mean())),
            left_short: in_state(CutterState::LeftShort),
            left_less_right: left_less_right(round),
            removed: split.all,
            removed_wear: split.wear,
            removed_damage: split.damage,
            removed_even: split.all - split.wear - split.damage,
            minutes: minutes(round),
            strokes: round.cutters.iter().filter_map(|cutter| cutter.strokes).sum(),
            filings: filings(round),
            gap_loss: None,
            cut: round.cut,
            new_length: round.new_length,
            promised: None,
            cut_since: None,
            stops: round.stops(),
            notes: round.notes.clone(),
        }
    }
}

/// How every cutter of a round stands at its end.
pub fn last_cutters(round: &Round) -> Vec<LastCutter> {
    let last = |cutter: &Cutter| LastCutter {
        number: cutter.number,
        state: cutter.state,
        length: cutter.length(),
        gap: cutter.gap(),
    };
    round.cutters.iter().map(last).collect()
}

/// The filings of a round's sharpener, from which strokes are learned; those of whoever went on with it are not theirs.
pub(crate) fn filings(round: &Round) -> Vec<Filing> {
    let own = round.filings_by(&round.header.sharpener);
    own.map(|(side, filed)| Filing { side, strokes: filed.strokes, took: filed.took }).collect()
}

/// Steel taken off, by cause; each cutter's parts add up to what it lost.
///
/// With `b` and `a` a cutter's length before and after, `d` the steel that a dull edge needs and `n` what this cutter was
/// said to need:
///
/// - wear: `d`, as far as the cutter lost that much;
/// - damage: the more of `n - d`, its own, and `min(L0 - a, L0 - L1)`, what a damaged cutter made it lose;
/// - evening-up: the rest.
///
/// `L0 = min(b - d)` of the sound cutters is the length that the loop could have kept without the damage, `L1 = min(b - n)`
/// of the damaged ones the length that they allowed. Both count only cutters that were brought to the common length; where
/// `L1` is not below `L0`, no damaged cutter set the length. Going below both is evening-up: nobody needed it.
struct Split {
    all: Millimetres,
    wear: Millimetres,
    damage: Millimetres,
}

impl Split {
    fn of(round: &Round) -> Self {
        let none = mm(0.0);
        let dull = round.header.spec.need;
        let hurt = |cutter: &&Cutter| cutter.state == CutterState::Damaged || round.need(cutter) > dull;
        let allowed = |cutter: &Cutter| Some(cutter.before.mean()? - round.need(cutter));
        let least = |of: &mut dyn Iterator<Item = &Cutter>| of.filter_map(allowed).min_by(Millimetres::total_cmp);
        let without = least(&mut round.matched().filter(|cutter| !hurt(cutter)));
        let with = least(&mut round.matched().filter(hurt));
        let forced = |after: Millimetres| match (without, with) {
            (Some(without), Some(with)) => (without - after).min(without - with),
            _ => none,
        };
        let mut split = Self { all: none, wear: none, damage: none };
        for cutter in &round.cutters {
            let Some((removed, after)) = cutter.removed().filter(|removed| *removed > none).zip(cutter.after.mean())
            else {
                continue;
            };
            let wear = dull.min(removed);
            let own = round.need(cutter) - dull;
            let others = if cutter.is_matched() { forced(after) } else { none };
            split.all = split.all + removed;
            split.wear = split.wear + wear;
            split.damage = split.damage + own.max(others).max(none).min(removed - wear);
        }
        split
    }
}

/// Time from entry to entry, minutes, without pauses and without times so long that nobody was at the bench.
fn minutes(round: &Round) -> Option<f64> {
    let mut last = round.header.started;
    let mut worked = Duration::zero();
    let mut paused = false;
    for entry in &round.entries {
        let since = entry.at - last;
        if !paused && since > Duration::zero() && since <= Duration::minutes(LONGEST_MIN) {
            worked += since;
        }
        paused = matches!(entry.event, Event::Paused {});
        last = entry.at;
    }
    (worked > Duration::zero()).then(|| worked.num_seconds() as f64 / 60.0)
}

/// The middle of these lengths.
pub(super) fn median(lengths: impl Iterator<Item = Millimetres>) -> Option<Millimetres> {
    summary::median(&lengths.map(Millimetres::get).collect::<Vec<_>>()).ok().map(mm)
}

fn spread(lengths: impl Iterator<Item = Millimetres> + Clone) -> Option<Millimetres> {
    let shortest = lengths.clone().min_by(Millimetres::total_cmp)?;
    Some(lengths.max_by(Millimetres::total_cmp)? - shortest)
}

fn left_less_right(round: &Round) -> Option<Millimetres> {
    let when = if round.cutters.iter().any(|c| !c.after.is_empty()) { When::After } else { When::Before };
    let mean = |side| {
        let lengths: Vec<Millimetres> = round
            .matched()
            .filter(|cutter| cutter.side == side)
            .filter_map(|cutter| cutter.lengths(when).mean())
            .collect();
        (!lengths.is_empty()).then(|| lengths.iter().copied().sum::<Millimetres>() / lengths.len() as f64)
    };
    Some(mean(Side::Left)? - mean(Side::Right)?)
}

#[cfg(test)]
mod tests;
