//! What the desk does for practice: it makes a loop up and keeps one that was left. No file is touched.

use chrono::{DateTime, FixedOffset};

use super::super::effect::{Answer, Step};
use super::super::scene::{AtBench, Scene};
use super::{Desk, open};
use crate::practice::{MARKED, NoSuchLoop, Practice, Set};

/// A round of practice on such a loop.
pub(crate) fn at_bench(set: &Set, now: DateTime<FixedOffset>) -> Result<AtBench, NoSuchLoop> {
    let (practice, coach) = Practice::begin(set, now)?;
    let opening = format!("{MARKED} Enter alone takes a reading; what is true is told at the end.");
    let name = Practice::name().to_owned();
    Ok(AtBench { name, coach, opening: Some(opening), practice: Some(Box::new(practice)) })
}

/// Practice in place of the form that asked for it.
pub(super) fn begin_practice(set: &Set, now: DateTime<FixedOffset>) -> Answer {
    match at_bench(set, now) {
        Ok(bench) => Answer::Go(Step::Instead(Scene::Round(Box::new(bench)))),
        Err(why) => Answer::Created(Err(why.to_string())),
    }
}

impl Desk {
    /// Goes on with the practice that was left, or asks for a loop.
    pub(super) fn practice(&mut self, now: DateTime<FixedOffset>) -> Vec<Answer> {
        if let Some(left) = self.practice.take() {
            let opening = Some(format!("{MARKED} Going on where you stopped; Ctrl-X gives it up."));
            return open(Scene::Round(Box::new(AtBench { opening, ..*left })));
        }
        let who = Some(self.usual.sharpener.clone()).filter(|who| !who.is_empty());
        let usual = Set::at(now);
        let set = Set { unit: self.settings.units, who: who.unwrap_or(usual.who), ..usual };
        open(Scene::NewPractice(set))
    }
}
