//! The forecast in words.

use super::count;
use crate::advice::forecast::{Cost, Forecast, Lost};

impl Forecast {
    /// In a sentence.
    pub fn words(&self) -> String {
        let Some(rounds) = self.to_mark.map(|ahead| ahead.rounds) else { return "Nothing measured yet.".into() };
        let ends =
            self.ends().map(|number| format!("; cutter {number} is the shortest and ends it")).unwrap_or_default();
        let source = match self.wear.rounds {
            0 => "by the profile, no rounds yet".into(),
            n => format!("by {}", count(n, "round")),
        };
        match rounds.best.zip(rounds.high) {
            Some((best, high)) => {
                format!("About {} left ({} to {high}; {source}{ends}).", count(best as usize, "round"), rounds.low)
            }
            None => format!("No wear visible yet ({source}): no end can be told."),
        }
    }
}

impl Cost {
    /// In a sentence: what the work costs and what it wears off the loop, each by its name.
    pub fn words(&self) -> String {
        let hour = self.per_hour.map(|hour| format!(", {hour:.2} an hour of cutting")).unwrap_or_default();
        match (self.bench, self.of_loop) {
            (Some(bench), Some((share, new))) => format!(
                "A round costs {bench:.2} at the bench and wears off {share:.2} of a new loop ({new:.2}): {:.2} together{hour}.",
                self.per_round
            ),
            (Some(bench), None) => {
                format!("A round costs {bench:.2} at the bench{hour}; what a new loop costs is not entered.")
            }
            (None, Some((share, new))) => {
                format!(
                    "A round wears off {share:.2} of a new loop ({new:.2}){hour}; the work at the bench is not counted."
                )
            }
            (None, None) => String::new(),
        }
    }
}

impl Lost {
    /// In a sentence.
    pub fn words(&self) -> String {
        let left = count(self.rounds as usize, "round");
        let worth = self.worth.map(|worth| format!(", worth {worth:.2} of what a new loop costs")).unwrap_or_default();
        format!("Scrapped now, about {left} would be lost{worth}.")
    }
}
