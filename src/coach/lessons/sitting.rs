//! Somebody at a lesson: guesses, and what is said to them. The same in both faces.

use super::{Asked, Ground, Lesson, Reached, Setting, WearModel};
use crate::units::{Unit, figure};

/// From this guess on, somebody is told how far off it is.
pub const TRIES: usize = 3;
/// What a guess may be at all, in any unit.
const ANY: (f64, f64) = (-50.0, 50.0);

/// What somebody has done of the lessons.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lessons {
    /// Those whose question was answered.
    pub answered: Vec<Lesson>,
    /// The one that was left, or is under way.
    pub open: Option<Sitting>,
    /// The one that was left on another day, with the guesses made at it.
    left: Option<(Lesson, usize)>,
}

impl From<Reached> for Lessons {
    fn from(reached: Reached) -> Self {
        let left = reached.left.map(|lesson| (lesson, reached.guesses));
        Self { answered: reached.done, open: None, left }
    }
}

impl Lessons {
    /// What is kept of it from one day to the next: the model is set up anew, the count of guesses goes on.
    pub fn reached(&self) -> Reached {
        let open = self.open.as_ref().filter(|open| !open.is_answered()).map(|open| (open.lesson, open.tries));
        let (left, guesses) = open.or(self.left).unzip();
        Reached { done: self.answered.clone(), left, guesses: guesses.unwrap_or_default() }
    }

    /// Sits down to a lesson; one that was left goes on where it stood.
    pub fn sit(&mut self, lesson: Lesson, ground: &Ground) {
        let goes_on = self.open.as_ref().is_some_and(|open| open.lesson == lesson && open.ground == *ground);
        if !goes_on {
            let before = self.left.take().filter(|(left, _)| *left == lesson).map_or(0, |(_, tries)| tries);
            self.open = Some(Sitting { tries: before, ..Sitting::new(lesson, ground) });
        }
    }

    /// Notes what came of the last guess.
    pub fn note(&mut self) {
        if let Some(lesson) = self.open.as_ref().filter(|open| open.is_answered()).map(|open| open.lesson)
            && !self.answered.contains(&lesson)
        {
            self.answered.push(lesson);
        }
    }

    /// The one to go on with: the one that was left, else the first that is not answered.
    pub fn next(&self) -> Lesson {
        let left = self.open.as_ref().filter(|open| !open.is_answered()).map(|open| open.lesson);
        let first = || Lesson::ALL.into_iter().find(|lesson| !self.answered.contains(lesson));
        left.or(self.left.map(|(lesson, _)| lesson)).or_else(first).unwrap_or(Lesson::ALL[0])
    }

    /// True once every question was answered.
    pub fn is_done(&self) -> bool {
        self.answered.len() == Lesson::ALL.len()
    }
}

/// A lesson under way.
#[derive(Debug, Clone, PartialEq)]
pub struct Sitting {
    /// The lesson.
    pub lesson: Lesson,
    /// What it stands on.
    pub ground: Ground,
    /// The cutter as it was moved so far.
    pub model: WearModel,
    /// Guesses made.
    pub tries: usize,
    /// What the last guess came to; `Ok` once the question is answered.
    pub said: Option<Result<String, String>>,
}

impl Sitting {
    /// Sits down to a lesson.
    pub fn new(lesson: Lesson, ground: &Ground) -> Self {
        Self { lesson, ground: ground.clone(), model: lesson.start(ground), tries: 0, said: None }
    }

    /// True once the question is answered.
    pub const fn is_answered(&self) -> bool {
        matches!(self.said, Some(Ok(_)))
    }

    /// True once numbers that tell the answer may be shown: somebody has thought first.
    pub const fn may_tell(&self) -> bool {
        self.is_answered() || self.tries >= TRIES
    }

    /// Moves a setting one step up or down. An answer stays answered; a wrong one is open again.
    pub fn change(&mut self, setting: Setting, more: bool) {
        self.model.change(setting, more, self.ground.unit);
        if !self.is_answered() {
            self.said = None;
        }
    }

    /// A guess that was typed: mm or inches, degrees or percent.
    ///
    /// # Errors
    /// It is no such number: a sentence. It counts as no guess.
    pub fn typed(&mut self, text: &str) -> Result<(), String> {
        let value = self.read(text)?;
        if let Asked::Place(setting) = self.lesson.asked() {
            self.model = self.lesson.start(&self.ground);
            self.model.set(setting, value);
        }
        self.judge(value);
        Ok(())
    }

    fn read(&self, text: &str) -> Result<f64, String> {
        let asked = self.lesson.asked();
        let read = match asked {
            Asked::Place(setting) if !setting.is_length() => figure::angle(text, ANY)?.map(crate::units::Degrees::get),
            Asked::Place(_) | Asked::Length => {
                figure::length(text, self.ground.unit, ANY)?.map(crate::units::Millimetres::get)
            }
            Asked::Percent => figure::amount(text.trim().trim_end_matches('%').trim())?,
        };
        read.ok_or_else(|| format!("Expected: a number, in {}.", asked.unit(self.ground.unit)))
    }

    /// The model as it stands is the guess. Where only a number is asked for, it is not one.
    pub fn guess(&mut self) {
        match self.lesson.asked() {
            Asked::Place(setting) => match self.moved_aside() {
                Some(moved) => {
                    let why = format!("The {} was moved too. Press r to start this question again.", moved.name());
                    self.said = Some(Err(why));
                }
                None => self.judge(self.model.value(setting)),
            },
            asked => self.said = Some(Err(format!("Type your guess, in {}.", asked.unit(self.ground.unit)))),
        }
    }

    fn judge(&mut self, value: f64) {
        let (lesson, ground) = (self.lesson, &self.ground);
        let off = lesson.answer(ground) - value;
        self.tries += 1;
        self.said = Some(if off.abs() <= lesson.slack(ground) {
            if let Asked::Place(setting) = lesson.asked() {
                self.model.set(setting, value);
            }
            Ok(format!("Right. {}", lesson.why(ground)))
        } else if self.tries < TRIES {
            Err(if off > 0.0 { "More than that. Guess again." } else { "Less than that. Guess again." }.to_owned())
        } else {
            let by = lesson.shown(off.abs(), ground.unit);
            Err(if off > 0.0 { format!("Not yet: {by} more.") } else { format!("Too much: {by} less.") })
        });
    }

    /// A setting that the question does not ask for and that no longer stands where it began.
    fn moved_aside(&self) -> Option<Setting> {
        let (start, own) = (self.lesson.start(&self.ground), self.lesson.setting());
        // The gap follows from the other settings, unless it is what the question is about.
        let watched = Setting::ALL.into_iter().filter(|setting| *setting != own && *setting != Setting::Gap);
        let moved = |setting: &Setting| match setting {
            Setting::Raker => own != Setting::Gap && start.raker() != self.model.raker(),
            other => (start.value(*other) - self.model.value(*other)).abs() > 1e-6,
        };
        watched.into_iter().find(moved)
    }

    /// The unit of what is typed.
    pub const fn unit(&self) -> Unit {
        self.ground.unit
    }
}
