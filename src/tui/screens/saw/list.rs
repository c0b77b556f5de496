//! The checks of a saw as a list, answered like the look-over: a digit and Enter. All of them are in sight; stored at the end.

use crossterm::event::{Event, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::super::effect::{Answer, Effect, Step, Work};
use super::super::super::footer;
use super::super::super::keys::{Action, Place};
use super::super::super::look::Shared;
use super::super::super::theme::{Role, Theme};
use crate::coach::saw::{Checklist, SawPrompt};
use crate::report::format::wrap;
use crate::saw::Grade;
use crate::tui::screen::Screen;
use crate::units::clean::MAX_TEXT;

/// Longest figure typed.
const MAX_FIELD: usize = 24;
/// Columns before the answers.
const NAMES: usize = 24;

/// The list.
pub(crate) struct SawList {
    list: Checklist,
    /// The loop at the bench.
    with: Option<String>,
    field: Input,
    /// A remark being typed.
    note: Option<Input>,
    refused: Option<String>,
}

impl SawList {
    /// The checks, to be answered; `with` is the tag of the loop at the bench.
    pub(crate) fn new(list: Checklist, with: Option<String>) -> Self {
        Self { list, with, field: Input::default(), note: None, refused: None }
    }

    fn submit(&mut self, text: &str) -> Vec<Effect> {
        if self.list.part().is_none() {
            return self.store();
        }
        match self.list.answer(text) {
            Ok(()) => self.refused = None,
            Err(why) => self.refused = Some(why),
        }
        self.field.reset();
        Vec::new()
    }

    fn store(&self) -> Vec<Effect> {
        let events = self.list.events();
        if events.is_empty() {
            return vec![
                Effect::Go(Step::Close),
                Effect::Go(Step::Notice("Nothing was looked at: nothing is stored.".to_owned())),
            ];
        }
        let (name, with) = (self.list.saw.clone(), self.with.clone());
        vec![Effect::Desk(Work::StoreSaw { name, with, events, from_list: true })]
    }

    fn act_note(&mut self, action: Action) -> Vec<Effect> {
        match action {
            Action::Next => {
                if let Some(note) = self.note.take() {
                    self.list.note(note.value());
                }
            }
            Action::Close => self.note = None,
            _ => {}
        }
        Vec::new()
    }

    fn row_lines(&self, theme: Theme) -> Vec<Line<'static>> {
        let line = |row: crate::coach::saw::ListRow| {
            let mark = if row.here { "> " } else { "  " };
            let name = if row.here { Role::Selected } else { Role::Text };
            let word = match row.found {
                Some(Grade::Good) => Role::Good,
                Some(Grade::Watch) => Role::Warn,
                Some(Grade::Bad) => Role::Bad,
                Some(Grade::NotLooked) | None => Role::Quiet,
            };
            Line::from(vec![
                Span::styled(format!("{mark}{:<NAMES$}", row.name), theme.style(name)),
                Span::styled(row.word, theme.style(word)),
            ])
        };
        self.list.rows().into_iter().map(line).collect()
    }

    fn ask_lines(&self, width: usize, theme: Theme) -> Vec<Line<'static>> {
        let Some(SawPrompt { question, facts, choices, enter, .. }) = self.list.prompt() else {
            let text = "All answered. Enter stores it; / goes back.";
            return vec![Line::styled(text, theme.style(Role::Now))];
        };
        let mut lines: Vec<Line> =
            wrap(question, width, 0).into_iter().map(|line| Line::styled(line, theme.style(Role::Now))).collect();
        lines.extend(facts.into_iter().map(|fact| Line::styled(fact, theme.style(Role::Quiet))));
        let mut keys: Vec<Span> = Vec::new();
        for (key, meaning) in choices.iter().copied().chain([("Enter", enter)]) {
            keys.push(Span::styled(key, theme.style(Role::Key)));
            keys.push(Span::styled(format!(" {meaning}   "), theme.style(Role::KeyName)));
        }
        lines.push(Line::from(keys));
        lines
    }

    /// The field, or the remark being typed: what stands before it and how far the cursor is.
    fn field_line(&self, theme: Theme) -> Option<(Line<'static>, u16)> {
        let (label, input) = match &self.note {
            Some(note) => ("Remark".to_owned(), note),
            None => (self.list.prompt()?.field, &self.field),
        };
        let label = format!("{label}: ");
        let column = label.chars().count() + input.visual_cursor();
        let line = Line::from(vec![
            Span::styled(label, theme.style(Role::Quiet)),
            Span::styled(format!("{} ", input.value()), theme.style(Role::Field)),
        ]);
        Some((line, u16::try_from(column).unwrap_or(u16::MAX)))
    }
}

impl Screen for SawList {
    fn place(&self) -> Place {
        if self.note.is_some() { Place::Text } else { Place::Checks }
    }

    fn has_text(&self) -> bool {
        self.note.is_some() || !self.field.value().is_empty()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if self.note.is_some() {
            return self.act_note(action);
        }
        match action {
            Action::Next => {
                let text = self.field.value().to_owned();
                return self.submit(&text);
            }
            Action::Enough => return self.store(),
            Action::Repaired => return self.submit("r"),
            Action::TakeBack => {
                if self.field.value().is_empty() {
                    self.list.back();
                }
                self.field.reset();
                self.refused = None;
            }
            Action::Note => self.note = Some(Input::default()),
            Action::Close => return vec![Effect::Go(Step::Close)],
            _ => {}
        }
        Vec::new()
    }

    fn edit(&mut self, key: KeyEvent) {
        self.refused = None;
        let typed = matches!(key.code, KeyCode::Char(_));
        if let Some(note) = &mut self.note {
            if note.value().chars().count() < MAX_TEXT || !typed {
                note.handle_event(&Event::Key(key));
            }
            return;
        }
        if self.field.value().chars().count() < MAX_FIELD || !typed {
            self.field.handle_event(&Event::Key(key));
        }
    }

    fn line(&mut self, text: &str, ended: bool, _: &Shared) -> Vec<Effect> {
        if let Some(note) = &mut self.note {
            *note = Input::new(format!("{}{}", note.value(), text.trim()));
            return Vec::new();
        }
        self.field = Input::new(text.trim().to_owned());
        if ended { self.submit(text) } else { Vec::new() }
    }

    fn takes_sent(&self, text: &str) -> bool {
        self.note.is_none() && self.list.may_be_sent(text)
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        if let Answer::Created(Err(why)) = answer {
            self.refused = Some(why);
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let mut asks = self.ask_lines(usize::from(area.width).max(20), theme);
        let rows = self.row_lines(theme);
        let length = |n: usize| Constraint::Length(u16::try_from(n).unwrap_or(u16::MAX));
        // The field is kept when room is short: without it nothing can be answered.
        asks.truncate(usize::from(area.height.saturating_sub(3)));
        let [head, ask, field, say, body, foot] = Layout::vertical([
            Constraint::Length(u16::from(area.height > 1)),
            length(asks.len()),
            Constraint::Length(1),
            Constraint::Length(u16::from(area.height > 3)),
            Constraint::Min(0),
            Constraint::Length(u16::from(area.height > 2)),
        ])
        .areas(area);
        let place = self.list.prompt().map(|prompt| format!("  {}", prompt.place)).unwrap_or_default();
        frame.render_widget(Line::styled(format!("Saw: {}{place}", self.list.saw), theme.style(Role::Title)), head);
        frame.render_widget(ratatui::text::Text::from(asks), ask);
        if let Some(why) = &self.refused {
            frame.render_widget(Line::styled(why.as_str(), theme.style(Role::Bad)), say);
        }
        let here = self.list.rows().iter().position(|row| row.here).unwrap_or(0);
        let skip = (here + 1).saturating_sub(usize::from(body.height));
        frame.render_widget(ratatui::text::Text::from(rows.into_iter().skip(skip).collect::<Vec<_>>()), body);
        footer::draw(frame, foot, self.place(), shared);
        let (line, column) = self.field_line(theme)?;
        frame.render_widget(line, field);
        (!field.is_empty())
            .then_some(Position { x: field.x.saturating_add(column).min(field.right().saturating_sub(1)), y: field.y })
    }
}
