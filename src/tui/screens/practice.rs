//! Which made-up loop to practise on.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::form::{Field, Form, Outcome};
use crate::practice::{CUTTERS, MARKED, Set};
use crate::tui::screen::Screen;

/// The form.
pub(super) struct NewPractice {
    set: Set,
    form: Form,
}

impl NewPractice {
    pub(super) fn new(set: Set) -> Self {
        let fields = vec![
            Field::choice(
                "cutters",
                "Cutters",
                CUTTERS.map(|count| count.to_string()),
                0,
                "Twelve take about a quarter of an hour.",
            ),
            Field::text(
                "number",
                "Loop number",
                &set.seed.to_string(),
                "The same number makes the same loop, hand and readings again. Enter begins.",
            ),
        ];
        Self { set, form: Form::new(MARKED, fields) }
    }

    fn read(&self) -> Result<Set, (&'static str, String)> {
        let seed = self.form.value("number").parse();
        let seed = seed.map_err(|_| ("number", format!("Expected: a whole number from 0 to {}.", u32::MAX)))?;
        let cutters = CUTTERS.get(self.form.chosen("cutters")).copied().unwrap_or(CUTTERS[0]);
        Ok(Set { cutters, seed, ..self.set.clone() })
    }
}

impl Screen for NewPractice {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let read = self.read();
                self.form.finished(read, |set| vec![Effect::Desk(Work::BeginPractice(set))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        if let Answer::Created(Err(why)) = answer {
            self.form.refuse("cutters", why);
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [body, foot] = Layout::vertical([Constraint::Min(0), Constraint::Length(1)]).areas(area);
        let cursor = self.form.draw(frame, body, shared.theme);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}
