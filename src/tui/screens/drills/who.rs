//! Who learns: the group in the order in which they began, each with what was done and what is next; or a new name.

use crossterm::event::{Event, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::super::effect::{Effect, Step, Work};
use super::super::super::footer;
use super::super::super::keys::{Action, Place};
use super::super::super::look::Shared;
use super::super::super::scroll::Scroll;
use super::super::super::theme::Role;
use crate::coach::drill::{Seat, named, pair};
use crate::report::format::wrap;
use crate::tui::screen::Screen;
use crate::units::clean::MAX_TEXT;

const TITLE: &str = "Drills on a practice loop. Who is at the bench? A number or a name; a new name begins. By turns: Esc leaves a set, which waits. 1+2: the readings of two people who measured the same cutters.";

const BLANK: &str = "Blank. F5 shows the group again.";

/// The group.
pub(crate) struct Who {
    seats: Vec<Seat>,
    problems: Vec<String>,
    /// Sharpeners who did no drill.
    others: Vec<String>,
    input: Input,
    blank: bool,
    scroll: Scroll,
}

impl Who {
    /// The group, what could not be read of it, and the sharpeners who did no drill.
    pub(crate) fn new(seats: Vec<Seat>, problems: Vec<String>, others: Vec<String>) -> Self {
        Self { seats, problems, others, input: Input::default(), blank: false, scroll: Scroll::default() }
    }

    fn lines(&self, width: usize, shared: &Shared) -> Vec<Line<'static>> {
        let theme = shared.theme;
        let mut lines: Vec<Line> = Vec::new();
        if self.blank {
            return lines;
        }
        for (number, seat) in (1..).zip(&self.seats) {
            lines.push(Line::from(vec![
                Span::styled(format!("{number:>2} "), theme.style(Role::Key)),
                Span::styled(seat.name.clone(), theme.style(Role::Text)),
            ]));
            let more = wrap(&seat.stands, width.saturating_sub(3).max(10), 0);
            lines.extend(more.into_iter().map(|line| Line::styled(format!("   {line}"), theme.style(Role::Quiet))));
        }
        if !self.others.is_empty() {
            let text = format!(
                "On record without a drill: {}. A name opens theirs; p there tells what rounds know of them.",
                self.others.join(", ")
            );
            lines.push(Line::default());
            lines.extend(wrap(&text, width, 0).into_iter().map(|line| Line::styled(line, theme.style(Role::Quiet))));
        }
        for problem in &self.problems {
            let more = wrap(problem, width, 2);
            lines.extend(more.into_iter().map(|line| Line::styled(line, theme.style(Role::Bad))));
        }
        lines
    }
}

impl Screen for Who {
    fn place(&self) -> Place {
        Place::Group
    }

    fn has_text(&self) -> bool {
        true
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Close => vec![Effect::Go(Step::Close)],
            Action::Next if self.input.value().contains('+') => {
                match pair(&self.seats, &self.others, self.input.value()) {
                    Some((one, other)) => vec![Effect::Desk(Work::Together(one, other))],
                    None => vec![Effect::Go(Step::Notice("Type two numbers or names with + between them.".to_owned()))],
                }
            }
            Action::Blank => {
                self.blank = !self.blank;
                Vec::new()
            }
            Action::Next => match named(&self.seats, &self.others, self.input.value()) {
                Some(name) => {
                    self.input.reset();
                    vec![Effect::Desk(Work::OpenDrills(name))]
                }
                None => {
                    let why = format!("Expected: a number from 1 to {}, or a name.", self.seats.len());
                    vec![Effect::Go(Step::Notice(why))]
                }
            },
            other => {
                self.scroll.act(other);
                Vec::new()
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        if self.input.value().chars().count() < MAX_TEXT || !matches!(key.code, KeyCode::Char(_)) {
            self.input.handle_event(&Event::Key(key));
        }
    }

    fn back(&mut self) -> Vec<Effect> {
        vec![Effect::Desk(Work::LeaveDrills)]
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let (theme, width) = (shared.theme, usize::from(area.width.max(1)));
        let mut title: Vec<Line> = wrap(if self.blank { BLANK } else { TITLE }, width, 0)
            .into_iter()
            .map(|line| Line::styled(line, theme.style(Role::Now)))
            .collect();
        title.truncate(usize::from(area.height.saturating_sub(2)).max(1));
        let rows = u16::try_from(title.len()).unwrap_or(1);
        let [head, field, body, foot] = Layout::vertical([
            Constraint::Length(rows),
            Constraint::Length(1),
            Constraint::Min(0),
            Constraint::Length(1),
        ])
        .areas(area);
        frame.render_widget(Text::from(title), head);
        let lines = self.lines(width, shared);
        let seen = self.scroll.lines(lines.len(), usize::from(body.height));
        frame.render_widget(Text::from(lines[seen].to_vec()), body);
        let scroll = self.input.visual_scroll(usize::from(field.width.saturating_sub(1)));
        let shown: String = self.input.value().chars().skip(scroll).collect();
        frame.render_widget(Line::styled(format!("{shown} "), theme.style(Role::Field)), field);
        footer::draw(frame, foot, self.place(), shared);
        let column = u16::try_from(self.input.visual_cursor().saturating_sub(scroll)).unwrap_or(0);
        Some(Position { x: field.x.saturating_add(column), y: field.y })
    }
}
