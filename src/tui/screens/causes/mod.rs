//! Finding the cause: how does the saw cut, what is behind it, what helps.

#[cfg(test)]
mod tests;

use crossterm::event::{KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};

use super::super::effect::{Effect, Step};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::Case;
use super::super::scroll::{Cursor, Scroll};
use super::super::theme::{Role, Theme};
use crate::coach::causes::{Evidence, Ranked, Symptom, ranked};
use crate::report::format::wrap;
use crate::tui::screen::Screen;

/// The question, and the answer once a symptom is chosen.
#[derive(Default)]
pub(super) struct Causes {
    case: Case,
    /// The row of the list.
    cursor: Cursor,
    chosen: Option<Symptom>,
    scroll: Scroll,
    /// Sources are left out.
    bare: bool,
    /// A number was typed that is not in the list.
    unknown: bool,
}

impl Causes {
    /// With a loop's own readings, by which causes are ranked.
    pub(super) fn of(case: Case) -> Self {
        Self { case, ..Self::default() }
    }

    fn act_list(&mut self, action: Action) -> Vec<Effect> {
        self.unknown = false;
        match action {
            Action::Next => {
                self.chosen = Symptom::ALL.get(self.cursor.at()).copied();
                self.scroll.restart();
            }
            Action::Close => return vec![Effect::Go(Step::Close)],
            other => self.cursor.act(other, Symptom::ALL.len()),
        }
        Vec::new()
    }

    fn act_answer(&mut self, action: Action) {
        match action {
            Action::Close => self.chosen = None,
            Action::Format => self.bare = !self.bare,
            other => self.scroll.act(other),
        }
    }

    fn list(&self, theme: Theme) -> Vec<Line<'static>> {
        let rows = (1..).zip(Symptom::ALL).map(|(number, symptom)| {
            let chosen = number == self.cursor.at() + 1;
            let mark = if chosen { ">" } else { " " };
            let role = if chosen { Role::Selected } else { Role::Text };
            Line::from(vec![
                Span::styled(format!("{mark} {number}  "), theme.style(if chosen { role } else { Role::Key })),
                Span::styled(symptom.words(), theme.style(role)),
            ])
        });
        rows.collect()
    }

    /// The words under the cursor, while the list is looked at.
    fn under_cursor(&self) -> Option<&'static str> {
        Symptom::ALL.get(self.cursor.at()).filter(|_| self.chosen.is_none()).map(|symptom| symptom.words())
    }

    /// Causes in order, each with what the readings say, what helps and who says so.
    fn answer(&self, symptom: Symptom, width: usize, theme: Theme) -> Vec<Line<'static>> {
        let mut lines = Vec::new();
        for (number, ranked) in
            (1..).zip(ranked(symptom, self.case.findings.as_ref(), self.case.saw.as_ref(), self.case.unit))
        {
            for (part, (text, role)) in self.parts(&ranked).into_iter().enumerate() {
                for (row, line) in wrap(&text, width.saturating_sub(MARGIN), 0).into_iter().enumerate() {
                    let margin = if part + row == 0 { format!("{number}.") } else { String::new() };
                    lines.push(Line::styled(format!("{margin:<MARGIN$}{line}"), theme.style(role)));
                }
            }
            lines.push(Line::raw(""));
        }
        lines.pop();
        lines
    }

    fn parts(&self, ranked: &Ranked) -> Vec<(String, Role)> {
        let mut parts = vec![(ranked.row.words.to_owned(), Role::Title)];
        match &ranked.evidence {
            Evidence::Shown(why) => parts.push((format!("Your readings show it: {why}"), Role::Warn)),
            Evidence::Against(why) => parts.push((format!("Your readings speak against it: {why}"), Role::Good)),
            Evidence::Open => {}
        }
        parts.push((ranked.row.remedy.to_owned(), Role::Text));
        if !self.bare {
            parts.push((format!("Source: {}.", ranked.row.source.words()), Role::Quiet));
        }
        parts
    }

    fn foot_line(&self, theme: Theme) -> Line<'static> {
        if self.unknown {
            return Line::styled(format!("Type a number from 1 to {}.", Symptom::ALL.len()), theme.style(Role::Warn));
        }
        let text = match self.case.findings {
            Some(_) => "What your readings show comes first.",
            None => "No readings at hand: the likelier cause comes first.",
        };
        Line::styled(text, theme.style(Role::Quiet))
    }
}

/// Columns before the text of a cause.
const MARGIN: usize = 4;

impl Screen for Causes {
    fn place(&self) -> Place {
        // A number is typed to choose; what it leads to is a page to read.
        if self.chosen.is_some() { Place::Reading } else { Place::Text }
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if self.chosen.is_none() {
            return self.act_list(action);
        }
        self.act_answer(action);
        Vec::new()
    }

    /// A number moves the cursor; as everywhere else, Enter takes what was typed.
    fn edit(&mut self, key: KeyEvent) {
        let KeyCode::Char(c) = key.code else { return };
        if self.chosen.is_some() {
            return;
        }
        let number = c.to_digit(10).and_then(|digit| usize::try_from(digit).ok());
        let found = number.and_then(Symptom::numbered);
        self.unknown = found.is_none();
        if let Some(at) = found.and_then(|found| Symptom::ALL.iter().position(|other| *other == found)) {
            self.cursor.set(at);
        }
    }

    fn tells_of_below(&self) -> bool {
        self.case.findings.is_some()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let width = usize::from(area.width).max(10);
        let title = match self.chosen {
            None => {
                let by = if self.case.name.is_empty() { String::new() } else { format!("{}: ", self.case.name) };
                format!("{by}How does the saw cut? Type its number, then Enter.")
            }
            Some(symptom) => symptom.words().to_owned(),
        };
        let title = wrap(&title, width, 0);
        // A row has no room for all of it in a narrow window: it stands below.
        let under = self.under_cursor().filter(|words| words.len() + MARGIN + 1 > width);
        let under = under.map_or_else(Vec::new, |words| wrap(words, width, 0));
        let rows = |count: usize| u16::try_from(count).unwrap_or(1).min(area.height / 4);
        let [head, body, told, say, foot] = Layout::vertical([
            Constraint::Length(rows(title.len()).max(1)),
            Constraint::Min(0),
            Constraint::Length(rows(under.len())),
            Constraint::Length(u16::from(area.height > 3)),
            Constraint::Length(u16::from(area.height > 1)),
        ])
        .areas(area);
        let height = usize::from(body.height);
        let (lines, seen) = match self.chosen {
            None => {
                let lines = self.list(theme);
                let seen = self.cursor.rows(lines.len(), height);
                (lines, seen)
            }
            Some(symptom) => {
                let lines = self.answer(symptom, width, theme);
                let seen = self.scroll.lines(lines.len(), height);
                (lines, seen)
            }
        };
        let styled = |lines: Vec<String>, role| -> Text {
            lines.into_iter().map(|line| Line::styled(line, theme.style(role))).collect()
        };
        frame.render_widget(styled(title, Role::Title), head);
        frame.render_widget(styled(under, Role::Now), told);
        let (top, more) = (seen.start, lines.len() - seen.end);
        frame.render_widget(Text::from(lines[seen].to_vec()), body);
        let say_line = if self.chosen.is_some() && more > 0 {
            Line::styled(format!("{more} lines more below."), theme.style(Role::Quiet))
        } else {
            self.foot_line(theme)
        };
        frame.render_widget(say_line, say);
        footer::draw(frame, foot, self.place(), shared);
        let row = u16::try_from(self.cursor.at().saturating_sub(top)).unwrap_or(0);
        (self.chosen.is_none() && body.height > 0).then_some(Position { x: body.x, y: body.y + row })
    }
}
