//! What joined folders say differently: one question after the other, each with all that can be chosen.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::Line;

use super::super::effect::{Answer, Effect, Folders, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scroll::Cursor;
use super::super::theme::Role;
use super::page::fold;
use crate::care::Question;
use crate::report::format::wrap;
use crate::report::join::question;
use crate::tui::screen::Screen;

/// The questions.
pub(super) struct Choose {
    asked: Vec<Question>,
    problems: Vec<String>,
    /// The one that is seen.
    at: usize,
    cursor: Cursor,
}

impl Choose {
    /// All that is to be chosen, and what could not be read to find it.
    pub(super) fn new(asked: Vec<Question>, problems: Vec<String>) -> Self {
        Self { asked, problems, at: 0, cursor: Cursor::default() }
    }

    fn go(&mut self, to: usize) {
        self.at = to.min(self.asked.len().saturating_sub(1));
        self.cursor.set(0);
    }
}

impl Screen for Choose {
    fn place(&self) -> Place {
        Place::Choose
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        let Some(question) = self.asked.get(self.at) else { return vec![Effect::Go(Step::Close)] };
        match action {
            Action::Close => return vec![Effect::Go(Step::Close)],
            Action::Next => {
                let work = Folders::Choose(Box::new(question.clone()), self.cursor.at());
                return vec![Effect::Desk(Work::Folders(work))];
            }
            Action::Right => self.go(self.at + 1),
            Action::Left => self.go(self.at.saturating_sub(1)),
            other => {
                let count = question.choices();
                self.cursor.act(other, count);
            }
        }
        Vec::new()
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        let Answer::Chosen(chosen) = answer else { return Vec::new() };
        if let Err(why) = chosen {
            return vec![Effect::Go(Step::Notice(why))];
        }
        self.asked.remove(self.at);
        self.go(self.at);
        match self.asked.len() {
            0 => {
                let said = "Kept. Nothing is left to choose.".to_owned();
                vec![Effect::Go(Step::Close), Effect::Go(Step::Notice(said))]
            }
            left => vec![Effect::Go(Step::Notice(format!("Kept. Still to be chosen: {left}.")))],
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let (theme, width) = (shared.theme, usize::from(area.width).max(20));
        let question = self.asked.get(self.at).map(|asked| question(asked, shared.units));
        let (text, choices) = question.unwrap_or_default();
        let text = wrap(&format!("{} of {} to be chosen. {text}", self.at + 1, self.asked.len()), width, 0);
        let rows = u16::try_from(text.len()).unwrap_or(1).min(area.height.saturating_sub(2)).max(1);
        let [head, body, foot] =
            Layout::vertical([Constraint::Length(rows), Constraint::Min(0), Constraint::Length(1)]).areas(area);
        for (y, line) in (head.y..head.bottom()).zip(&text) {
            let row = Rect { y, height: 1, ..head };
            frame.render_widget(Line::styled(line.as_str(), theme.style(Role::Title)), row);
        }
        let mut lines: Vec<(usize, String)> = Vec::new();
        for (at, choice) in choices.iter().enumerate() {
            let mark = if at == self.cursor.at() { "> " } else { "  " };
            lines.extend(fold(&format!("{mark}{choice}"), width).into_iter().map(|line| (at, line)));
        }
        // The choice under the cursor is always seen: what stands above it goes first.
        let last = lines.iter().rposition(|(at, _)| *at == self.cursor.at()).unwrap_or_default();
        let skip = (last + 1).saturating_sub(usize::from(body.height));
        let mut y = body.y;
        for (at, line) in lines.iter().skip(skip).take(usize::from(body.height)) {
            let role = if *at == self.cursor.at() { Role::Now } else { Role::Text };
            frame.render_widget(Line::styled(line.as_str(), theme.style(role)), Rect { y, height: 1, ..body });
            y += 1;
        }
        let problems = self.problems.iter().flat_map(|problem| fold(problem, width));
        for (y, line) in (y + 1..body.bottom()).zip(problems) {
            frame.render_widget(Line::styled(line, theme.style(Role::Bad)), Rect { y, height: 1, ..body });
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
