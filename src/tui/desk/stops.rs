//! The questions before a loop leaves care, and before it is given back.

use super::{Desk, open, told};
use crate::record::RackError;
use crate::tui::effect::Answer;
use crate::tui::scene::{Purpose, Scene};

impl Desk {
    /// Why is it to leave care? What that would lose stands before the question.
    pub(super) fn scrap_form(&self, tag: &str) -> Vec<Answer> {
        let asked = self.care.rack().card(tag).and_then(|card| {
            if card.scrapped.is_some() {
                return Err(RackError::Scrapped(tag.to_owned()));
            }
            let lost = self.care.lost_by_scrapping(tag).unwrap_or_default();
            let lost = lost.map(|lost| format!("{lost} ")).unwrap_or_default();
            Ok(format!("{lost}Take {} out of care: why? (worn out, broken, lost) Esc leaves it in care.", card.name))
        });
        match asked {
            Ok(title) => open(Scene::Ask { title, purpose: Purpose::Scrap(tag.to_owned()) }),
            Err(error) => told(error.to_string()),
        }
    }

    /// Who gives it back? What holds it stands before the question.
    pub(super) fn release_form(&self, tag: &str) -> Vec<Answer> {
        let asked = self.care.held_back(tag).and_then(|why| {
            let why = why.ok_or_else(|| RackError::NotHeld(tag.to_owned()))?;
            Ok(format!("{}: {why}. Who releases it?", self.care.rack().card(tag)?.name))
        });
        match asked {
            Ok(title) => open(Scene::Ask { title, purpose: Purpose::ReleaseBy(tag.to_owned()) }),
            Err(error) => told(error.to_string()),
        }
    }
}
