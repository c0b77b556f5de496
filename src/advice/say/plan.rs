//! Why a plan is what it is, in words.

use super::length;
use crate::advice::plan::{Limit, Next, Plan, PlanWhy};
use crate::units::{Millimetres, Unit, mm};

/// True for a length that is shown as nought.
fn is_nothing(unit: Unit, by: Millimetres) -> bool {
    unit.show(by) == unit.show(mm(0.0))
}

impl Plan {
    /// Why, in a sentence.
    pub fn words(&self, unit: Unit) -> String {
        self.why.words(unit)
    }
}

impl PlanWhy {
    fn words(&self, unit: Unit) -> String {
        match self {
            Self::AllRetire(spent) => match spent.as_slice() {
                [one] => format!("Every choice has cutter {one} at its witness mark: retire the loop."),
                many => format!("Every choice has {} cutters at the witness mark: retire the loop.", many.len()),
            },
            Self::SavesLittle { by } if is_nothing(unit, *by) => {
                "All to one length: leaving one short saves nothing.".into()
            }
            Self::SavesLittle { by } => {
                format!("All to one length: leaving one short saves only {}.", length(unit, *by))
            }
            Self::NoneMayBe(limit) => format!("All to one length: none can be left short ({}).", limit.words()),
            Self::Saves { left_short, each, next } => {
                let each = length(unit, *each);
                format!("{left_short} left short saves {each} on each other cutter; {}.", next.words(unit))
            }
            Self::CannotReach { cutter, target, more, .. } if more.get() <= 0.0 => {
                format!("Cutter {cutter} can still reach {}: file it, or leave it short.", length(unit, *target))
            }
            Self::CannotReach { cutter, target, more, limit } => {
                let (to, more) = (length(unit, *target), length(unit, *more));
                let or = match limit {
                    Limit::All => "it is left short and cuts little".to_owned(),
                    Limit::OneInTwelve => {
                        "more than one in twelve would be left short, and those cut too little".to_owned()
                    }
                    Limit::Neighbours(a, b) => format!("{a} and {b}, left short, would be neighbours"),
                };
                format!("Cutter {cutter} cannot reach {to}: the others lose {more} more, or {or}.")
            }
        }
    }
}

impl Next {
    fn words(self, unit: Unit) -> String {
        match self {
            Self::SavesOnly(by) if is_nothing(unit, by) => "one more saves nothing".into(),
            Self::SavesOnly(by) => format!("one more saves only {}", length(unit, by)),
            Self::Limit(limit) => limit.words(),
        }
    }
}

impl Limit {
    fn words(self) -> String {
        match self {
            Self::OneInTwelve => "no more than one in twelve may be".into(),
            Self::Neighbours(a, b) => format!("{a} and {b} are neighbours"),
            Self::All => "no others are measured".into(),
        }
    }
}
