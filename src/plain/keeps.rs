//! Where a round's entries go: to the record, or nowhere, where it is practice.

use std::io::Write;

use anyhow::Result;
use chrono::{DateTime, FixedOffset};

use super::Ended;
use super::dialogue::{Dialogue, Hear};
use super::wish::{Wish, wish};
use crate::care::{CareError, OpenRound, Stored};
use crate::coach::{Coach, Pending, Prompt};
use crate::practice::{MARKED, Practice};
use crate::report::sheet::Sheet;

/// Said to a wish that belongs to loops in care.
const NOT_HERE: &str = "That belongs to loops in care: this is practice on a made-up one.";

/// What a round is kept by.
#[derive(Debug)]
pub(super) enum Keeps {
    /// The record.
    Record(Box<OpenRound>),
    /// Memory alone: a simulated loop answers for the bench.
    Practice(Box<Practice>),
}

impl Keeps {
    /// The present step, marked where it is practice.
    pub(super) fn prompt(&self, coach: &Coach) -> Prompt {
        let mut prompt = coach.prompt(coach.findings());
        if matches!(self, Self::Practice(_)) {
            Practice::dress(coach, &mut prompt);
        }
        prompt
    }

    /// Keeps one event.
    pub(super) fn append(
        &mut self,
        coach: &Coach,
        pending: &Pending,
        now: DateTime<FixedOffset>,
    ) -> Result<Stored, CareError> {
        match self {
            Self::Record(open) => open.append(pending, now),
            Self::Practice(practice) => Ok(Stored { entry: practice.store(coach, pending, now), moved: None }),
        }
    }

    /// From now on entries are by this person.
    pub(super) fn hand_to(&mut self, who: &str) {
        if let Self::Record(open) = self {
            open.hand_to(who);
        }
    }

    /// The line that counts for the one that was typed: in practice what the simulation answers to an empty one; nothing where it is
    /// answered already.
    pub(super) fn answered<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
        &mut self,
        talk: &mut Dialogue<I, O, C>,
        coach: &Coach,
        line: String,
    ) -> Result<Option<String>> {
        let Self::Practice(practice) = self else { return Ok(Some(line)) };
        match wish(&line) {
            Some(Wish::Hand(_) | Wish::Page(_) | Wish::Saw(_)) => talk.tell(NOT_HERE)?,
            Some(Wish::Sheet) => {
                let sheet = Sheet::of(&coach.context(), None);
                talk.say_all(std::iter::once(MARKED.to_owned()).chain(sheet.facts()))?;
            }
            Some(_) => return Ok(Some(line)),
            None => {
                if let Some(why) = Practice::refuses(coach, &line) {
                    talk.tell(why)?;
                } else if let Some(answer) = practice.answer(coach).filter(|_| line.trim().is_empty()) {
                    talk.say(&answer)?;
                    return Ok(Some(answer));
                } else {
                    return Ok(Some(line));
                }
            }
        }
        Ok(None)
    }

    /// The round is over: in practice, what was true is told.
    pub(super) fn over<I: Hear, O: Write, C: Fn() -> DateTime<FixedOffset>>(
        &self,
        talk: &mut Dialogue<I, O, C>,
        coach: &Coach,
    ) -> Result<Ended> {
        let Self::Practice(practice) = self else { return Ok(Ended::Closed) };
        talk.say_all(practice.outcome(coach).iter().flat_map(crate::practice::Outcome::lines))?;
        Ok(Ended::Practised)
    }

    /// It is left before its end.
    pub(super) fn left(&self, resume: &str) -> Ended {
        match self {
            Self::Record(_) => Ended::Paused(resume.to_owned()),
            Self::Practice(_) => Ended::Practised,
        }
    }
}
