//! Drift along the filing order, in words.

use super::length;
use crate::advice::drift::Drift;
use crate::chain::Side;
use crate::units::{Millimetres, Unit};

impl Drift {
    /// In a sentence; none where nothing is to be said.
    pub fn words(&self, unit: Unit) -> Option<String> {
        let creep = self.creep?;
        let name = match creep.side {
            Some(Side::Left) => "Left lengths",
            Some(Side::Right) => "Right lengths",
            None => "Lengths",
        };
        let by = length(unit, creep.over_all.abs());
        Some(if creep.over_all > Millimetres::new(0.0) {
            format!("{name} creep up by {by} along the order: strokes get lighter. Rest.")
        } else {
            format!("{name} creep down by {by} along the order: strokes get heavier.")
        })
    }
}
