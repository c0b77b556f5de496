//! Learners and their drills.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};
use strum::VariantArray;

use super::life::sentences;
use super::rounds::goes_on_in;
use super::{CareError, Workshop};
use crate::advice::person::{OfRound, Person};
use crate::advice::repeatability::Together;
use crate::advice::say::drill as words;
use crate::advice::{Skill, repeatability};
use crate::coach::drill::DrillBench;
use crate::drill::{Drill, DrillEntry, DrillEvent, Learner};
use crate::record::{Forgotten, LearnerFile, Rack, RackError, Sharpener};
use crate::report::{Course, PersonPage};
use crate::units::Unit;
use crate::units::clean::{clean, slug};

/// Tolerance that a study of lengths is set against: that of the profiles.
const TOLERANCE: f64 = 0.20;

/// A learner's record that is open for writing, here and nowhere else.
#[derive(Debug)]
pub struct OpenLearner {
    file: LearnerFile,
    /// The learner as the record has them.
    learner: Learner,
    unit: Unit,
    rack: Rack,
}

impl OpenLearner {
    /// Whose it is.
    pub(crate) fn name(&self) -> &str {
        &self.learner.header.name
    }

    /// Stores one event. It is on record when this returns. With what is to be said of it: where the record goes on if it had to
    /// move to a new file, and what a study of repeated readings that ended with it came to.
    ///
    /// # Errors
    /// Nothing was stored: the disk fails (the same call may be made again), or the record is full.
    pub fn append(
        &mut self,
        event: &DrillEvent,
        typed: Option<&str>,
        now: DateTime<FixedOffset>,
    ) -> Result<(DrillEntry, Vec<String>), CareError> {
        let (entry, moved) = self.file.append(now, event, typed)?;
        self.learner.apply(entry.clone());
        let moved = moved.map(|moved| goes_on_in("The record of drills", &moved));
        let more = moved.into_iter().chain(self.keep_study(&entry)).collect();
        Ok((entry, more))
    }

    /// Keeps the learner's own uncertainty of lengths, where the set that ended with this entry is a study of it: from the next
    /// round on the advice on their readings counts with it. What is said of it; nothing where no study ended.
    fn keep_study(&self, entry: &DrillEntry) -> Option<String> {
        let set = self.learner.sets.last().filter(|set| set.up.drill == Drill::MeasureTwice && set.is_whole())?;
        set.given.last().filter(|(seq, _)| *seq == entry.seq)?;
        let study = repeatability::study(&set.repeats(), TOLERANCE)?;
        let skill = Skill::default().with_studies(Some(&study), None, None);
        let name = &self.learner.header.name;
        let kept = self.rack.sharpener(name).and_then(|known| {
            let (length_u, length_u_on) = (Some(skill.length), Some(entry.at.date_naive()));
            self.rack.save_sharpener(&Sharpener { length_u, length_u_on, ..known })
        });
        let figure = self.unit.show_named(skill.length);
        Some(match kept {
            Ok(()) => format!(
                "Kept for the rounds of {name}: one length reading is uncertain by {figure}, the instrument's own part included. Six times the scatter is {:.0} % of the tolerance; {}.",
                100.0 * study.tolerance_share,
                words::apart(study.categories)
            ),
            Err(error) => format!("The uncertainty of {figure} could not be kept: {error}"),
        })
    }
}

/// The name as the record has it, where somebody has it with other capitals and nobody has it exactly so.
fn as_known(name: String, learners: &[Learner], listed: &[Sharpener]) -> String {
    let known = learners.iter().map(|of| &of.header.name).chain(listed.iter().map(|of| &of.name));
    let alike: Vec<&String> = known.filter(|known| known.to_lowercase() == name.to_lowercase()).collect();
    match alike.first() {
        Some(first) if !alike.contains(&&name) => (*first).clone(),
        _ => name,
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
        if learner.entries.is_empty() {
            said.push(format!("No drill of {} is on record yet.", learner.header.name));
        }
        if let Some(first) = learner.sets.first() {
            let (name, day) = (&learner.header.name, first.at.format("%Y-%m-%d"));
            said.push(format!(
                "This goes on with the drills of {name}, begun {day}. If you are somebody else of that name, leave and type it with one letter more."
            ));
        }
        if learner.open().is_some() {
            said.push("A set is still open and goes on where it was left.".to_owned());
        }
        let open = OpenLearner { file, learner: learner.clone(), unit, rack: self.rack.clone() };
        Ok((open, DrillBench::new(learner, unit), said))
    }

    /// What the last blind readings of two learners come to, beside each other: they measured the same cutters of one loop, numbered
    /// alike.
    ///
    /// # Errors
    /// Nobody of a name has a record, or one of them has no whole set of such readings.
    pub fn together(&self, names: [&str; 2], unit: Unit) -> Result<Vec<String>, CareError> {
        let (learners, _) = self.learners();
        let found = names.map(|name| {
            let tag = slug(&clean(name));
            let learner = learners.iter().find(|learner| tag.as_deref() == Some(&learner.header.tag));
            let learner = learner.ok_or_else(|| CareError::NoSuchLearner(name.to_owned()))?;
            let mut sets = learner.sets.iter().rev();
            let set = sets.find(|set| set.up.drill == Drill::MeasureTwice && set.is_whole());
            set.map(|set| (learner, set)).ok_or_else(|| CareError::NoStudy(learner.header.name.clone()))
        });
        let [first, second] = found;
        let ((one, left), (other, right)) = (first?, second?);
        if one.header.tag == other.header.tag {
            return Err(CareError::OnePerson(one.header.name.clone()));
        }
        let steps = [left, right].map(|set| set.up.resolution);
        let step = steps.into_iter().flatten().reduce(f64::max);
        let both = Together::of(&[left.repeats(), right.repeats()], TOLERANCE);
        let both = both.ok_or_else(|| CareError::NoStudy(format!("{} with {}", one.header.name, other.header.name)))?;
        Ok(words::together([&one.header.name, &other.header.name], &both, step, unit))
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
        let lessons = |name: &str| self.rack.reached(name).unwrap_or_default().done;
        let course = Course::of(&learners, place, instructor, now).with_lessons(lessons);
        Ok(course.without(not_read).with_demo(self.rack.is_demo()))
    }

    /// The page of a person: what the closed rounds and the drills on record tell of them. Every round is read.
    ///
    /// # Errors
    /// Nobody of the name is on record.
    pub fn person(&self, name: &str) -> Result<PersonPage, CareError> {
        let name = clean(name);
        let (learners, mut not_read) = self.learners();
        let listed = self.rack.sharpeners().unwrap_or_else(|error| {
            not_read.push(error.to_string());
            Vec::new()
        });
        let name = as_known(name, &learners, &listed);
        let learner = learners.iter().find(|learner| learner.header.name == name);
        let listed = listed.into_iter().find(|person| person.name == name);
        let (rounds, problems) = self.rounds_of(&name);
        not_read.extend(sentences(&problems));
        if learner.is_none() && listed.is_none() && rounds.is_empty() {
            return Err(CareError::NoSuchPerson(name));
        }
        let person = listed.unwrap_or_else(|| Sharpener { name, ..Sharpener::default() });
        let all = Drill::VARIANTS;
        let passed = all.iter().filter(|drill| learner.is_some_and(|learner| learner.has_passed(**drill))).count();
        let found = Person::of(rounds, person.skill().length);
        Ok(PersonPage::of(&person, found, (passed, all.len())).without(not_read).with_demo(self.rack.is_demo()))
    }

    /// What each closed round tells of a person, and the files that could not be read.
    fn rounds_of(&self, name: &str) -> (Vec<OfRound>, Vec<(PathBuf, RackError)>) {
        let found = self.shelves();
        let (mut rounds, mut problems) = (Vec::new(), found.problems);
        for (done, shelf) in found.shelves.iter().enumerate() {
            let tag = &shelf.card.tag;
            if !self.ear.hear("loops read", done, found.shelves.len()) {
                break;
            }
            let paths = self.rack.rounds(tag).unwrap_or_else(|error| {
                problems.push((self.rack.root().join("loops").join(tag), error));
                Vec::new()
            });
            for path in paths {
                match self.rack.read_round(&path) {
                    Ok(round) if round.closed.is_some() => rounds.extend(OfRound::of(&round, name)),
                    Ok(_) => {}
                    Err(error) => problems.push((path, error)),
                }
            }
        }
        (rounds, problems)
    }

    /// Where a person is named; with `done` the name is taken out of the record.
    ///
    /// # Errors
    /// The folder of loops cannot be listed.
    pub fn forget(&self, person: &str, done: bool) -> Result<Forgotten, CareError> {
        let mut hear = |done, total| self.ear.hear("rounds looked through", done, total);
        Ok(if done { self.rack.forget(person, &mut hear)? } else { self.rack.named(person, &mut hear)? })
    }

    /// Where a person is named; with `done` another name is put in its place everywhere.
    ///
    /// # Errors
    /// The other name is empty or somebody's; the folder of loops cannot be listed.
    pub fn rename(&self, person: &str, name: &str, done: bool) -> Result<Forgotten, CareError> {
        let mut hear = |done, total| self.ear.hear("rounds looked through", done, total);
        Ok(self.rack.rename_person(person, name, done, &mut hear)?)
    }

    /// Sharpeners on the list who are none of these learners.
    pub fn without_drills(&self, learners: &[Learner]) -> Vec<String> {
        let listed = self.rack.sharpeners().unwrap_or_default().into_iter().map(|person| clean(&person.name));
        listed.filter(|name| !learners.iter().any(|learner| learner.header.name == *name)).collect()
    }

    /// All learners by name, and what could not be read of them, in sentences.
    pub fn learners(&self) -> (Vec<Learner>, Vec<String>) {
        let found = self.rack.learners();
        let fault = |(_, problem): (std::path::PathBuf, RackError)| problem.to_string();
        (found.learners, found.problems.into_iter().map(fault).collect())
    }
}
