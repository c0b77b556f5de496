//! Another data folder brought in, and what joined folders say differently: one question after the other.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::{Desk, open, told};
use crate::care::{JoinWish, Question};
use crate::report::join::{choice_of, preview, question as asked, twice};
use crate::tui::effect::{Answer, Folders};
use crate::tui::scene::{Purpose, Scene};

impl Desk {
    /// Does what is asked of data folders that are joined.
    pub(super) fn folders(&self, work: Folders, now: DateTime<FixedOffset>) -> Vec<Answer> {
        match work {
            Folders::LookAt(folder) => self.look_at_folder(&folder),
            Folders::Join(folder) => self.then_load(self.join_folder(&folder), now),
            Folders::Ask => self.ask_next("Nothing is to be chosen: joined folders say the same, or none was joined."),
            Folders::Choose(question, text) => self.then_load(self.choose(&question, &text, now), now),
        }
    }

    /// These answers, and the rack read again.
    pub(super) fn then_load(&self, mut answers: Vec<Answer>, now: DateTime<FixedOffset>) -> Vec<Answer> {
        answers.extend(self.load_rack(now));
        answers
    }

    /// What bringing a folder in comes to, and whether it is to be done.
    fn look_at_folder(&self, folder: &str) -> Vec<Answer> {
        let join = match self.care.look_at(PathBuf::from(folder), JoinWish::default(), &mut |_, _| {}) {
            Ok(join) => join,
            Err(error) => return told(error.to_string()),
        };
        if let Some(twice) = twice(&join) {
            return told(format!("Nothing was joined. {twice}"));
        }
        let refused = join.refused.iter().map(|(_, problem)| format!("Not taken: {problem}"));
        let lines: Vec<String> = preview(&join).lines().map(|line| line.trim().to_owned()).chain(refused).collect();
        if join.is_nothing() {
            return told(lines.join(" "));
        }
        let title = format!("{} Type yes to bring it in.", lines.join(" "));
        open(Scene::Ask { title, purpose: Purpose::JoinFolder(folder.to_owned()) })
    }

    /// Brings a folder in.
    fn join_folder(&self, folder: &str) -> Vec<Answer> {
        let join = self.care.look_at(PathBuf::from(folder), JoinWish::default(), &mut |_, _| {});
        let done = join.and_then(|join| Ok((self.care.join(&join, &mut |_, _| {})?, join)));
        match done {
            Ok((done, join)) => {
                let left = done.refused.iter().chain(&join.refused).map(|(_, problem)| format!("Not taken: {problem}"));
                told(std::iter::once("Joined.".to_owned()).chain(left).collect::<Vec<_>>().join(" "))
            }
            Err(error) => told(error.to_string()),
        }
    }

    /// The first question that nobody has answered; `none` where there is none.
    fn ask_next(&self, none: &str) -> Vec<Answer> {
        let (questions, problems) = self.care.questions();
        let Some(question) = questions.first() else {
            return told(problems.first().map_or_else(|| none.to_owned(), |(_, problem)| problem.to_string()));
        };
        let (text, choices) = asked(question);
        let choices: Vec<String> =
            choices.iter().zip('a'..).map(|(choice, letter)| format!("{letter}: {choice}")).collect();
        let title = format!("1 of {}. {text} Type a letter. {}", questions.len(), choices.join("; "));
        open(Scene::Ask { title, purpose: Purpose::Choose(Box::new(question.clone())) })
    }

    /// Chooses, and asks what is next.
    fn choose(&self, question: &Question, text: &str, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let chosen = choice_of(text, question);
        match chosen.and_then(|chosen| self.care.choose(question, chosen, now).map_err(|error| error.to_string())) {
            Ok(()) => self.ask_next("Kept. Nothing more is to be chosen."),
            Err(why) => told(why),
        }
    }
}
