//! The wear model: a cutter whose wear, raker, slope, plate and rocking are moved with keys, and six short lessons whose
//! questions are answered by moving it.

mod draw;
mod pair;
#[cfg(test)]
mod tests;

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use strum::VariantArray;

use super::super::effect::{Effect, Step};
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use crate::chain::{Spec, Wood, profile::built_in};
use crate::coach::lessons::{Lesson, Setting, WearModel};
use crate::tui::screen::Screen;
use crate::tui::widgets::Kept;
use crate::units::Unit;

/// What the picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
enum View {
    /// The whole cutter from the side.
    Cutter,
    /// Corner and raker alone.
    Close,
    /// Gap by cutter length.
    Curve,
    /// This cutter and the next one.
    Pair,
}

impl View {
    const fn next(self) -> Self {
        Self::VARIANTS[(self as usize + 1) % Self::VARIANTS.len()]
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Cutter => "From the side; dots: new",
            Self::Close => "Corner and raker",
            Self::Curve => "Raker gap by length",
            Self::Pair => "This cutter and the next",
        }
    }

    /// The picture in which a lesson's question shows best.
    const fn of(lesson: Lesson) -> Self {
        match lesson {
            Lesson::Shrinks | Lesson::Growth => Self::Cutter,
            Lesson::Rocks => Self::Close,
            Lesson::Rules | Lesson::Plate => Self::Curve,
            Lesson::Unequal => Self::Pair,
        }
    }
}

/// A lesson under way.
#[derive(Debug, Clone)]
struct Session {
    lesson: Lesson,
    model: WearModel,
    /// What the last check said; `Ok` once the question is answered.
    said: Option<Result<String, String>>,
    /// Something was moved: the text may make room for the picture.
    moved: bool,
}

impl Session {
    fn new(lesson: Lesson) -> Self {
        Self { lesson, model: lesson.start(), said: None, moved: false }
    }

    const fn is_answered(&self) -> bool {
        matches!(self.said, Some(Ok(_)))
    }
}

/// The wear model.
pub(super) struct Model {
    name: String,
    unit: Unit,
    own: WearModel,
    session: Option<Session>,
    /// All lessons were gone through.
    finished: bool,
    at: usize,
    view: View,
    /// The pictures, until the model is moved.
    kept: Kept,
}

impl Default for Model {
    fn default() -> Self {
        let profile = built_in::named("three-eighths").expect("a built-in profile");
        Self::named(&profile.title, WearModel::new(profile.spec(), Wood::Any))
    }
}

impl Model {
    /// The model of a loop's own chain.
    pub(super) fn of(name: &str, spec: &Spec, wood: Wood) -> Self {
        Self::named(name, WearModel::new(spec, wood))
    }

    /// The same with its numbers in that unit.
    #[must_use]
    pub(super) fn in_unit(mut self, unit: Unit) -> Self {
        self.unit = unit;
        self
    }

    fn named(name: &str, own: WearModel) -> Self {
        let name = name.to_owned();
        Self {
            name,
            unit: Unit::Mm,
            own,
            session: None,
            finished: false,
            at: 0,
            view: View::Cutter,
            kept: Kept::default(),
        }
    }

    fn model(&self) -> &WearModel {
        self.session.as_ref().map_or(&self.own, |session| &session.model)
    }

    fn setting(&self) -> Setting {
        Setting::ALL[self.at.min(Setting::ALL.len() - 1)]
    }

    fn change(&mut self, more: bool) {
        self.kept = Kept::default();
        let setting = self.setting();
        match &mut self.session {
            Some(session) => {
                session.model.change(setting, more);
                session.moved = true;
                // An answer stays answered; a wrong one is open again.
                if !session.is_answered() {
                    session.said = None;
                }
            }
            None => self.own.change(setting, more),
        }
    }

    fn begin(&mut self, lesson: Lesson) {
        self.kept = Kept::default();
        self.session = Some(Session::new(lesson));
        self.view = View::of(lesson);
        self.at = 0;
    }

    fn leave_lesson(&mut self) {
        self.session = None;
        self.kept = Kept::default();
    }

    /// Starts the lessons, checks an answer, or goes on to the next lesson.
    fn go_on(&mut self) {
        let unit = self.unit;
        match &mut self.session {
            None => self.begin(Lesson::ALL[0]),
            Some(session) if !session.is_answered() => {
                session.said = Some(session.lesson.check(&session.model, unit));
            }
            Some(session) => {
                let next = session.lesson.next();
                self.leave_lesson();
                self.finished |= next.is_none();
                if let Some(next) = next {
                    self.begin(next);
                }
            }
        }
    }
}

impl Screen for Model {
    fn place(&self) -> Place {
        Place::Model
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        let count = Setting::ALL.len();
        match action {
            Action::Up => self.at = (self.at + count - 1) % count,
            Action::Down => self.at = (self.at + 1) % count,
            Action::Left => self.change(false),
            Action::Right => self.change(true),
            Action::View => self.view = self.view.next(),
            Action::Next => self.go_on(),
            Action::Again => match &self.session {
                Some(session) => self.begin(session.lesson),
                None => {
                    self.own = WearModel::new(self.own.original(), self.own.wood());
                    self.kept = Kept::default();
                }
            },
            Action::Close if self.session.is_some() => self.leave_lesson(),
            Action::Close => return vec![Effect::Go(Step::Close)],
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        self.draw_all(frame, area, shared)
    }
}
