//! Loops that are held back: taking one out of care, and giving one back to the bench.

use chrono::{DateTime, FixedOffset};

use super::Workshop;
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
        Ok(card.held(history.rows.iter().map(|row| &row.summary)).map(|held| status::held(&held)))
    }

    /// What taking a loop out of care now would throw away; none where nothing is known to be left.
    ///
    /// # Errors
    /// As [`Workshop::life`].
    pub fn lost_by_scrapping(&self, tag: &str) -> Result<Option<String>, RackError> {
        Ok(self.life(tag)?.forecast.early.map(|lost| lost.words()))
    }

    /// What is said before a loop is taken out of care: which one, and what that would throw away.
    ///
    /// # Errors
    /// No such loop, or it is out of care already.
    pub fn before_scrapping(&self, tag: &str) -> Result<String, RackError> {
        let card = self.rack.card(tag)?;
        if card.scrapped.is_some() {
            return Err(RackError::Scrapped(tag.to_owned()));
        }
        // What cannot be told must not keep a loop in care.
        let lost = self.lost_by_scrapping(tag).unwrap_or_default();
        let lost = lost.map(|lost| format!(" {lost}")).unwrap_or_default();
        Ok(format!("Take {} out of care.{lost}", clean(&card.name)))
    }

    /// What is said before a loop is given back: which one, and what holds it.
    ///
    /// # Errors
    /// No such loop, or nothing holds it back.
    pub fn before_releasing(&self, tag: &str) -> Result<String, RackError> {
        let why = self.held_back(tag)?.ok_or_else(|| RackError::NotHeld(tag.to_owned()))?;
        Ok(format!("{}: {why}.", clean(&self.rack.card(tag)?.name)))
    }

    /// Takes a loop out of care. Its record stays, and so does the reason it was first taken out for.
    ///
    /// # Errors
    /// No such loop, it is out of care already, or its card cannot be written.
    pub fn scrap(&self, tag: &str, reason: &str, now: DateTime<FixedOffset>) -> Result<(), RackError> {
        let read = self.rack.card(tag)?;
        if read.scrapped.is_some() {
            return Err(RackError::Scrapped(tag.to_owned()));
        }
        let card = Card { scrapped: Some(Scrapped { at: now, reason: clean(reason) }), ..read.clone() };
        self.rack.change_card(&read, &card).map(drop)
    }

    /// Gives a loop that is held back to the bench again: who did it, and what was replaced or put right. Why it was held
    /// back stays on record.
    ///
    /// # Errors
    /// No such loop, nothing holds it back, the round that rejects it is still open, or its card cannot be written.
    pub fn release(&self, tag: &str, by: &str, replaced: &str, now: DateTime<FixedOffset>) -> Result<(), RackError> {
        let rack = &self.rack;
        let read = rack.card(tag)?;
        let mut card = read.clone();
        let (history, _) = rack.history(tag)?;
        let held = card.held(history.rows.iter().map(|row| &row.summary));
        if card.scrapped.is_none() && held.is_none() {
            return Err(RackError::NotHeld(tag.to_owned()));
        }
        let rounds = held.map(|held| held.rounds).unwrap_or_default();
        if let Some(open) = history.open().filter(|open| rounds.contains(&open.summary.started)) {
            let path = rack.rounds(tag)?.into_iter().find(|path| path.ends_with(&open.file)).unwrap_or_default();
            return Err(RackError::OpenRound { tag: tag.to_owned(), started: open.summary.started, path });
        }
        let (by, replaced, scrapped) = (clean(by), clean(replaced), card.scrapped.take());
        card.releases.push(Release { at: now, by, replaced, rounds, scrapped });
        rack.change_card(&read, &card).map(drop)
    }
}
