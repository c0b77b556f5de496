//! Left against right, in words.

use super::{bare, length};
use crate::advice::balance::{Balance, BalanceWord};
use crate::units::Unit;

impl Balance {
    /// In a sentence.
    pub fn words(&self, unit: Unit) -> String {
        let Some(d) = self.difference else { return "Left against right: measure at least two cutters a side.".into() };
        let by = length(unit, d.value.abs());
        let (low, high) = (bare(unit, d.low), bare(unit, d.high));
        match self.word {
            BalanceWord::Balanced => format!("Left and right match: {by} apart (left less right {low} to {high})."),
            BalanceWord::LeftLonger => format!("Left cutters are {by} longer: the cut will pull left."),
            BalanceWord::RightLonger => format!("Right cutters are {by} longer: the cut will pull right."),
            BalanceWord::Undecided => format!("Left less right is {low} to {high}: more readings decide."),
        }
    }
}
