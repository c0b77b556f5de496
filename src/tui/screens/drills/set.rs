//! One learner's drills: the list of them, and a set thing by thing. What is told stands below the field, newest first.

use crossterm::event::{Event, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::super::effect::{Answer, Effect, Step, Work};
use super::super::super::footer;
use super::super::super::keys::{Action, Place};
use super::super::super::look::Shared;
use super::super::super::theme::{Role, Theme};
use crate::coach::drill::{DrillBench, DrillRow, seed};
use crate::drill::DrillEvent;
use crate::report::format::wrap;
use crate::tui::screen::Screen;

/// Longest answer typed.
const MAX_FIELD: usize = 24;
/// How many things said are kept in sight.
const KEPT: usize = 40;

/// A learner at their drills.
pub(crate) struct DrillScreen {
    bench: DrillBench,
    /// The row under the cursor.
    at: usize,
    field: Input,
    refused: Option<String>,
    /// The field was refused: what is typed next takes its place.
    stale: bool,
    /// What was told, newest first; what belongs together in one.
    said: Vec<Vec<String>>,
    /// The answer that is being stored, so that the field is kept where it is not.
    sent: Option<String>,
}

impl DrillScreen {
    /// A learner's drills, with what is to be said first.
    pub(crate) fn new(bench: DrillBench, said: Vec<String>) -> Self {
        let said = if said.is_empty() { Vec::new() } else { vec![said] };
        Self { bench, at: 0, field: Input::default(), refused: None, stale: false, said, sent: None }
    }

    fn tell(&mut self, said: Vec<String>) {
        if !said.is_empty() {
            self.said.insert(0, said);
            self.said.truncate(KEPT);
        }
    }

    fn row(&self, shared: &Shared) -> Option<DrillRow> {
        self.bench.rows(shared.now).into_iter().nth(self.at)
    }

    fn store(event: DrillEvent, typed: Option<String>) -> Vec<Effect> {
        vec![Effect::Desk(Work::Drill(Box::new((event, typed))))]
    }

    /// Enter: begins the drill under the cursor, or answers what is asked.
    fn submit(&mut self, text: &str, shared: &Shared) -> Vec<Effect> {
        self.refused = None;
        self.stale = false;
        if !self.bench.is_busy() {
            return self.begin(text, shared);
        }
        match self.bench.answer(text) {
            Ok(Some(event)) => {
                self.sent = Some(text.to_owned());
                return Self::store(event, Some(text.to_owned()));
            }
            Ok(None) => self.field.reset(),
            Err(why) => {
                self.refused = Some(why);
                self.stale = true;
            }
        }
        Vec::new()
    }

    fn begin(&mut self, text: &str, shared: &Shared) -> Vec<Effect> {
        let rows = self.bench.rows(shared.now);
        let typed = text.trim();
        self.field.reset();
        if !typed.is_empty() {
            match typed.parse::<usize>().ok().and_then(|n| n.checked_sub(1)).filter(|at| *at < rows.len()) {
                Some(at) => self.at = at,
                None => {
                    self.refused = Some(format!("Expected: a number from 1 to {}.", rows.len()));
                    return Vec::new();
                }
            }
        }
        let Some(row) = rows.get(self.at) else { return Vec::new() };
        match self.bench.begin(row.drill, seed(shared.now), shared.now) {
            Err(why) => self.refused = Some(why),
            Ok(()) => {
                self.said.clear();
                self.tell(self.bench.about(row.drill));
                if let Some(event) = self.bench.ready() {
                    return Self::store(event, None);
                }
            }
        }
        Vec::new()
    }

    fn ask_lines(&self, width: usize, shared: &Shared) -> Vec<Line<'static>> {
        let theme = shared.theme;
        let styled = |text: &str, role: Role| {
            let lines = wrap(text, width, 0).into_iter();
            lines.map(|line| Line::styled(line, theme.style(role))).collect::<Vec<_>>()
        };
        match self.bench.prompt() {
            Some(prompt) => {
                let mut lines = styled(&prompt.place, Role::Quiet);
                lines.extend(styled(&prompt.question, Role::Now));
                for fact in prompt.facts {
                    lines.extend(styled(&fact, Role::Selected));
                }
                if let Some(enter) = prompt.enter {
                    lines.push(Line::from(vec![
                        Span::styled("Enter", theme.style(Role::Key)),
                        Span::styled(format!(" {enter}"), theme.style(Role::KeyName)),
                    ]));
                }
                lines
            }
            None => styled("Which drill? Its number, or Up and Down; Enter begins a set.", Role::Now),
        }
    }

    fn list_lines(&self, width: usize, shared: &Shared) -> Vec<Line<'static>> {
        let theme = shared.theme;
        let mut lines = Vec::new();
        for (at, row) in self.bench.rows(shared.now).into_iter().enumerate() {
            let here = at == self.at;
            let mark = if here { "> " } else { "  " };
            let name = format!("{mark}{} {:<20}", at + 1, row.name);
            lines.push(Line::from(vec![
                Span::styled(name, theme.style(if here { Role::Selected } else { Role::Text })),
                Span::styled(row.stands, theme.style(Role::Quiet)),
            ]));
        }
        lines.push(Line::default());
        if let Some(row) = self.row(shared) {
            let curve = self.bench.curve_line(row.drill, theme.ascii());
            let told = [row.next, self.bench.curve(row.drill)];
            for text in told.into_iter().chain(curve).chain(self.bench.about(row.drill)) {
                lines
                    .extend(wrap(&text, width, 0).into_iter().map(|line| Line::styled(line, theme.style(Role::Quiet))));
            }
        }
        lines
    }

    fn said_lines(&self, width: usize, theme: Theme) -> Vec<Line<'static>> {
        let mut lines = Vec::new();
        for (at, said) in self.said.iter().enumerate() {
            let role = if at == 0 { Role::Text } else { Role::Quiet };
            for text in said {
                lines.extend(wrap(text, width, 2).into_iter().map(|line| Line::styled(line, theme.style(role))));
            }
            lines.push(Line::default());
        }
        lines
    }

    fn label(&self) -> String {
        self.bench.prompt().map_or_else(|| "drill: ".to_owned(), |prompt| format!("{}: ", prompt.field))
    }
}

impl Screen for DrillScreen {
    fn place(&self) -> Place {
        Place::Drill
    }

    fn has_text(&self) -> bool {
        !(self.stale || self.field.value().is_empty())
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        let busy = self.bench.is_busy();
        match action {
            Action::Next => {
                let text = self.field.value().to_owned();
                return self.submit(&text, shared);
            }
            Action::TakeBack if !self.field.value().is_empty() => {
                self.field.reset();
                self.refused = None;
                self.stale = false;
            }
            Action::TakeBack => match self.bench.back() {
                Ok(event) => return Self::store(event, None),
                Err(why) => self.refused = Some(why),
            },
            Action::Enough if busy => match self.bench.break_off() {
                Some(event) => {
                    self.said.clear();
                    self.field.reset();
                    self.tell(vec!["Broken off: the set does not count.".to_owned()]);
                    return Self::store(event, None);
                }
                None => self.field.reset(),
            },
            Action::Told if !busy => {
                if let Some(row) = self.row(shared) {
                    return self.bench.told_otherwise(row.drill).map(|e| Self::store(e, None)).unwrap_or_default();
                }
            }
            Action::Person if !busy => {
                return vec![Effect::Desk(Work::PersonOf(self.bench.learner.header.name.clone()))];
            }
            Action::Up if !busy => self.at = self.at.saturating_sub(1),
            Action::Down if !busy => self.at = (self.at + 1).min(self.bench.rows(shared.now).len().saturating_sub(1)),
            Action::Close => return vec![Effect::Go(Step::Close)],
            _ => {}
        }
        Vec::new()
    }

    fn edit(&mut self, key: KeyEvent) {
        self.refused = None;
        if std::mem::take(&mut self.stale) && matches!(key.code, KeyCode::Char(_)) {
            self.field.reset();
        }
        if self.field.value().chars().count() < MAX_FIELD || !matches!(key.code, KeyCode::Char(_)) {
            self.field.handle_event(&Event::Key(key));
        }
    }

    fn line(&mut self, text: &str, ended: bool, shared: &Shared) -> Vec<Effect> {
        self.field = Input::new(text.trim().to_owned());
        if ended { self.submit(text.trim(), shared) } else { Vec::new() }
    }

    fn takes_sent(&self, _: &str) -> bool {
        self.bench.may_be_sent()
    }

    fn not_stored(&self) -> Option<String> {
        self.sent.clone().filter(|text| !text.is_empty())
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::Drilled(stored) => {
                self.sent = None;
                match *stored {
                    Ok((entry, more)) => {
                        self.field.reset();
                        let said = self.bench.recorded(entry);
                        self.tell(said.into_iter().chain(more).collect());
                    }
                    Err(why) => self.refused = Some(why),
                }
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let (theme, width) = (shared.theme, usize::from(area.width).max(20));
        let mut asks = self.ask_lines(width, shared);
        // The field is kept when room is short: without it nothing can be answered.
        asks.truncate(usize::from(area.height.saturating_sub(3)));
        let rows = u16::try_from(asks.len()).unwrap_or(u16::MAX);
        let refused = wrap(self.refused.as_deref().unwrap_or_default(), width, 2);
        let why_rows = u16::try_from(refused.len()).unwrap_or(1).max(1);
        let [head, ask, field, say, body, foot] = Layout::vertical([
            Constraint::Length(u16::from(area.height > 1)),
            Constraint::Length(rows),
            Constraint::Length(1),
            Constraint::Length(if area.height > 3 { why_rows } else { 0 }),
            Constraint::Min(0),
            Constraint::Length(u16::from(area.height > 2)),
        ])
        .areas(area);
        let title = format!("Practice, not for a saw: {}", self.bench.learner.header.name);
        frame.render_widget(Line::styled(title, theme.style(Role::Title)), head);
        frame.render_widget(Text::from(asks), ask);
        let refused = refused.into_iter().map(|line| Line::styled(line, theme.style(Role::Bad)));
        frame.render_widget(refused.collect::<Text>(), say);
        let mut lines = self.said_lines(width, theme);
        if !self.bench.is_busy() {
            // What came of a set is read before the next is chosen; what was said before that stands below the list.
            let last = lines.iter().position(|line| line.spans.is_empty()).map_or(0, |blank| blank + 1);
            let earlier = lines.split_off(last);
            lines.extend(self.list_lines(width, shared));
            lines.push(Line::default());
            lines.extend(earlier);
        }
        frame.render_widget(Text::from(lines), body);
        footer::draw(frame, foot, self.place(), shared);
        let label = self.label();
        let column = label.chars().count() + self.field.visual_cursor();
        let line = Line::from(vec![
            Span::styled(label, theme.style(Role::Quiet)),
            Span::styled(format!("{} ", self.field.value()), theme.style(Role::Field)),
        ]);
        frame.render_widget(line, field);
        let column = u16::try_from(column).unwrap_or(u16::MAX);
        (!field.is_empty())
            .then_some(Position { x: field.x.saturating_add(column).min(field.right().saturating_sub(1)), y: field.y })
    }
}
