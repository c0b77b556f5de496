//! Loops that are held back: taking one out of care, and giving one back to the bench.

use chrono::{DateTime, FixedOffset};

use super::Workshop;
use super::life::sentences;
use crate::advice::say::status;
use crate::record::RackError;
use crate::round::card::Scrapped;
use crate::round::{Card, Release};
use crate::units::clean::clean;

impl Workshop {
    /// What holds a loop back, in words; none where a round may begin on it.
    ///
    /// # Errors
    /// No such loop, or its folder cannot be listed.
    pub fn held_back(&self, tag: &str) -> Result<Option<String>, RackError> {
        let card = self.rack.card(tag)?;
        if let Some(scrapped) = &card.scrapped {
            return Ok(Some(status::out_of_care(scrapped)));
        }
        let (history, _) = self.rack.history(tag)?;
        let held = card.held(history.rows.iter().map(|row| &row.summary));
        Ok(status::kept_back(&card, held.as_ref()))
    }

    /// What is said before a loop is taken out of care: which one, what that would throw away, and what could not be read for it.
    ///
    /// # Errors
    /// No such loop, or it is out of care already.
    pub fn before_scrapping(&self, tag: &str) -> Result<String, RackError> {
        let card = self.rack.card(tag)?;
        if card.scrapped.is_some() {
            return Err(RackError::Scrapped(tag.to_owned()));
        }
        let mut said = vec![format!("Take {} out of care.", clean(&card.name))];
        // What cannot be told must not keep a loop in care.
        match self.life(tag) {
            Ok(life) => {
                said.extend(life.forecast.early.map(|lost| lost.words()));
                said.extend(life.not_read);
            }
            Err(error) => {
                let why = error.to_string();
                said.push(format!("What that throws away cannot be told: {}.", why.trim_end_matches('.')));
            }
        }
        Ok(said.join(" "))
    }

    /// What is said before a loop is given back: which one, what holds it, and which rounds could not be read: one of them may hold
    /// it, too.
    ///
    /// # Errors
    /// No such loop, or nothing holds it back.
    pub fn before_releasing(&self, tag: &str) -> Result<String, RackError> {
        let why = self.held_back(tag)?.ok_or_else(|| RackError::NotHeld(tag.to_owned()))?;
        let card = self.rack.card(tag)?;
        let held = format!("{}: {why}.", clean(&card.name));
        let (history, problems) = self.rack.history(tag)?;
        if card.scrapped.is_none() && card.held(history.rows.iter().map(|row| &row.summary)).is_none() {
            return Err(RackError::ForPractice(tag.to_owned()));
        }
        Ok([held].into_iter().chain(sentences(&problems)).collect::<Vec<_>>().join(" "))
    }

    /// Takes a loop out of care, and says so. Its record stays, and so does the reason it was first taken out for.
    ///
    /// # Errors
    /// No such loop, it is out of care already, or its card cannot be written.
    pub fn scrap(&self, tag: &str, reason: &str, now: DateTime<FixedOffset>) -> Result<String, RackError> {
        let read = self.rack.card(tag)?;
        if read.scrapped.is_some() {
            return Err(RackError::Scrapped(tag.to_owned()));
        }
        let card = Card { scrapped: Some(Scrapped { at: now, reason: clean(reason) }), ..read.clone() };
        let unnoted = self.rack.change_card(&read, &card, now.to_utc())?.unnoted;
        Ok(with("Taken out of care. Its record stays.", unnoted))
    }

    /// Gives a loop that is held back to the bench again, and says so: who did it, and what was replaced or put right. Why it
    /// was held back stays on record.
    ///
    /// # Errors
    /// No such loop, nothing holds it back, the round that rejects it is still open, or its card cannot be written.
    pub fn release(
        &self,
        tag: &str,
        by: &str,
        replaced: &str,
        now: DateTime<FixedOffset>,
    ) -> Result<String, RackError> {
        let rack = &self.rack;
        let read = rack.card(tag)?;
        let mut card = read.clone();
        let (history, _) = rack.history(tag)?;
        let held = card.held(history.rows.iter().map(|row| &row.summary));
        if card.scrapped.is_none() && held.is_none() {
            let none = if card.for_practice { RackError::ForPractice } else { RackError::NotHeld };
            return Err(none(tag.to_owned()));
        }
        let rounds = held.map(|held| held.rounds).unwrap_or_default();
        if let Some(open) = history.open().filter(|open| rounds.contains(&open.summary.started)) {
            let path = rack.rounds(tag)?.into_iter().find(|path| path.ends_with(&open.file)).unwrap_or_default();
            return Err(RackError::OpenRound { tag: tag.to_owned(), started: open.summary.started, path });
        }
        let (by, replaced, scrapped) = (clean(by), clean(replaced), card.scrapped.take());
        card.releases.push(Release { at: now, by, replaced, rounds, scrapped });
        let unnoted = rack.change_card(&read, &card, now.to_utc())?.unnoted;
        Ok(with("Released. Look it over before it runs.", unnoted))
    }
}

/// A sentence, and one more where there is one.
fn with(said: &str, more: Option<String>) -> String {
    more.map_or_else(|| said.to_owned(), |more| format!("{said} {more}"))
}
