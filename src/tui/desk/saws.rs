//! What the desk does for saws: their page, their checks, their record.

use chrono::{DateTime, FixedOffset};

use super::super::effect::{Answer, Step};
use super::super::scene::{Purpose, Scene, Whys};
use super::{Desk, open, told};
use crate::care::{RackError, not_stored};
use crate::coach::lessons::Ground;
use crate::coach::saw::Checklist;

use crate::saw::SawEvent;
use crate::units::Unit;
use crate::units::clean::{clean, slug};

impl Desk {
    /// The page of a loop's saw; asks for the saw's name where the card has none.
    pub(super) fn saw_of_loop(&self, tag: &str) -> Vec<Answer> {
        match self.care.card(tag) {
            Ok(card) if card.saw.is_empty() => {
                let title = "Which saw does this loop run on? Loops on one saw share its bar and sprocket.";
                open(Scene::Ask { title: title.to_owned(), purpose: Purpose::Saw(tag.to_owned()) })
            }
            Ok(card) => self.saw_page(&card.saw).map_or_else(told, open),
            Err(error) => told(error.to_string()),
        }
    }

    /// Writes the saw's name on the loop's card and shows its page.
    pub(super) fn name_saw(&self, tag: &str, saw: &str, now: DateTime<FixedOffset>) -> Vec<Answer> {
        if slug(saw).is_none() {
            return told(RackError::BadSaw(clean(saw)).to_string());
        }
        match self.care.put_on_card(tag, saw, now) {
            Ok(unnoted) => self.saw_of_loop(tag).into_iter().chain(unnoted.into_iter().flat_map(told)).collect(),
            Err(error) => told(error.to_string()),
        }
    }

    /// Why the loop that a saw's page names is to run next.
    pub(super) fn why_saw(&self, name: &str) -> Vec<Answer> {
        let report = match self.care.saw_report(name) {
            Ok(report) => report,
            Err(error) => return told(error.to_string()),
        };
        match report.why() {
            Some(why) => {
                let whys = Whys {
                    all: vec![why.clone()],
                    unit: self.settings.units,
                    of: None,
                    ground: Ground::usual(self.settings.units),
                };
                open(Scene::Why(Box::new(whys)))
            }
            None => told("There is nothing to choose: at most one loop can run.".to_owned()),
        }
    }

    fn saw_page(&self, name: &str) -> Result<Scene, String> {
        let report = self.care.saw_report(name).map_err(|error| error.to_string())?;
        let saw = self.care.saw(name).map_err(|error| error.to_string())?;
        let text = report.text(self.settings.units, self.settings.theme.ascii());
        Ok(Scene::Saw(Box::new((saw, text))))
    }

    /// The page of a saw in place of the one that is shown.
    pub(super) fn saw_again(&self, name: &str) -> Vec<Answer> {
        self.saw_page(name).map_or_else(told, |page| vec![Answer::Go(Step::Instead(page))])
    }

    /// The checks of a saw, to be answered; `with` is the loop at the bench, `warm` asks for the tension alone.
    pub(super) fn saw_checks(&self, name: &str, with: Option<String>, unit: Option<Unit>, warm: bool) -> Vec<Answer> {
        let known = match self.care.known_saw(name) {
            Ok(known) => known,
            Err(error) => return told(error.to_string()),
        };
        let unit = unit.unwrap_or(self.settings.units);
        let list =
            if warm { Checklist::warm(name, unit, known) } else { Checklist::new(name, with.clone(), unit, known) };
        open(Scene::SawChecks(Box::new(list), with))
    }

    /// Stores what was found; a list that it came from closes only once that is on record.
    pub(super) fn store_saw(
        &self,
        name: &str,
        with: Option<&str>,
        events: &[SawEvent],
        from_list: bool,
        now: DateTime<FixedOffset>,
    ) -> Vec<Answer> {
        match self.care.store_saw(name, with, events, now) {
            Err(error) if from_list => vec![Answer::Created(Err(not_stored(&error)))],
            Err(error) => told(not_stored(&error)),
            Ok((saw, more)) => {
                let mut answers: Vec<Answer> = from_list.then_some(Answer::Go(Step::Close)).into_iter().collect();
                answers.push(Answer::SawStored(Box::new(saw)));
                answers.extend(more.into_iter().flat_map(told));
                answers
            }
        }
    }
}
