//! The page of a saw: bar, sprocket and tension over time, its loops, and which to run next.

use std::cell::Cell;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::Line;

use super::super::super::app::Shared;
use super::super::super::effect::{Answer, Effect};
use super::super::super::footer;
use super::super::super::keys::{Action, Place};
use super::super::super::theme::Role;
use super::super::Screen;
use super::super::ask_text::{AskText, Purpose};
use crate::report::format::wrap;
use crate::saw::{Piece, Saw, SawEvent};

/// Lines that a page key moves by.
const PAGE: usize = 15;

/// The page.
pub struct SawPage {
    name: String,
    lines: Vec<String>,
    /// The last entry that can be taken back.
    last: Option<u32>,
    top: usize,
    /// Where `top` ends, by the last drawing.
    last_top: Cell<usize>,
}

impl SawPage {
    /// The page of a saw with its report as text.
    pub fn new(saw: &Saw, report: &str) -> Self {
        Self {
            name: saw.header.name.clone(),
            lines: report.lines().map(str::to_owned).collect(),
            last: saw.standing().last().map(|entry| entry.seq),
            top: 0,
            last_top: Cell::new(0),
        }
    }

    fn store(&self, event: SawEvent) -> Vec<Effect> {
        vec![Effect::StoreSaw { name: self.name.clone(), with: None, events: vec![event], from_list: false }]
    }

    fn ask(&self, title: &str, purpose: fn(String) -> Purpose) -> Vec<Effect> {
        vec![Effect::Push(Box::new(AskText::new(title, purpose(self.name.clone()))))]
    }

    fn checks(&self, warm: bool) -> Vec<Effect> {
        vec![Effect::SawChecks { name: self.name.clone(), with: None, unit: None, warm }]
    }
}

impl Screen for SawPage {
    fn place(&self) -> Place {
        Place::Saw
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        let top = self.top.min(self.last_top.get());
        match action {
            Action::Close => return vec![Effect::Pop],
            Action::Next => return self.checks(false),
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
            Action::Down => self.top = top + 1,
            Action::Up => self.top = top.saturating_sub(1),
            Action::PageDown => self.top = top + PAGE,
            Action::PageUp => self.top = top.saturating_sub(PAGE),
            _ => {}
        }
        self.top = self.top.min(self.last_top.get());
        Vec::new()
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::SawStored(saw) => vec![Effect::SawAgain(saw.header.name)],
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
        self.last_top.set(lines.len().saturating_sub(height));
        let top = self.top.min(self.last_top.get());
        for (row, line) in (body.y..body.bottom()).zip(lines.iter().skip(top)) {
            let role = if top == 0 && row == body.y { Role::Title } else { Role::Text };
            frame.render_widget(Line::styled(line.as_str(), theme.style(role)), Rect { y: row, height: 1, ..body });
        }
        let more = lines.len().saturating_sub(top + height);
        if more > 0 {
            frame.render_widget(Line::styled(format!("{more} lines more below."), theme.style(Role::Quiet)), say);
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
