//! The rounds of a loop, one a line.

use serde::Serialize;

use crate::advice::forecast;
use crate::chain::{CutterNumber, Rule, Wood};
use crate::report::data::{Number, number};
use crate::round::{Closing, Cut, Summary, Tool};
use crate::units::Millimetres;
use crate::units::clean::clean;

/// One round in a line. Lengths in mm; what is not known is `None`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(in crate::report) struct Row {
    pub(in crate::report) started: String,
    pub(in crate::report) ended: String,
    pub(in crate::report) how: Option<Closing>,
    pub(in crate::report) sharpener: String,
    pub(in crate::report) tool: Tool,
    pub(in crate::report) wood: Wood,
    pub(in crate::report) rule: Option<Rule>,
    pub(in crate::report) target_mm: Option<Number>,
    pub(in crate::report) median_before_mm: Option<Number>,
    pub(in crate::report) median_after_mm: Option<Number>,
    pub(in crate::report) spread_before_mm: Option<Number>,
    pub(in crate::report) spread_after_mm: Option<Number>,
    /// What its sheet led one to expect of the cut.
    #[serde(rename = "promised_cut")]
    pub(in crate::report) promised: Option<Cut>,
    /// How the loop cut after it, as the next intake tells.
    pub(in crate::report) cut_since: Option<Cut>,
    /// Cutters left short, which the spread after and left less right leave out.
    pub(in crate::report) left_short: Vec<CutterNumber>,
    pub(in crate::report) left_less_right_mm: Option<Number>,
    /// Loss of the median since the round before, or since it came for the first.
    pub(in crate::report) wear_mm: Option<Number>,
    /// `None` where cutters were not measured both before and after.
    pub(in crate::report) removed: Option<Removed>,
    pub(in crate::report) strokes: Option<u32>,
    /// From beginning to end, pauses included.
    pub(in crate::report) minutes: Option<Number>,
    pub(in crate::report) notes: Vec<String>,
}

/// Length taken off all cutters together, by cause, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(in crate::report) struct Removed {
    pub(in crate::report) all_mm: Number,
    pub(in crate::report) wear_mm: Number,
    pub(in crate::report) damage_mm: Number,
    /// What unevenness cost.
    pub(in crate::report) evening_mm: Number,
    pub(in crate::report) evening_share: Option<Number>,
}

impl Row {
    pub(super) fn evening_share(&self) -> Option<Number> {
        self.removed?.evening_share
    }

    pub(super) fn is_signed(&self) -> bool {
        self.how == Some(Closing::Signed)
    }
}

impl Removed {
    pub(super) fn new([all, wear, damage, evening]: [f64; 4]) -> Self {
        Self {
            all_mm: Number(all),
            wear_mm: Number(wear),
            damage_mm: Number(damage),
            evening_mm: Number(evening),
            evening_share: (all > 0.0).then(|| Number((evening / all).clamp(0.0, 1.0))),
        }
    }

    pub(super) fn add([all, wear, damage, evening]: [f64; 4], other: Self) -> [f64; 4] {
        [all + other.all_mm.0, wear + other.wear_mm.0, damage + other.damage_mm.0, evening + other.evening_mm.0]
    }
}

pub(in crate::report) fn rows(rounds: &[Summary]) -> Vec<Row> {
    rounds.iter().enumerate().map(|(i, round)| row(round, wear(&rounds[..=i]))).collect()
}

/// Wear of the last of these rounds, as the forecast counts it.
fn wear(rounds: &[Summary]) -> Option<Number> {
    let (last, before) = rounds.split_last()?;
    if last.how != Some(Closing::Signed) || last.median_after.is_none() {
        return None;
    }
    let from = before.iter().rev().find(|round| round.how == Some(Closing::Signed) && round.median_after.is_some());
    // Two rounds are enough for the forecast's own rule, which starts again where the loop came back with new cutters.
    number(forecast::wears(from.into_iter().chain([last])).last().copied())
}

fn row(round: &Summary, wear_mm: Option<Number>) -> Row {
    Row {
        started: round.started.to_rfc3339(),
        ended: round.ended.to_rfc3339(),
        how: round.how,
        sharpener: clean(&round.sharpener),
        tool: round.tool,
        wood: round.wood,
        rule: round.rule,
        target_mm: number(round.target),
        median_before_mm: number(round.median_before),
        median_after_mm: number(round.median_after),
        spread_before_mm: number(round.spread_before),
        spread_after_mm: number(round.spread_after),
        promised: round.promised,
        cut_since: round.cut_since,
        left_short: round.left_short.clone(),
        left_less_right_mm: number(round.left_less_right),
        wear_mm,
        removed: round.median_before.and(round.median_after).map(|_| {
            Removed::new(
                [round.removed, round.removed_wear, round.removed_damage, round.removed_even].map(Millimetres::get),
            )
        }),
        strokes: (round.strokes > 0).then_some(round.strokes),
        minutes: number(round.minutes),
        notes: round.notes.iter().map(|note| clean(note)).collect(),
    }
}
