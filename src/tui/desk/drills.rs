//! What the desk does for drills: the group, a learner's record.

use chrono::{DateTime, FixedOffset};

use super::super::effect::{Answer, Step};
use super::super::scene::{PageOf, Scene};
use super::{Desk, open, told};
use crate::care::CareError;
use crate::coach::drill::seats;
use crate::drill::DrillEvent;

impl Desk {
    fn group(&self, now: DateTime<FixedOffset>) -> Scene {
        let (learners, problems) = self.care.learners();
        let others = self.care.without_drills(&learners);
        Scene::Learners(seats(&learners, now), problems, others)
    }

    /// Who learns.
    pub(super) fn drills(&self, now: DateTime<FixedOffset>) -> Vec<Answer> {
        open(self.group(now))
    }

    /// The group anew, in place of the one that is shown.
    pub(super) fn drills_again(&self, now: DateTime<FixedOffset>) -> Vec<Answer> {
        vec![Answer::Go(Step::Instead(self.group(now)))]
    }

    /// Opens a learner's record.
    pub(super) fn open_drills(&mut self, name: &str, now: DateTime<FixedOffset>) -> Vec<Answer> {
        match self.care.open_learner(name, self.settings.units, now) {
            Ok((learner, bench, said)) => {
                self.learner = Some(learner);
                open(Scene::Drills(Box::new(bench), said))
            }
            Err(error) => told(error.to_string()),
        }
    }

    /// The page of a person.
    pub(super) fn person(&self, name: &str) -> Vec<Answer> {
        match self.care.person(name) {
            Ok(page) => {
                let text = page.text(self.settings.units, self.settings.theme.ascii());
                open(Scene::Page { title: "Person".to_owned(), versions: vec![text], of: PageOf::None })
            }
            Err(error) => told(error.to_string()),
        }
    }

    /// What two learners' blind readings of one loop come to.
    pub(super) fn together(&self, names: [&str; 2]) -> Vec<Answer> {
        match self.care.together(names, self.settings.units) {
            Ok(lines) => {
                let title = format!("Practice, not for a saw: {} and {} on one loop", names[0], names[1]);
                open(Scene::Page { title, versions: vec![lines.join("\n")], of: PageOf::None })
            }
            Err(error) => told(error.to_string()),
        }
    }

    /// Stores what happened in a drill.
    pub(super) fn drill(&mut self, event: &DrillEvent, typed: Option<&str>, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let stored = self.learner.as_mut().ok_or(CareError::NotOpen);
        let stored = stored.and_then(|learner| learner.append(event, typed, now));
        vec![Answer::Drilled(Box::new(stored.map_err(|error| error.not_stored("Enter stores it"))))]
    }
}
