//! Another data folder brought in, and what joined folders say differently.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::{Desk, open, told};
use crate::care::{Join, JoinWish, Question, Workshop};
use crate::report::join::to_choose;
use crate::tui::effect::{Answer, Folders, Joining};
use crate::tui::scene::Scene;

impl Desk {
    /// Does what is asked of data folders that are joined.
    pub(super) fn folders(&mut self, work: Folders, now: DateTime<FixedOffset>) -> Vec<Answer> {
        match work {
            Folders::LookAt(folder) => self.look_at_folder(folder),
            Folders::Join(join) => {
                let done = self.joiner.does(&self.care, move |care| Joining::Done(joined(care, &join)));
                done.map(Answer::Joining).into_iter().collect()
            }
            Folders::Stop => {
                self.joiner.stop();
                told("Being stopped.".to_owned())
            }
            Folders::Ask => self.ask(),
            Folders::Choose(question, chosen) => vec![Answer::Chosen(self.choose(&question, chosen, now))],
        }
    }

    /// These answers, and the rack read again.
    pub(super) fn then_load(&self, mut answers: Vec<Answer>, now: DateTime<FixedOffset>) -> Vec<Answer> {
        answers.extend(self.load_rack(now));
        answers
    }

    /// What bringing a folder in comes to.
    fn look_at_folder(&mut self, folder: String) -> Vec<Answer> {
        let path = PathBuf::from(&folder);
        let looked = self.joiner.does(&self.care, move |care| {
            let looked = care.look_at(path, JoinWish::default()).map(Box::new);
            Joining::Looked(looked.map_err(|error| error.to_string()))
        });
        let mut answers = open(Scene::Join(folder));
        answers.extend(looked.map(Answer::Joining));
        answers
    }

    /// All that is to be chosen, or that there is nothing.
    fn ask(&self) -> Vec<Answer> {
        let (questions, problems) = self.care.questions();
        let problems: Vec<String> = problems.iter().map(|(_, problem)| problem.to_string()).collect();
        if questions.is_empty() {
            let none = "There is nothing to choose: joined folders say the same, or none was joined.";
            return told(problems.first().map_or_else(|| none.to_owned(), Clone::clone));
        }
        open(Scene::Questions(questions, problems))
    }

    fn choose(&self, question: &Question, chosen: usize, now: DateTime<FixedOffset>) -> Result<(), String> {
        self.care.choose(question, chosen, now).map_err(|error| error.to_string())
    }
}

/// Does what was looked at, and says what came of it.
fn joined(care: &Workshop, join: &Join) -> Result<Vec<String>, String> {
    let done = care.join(join).map_err(|error| error.to_string())?;
    let mut said = vec!["Joined.".to_owned()];
    said.extend(done.refused.iter().map(|(_, problem)| format!("Left for the next join: {problem}")));
    said.extend(to_choose(care.asked_by(join)).map(|asked| format!("{asked} u on the rack chooses.")));
    Ok(said)
}
