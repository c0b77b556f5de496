//! Angles by side, in words.

use crate::advice::wrist::Wrist;
use crate::chain::Side;
use crate::units::{Degrees, deg};

impl Wrist {
    /// In a sentence; none where nothing is to be said.
    pub fn words(&self) -> Option<String> {
        let way = |by: Degrees| if by > deg(0.0) { "large" } else { "small" };
        match (self.turned.as_slice(), self.word.pulls(), self.difference) {
            ([(side, by), ..], ..) => {
                let name = if *side == Side::Left { "Left" } else { "Right" };
                Some(format!("{name} angles run {} {}: the wrist turns on that side.", by.abs(), way(*by)))
            }
            ([], Some(side), Some(d)) => {
                Some(format!("{side} angles are {} larger than the others: keep both hands alike.", d.value.abs()))
            }
            _ => None,
        }
    }
}
