//! The full-screen application without a terminal: screens on a stack, the steps between them, messages in, effects out.
//!
//! What the room is for: the way from screen to screen; what comes in is told apart in `incoming`, the frame is given out in
//! `drawn`. The same code runs in a terminal, in a rehearsal and in the tests. It must not read keys, write to a terminal,
//! touch a file or ask a clock; [`super::desk`] does what the effects say and hands answers back.

mod drawn;
mod incoming;

use std::cell::Cell;
use std::time::Duration;

use chrono::{DateTime, FixedOffset, TimeDelta};
use ratatui::layout::Rect;

use super::desk::at_bench;
use super::effect::{Answer, Effect, Joining, News, Step, Work};
use super::keys::{Action, Place};
use super::look::Shared;
use super::motion;
use super::scene::Scene;
use super::screen::Screen;
use super::screens::{build, leaf};
use crate::coach::{NO_RECKONING_HERE, NOTHING_RECKONED};
use crate::practice::{NoSuchLoop, Set};

pub use incoming::Msg;

/// The application.
pub struct App {
    screens: Vec<Box<dyn Screen>>,
    /// What every screen may look at.
    pub shared: Shared,
    /// Set once the program is to end.
    pub done: bool,
    /// When Enter or its like was last pressed in a round.
    confirmed: Option<DateTime<FixedOffset>>,
    /// Lines of the instrument that are held until somebody has looked.
    held: u64,
    /// It was said that what is left now is not stored.
    warned: bool,
    /// Why the instrument cannot be heard.
    away: Option<String>,
    /// When the first of the characters in hand was typed, and how many there are.
    typing: Option<(DateTime<FixedOffset>, i32)>,
    /// What was just recorded is shown as it happens: somebody watches, and wants it.
    pub(super) watched: bool,
    /// Since when something has been moving.
    moving: Option<DateTime<FixedOffset>>,
    /// The window as last drawn: where the mouse points in it.
    area: Cell<Rect>,
}

impl App {
    /// Starts at the rack.
    pub fn new(shared: Shared) -> Self {
        Self::on(Scene::Rack, shared)
    }

    /// Starts at practice, over no rack: nothing of a data folder is shown or written.
    ///
    /// # Errors
    /// Why there is no practice on such a loop.
    pub fn practising(set: &Set, shared: Shared) -> Result<Self, NoSuchLoop> {
        let bench = at_bench(set, shared.now)?;
        Ok(Self::on(Scene::Round(Box::new(bench)), shared))
    }

    fn on(scene: Scene, shared: Shared) -> Self {
        let screens = vec![build(scene, shared.units)];
        let area = Cell::default();
        Self {
            screens,
            shared,
            done: false,
            confirmed: None,
            held: 0,
            warned: false,
            away: None,
            typing: None,
            watched: false,
            moving: None,
            area,
        }
    }

    /// True where the rack stands below everything.
    pub(super) fn has_rack(&self) -> bool {
        self.screens.first().is_some_and(|screen| screen.place() == Place::Rack)
    }

    fn act(&mut self, action: Action) -> Vec<Effect> {
        let leaves = matches!(action, Action::Quit | Action::Pause);
        let lost = self.screens.iter().rev().find_map(|screen| screen.not_stored()).filter(|_| leaves);
        let warned = std::mem::replace(&mut self.warned, lost.is_some());
        if let Some(text) = lost.filter(|_| !warned) {
            self.shared.notice = Some(format!("{text} is NOT STORED: once more leaves without it; Enter stores it."));
            return Vec::new();
        }
        let Some(top) = self.screens.last_mut() else { return self.leave() };
        match action {
            Action::Quit => self.leave(),
            Action::Suspend => vec![Effect::Suspend],
            Action::Open(screen) => {
                self.screens.push(leaf(screen));
                Vec::new()
            }
            Action::Keys => {
                let place = top.place();
                self.go(Step::Open(Scene::Keys(place)))
            }
            Action::Why => self.why(),
            Action::Model => {
                let effects = top.act(action, &self.shared);
                let here = top.place() == Place::Model;
                if effects.is_empty() && !here { vec![Effect::Desk(Work::ModelOf(None))] } else { effects }
            }
            action => top.act(action, &self.shared),
        }
    }

    /// How a figure was reckoned: by the screen on top, else by the one below that it tells of.
    fn why(&mut self) -> Vec<Effect> {
        let mut none = NO_RECKONING_HERE;
        for screen in self.screens.iter_mut().rev() {
            let effects = screen.act(Action::Why, &self.shared);
            if !effects.is_empty() {
                return effects;
            }
            if matches!(screen.place(), Place::Round | Place::Closed) {
                none = NOTHING_RECKONED;
            }
            if !screen.tells_of_below() {
                break;
            }
        }
        self.shared.notice = Some(none.to_owned());
        Vec::new()
    }

    fn open(&mut self, scene: Scene) -> Vec<Effect> {
        let screen = build(scene, self.shared.units);
        let effects = screen.opened();
        self.screens.push(screen);
        effects
    }

    /// Goes a step from one screen to another.
    pub(super) fn go(&mut self, step: Step) -> Vec<Effect> {
        match step {
            Step::Open(scene) => return self.open(scene),
            Step::Instead(scene) => {
                self.screens.pop();
                return self.open(scene);
            }
            Step::Close => return self.close(),
            Step::Choose(tag) => return self.answer(Answer::Choose(tag)),
            Step::Notice(text) => self.shared.notice = Some(text),
            Step::Move if self.watched => {
                self.moving = Some(self.shared.now);
                self.shared.moves = motion::frame(TimeDelta::zero());
            }
            Step::Move => {}
        }
        Vec::new()
    }

    /// Takes what came of an effect.
    pub(super) fn answer(&mut self, answer: Answer) -> Vec<Effect> {
        match answer {
            Answer::Go(step) => self.go(step),
            Answer::Looks(theme, units) => {
                self.shared.units = units;
                self.shared.theme = theme;
                Vec::new()
            }
            other => match self.screens.last_mut() {
                Some(top) => top.answer(other, &self.shared),
                None => Vec::new(),
            },
        }
    }

    /// Rows of the rack that were read beside the keys: for the rack, whatever stands over it.
    pub(super) fn rack(&mut self, news: News) -> Vec<Effect> {
        let effects = self.screens.first_mut().map(|rack| rack.answer(Answer::Rack(news), &self.shared));
        // What another screen stands over is not looked at any closer.
        if self.screens.len() == 1 { effects.unwrap_or_default() } else { Vec::new() }
    }

    /// How bringing a data folder in goes on: for the screen that waits for it, whatever stands over it.
    pub(super) fn joining(&mut self, joining: Joining) -> Vec<Effect> {
        let waits = self.screens.iter_mut().find(|screen| screen.place() == Place::Working);
        waits.map(|screen| screen.answer(Answer::Joining(joining), &self.shared)).unwrap_or_default()
    }

    fn close(&mut self) -> Vec<Effect> {
        self.screens.pop();
        match self.screens.last_mut() {
            Some(top) => top.back(),
            None => self.leave(),
        }
    }

    /// Ends the program; every screen may still store something (a round its pause).
    fn leave(&mut self) -> Vec<Effect> {
        self.done = true;
        self.screens.iter_mut().rev().flat_map(|screen| screen.leave()).collect()
    }

    /// Until the next picture of what moves; none where nothing does.
    pub(super) fn next_frame(&self) -> Option<Duration> {
        self.shared.moves.map(|frame| frame.left)
    }

    /// What the frame just drawn has room for and nobody asked for yet: done, it calls for another frame.
    pub(super) fn drawn(&mut self) -> Vec<Effect> {
        self.screens.last_mut().map(|top| top.drawn()).unwrap_or_default()
    }

    /// Place of the top screen in the key table.
    pub(super) fn place(&self) -> Option<Place> {
        self.screens.last().map(|screen| screen.place())
    }
}
