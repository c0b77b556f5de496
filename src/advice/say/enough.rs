//! Whether enough is measured, in words.

use crate::advice::enough::{Enough, EnoughWhy};

impl Enough {
    /// What is to be said of the cutters not measured yet, in a few words: `enough (95 % sure), unless one of the other 20 was hit: look`.
    pub fn words(&self) -> String {
        let rest = self.left.unmeasured + self.right.unmeasured;
        match self.why {
            EnoughWhy::Enough => format!("enough (95 % sure), unless one of the other {rest} was hit: look"),
            EnoughWhy::Struck => "measure all: one is struck, others may be".to_owned(),
            EnoughWhy::NotSpread => format!("{rest} to measure: every one in this order"),
            EnoughWhy::MayChange => format!("{rest} to measure, may still change the length"),
        }
    }
}
