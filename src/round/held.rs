//! A loop held back: rejected in a round, or taken out of care, until somebody releases it.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::card::{Card, Scrapped};
use super::event::Closing;
use super::look::Stop;
use super::summary::Summary;

/// A loop given back to the bench: who, when, and what was put right. It stays on the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Release {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Who.
    pub by: String,
    /// What was replaced or put right, in words.
    pub replaced: String,
    /// Starts of the rounds whose rejections it ends.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rounds: Vec<DateTime<FixedOffset>>,
    /// Why and when the loop had been taken out of care, where it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scrapped: Option<Scrapped>,
}

/// Rejected, and not released since.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// When it was first rejected since.
    pub since: DateTime<FixedOffset>,
    /// Starts of the rounds that reject it.
    pub rounds: Vec<DateTime<FixedOffset>>,
    /// Why.
    pub stops: Vec<Stop>,
}

impl Card {
    /// What holds the loop back: every round that rejected it, oldest first, that no release names.
    pub fn held<'a>(&self, rounds: impl IntoIterator<Item = &'a Summary>) -> Option<Held> {
        let released = |round: &Summary| self.releases.iter().any(|release| release.rounds.contains(&round.started));
        let mut held: Option<Held> = None;
        let rejected = |round: &&Summary| !round.stops.is_empty() || round.how == Some(Closing::Rejected);
        for round in rounds.into_iter().filter(rejected).filter(|round| !released(round)) {
            let of = held.get_or_insert_with(|| Held { since: round.ended, rounds: Vec::new(), stops: Vec::new() });
            of.rounds.push(round.started);
            let new = round.stops.iter().filter(|stop| !of.stops.contains(stop)).cloned().collect::<Vec<_>>();
            of.stops.extend(new);
        }
        held
    }
}
