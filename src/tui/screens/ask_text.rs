//! One line of text for something: a remark, a number, a reason. Sits over the screen that asked.

use crossterm::event::{Event, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Text};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::effect::{Effect, Folders, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::{Purpose, Scene};
use super::super::theme::Role;
use crate::report::format::wrap;
use crate::saw::{Part, SawEvent};
use crate::tui::screen::Screen;
use crate::units::Unit;
use crate::units::clean::{MAX_TEXT, clean};
use crate::units::figure;

/// The line.
pub(super) struct AskText {
    title: String,
    input: Input,
    purpose: Purpose,
}

impl AskText {
    /// Asks for one line.
    pub(super) fn new(title: &str, purpose: Purpose) -> Self {
        Self { title: title.to_owned(), input: Input::default(), purpose }
    }
}

/// Stores one event of a saw.
fn saw_event(name: &str, event: SawEvent) -> Effect {
    Effect::Desk(Work::StoreSaw { name: name.to_owned(), with: None, events: vec![event], from_list: false })
}

/// A limit; an empty line takes back what was entered.
fn limit(name: &str, text: &str, unit: Unit) -> Vec<Effect> {
    let part = Part::Sprocket;
    let (_, low, high) = part.figure().unwrap_or_default();
    match figure::length(text, unit, (low, high)) {
        Ok(mm) => vec![Effect::Go(Step::Close), saw_event(name, SawEvent::Limit { part, mm })],
        Err(why) => vec![Effect::Go(Step::Notice(why))],
    }
}

impl Screen for AskText {
    fn place(&self) -> Place {
        Place::Text
    }

    fn has_text(&self) -> bool {
        true
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        let text = clean(self.input.value());
        match (action, &self.purpose) {
            (Action::Close, _) => vec![Effect::Go(Step::Close)],
            (Action::Next, Purpose::Scrap(tag)) if !text.is_empty() => {
                vec![Effect::Go(Step::Close), Effect::Desk(Work::Scrap { tag: tag.clone(), reason: text })]
            }
            (Action::Next, Purpose::ReleaseBy(tag)) if !text.is_empty() => {
                let title = "What was replaced or put right?".to_owned();
                let purpose = Purpose::Release { tag: tag.clone(), by: text };
                vec![Effect::Go(Step::Instead(Scene::Ask { title, purpose }))]
            }
            (Action::Next, Purpose::Release { tag, by }) if !text.is_empty() => {
                let work = Work::Release { tag: tag.clone(), by: by.clone(), replaced: text };
                vec![Effect::Go(Step::Close), Effect::Desk(work)]
            }
            (Action::Next, Purpose::GoOn { tag, here }) => {
                let who = if text.is_empty() { here.clone() } else { text };
                vec![Effect::Go(Step::Close), Effect::Desk(Work::GoOn { tag: tag.clone(), who })]
            }
            (Action::Next, Purpose::Saw(tag)) if !text.is_empty() => {
                vec![Effect::Go(Step::Close), Effect::Desk(Work::NameSaw { tag: tag.clone(), saw: text })]
            }
            (Action::Next, Purpose::SawNote(name)) if !text.is_empty() => {
                vec![Effect::Go(Step::Close), saw_event(name, SawEvent::Note { text })]
            }
            (Action::Next, Purpose::LookAtFolder) if !text.is_empty() => {
                vec![Effect::Go(Step::Close), Effect::Desk(Work::Folders(Folders::LookAt(text)))]
            }
            (Action::Next, Purpose::Limit(name)) => limit(name, &text, shared.units),
            _ => Vec::new(),
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        if self.input.value().chars().count() < MAX_TEXT || !matches!(key.code, crossterm::event::KeyCode::Char(_)) {
            self.input.handle_event(&Event::Key(key));
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let lines = wrap(&self.title, usize::from(area.width.max(1)), 0);
        let rows = u16::try_from(lines.len()).unwrap_or(1).min(area.height.saturating_sub(2)).max(1);
        let [title, field, _, foot] = Layout::vertical([
            Constraint::Length(rows),
            Constraint::Length(1),
            Constraint::Min(0),
            Constraint::Length(1),
        ])
        .areas(area);
        let lines: Vec<Line> =
            lines.into_iter().map(|line| Line::styled(line, shared.theme.style(Role::Now))).collect();
        frame.render_widget(Text::from(lines), title);
        let scroll = self.input.visual_scroll(usize::from(field.width.saturating_sub(1)));
        let shown: String = self.input.value().chars().skip(scroll).collect();
        frame.render_widget(Line::styled(format!("{shown} "), shared.theme.style(Role::Field)), field);
        footer::draw(frame, foot, self.place(), shared);
        let column = u16::try_from(self.input.visual_cursor().saturating_sub(scroll)).unwrap_or(0);
        Some(Position { x: field.x.saturating_add(column), y: field.y })
    }
}
