//! The page of a saw: bar, sprocket, oil and tension over time, its loops, and which to run next.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::Line;

use super::super::super::effect::{Answer, Effect, Step, Work};
use super::super::super::footer;
use super::super::super::keys::{Action, Place};
use super::super::super::look::Shared;
use super::super::super::scene::{Purpose, Scene};
use super::super::super::scroll::Scroll;
use super::super::super::theme::Role;
use crate::report::format::wrap;
use crate::saw::{Piece, Saw, SawEvent};
use crate::tui::screen::Screen;

/// The page.
pub(crate) struct SawPage {
    name: String,
    lines: Vec<String>,
    /// The last entry that can be taken back.
    last: Option<u32>,
    scroll: Scroll,
}

impl SawPage {
    /// The page of a saw with its report as text.
    pub(crate) fn new(saw: &Saw, report: &str) -> Self {
        Self {
            name: saw.header.name.clone(),
            lines: report.lines().map(str::to_owned).collect(),
            last: saw.standing().last().map(|entry| entry.seq),
            scroll: Scroll::default(),
        }
    }

    fn store(&self, event: SawEvent) -> Vec<Effect> {
        vec![Effect::Desk(Work::StoreSaw {
            name: self.name.clone(),
            with: None,
            events: vec![event],
            from_list: false,
        })]
    }

    fn ask(&self, title: &str, purpose: fn(String) -> Purpose) -> Vec<Effect> {
        let (title, purpose) = (title.to_owned(), purpose(self.name.clone()));
        vec![Effect::Go(Step::Open(Scene::Ask { title, purpose }))]
    }

    fn checks(&self, warm: bool) -> Vec<Effect> {
        vec![Effect::Desk(Work::SawChecks { name: self.name.clone(), with: None, unit: None, warm })]
    }
}

impl Screen for SawPage {
    fn place(&self) -> Place {
        Place::Saw
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Close => return vec![Effect::Go(Step::Close)],
            Action::Next => return self.checks(false),
            Action::Why => return vec![Effect::Desk(Work::WhySaw(self.name.clone()))],
            Action::Warm => return self.checks(true),
            Action::NewBar => return self.store(SawEvent::Renewed { piece: Piece::Bar }),
            Action::NewSprocket => return self.store(SawEvent::Renewed { piece: Piece::Sprocket }),
            Action::TakeBack => {
                return self.last.map_or_else(Vec::new, |target| self.store(SawEvent::Void { target }));
            }
            Action::Limit => {
                return self
                    .ask("Depth of the sprocket's wear mark at which its maker has it renewed:", Purpose::Limit);
            }
            Action::Note => return self.ask("Remark on this saw:", Purpose::SawNote),
            other => self.scroll.act(other),
        }
        Vec::new()
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::SawStored(saw) => vec![Effect::Desk(Work::SawAgain(saw.header.name))],
            _ => Vec::new(),
        }
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [body, say, foot] =
            Layout::vertical([Constraint::Min(0), Constraint::Length(1), Constraint::Length(1)]).areas(area);
        let theme = shared.theme;
        let (width, height) = (usize::from(body.width).max(20), usize::from(body.height));
        let fit = |line: &String| {
            // A row of a table or a line across the page is cut: broken, it could not be read.
            let rule = line.ends_with("--") || line.ends_with("──") || line.trim_start().contains("   ");
            match line.chars().count() <= width {
                true => vec![line.clone()],
                false if rule => vec![line.chars().take(width).collect()],
                false => wrap(line, width, 2),
            }
        };
        let lines: Vec<String> = self.lines.iter().flat_map(fit).collect();
        let seen = self.scroll.lines(lines.len(), height);
        let more = lines.len() - seen.end;
        for (row, line) in (body.y..).zip(&lines[seen.clone()]) {
            let role = if seen.start == 0 && row == body.y { Role::Title } else { Role::Text };
            frame.render_widget(Line::styled(line.as_str(), theme.style(role)), Rect { y: row, height: 1, ..body });
        }
        if more > 0 {
            frame.render_widget(Line::styled(format!("{more} lines more below."), theme.style(Role::Quiet)), say);
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
