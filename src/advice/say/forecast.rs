//! The forecast in words.

use super::count;
use crate::advice::forecast::{Forecast, Lost};

impl Forecast {
    /// In a sentence.
    pub fn words(&self) -> String {
        let Some(rounds) = self.to_mark.map(|ahead| ahead.rounds) else { return "Nothing measured yet.".into() };
        let source = match self.wear.rounds {
            0 => "by the profile, no rounds yet".into(),
            n => format!("by {}", count(n, "round")),
        };
        match rounds.best.zip(rounds.high) {
            Some((best, high)) => {
                format!("About {} left ({} to {high}; {source}).", count(best as usize, "round"), rounds.low)
            }
            None => format!("No wear visible yet ({source}): no end can be told."),
        }
    }
}

impl Lost {
    /// In a sentence.
    pub fn words(&self) -> String {
        let left = count(self.rounds as usize, "round");
        let worth = self.worth.map(|worth| format!(", worth {worth:.2}")).unwrap_or_default();
        format!("Scrapped now, about {left} would be lost{worth}.")
    }
}
