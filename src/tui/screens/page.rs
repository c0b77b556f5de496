//! A page to read: a sheet, a table, a list of words. Scrolls; may have a second version.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Text};
use unicode_width::UnicodeWidthStr;

use super::super::effect::{Effect, Step};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::PageOf;
use super::super::scroll::Scroll;
use super::super::theme::Role;
use crate::report::format;
use crate::tui::screen::Screen;
use crate::units::clean::clean;

/// A page to read.
pub(super) struct Page {
    title: String,
    versions: Vec<Vec<String>>,
    at: usize,
    scroll: Scroll,
    of: PageOf,
}

impl Page {
    /// A page of one text, or of several that are looked at in turn.
    pub(super) fn new(title: &str, texts: &[String]) -> Self {
        let split = |text: &String| text.lines().map(printable).collect();
        Self {
            title: clean(title),
            versions: texts.iter().map(split).collect(),
            at: 0,
            scroll: Scroll::default(),
            of: PageOf::None,
        }
    }

    /// With figures of somebody's.
    pub(super) fn of(self, of: PageOf) -> Self {
        Self { of, ..self }
    }

    fn lines(&self) -> &[String] {
        self.versions.get(self.at).map_or(&[], Vec::as_slice)
    }

    /// Lines as they stand in a window of that width: what is too long goes on below, set in.
    fn wrapped(&self, width: u16) -> Vec<String> {
        let width = usize::from(width).max(20);
        self.lines().iter().flat_map(|line| fold(line, width)).collect()
    }
}

/// A long line in pieces, broken at blanks where there are any, later ones set in below the second column.
pub(super) fn fold(line: &str, width: usize) -> Vec<String> {
    let text = line.trim_start();
    let column = text.find("  ").map_or(4, |at| line.width() - text[at..].trim_start().width());
    let indent = if column < width / 2 { column } else { 4 };
    format::fold(line, width, indent)
}

/// A line without what must not be printed, its indent kept.
fn printable(line: &str) -> String {
    line.chars().map(|c| if crate::units::clean::is_unsafe(c) { ' ' } else { c }).collect()
}

impl Screen for Page {
    fn place(&self) -> Place {
        Place::Reading
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Close => return vec![Effect::Go(Step::Close)],
            Action::Format => {
                self.at = (self.at + 1) % self.versions.len().max(1);
                self.scroll.restart();
            }
            other => self.scroll.act(other),
        }
        Vec::new()
    }

    fn tells_of_below(&self) -> bool {
        self.of == PageOf::Below
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        // In a narrow window the title goes on below: it names the keys of the page too.
        let titled = format::wrap(&self.title, usize::from(area.width).max(10), 2);
        let rows = u16::try_from(titled.len()).unwrap_or(1).clamp(1, (area.height / 5).max(1));
        let [head, body, foot] =
            Layout::vertical([Constraint::Length(rows), Constraint::Min(0), Constraint::Length(1)]).areas(area);
        let lines = self.wrapped(body.width);
        let seen = self.scroll.lines(lines.len(), usize::from(body.height));
        let more = lines.len() > usize::from(body.height);
        let place = format!("  line {} of {}", seen.start + 1, lines.len());
        let last = titled.last().map_or(0, |line| line.width());
        let placed = more && last + place.width() <= usize::from(area.width);
        let count = titled.len();
        let titled = titled.into_iter().enumerate().map(|(at, line)| {
            let line = if placed && at + 1 == count { line + &place } else { line };
            Line::styled(line, shared.theme.style(Role::Title))
        });
        frame.render_widget(titled.collect::<Text>(), head);
        for (y, line) in (body.y..).zip(&lines[seen]) {
            frame.render_widget(
                Line::styled(line.as_str(), shared.theme.style(Role::Text)),
                Rect { y, height: 1, ..body },
            );
        }
        footer::draw(frame, foot, self.place(), shared);
        None
    }
}
