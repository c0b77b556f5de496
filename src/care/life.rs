//! A round with all that earlier ones tell, and the life of a loop.

use std::path::PathBuf;

use super::Workshop;
use crate::advice::{Forecast, Skill, forecast};
use crate::chain::Spec;
use crate::coach::Coach;
use crate::record::RackError;
use crate::report::history::History;
use crate::report::sheet::Sheet;
use crate::round::{Card, Round, Summary};

/// What is known of a loop over all its rounds.
#[derive(Debug)]
pub struct Life {
    /// Its card.
    pub card: Card,
    /// Its own figures.
    pub spec: Spec,
    /// Its closed rounds, oldest first.
    pub rounds: Vec<Summary>,
    /// What is to be expected, from its closed rounds and the one at the bench.
    pub forecast: Forecast,
    /// What is known to be wrong with its saw.
    pub saw_hint: Option<String>,
    /// Rounds that cannot be read.
    pub problems: Vec<(PathBuf, RackError)>,
}

impl Life {
    /// The first round that cannot be read, in a sentence.
    pub fn problem(&self) -> Option<String> {
        self.problems.first().map(|(path, why)| {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            format!("Not read: {name}: {why}")
        })
    }
}

impl Workshop {
    /// A coach for a round of a loop, with what earlier rounds tell. A history that cannot be read costs predictions,
    /// never the round.
    pub fn coach(&self, card: &Card, round: Round) -> Coach {
        let (rack, header) = (&self.rack, &round.header);
        let past = rack.past_before(header).unwrap_or_default();
        let skill = rack.sharpener(&header.sharpener).map_or_else(|_| Skill::default(), |person| person.skill());
        let saw = rack.saw(if header.saw.is_empty() { &card.saw } else { &header.saw }).unwrap_or_default();
        let mut coach = Coach::new(round, past, skill, card.prices.clone());
        coach.saw = saw;
        coach
    }

    /// The sheet of a round as it stands.
    pub fn sheet_of(&self, coach: &Coach) -> Sheet {
        let card = self.rack.card(&coach.round.header.tag).ok();
        let history = card.as_ref().and_then(|card| self.rack.history(&card.tag).ok());
        let held = card
            .as_ref()
            .zip(history)
            .and_then(|(card, (history, _))| card.held(history.rows.iter().map(|row| &row.summary)));
        Sheet::of(&coach.context(), card.as_ref())
            .with_saw(&coach.round, coach.saw.as_ref())
            .with_held(held.as_ref())
            .with_demo(self.rack.is_demo())
    }

    /// What is known of a loop over all its rounds.
    ///
    /// # Errors
    /// No such loop, its folder cannot be listed, or its profile is missing.
    pub fn life(&self, tag: &str) -> Result<Life, RackError> {
        let rack = &self.rack;
        let card = rack.card(tag)?;
        let profile = rack.profile(&card.profile)?;
        let (history, problems) = rack.history(tag)?;
        let spec = rack.spec_by(&card, &profile, &history);
        let forecast = forecast::of_loop(history.rows.iter().map(|row| &row.summary), &spec, &card.prices);
        let saw_hint = rack.saw(&card.saw)?.and_then(|saw| crate::advice::say::saw::hint(&saw.glance()));
        let rounds = history.closed().map(|row| row.summary.clone()).collect();
        Ok(Life { card, spec, rounds, forecast, saw_hint, problems })
    }

    /// The life of a loop, for reports: its rounds, and what is to be expected after the last of them.
    ///
    /// # Errors
    /// As [`Workshop::life`].
    pub fn history(&self, tag: &str) -> Result<History, RackError> {
        let Life { card, spec, rounds, forecast, saw_hint, .. } = self.life(tag)?;
        Ok(History::of(&rounds, &card, &spec, &forecast).with_saw(&card.saw, saw_hint).with_demo(self.rack.is_demo()))
    }

    /// Rounds to the witness mark; `None` where no end can be told.
    pub(super) fn rounds_left(&self, tag: &str) -> Option<u32> {
        self.life(tag).ok()?.forecast.to_mark?.rounds.best
    }
}
