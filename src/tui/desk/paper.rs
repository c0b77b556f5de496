//! A blank bench sheet to print, and a filled one typed in.

use super::super::effect::Answer;
use super::super::scene::Scene;
use super::{Desk, open, told};
use crate::care::Filled;
use crate::units::clean::clean;

impl Desk {
    /// Puts a loop's blank sheet into the data folder as a page to print, and opens it to be typed in.
    pub(super) fn paper(&self, tag: &str) -> Vec<Answer> {
        let put = self.care.bench_sheet(tag).and_then(|sheet| self.care.put_bench_sheet(&sheet));
        match put.and_then(|path| Ok((self.care.blank(tag)?, path))) {
            Err(error) => told(error.to_string()),
            Ok((blank, path)) => open(Scene::Paper(Box::new(blank), clean(&path.to_string_lossy()))),
        }
    }

    /// Takes a sheet that was typed in, or says which boxes are not taken.
    pub(super) fn take_paper(&self, filled: &Filled) -> Vec<Answer> {
        let looked = self.care.look_at_paper(filled);
        vec![match looked {
            Err(error) => Answer::Created(Err(error.to_string())),
            Ok((_, refused)) if !refused.is_empty() => Answer::PaperRefused(refused),
            Ok((look, _)) => Answer::Created(self.care.take(&look).map(|_| ()).map_err(|error| error.to_string())),
        }]
    }
}
