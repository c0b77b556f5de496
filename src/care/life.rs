//! A round with all that earlier ones tell, and the life of a loop.

use std::path::PathBuf;

use super::Workshop;
use crate::advice::forecast::Expected;
use crate::advice::{Agreement, Forecast, Skill, forecast};
use crate::chain::{Profile, Spec, Standing};
use crate::coach::Coach;
use crate::record::{Histories, RackError, show};
use crate::report::history::History;
use crate::report::sheet::Sheet;
use crate::round::{Card, Past, Round, Summary};
use crate::units::clean::clean;

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
    /// Files that could not be read for it, each in a sentence.
    pub not_read: Vec<String>,
}

impl Life {
    /// True where no round is counted: the loop is out of care, or a rejection holds it back.
    pub fn is_over(&self) -> bool {
        self.card.scrapped.is_some() || self.card.for_practice || self.card.held(&self.rounds).is_some()
    }

    /// What coming rounds are expected to leave, to be drawn; nothing where none is counted.
    pub fn ahead(&self) -> Vec<Expected> {
        if self.is_over() { Vec::new() } else { self.forecast.fan(self.spec.mark_length) }
    }
}

/// A file that was not read, in a sentence that names it without its folders.
fn sentence((path, error): &(PathBuf, RackError)) -> String {
    let name = path.file_name().map(|name| clean(&name.to_string_lossy())).unwrap_or_default();
    let (said, shown) = (error.to_string(), show(path));
    let rest = said.strip_prefix(&shown).map_or_else(|| format!(": {said}"), str::to_owned);
    format!("Not read: {name}{}.", rest.trim_end_matches('.'))
}

/// Files that were not read, each in a sentence.
pub(super) fn sentences<'a>(problems: impl IntoIterator<Item = &'a (PathBuf, RackError)>) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for one in problems.into_iter().map(sentence) {
        if !said.contains(&one) {
            said.push(one);
        }
    }
    said
}

impl Workshop {
    /// How well a person's readings repeat; the usual where that is not known.
    pub fn skill(&self, who: &str) -> Skill {
        self.rack.sharpener(who).map(|person| person.skill()).unwrap_or_default()
    }

    /// Why it is not known who files here; the figures of people are what every status rests on.
    pub(super) fn people_at_fault(&self) -> Option<(PathBuf, RackError)> {
        self.rack.sharpeners().err().map(|error| (self.rack.sharpeners_path(), error))
    }

    /// A coach for a round of a loop, with what earlier rounds tell. What cannot be read costs predictions, never the round,
    /// and is named in [`Coach::not_read`].
    pub fn coach(&self, card: &Card, round: Round) -> Coach {
        let (rack, header) = (&self.rack, &round.header);
        let mut problems = Vec::new();
        let past = rack.past_before(header).unwrap_or_else(|error| {
            let folder = rack.root().join("loops").join(&header.tag);
            (Past::default(), vec![(folder, error)])
        });
        problems.extend(past.1);
        let skill = rack.sharpener(round.hand()).map(|person| person.skill());
        let skill = skill.unwrap_or_else(|error| {
            problems.push((rack.sharpeners_path(), error));
            Skill::default()
        });
        let (saw, more) = rack.saw_and_problems(if header.saw.is_empty() { &card.saw } else { &header.saw });
        problems.extend(more);
        let mut coach = Coach::new(round, past.0, skill, card.prices.clone());
        coach.saw = saw;
        coach.knows_new_length = coach.round.closed.is_none()
            && self.has_measured_new(&coach.round.header.profile).unwrap_or_else(|problem| {
                problems.push(problem);
                false
            });
        coach.not_read = sentences(&problems);
        coach
    }

    /// True for a profile whose length of a new cutter was measured.
    fn has_measured_new(&self, profile: &str) -> Result<bool, (PathBuf, RackError)> {
        match self.rack.profile(profile) {
            Ok(profile) => Ok(profile.get("new_length_mm").map(|value| value.standing) == Some(Standing::Measured)),
            Err(RackError::NoProfile { .. }) => Ok(false),
            Err(error) => Err((self.rack.root().join("profiles"), error)),
        }
    }

    /// The sheet of a round as it stands.
    pub fn sheet_of(&self, coach: &Coach) -> Sheet {
        let tag = &coach.round.header.tag;
        let mut problems = Vec::new();
        let mut told = |error| problems.push((self.rack.root().join("loops").join(tag), error));
        let card = self.rack.card(tag).map_err(&mut told).ok();
        let history = card.as_ref().and_then(|card| self.rack.history(&card.tag).map_err(&mut told).ok());
        let held = card
            .as_ref()
            .zip(history)
            .and_then(|(card, (history, _))| card.held(history.rows.iter().map(|row| &row.summary)));
        let mut not_read = coach.not_read.clone();
        not_read.extend(sentences(&problems).into_iter().filter(|said| !coach.not_read.contains(said)));
        Sheet::of(&coach.context(), card.as_ref())
            .with_saw(&coach.round, coach.saw.as_ref())
            .with_held(held.as_ref())
            .with_practice(card.as_ref().is_some_and(|card| card.for_practice), held.as_ref())
            .without(not_read)
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
        let (history, mut problems) = rack.history(tag)?;
        let spec = rack.spec_by(&card, &profile, &history);
        let forecast = forecast::of_loop(history.rows.iter().map(|row| &row.summary), &spec, &card.prices);
        let (saw, more) = rack.saw_and_problems(&card.saw);
        problems.extend(more);
        let saw_hint = saw.and_then(|saw| crate::advice::say::saw::hint(&saw.glance()));
        let not_read = sentences(&problems);
        let rounds = history.closed().map(|row| row.summary.clone()).collect();
        Ok(Life { card, spec, rounds, forecast, saw_hint, not_read })
    }

    /// The life of a loop, for reports: its rounds, and what is to be expected after the last of them.
    ///
    /// # Errors
    /// As [`Workshop::life`].
    pub fn history(&self, tag: &str) -> Result<History, RackError> {
        let Life { card, spec, rounds, forecast, saw_hint, not_read } = self.life(tag)?;
        let whole = not_read.is_empty();
        let history = History::of(&rounds, &card, &spec, &forecast).with_saw(&card.saw, saw_hint).without(not_read);
        let (cut, all_read) = self.agreement(tag, Agreement::of(&rounds));
        Ok(history.with_workshop(cut, all_read && whole).with_demo(self.rack.is_demo()))
    }

    /// How often loops of the whole workshop cut as their sheets had said, with what this one did, and whether all of them could
    /// be read for it. The others are taken as the rack last knew them, so that a page on one loop looks at one loop.
    fn agreement(&self, tag: &str, own: Agreement) -> (Agreement, bool) {
        if let Some((others, all_read)) = self.rack.cut_elsewhere(tag) {
            return (others.and(own), all_read);
        }
        let found = self.shelves();
        let all_read = found.problems.is_empty();
        (found.shelves.into_iter().fold(Agreement::default(), |sum, shelf| sum.and(shelf.cut)), all_read)
    }

    /// Rounds to the witness mark, `None` where no end can be told; and what was not read for it. `profile` is the loop's, where it
    /// is at hand.
    ///
    /// # Errors
    /// The loop's folder cannot be listed, or its profile is missing or at fault.
    pub(super) fn rounds_left(
        &self,
        card: &Card,
        profile: Option<&Profile>,
        histories: &Histories<'_>,
    ) -> Result<(Option<u32>, Vec<String>), RackError> {
        let read = profile.is_none().then(|| self.rack.profile(&card.profile)).transpose()?;
        let (history, problems) = histories.of(card)?;
        let spec = profile.or(read.as_ref()).map(|profile| self.rack.spec_by(card, profile, &history));
        let of_loop = |spec: &Spec| forecast::of_loop(history.rows.iter().map(|row| &row.summary), spec, &card.prices);
        let to_mark = spec.as_ref().and_then(|spec| of_loop(spec).to_mark);
        Ok((to_mark.and_then(|to_mark| to_mark.rounds.best), sentences(&problems)))
    }
}
