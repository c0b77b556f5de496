//! How a figure was reckoned: over the screen that shows it, which stays as it is below.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};

use super::super::effect::{Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::Whys;
use super::super::scroll::Scroll;
use super::super::theme::{Role, Theme};
use super::picture::{Seen, panel};
use super::view::View;
use crate::advice::reckoning::{Picture, Subject};
use crate::report::format::wrap;
use crate::round::{Ask, Reading};
use crate::tui::screen::Screen;

/// Least columns for the picture beside the lines.
const WIDE: u16 = 120;
/// Columns of the lines there: they are made for a small window.
const LINES: u16 = 76;
/// Least rows in which a picture below the lines says anything.
const PICTURE: u16 = 5;

/// Reckonings to be read one at a time.
pub(super) struct WhyScreen {
    whys: Whys,
    at: usize,
    scroll: Scroll,
}

impl WhyScreen {
    pub(super) fn new(whys: Whys) -> Self {
        Self { whys, at: 0, scroll: Scroll::default() }
    }

    fn turn(&mut self, by: usize) {
        let count = self.whys.all.len().max(1);
        self.at = (self.at + by) % count;
        self.scroll.restart();
    }

    fn lines(&self, width: u16, theme: Theme) -> Vec<Line<'static>> {
        let Some(reckoning) = self.whys.all.get(self.at) else { return Vec::new() };
        let width = usize::from(width).max(20);
        let told = reckoning.told(self.whys.unit);
        let mut lines: Vec<Line> =
            wrap(&told.claim, width, 2).into_iter().map(|line| Line::styled(line, theme.style(Role::Now))).collect();
        let role = |at: usize| if at == reckoning.answer { Role::Current } else { Role::Text };
        lines.extend(told.sums().into_iter().enumerate().map(|(at, sum)| Line::styled(sum, theme.style(role(at)))));
        for (name, text) in told.rest() {
            for (at, line) in wrap(&format!("{name}: {text}"), width, 2).into_iter().enumerate() {
                let (head, rest) = line.split_at(if at == 0 { name.len() + 1 } else { 0 });
                lines.push(Line::from(vec![
                    Span::styled(head.to_owned(), theme.style(Role::Title)),
                    Span::styled(rest.to_owned(), theme.style(Role::Text)),
                ]));
            }
        }
        lines
    }

    /// What the round's pictures are drawn of, for the reckoning that is shown.
    fn picture(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let (Some(reckoning), Some((round, findings))) = (self.whys.all.get(self.at), &self.whys.of) else { return };
        let (view, ask) = match reckoning.subject.picture() {
            Picture::Raker => (View::Cutter, Ask::Read(Reading::GapAfter)),
            Picture::Tooth => (View::Cutter, Ask::Read(Reading::LengthAfter)),
            Picture::Cutter => (View::Cutter, Ask::Nothing),
            Picture::Above => (View::Top, Ask::Nothing),
            Picture::Curve => (View::Curve, Ask::Nothing),
            Picture::Lengths => (View::Lengths, Ask::Nothing),
            Picture::None => return,
        };
        panel(&Seen { round, findings, at: reckoning.subject.cutter(), ask, worn: None }, frame, area, theme, view);
    }

    fn has_picture(&self) -> bool {
        let subject = self.whys.all.get(self.at).map(|reckoning| reckoning.subject);
        self.whys.of.is_some() && subject.map(Subject::picture) != Some(Picture::None)
    }
}

impl Screen for WhyScreen {
    fn place(&self) -> Place {
        Place::Why
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Close | Action::Why => return vec![Effect::Go(Step::Close)],
            Action::Next => {
                let lesson = self.whys.all.get(self.at).map(|reckoning| reckoning.subject.lesson());
                let ground = Box::new(self.whys.ground.clone());
                return vec![Effect::Desk(Work::Learn { name: None, ground, lesson })];
            }
            Action::Down => self.turn(1),
            Action::Up => self.turn(self.whys.all.len().saturating_sub(1)),
            other => self.scroll.act(other),
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let [head, body, foot] =
            Layout::vertical([Constraint::Length(1), Constraint::Min(0), Constraint::Length(1)]).areas(area);
        let title = format!("Why: {} of {}", self.at + 1, self.whys.all.len());
        frame.render_widget(Line::styled(title, theme.style(Role::Title)), head);
        let beside = area.width >= WIDE && self.has_picture();
        let [left, right] = if beside {
            Layout::horizontal([Constraint::Length(LINES), Constraint::Min(0)]).areas(body)
        } else {
            [body, Rect::default()]
        };
        let lines = self.lines(left.width.min(LINES), theme);
        let seen = self.scroll.lines(lines.len(), usize::from(left.height));
        let rows = u16::try_from(seen.len()).unwrap_or(u16::MAX);
        frame.render_widget(Text::from(lines[seen].to_vec()), left);
        let below = Rect { y: left.y + rows + 1, height: left.height.saturating_sub(rows + 1), ..left };
        if beside {
            self.picture(frame, Rect { x: right.x + 2, width: right.width.saturating_sub(2), ..right }, theme);
        } else if below.height >= PICTURE {
            self.picture(frame, below, theme);
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
