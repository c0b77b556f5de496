//! What an instrument shows for a true value.

use super::Dice;

/// Caliper, gap gauge or protractor, in the unit that it reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    /// Standard deviation of one reading about the truth: hand and instrument together.
    pub sd: f64,
    /// Its last digit; 0 for one that shows everything.
    pub step: f64,
    /// What all its readings are off by.
    pub offset: f64,
}

impl Instrument {
    /// A caliper on a cutter's tip, mm.
    pub const CALIPER: Self = Self { sd: 0.05, step: 0.01, offset: 0.0 };
    /// A gap gauge, mm.
    pub const GAUGE: Self = Self { sd: 0.03, step: 0.01, offset: 0.0 };
    /// A hand protractor, degrees.
    pub const PROTRACTOR: Self = Self { sd: 1.0, step: 0.1, offset: 0.0 };

    /// What it shows for this truth, once.
    pub fn read(&self, truth: f64, dice: &mut Dice) -> f64 {
        let shown = truth + self.offset + self.sd * dice.normal();
        if self.step > 0.0 { (shown / self.step).round() * self.step } else { shown }
    }
}
