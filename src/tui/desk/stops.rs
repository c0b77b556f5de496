//! The questions before a loop leaves care, and before it is given back.

use super::{Desk, open, told};
use crate::tui::effect::Answer;
use crate::tui::scene::{Purpose, Scene};

impl Desk {
    /// Why is it to leave care? What that would lose stands before the question.
    pub(super) fn scrap_form(&self, tag: &str) -> Vec<Answer> {
        match self.care.before_scrapping(tag) {
            Ok(lost) => {
                let title = format!("{lost} Why? (worn out, broken, lost) Esc leaves it in care.");
                open(Scene::Ask { title, purpose: Purpose::Scrap(tag.to_owned()) })
            }
            Err(error) => told(error.to_string()),
        }
    }

    /// Who gives it back? What holds it stands before the question.
    pub(super) fn release_form(&self, tag: &str) -> Vec<Answer> {
        match self.care.before_releasing(tag) {
            Ok(why) => {
                let title = format!("{why} Who releases it?");
                open(Scene::Ask { title, purpose: Purpose::ReleaseBy(tag.to_owned()) })
            }
            Err(error) => told(error.to_string()),
        }
    }
}
