//! What comes in: keys, lines, the mouse, time. Each is told apart here and becomes an action of the screen on top, or a text for its field.
//!
//! What the file is for: what a hand, a foot switch and an instrument do differently. It must not know which screen stands where, nor how
//! anything is drawn.

use chrono::{DateTime, FixedOffset, TimeDelta};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

use super::super::effect::{Effect, Work};
use super::super::keys::{self, Action, Place};
use super::super::screens::form::MAX_PATH;
use super::super::{footer, motion};
use super::App;
use crate::devices::said;

/// Two Enters alone within this time, ms, are one that is held down: keyboards repeat every 20 to 50 ms.
const HELD_MS: i64 = 120;
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

impl App {
    /// Handles a message.
    pub(in crate::tui) fn update(&mut self, msg: Msg, now: DateTime<FixedOffset>) -> Vec<Effect> {
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

    /// True where a letter would act as a command: a burst from an instrument must be told from a key there.
    pub(in crate::tui) fn letters_act(&self) -> bool {
        self.screens.last().is_some_and(|top| takes_readings(top.place()) && !top.has_text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::effect::Step;
    use crate::tui::look::Shared;
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
