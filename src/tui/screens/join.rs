//! Another data folder to bring in: how far the look at it is, what it comes to, and then how far bringing it in is.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::Line;

use super::super::effect::{Answer, Effect, Folders, Joining, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scroll::Scroll;
use super::super::theme::Role;
use super::page::fold;
use crate::care::{Join, Progress};
use crate::report::format::capital;
use crate::report::join::{preview, twice};
use crate::tui::screen::Screen;
use crate::units::Unit;
use crate::units::clean::clean;

/// A data folder to bring in.
pub(super) struct JoinScreen {
    folder: String,
    stands: Stands,
    lines: Vec<String>,
    scroll: Scroll,
}

/// How far it is.
enum Stands {
    /// Something is being done: what, and how far it is.
    Working(&'static str, Option<Progress>),
    /// What it comes to is seen, and can be done.
    Seen(Box<Join>),
    /// Nothing more can be done.
    Done,
}

impl JoinScreen {
    /// The folder of that path, which is being looked at.
    pub(super) fn new(folder: String) -> Self {
        let stands = Stands::Working("Being looked at; nothing is written.", None);
        Self { folder, stands, lines: Vec::new(), scroll: Scroll::default() }
    }

    fn looked(&mut self, join: Box<Join>, unit: Unit) {
        self.lines = preview(&join, unit).lines().map(str::to_owned).collect();
        self.lines.extend(join.refused.iter().map(|(_, problem)| format!("Not taken: {problem}")));
        self.stands = if let Some(twice) = twice(&join) {
            let says = "Nothing is joined until that is said, with the command: evenbite join";
            self.lines.extend(twice.lines().map(str::to_owned).chain([says.to_owned()]));
            Stands::Done
        } else if join.is_nothing() {
            Stands::Done
        } else {
            Stands::Seen(join)
        };
    }

    fn head(&self) -> String {
        match &self.stands {
            Stands::Working(what, _) => (*what).to_owned(),
            Stands::Seen(_) => "This would be done. Nothing is written yet.".to_owned(),
            Stands::Done => format!("Bringing in {}", clean(&self.folder)),
        }
    }
}

/// How far it is, in words.
fn far(progress: Option<&Progress>) -> String {
    match progress {
        None => String::new(),
        Some(Progress { what, done, total: 0 }) => format!("{what}: {done}"),
        Some(Progress { what, done, total }) => format!("{what}: {done} of {total}"),
    }
}

impl Screen for JoinScreen {
    fn place(&self) -> Place {
        match self.stands {
            Stands::Working(..) => Place::Working,
            Stands::Seen(_) => Place::Join,
            Stands::Done => Place::Reading,
        }
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match (action, &self.stands) {
            (Action::Close, Stands::Working(..)) => vec![Effect::Desk(Work::Folders(Folders::Stop))],
            (Action::Close, _) => vec![Effect::Go(Step::Close)],
            (Action::Keep, Stands::Seen(_)) => {
                let working = Stands::Working("Being brought in.", None);
                let Stands::Seen(join) = std::mem::replace(&mut self.stands, working) else { return Vec::new() };
                vec![Effect::Desk(Work::Folders(Folders::Join(join)))]
            }
            (other, _) => {
                self.scroll.act(other);
                Vec::new()
            }
        }
    }

    fn answer(&mut self, answer: Answer, shared: &Shared) -> Vec<Effect> {
        match answer {
            Answer::Joining(Joining::Far(progress)) => {
                if let Stands::Working(_, far) = &mut self.stands {
                    *far = Some(progress);
                }
            }
            Answer::Joining(Joining::Looked(Ok(join))) => self.looked(join, shared.units),
            Answer::Joining(Joining::Done(Ok(said))) => {
                (self.lines, self.stands) = (said, Stands::Done);
                self.scroll.restart();
            }
            Answer::Joining(Joining::Looked(Err(why)) | Joining::Done(Err(why))) => {
                return vec![Effect::Go(Step::Close), Effect::Go(Step::Notice(capital(&clean(&why))))];
            }
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [head, body, foot] =
            Layout::vertical([Constraint::Length(1), Constraint::Min(0), Constraint::Length(1)]).areas(area);
        frame.render_widget(Line::styled(self.head(), shared.theme.style(Role::Title)), head);
        let lines = match &self.stands {
            Stands::Working(_, progress) => vec![clean(&self.folder), far(progress.as_ref())],
            _ => self.lines.clone(),
        };
        let lines: Vec<String> =
            lines.iter().flat_map(|line| fold(&line.replace('\t', " "), usize::from(body.width).max(20))).collect();
        let seen = self.scroll.lines(lines.len(), usize::from(body.height));
        for (y, line) in (body.y..).zip(&lines[seen]) {
            let row = Rect { y, height: 1, ..body };
            frame.render_widget(Line::styled(line.as_str(), shared.theme.style(Role::Text)), row);
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
