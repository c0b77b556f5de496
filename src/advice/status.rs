//! How a loop stands, in one status, and why it must not go back on a saw.

use serde::{Deserialize, Serialize};
use strum::IntoStaticStr;

use super::cautions::{Caution, Loose};
use crate::chain::CutterNumber;
use crate::round::{Closing, Held, Round, Stop};
use crate::units::{Millimetres, Unit};

/// How a loop stands after a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum StatusWord {
    /// Signed off, and nothing to watch.
    Ready,
    /// Signed off, with something to watch.
    Watch,
    /// It must not go back on a saw.
    DoNotUse,
    /// The round is open, or was given up.
    NotFinished,
    /// Signed off without a single measured length or gap.
    NotMeasured,
}

/// A reason for a status. It is kept with what is derived from rounds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Why {
    /// Rejected in this round.
    Rejected {
        /// For what.
        stops: Vec<Stop>,
    },
    /// Rejected since some round, and not released.
    Held {
        /// Since when, and for what.
        held: Held,
    },
    /// Set aside for practice.
    Practice {},
    /// Cutters at their witness mark.
    AtMark {
        /// Which.
        cutters: Vec<CutterNumber>,
    },
    /// Cutters at it by one reading.
    AtMarkOnce {
        /// Which.
        cutters: Vec<CutterNumber>,
    },
    /// Cutters near it.
    NearMark {
        /// Which.
        cutters: Vec<CutterNumber>,
    },
    /// Rakers with gaps proven over the loop's limit.
    OverLimit {
        /// How many.
        rakers: usize,
        /// The limit.
        limit: Millimetres,
    },
    /// Rakers too low for their rule.
    LowRakers {
        /// How many.
        rakers: usize,
    },
    /// Most rakers are too low.
    MostLow {},
    /// Cutters that are dull.
    Dull {
        /// Which.
        cutters: Vec<CutterNumber>,
    },
    /// Cutters proven of another length than the others.
    Uneven {
        /// Which.
        cutters: Vec<CutterNumber>,
    },
    /// Loose, and rakers too low.
    Bounce {
        /// What is loose.
        loose: Loose,
    },
    /// Its gaps are for unfrozen softwood.
    Softwood {},
    /// The kerf is narrower than the bar may need.
    Kerf {},
    /// What the closed caliper showed.
    NotZero {
        /// How far off.
        by: Millimetres,
    },
    /// No length was measured.
    NoLengths {},
    /// No gap was measured.
    NoGaps {},
}

/// How a loop stands, and what there is to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Status {
    /// In a word.
    pub word: StatusWord,
    /// Unit of the round, for the figures.
    pub unit: Unit,
    /// Why it must not be used, else what is to be watched.
    pub why: Vec<Why>,
}

impl Status {
    /// Of a loop after this round, which calls for these cautions; `uneven` are proven of another length than the others.
    pub fn of(round: &Round, cautions: &[Caution], uneven: &[CutterNumber]) -> Self {
        let unit = round.header.units;
        let of = |stops: bool| {
            let of = cautions.iter().filter(move |caution| caution.is_stop() == stops);
            of.filter_map(Why::of).collect::<Vec<_>>()
        };
        let stops = of(true);
        if !stops.is_empty() {
            return Self { word: StatusWord::DoNotUse, unit, why: stops };
        }
        let mut why = of(false);
        if round.closed != Some(Closing::Signed) {
            return Self { word: StatusWord::NotFinished, unit, why };
        }
        if !uneven.is_empty() {
            why.push(Why::Uneven { cutters: uneven.to_vec() });
        }
        let has_length = round.cutters.iter().any(|cutter| cutter.length().is_some());
        let has_gap = round.cutters.iter().any(|cutter| cutter.gap().is_some());
        let word = match (has_length, has_gap) {
            (false, false) => StatusWord::NotMeasured,
            (true, true) if why.is_empty() => StatusWord::Ready,
            _ => StatusWord::Watch,
        };
        match (has_length, has_gap) {
            (false, true) => why.push(Why::NoLengths {}),
            (true, false) => why.push(Why::NoGaps {}),
            _ => {}
        }
        Self { word, unit, why }
    }

    /// Of a loop that is held back.
    pub fn held(held: &Held) -> Self {
        Self { word: StatusWord::DoNotUse, unit: Unit::Mm, why: vec![Why::Held { held: held.clone() }] }
    }

    /// Of a loop that is set aside for practice; and held back, where it is that too.
    pub fn practice(held: Option<&Held>) -> Self {
        let held = held.map(|held| Why::Held { held: held.clone() });
        Self {
            word: StatusWord::DoNotUse,
            unit: Unit::Mm,
            why: std::iter::once(Why::Practice {}).chain(held).collect(),
        }
    }

    /// Of a loop that was given back after a rejection and not worked on since.
    pub(crate) const fn released() -> Self {
        Self { word: StatusWord::NotFinished, unit: Unit::Mm, why: Vec::new() }
    }

    /// True where the loop must not go back on a saw.
    pub const fn is_stop(&self) -> bool {
        matches!(self.word, StatusWord::DoNotUse)
    }
}

impl Why {
    /// What a caution changes about how a loop stands; `None` for one that changes nothing.
    fn of(caution: &Caution) -> Option<Self> {
        Some(match caution {
            Caution::Rejected(stops) => Self::Rejected { stops: stops.clone() },
            Caution::AtMark(cutters) => Self::AtMark { cutters: cutters.clone() },
            Caution::AtMarkOnce(cutters) => Self::AtMarkOnce { cutters: cutters.clone() },
            Caution::CloseToMark(cutters) | Caution::NearMark(cutters) => Self::NearMark { cutters: cutters.clone() },
            Caution::OverLimit(cutters, limit) => Self::OverLimit { rakers: cutters.len(), limit: *limit },
            Caution::LowRakers(rakers) => Self::LowRakers { rakers: *rakers },
            Caution::LowLoop(_) => Self::MostLow {},
            Caution::Dull(cutters) => Self::Dull { cutters: cutters.clone() },
            Caution::Bounce(loose) => Self::Bounce { loose: *loose },
            Caution::Softwood(_) => Self::Softwood {},
            Caution::Kerf(_) => Self::Kerf {},
            Caution::NotZero(by) => Self::NotZero { by: by.abs() },
            Caution::Proposal(..) | Caution::MakersLimit | Caution::Geometry(_) => return None,
        })
    }
}
