//! Whether enough is measured, in words.

use crate::advice::enough::{Enough, EnoughWhy};

impl Enough {
    /// In a sentence.
    pub fn words(&self) -> String {
        let rest = self.left.unmeasured + self.right.unmeasured;
        match self.why {
            EnoughWhy::Enough => format!("Enough measured: the other {rest} can hardly change the length (95 % sure)."),
            EnoughWhy::Struck => "Measure every cutter: one is struck, others may be.".to_owned(),
            EnoughWhy::NotSpread => format!("{rest} to measure. Only the spread order may stop early."),
            EnoughWhy::MayChange => format!("{rest} to measure: they may still change the length."),
        }
    }
}
