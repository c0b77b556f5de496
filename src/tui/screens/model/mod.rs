//! The wear model: a cutter whose wear, raker, slope, plate and rocking are moved with keys, and ten short lessons whose
//! questions are answered by a guess: typed, or by moving it.

mod draw;
mod pair;
#[cfg(test)]
mod tests;

use crossterm::event::{Event as TermEvent, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use strum::VariantArray;
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::effect::{Effect, Step, Work};
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::Lecture;
use crate::coach::lessons::{Ground, Lesson, Lessons, Setting, Sitting, WearModel};
use crate::tui::screen::Screen;
use crate::tui::widgets::Kept;

/// Longest guess.
const MOST: usize = 12;

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
            Lesson::Shrinks | Lesson::Growth | Lesson::Caliper | Lesson::Again => Self::Cutter,
            Lesson::Rocks | Lesson::TooDeep | Lesson::Plate => Self::Close,
            Lesson::Rules => Self::Curve,
            Lesson::Unequal | Lesson::LightHand => Self::Pair,
        }
    }
}

/// What stands above the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mode {
    /// One's own cutter.
    Own,
    /// The list of lessons, with the place of its cursor.
    List(usize),
    /// A lesson.
    Seat,
}

/// The wear model.
pub(super) struct Model {
    name: Option<String>,
    ground: Ground,
    own: WearModel,
    lessons: Lessons,
    mode: Mode,
    /// A guess that is being typed.
    entry: Input,
    at: usize,
    view: View,
    /// The pictures, until the model is moved.
    kept: Kept,
}

impl Model {
    /// The model on its ground; at a lesson where one is named.
    pub(super) fn new(Lecture { name, ground, lesson, lessons }: Lecture) -> Self {
        let own = ground.model();
        let mut model = Self {
            name,
            ground,
            own,
            lessons,
            mode: Mode::Own,
            entry: Input::default(),
            at: 0,
            view: View::Cutter,
            kept: Kept::default(),
        };
        if let Some(lesson) = lesson {
            model.begin(lesson);
        }
        model
    }

    /// The lesson under way.
    fn sitting(&self) -> Option<&Sitting> {
        self.lessons.open.as_ref().filter(|_| self.mode == Mode::Seat)
    }

    fn model(&self) -> &WearModel {
        self.sitting().map_or(&self.own, |sitting| &sitting.model)
    }

    fn setting(&self) -> Setting {
        Setting::ALL[self.at.min(Setting::ALL.len() - 1)]
    }

    /// False while a lesson still waits for a guess: then nothing shown may tell the answer.
    fn may_tell(&self) -> bool {
        self.sitting().is_none_or(Sitting::may_tell)
    }

    fn change(&mut self, more: bool) {
        self.kept = Kept::default();
        let setting = self.setting();
        match &mut self.lessons.open {
            Some(sitting) if self.mode == Mode::Seat => sitting.change(setting, more),
            _ => self.own.change(setting, more, self.ground.unit),
        }
    }

    /// Sits down to a lesson, the cursor on what is asked.
    fn begin(&mut self, lesson: Lesson) {
        self.kept = Kept::default();
        self.lessons.sit(lesson, &self.ground);
        self.mode = Mode::Seat;
        self.entry.reset();
        self.view = View::of(lesson);
        let asked = lesson.setting();
        self.at = Setting::ALL.iter().position(|setting| *setting == asked).unwrap_or(0);
    }

    fn stand_up(&mut self) {
        self.mode = Mode::Own;
        self.entry.reset();
        self.kept = Kept::default();
    }

    fn list(&mut self) {
        self.stand_up();
        self.mode = Mode::List(self.lessons.next().number() - 1);
    }

    /// Opens the list, sits down to a lesson, makes a guess, or goes on to the next lesson.
    fn go_on(&mut self) {
        match self.mode {
            Mode::Own => self.list(),
            Mode::List(at) => self.begin(Lesson::ALL[at.min(Lesson::ALL.len() - 1)]),
            Mode::Seat => self.guess(),
        }
    }

    fn guess(&mut self) {
        self.kept = Kept::default();
        let text = std::mem::take(&mut self.entry).value().trim().to_owned();
        let Some(sitting) = &mut self.lessons.open else { return };
        if sitting.is_answered() && text.is_empty() {
            match sitting.lesson.next() {
                Some(next) => self.begin(next),
                None => self.list(),
            }
            return;
        }
        if text.is_empty() {
            sitting.guess();
        } else if let Err(why) = sitting.typed(&text) {
            sitting.said = Some(Err(why));
        }
        self.lessons.note();
    }

    /// A step up or down: in the list of lessons, else among the settings.
    fn step(&mut self, down: bool) {
        let turn = |at: usize, count: usize| (at + if down { 1 } else { count - 1 }) % count;
        match &mut self.mode {
            Mode::List(at) => *at = turn(*at, Lesson::ALL.len()),
            Mode::Own | Mode::Seat => self.at = turn(self.at, Setting::ALL.len()),
        }
    }
}

impl Screen for Model {
    fn place(&self) -> Place {
        Place::Model
    }

    fn has_text(&self) -> bool {
        !self.entry.value().is_empty()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Up => self.step(false),
            Action::Down => self.step(true),
            Action::Left => self.change(false),
            Action::Right => self.change(true),
            Action::View => {
                self.view = self.view.next();
                self.kept = Kept::default();
            }
            Action::Next => self.go_on(),
            Action::Again => {
                self.kept = Kept::default();
                match (self.mode, &mut self.lessons.open) {
                    (Mode::Seat, Some(sitting)) => *sitting = Sitting::new(sitting.lesson, &sitting.ground),
                    _ => self.own = WearModel::new(self.own.original(), self.own.wood()),
                }
            }
            Action::Close if self.has_text() => self.entry.reset(),
            Action::Close if self.mode != Mode::Own => self.stand_up(),
            Action::Close => {
                let mut effects = self.leave();
                effects.push(Effect::Go(Step::Close));
                return effects;
            }
            _ => {}
        }
        Vec::new()
    }

    fn leave(&mut self) -> Vec<Effect> {
        vec![Effect::Desk(Work::KeepLessons(Box::new(self.lessons.clone())))]
    }

    fn edit(&mut self, key: KeyEvent) {
        let is_full = self.entry.value().chars().count() >= MOST && matches!(key.code, KeyCode::Char(_));
        if self.mode == Mode::Seat && !is_full {
            self.entry.handle_event(&TermEvent::Key(key));
        }
    }

    fn tells_of_below(&self) -> bool {
        self.name.is_some()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        self.draw_all(frame, area, shared)
    }
}
