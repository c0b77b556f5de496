//! How far people are in the lessons.

use chrono::{DateTime, FixedOffset};

use super::{CareError, Workshop};
use crate::coach::lessons::Lessons;

impl Workshop {
    /// What a person has done of the lessons; from the beginning where that is not known or cannot be read.
    pub fn lessons_of(&self, who: &str) -> Lessons {
        self.rack.reached(who).unwrap_or_default().into()
    }

    /// Keeps what a person has done of the lessons, where anything was.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn keep_lessons(&self, who: &str, lessons: &Lessons, now: DateTime<FixedOffset>) -> Result<(), CareError> {
        let reached = lessons.reached();
        if self.rack.reached(who).is_ok_and(|known| known == reached) {
            return Ok(());
        }
        Ok(self.rack.keep_reached(who, &reached, now.to_utc())?)
    }
}
