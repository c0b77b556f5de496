//! Tags of loops on the screen, and the page of them to print.

use chrono::{DateTime, FixedOffset};

use super::super::effect::Answer;
use super::super::scene::{PageOf, Scene};
use super::{Desk, open, told};
use crate::care::Filter;
use crate::units::clean::clean;

impl Desk {
    /// Shows the tags of the loops named, and puts them into the data folder as a page to print.
    pub(super) fn tags(&self, named: &[String], filter: Filter, now: DateTime<FixedOffset>) -> Vec<Answer> {
        let unit = self.settings.units;
        let made = self.care.tags(named, filter, now).and_then(|tags| Ok((self.care.put_tags(&tags, unit)?, tags)));
        match made {
            Err(error) => told(error.to_string()),
            Ok((path, tags)) => {
                let title = format!("{}. To print: {}", tags.count(), clean(&path.to_string_lossy()));
                let text = tags.text(unit, self.settings.theme.ascii());
                open(Scene::Page { title, versions: vec![text], of: PageOf::None })
            }
        }
    }
}
