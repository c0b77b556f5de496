//! The full-screen application without a terminal: screens on a stack, the steps between them, messages in, effects out.
//!
//! What the room is for: the same code runs in a terminal, in a rehearsal and in the tests. It must not read keys, write
//! to a terminal, touch a file or ask a clock; [`super::desk`] does what the effects say and hands answers back.

use std::cell::Cell;

use std::time::Duration;

use chrono::{DateTime, FixedOffset, TimeDelta};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Text};
use ratatui::widgets::Clear;

use super::desk::at_bench;
use super::effect::{Answer, Effect, Joining, News, Step, Work};
use super::footer;
use super::keys::{self, Action, Place};
use super::look::Shared;
use super::motion;
use super::scene::Scene;
use super::screen::Screen;
use super::screens::form::MAX_PATH;
use super::screens::{build, leaf};
use super::theme::Role;
use crate::coach::{NO_RECKONING_HERE, NOTHING_RECKONED};
use crate::devices::said;
use crate::practice::{NoSuchLoop, Set};

/// Two Enters alone within this time, ms, are one that is held down: keyboards repeat every 20 to 50 ms.
const HELD_MS: i64 = 120;
/// From this many rows on, one is given to what stays said.
const LEAST_ROWS: u16 = 4;
/// A hand takes at least this long for one character; a keyboard adapter types its whole line faster.
const BY_HAND: TimeDelta = TimeDelta::milliseconds(40);
/// Longest text taken by one paste or burst; more is not a reading.
const MAX_BURST: usize = 64;

/// What comes in.
#[derive(Debug, Clone)]
pub enum Msg {
    /// A key went down.
    Key(KeyEvent),
    /// A whole line from an instrument, with its line end: taken as if typed with Enter.
    Line(String),
    /// A line from an instrument on a device of its own: taken where a figure is asked for.
    Sent(String),
    /// What such an instrument sent last, without a line end.
    CutOff(String),
    /// This many lines of it are held.
    Held(u64),
    /// It cannot be heard, and why; none where it can.
    Away(Option<String>),
    /// The mouse, where it is switched on.
    Mouse(MouseEvent),
    /// A pasted text: fills the field and submits nothing.
    Paste(String),
    /// The window changed size.
    Resize,
    /// Time for the next picture of what moves.
    Frame,
    /// A signal or a dead terminal: leave at once.
    Hangup,
}

/// True for Enter and its like in a round: what goes on, or refuses a question, without a word.
fn is_confirming(place: Place, action: Action, key: KeyEvent) -> bool {
    let like_enter = matches!(key.code, KeyCode::Enter | KeyCode::Char(' ') | KeyCode::PageDown | KeyCode::F(13));
    let goes_on = matches!(
        (place, action),
        (Place::Round | Place::Closed, Action::Next) | (Place::Question | Place::Meant, Action::Refuse)
    );
    goes_on && like_enter
}

/// True where a line is a reading, or an answer of a check.
const fn takes_readings(place: Place) -> bool {
    matches!(place, Place::Round | Place::Question | Place::Meant | Place::Checks)
}

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

    /// Handles a message.
    pub(super) fn update(&mut self, msg: Msg, now: DateTime<FixedOffset>) -> Vec<Effect> {
        self.shared.now = now;
        self.move_on(&msg);
        match msg {
            Msg::Key(key) if key.kind != KeyEventKind::Release => self.key(key),
            Msg::Key(_) | Msg::Resize | Msg::Frame => Vec::new(),
            Msg::Mouse(mouse) => self.mouse(mouse),
            Msg::Line(text) => self.line(&text, true),
            Msg::Sent(text) => self.sent(&text),
            Msg::CutOff(text) => {
                self.shared.notice = Some(said::cut_off(&text));
                Vec::new()
            }
            Msg::Held(lines) => {
                self.held = lines;
                Vec::new()
            }
            Msg::Away(why) => {
                self.away = why;
                Vec::new()
            }
            Msg::Paste(text) => self.line(&text, false),
            Msg::Hangup => self.leave(),
        }
    }

    /// Goes on with what moves; whatever comes in ends it, so that nobody waits for it.
    fn move_on(&mut self, msg: &Msg) {
        let goes_on = match msg {
            Msg::Resize | Msg::Frame => true,
            Msg::Key(key) => key.kind == KeyEventKind::Release,
            _ => false,
        };
        self.moving = self.moving.filter(|_| goes_on);
        self.shared.moves = self.moving.and_then(|since| motion::frame(self.shared.now - since));
    }

    /// Until the next picture of what moves; none where nothing does.
    pub(super) fn next_frame(&self) -> Option<Duration> {
        self.shared.moves.map(|frame| frame.left)
    }

    fn key(&mut self, key: KeyEvent) -> Vec<Effect> {
        let Some(top) = self.screens.last_mut() else { return self.leave() };
        self.shared.notice = None;
        let place = top.place();
        if self.held > 0 && key.code == KeyCode::Enter && !top.has_text() {
            self.held = 0;
            return vec![Effect::Desk(Work::Seen)];
        }
        let Some(action) = keys::action(place, key, top.has_text()) else {
            let (since, count) = self.typing.unwrap_or((self.shared.now, 0));
            self.typing = Some((since, count.saturating_add(1)));
            self.warned = false;
            top.edit(key);
            return Vec::new();
        };
        let taken = self.typing.take().is_some_and(|(since, count)| self.shared.now - since > BY_HAND * count);
        top.typed(taken);
        if is_confirming(place, action, key) && self.is_held(key.kind) { Vec::new() } else { self.act(action) }
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

    /// A foot switch that is held down repeats itself, and some instruments end a line twice: an Enter alone that follows
    /// another one faster than a hand or foot can is not a second one.
    fn is_held(&mut self, kind: KeyEventKind) -> bool {
        let before = self.confirmed.replace(self.shared.now);
        let alone = self.screens.last().is_none_or(|top| !top.has_text());
        let fast = before.is_some_and(|at| (self.shared.now - at).num_milliseconds() < HELD_MS);
        alone && (fast || kind == KeyEventKind::Repeat)
    }

    /// The wheel scrolls; a click on a name in the footer does what it names.
    fn mouse(&mut self, mouse: MouseEvent) -> Vec<Effect> {
        let Some(place) = self.place() else { return Vec::new() };
        let area = self.area.get();
        let action = match mouse.kind {
            // In a round the wheel would change the value in the field.
            MouseEventKind::ScrollUp if place != Place::Round => Some(Action::Up),
            MouseEventKind::ScrollDown if place != Place::Round => Some(Action::Down),
            MouseEventKind::Down(MouseButton::Left) if mouse.row + 1 == area.bottom() => {
                self.shared.notice = None;
                footer::at(place, area.width, mouse.column)
            }
            _ => None,
        };
        action.map_or_else(Vec::new, |action| self.act(action))
    }

    /// A line of an instrument: no choice is left to it.
    fn sent(&mut self, text: &str) -> Vec<Effect> {
        let taken = self.screens.last().is_some_and(|top| match top.place() {
            Place::Form | Place::Text => true,
            place if takes_readings(place) => top.takes_sent(text),
            _ => false,
        });
        if taken {
            return self.line(&format!("{text}\n"), true);
        }
        self.shared.notice = Some(said::not_asked_for(text));
        Vec::new()
    }

    /// A whole text at once. Only its first line counts: a paste of many lines must not file many readings.
    fn line(&mut self, text: &str, submit: bool) -> Vec<Effect> {
        let Some(top) = self.screens.last_mut() else { return self.leave() };
        let mut lines = text.split(['\r', '\n']).filter(|line| !line.trim().is_empty());
        let reads = takes_readings(top.place());
        let most = if reads { MAX_BURST } else { MAX_PATH };
        let first: String = lines.next().unwrap_or_default().chars().take(most).collect();
        self.shared.notice =
            lines.next().map(|_| "More than one line arrived at once: only the first was taken.".to_owned());
        if reads {
            return top.line(&first, submit && text.ends_with(['\r', '\n']), &self.shared);
        }
        for c in first.chars() {
            top.edit(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE));
        }
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

    /// What is said above every screen for as long as it is so.
    fn stays(&self) -> Option<String> {
        let held = (self.held > 0).then(|| said::held(self.held));
        let under = self.screens.iter().rev().skip(1).find_map(|screen| screen.marks()).map(str::to_owned);
        under.into_iter().chain(held).chain(self.away.clone()).reduce(|said, more| format!("{said} {more}"))
    }

    /// Draws the top screen.
    pub fn draw(&self, frame: &mut Frame) {
        let area = frame.area();
        self.area.set(area);
        if area.is_empty() {
            return;
        }
        let (above, area) = self.stays().map_or((None, area), |stays| {
            let [above, rest] = Layout::vertical([Constraint::Length(1), Constraint::Min(0)]).areas(area);
            if area.height < LEAST_ROWS { (None, area) } else { (Some((above, stays)), rest) }
        });
        if let Some((above, stays)) = above {
            frame.render_widget(Line::styled(stays, self.shared.theme.style(Role::Warn)), above);
        }
        // A notice that is longer than the footer is read whole: the screen makes room for it.
        let notice = footer::notice_rows(area, &self.shared);
        let more = u16::try_from(notice.len().saturating_sub(1)).unwrap_or(0);
        let [area, _] = Layout::vertical([Constraint::Min(0), Constraint::Length(more)]).areas(area);
        if let Some(top) = self.screens.last() {
            let cursor: Option<Position> = top.draw(frame, area, &self.shared);
            if let Some(cursor) = cursor.filter(|cursor| area.contains(*cursor)) {
                frame.set_cursor_position(cursor);
            }
        }
        if more > 0 {
            let rows = Rect { y: area.bottom().saturating_sub(1), height: more + 1, ..area };
            frame.render_widget(Clear, rows);
            let lines = notice.into_iter().map(|line| Line::styled(line, self.shared.theme.style(Role::Warn)));
            frame.render_widget(lines.collect::<Text>(), rows);
        }
    }

    /// What the frame just drawn has room for and nobody asked for yet: done, it calls for another frame.
    pub(super) fn drawn(&mut self) -> Vec<Effect> {
        self.screens.last_mut().map(|top| top.drawn()).unwrap_or_default()
    }

    /// Place of the top screen in the key table.
    pub(super) fn place(&self) -> Option<Place> {
        self.screens.last().map(|screen| screen.place())
    }

    /// True where a letter would act as a command: a burst from an instrument must be told from a key there.
    pub(super) fn letters_act(&self) -> bool {
        self.screens.last().is_some_and(|top| takes_readings(top.place()) && !top.has_text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::theme::Theme;
    use crate::units::Unit;

    #[test]
    fn what_moves_is_drawn_only_where_somebody_watches_and_ends_with_the_first_thing_that_comes() {
        let start = DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap();
        let after = |ms| start + TimeDelta::milliseconds(ms);
        let key = |kind| Msg::Key(KeyEvent { kind, ..KeyEvent::from(KeyCode::Char('8')) });
        let mut app = App::new(Shared::new(Theme::default(), Unit::Mm, start));
        app.go(Step::Move);
        assert_eq!(app.next_frame(), None, "nobody watches");
        app.watched = true;
        for (what, msgs, goes_on) in [
            ("the next picture", vec![(60, Msg::Frame)], true),
            ("a window of another size", vec![(60, Msg::Resize), (130, Msg::Frame)], true),
            ("Enter let go", vec![(20, key(KeyEventKind::Release))], true),
            ("a key", vec![(20, key(KeyEventKind::Press))], false),
            (
                "a key, and the picture that was waited for",
                vec![(20, key(KeyEventKind::Press)), (60, Msg::Frame)],
                false,
            ),
            ("a line", vec![(20, Msg::Sent("8.05".to_owned()))], false),
            ("its time", vec![(60, Msg::Frame), (5000, Msg::Frame)], false),
        ] {
            app.update(Msg::Resize, start);
            app.go(Step::Move);
            assert!(app.next_frame().is_some(), "{what}");
            for (ms, msg) in msgs {
                app.update(msg, after(ms));
            }
            assert_eq!(app.next_frame().is_some(), goes_on, "{what}");
        }
    }
}
