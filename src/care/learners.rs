//! Learners and their drills.

use chrono::{DateTime, FixedOffset};

use super::rounds::goes_on_in;
use super::{CareError, Workshop};
use crate::coach::drill::DrillBench;
use crate::drill::{DrillEntry, DrillEvent, Learner};
use crate::record::{LearnerFile, RackError};
use crate::report::Course;
use crate::units::Unit;
use crate::units::clean::{clean, slug};

/// A learner's record that is open for writing, here and nowhere else.
#[derive(Debug)]
pub struct OpenLearner {
    file: LearnerFile,
}

impl OpenLearner {
    /// Stores one event. It is on record when this returns; where the record had to go on in a new file, that is told.
    ///
    /// # Errors
    /// Nothing was stored: the disk fails (the same call may be made again), or the record is full.
    pub fn append(
        &mut self,
        event: &DrillEvent,
        typed: Option<&str>,
        now: DateTime<FixedOffset>,
    ) -> Result<(DrillEntry, Option<String>), CareError> {
        let (entry, moved) = self.file.append(now, event, typed)?;
        Ok((entry, moved.map(|moved| goes_on_in("The record of drills", &moved))))
    }
}

impl Workshop {
    /// Opens a learner's drills; a record is begun where there is none. With what is to be said of it first.
    ///
    /// # Errors
    /// The name leaves nothing for a file, is taken, or the record is open elsewhere or cannot be trusted.
    pub(crate) fn open_learner(
        &self,
        name: &str,
        unit: Unit,
        now: DateTime<FixedOffset>,
    ) -> Result<(OpenLearner, DrillBench, Vec<String>), CareError> {
        let (file, learner) = self.rack.open_learner(name, now)?;
        let mut said = Vec::new();
        if let Some(torn) = &file.recovered {
            said.push(format!("The last entry was cut off ({} bytes) and is not in the record.", torn.bytes));
        }
        if learner.open().is_some() {
            said.push("A set is still open and goes on where it was left.".to_owned());
        }
        Ok((OpenLearner { file }, DrillBench::new(learner, unit), said))
    }

    /// The pages of a course day, of the learners named or of all.
    ///
    /// # Errors
    /// Nobody of a name has a record.
    pub fn course(
        &self,
        names: &[String],
        place: &str,
        instructor: &str,
        now: DateTime<FixedOffset>,
    ) -> Result<Course, CareError> {
        let (mut learners, not_read) = self.learners();
        let is = |learner: &Learner, name: &str| slug(&clean(name)).as_deref() == Some(&learner.header.tag);
        if let Some(nobody) = names.iter().find(|name| !learners.iter().any(|learner| is(learner, name))) {
            return Err(CareError::NoSuchLearner(nobody.clone()));
        }
        learners.retain(|learner| names.is_empty() || names.iter().any(|name| is(learner, name)));
        let course = Course::of(&learners, place, instructor, now);
        Ok(course.without(not_read).with_demo(self.rack.is_demo()))
    }

    /// All learners by name, and what could not be read of them, in sentences.
    pub fn learners(&self) -> (Vec<Learner>, Vec<String>) {
        let found = self.rack.learners();
        let fault = |(_, problem): (std::path::PathBuf, RackError)| problem.to_string();
        (found.learners, found.problems.into_iter().map(fault).collect())
    }
}
