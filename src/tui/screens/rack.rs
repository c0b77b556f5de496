//! The rack: every loop in care, what is left of it, and what waits.

use std::cell::Cell;
use std::collections::BTreeSet;

use crossterm::event::{Event, KeyCode, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;

use super::super::effect::{Answer, Effect, Folders, News, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::{Chosen, Purpose, Scene};
use super::super::scroll::Cursor;
use super::super::theme::{Role, Theme};
use super::rack_rows::NARROW;
use super::{rack_loop, rack_rows};
use crate::advice::Agreement;
use crate::care::{Filter, Row, Sort};
use crate::report::format::wrap;
use crate::tui::screen::Screen;

/// A window with room for the chosen loop below the list.
const WIDE: (u16, u16) = (140, 40);

/// What to do first, on an empty data folder.
const FIRST_RUN: [&str; 5] = [
    "No loop is in care yet. Press n to take the first one.",
    "n asks for its name, its chain and its drive links.",
    "Enter on the loop then begins its first round.",
    "Type what the caliper shows, and Enter; / takes it back.",
    "F3 has the lessons, F4 the words, F1 the keys.",
];

/// The rack.
pub(super) struct RackScreen {
    rows: Vec<Row>,
    problems: Vec<String>,
    /// Indices into `rows` that pass search and filter, in order.
    shown: Vec<usize>,
    cursor: Cursor,
    sort: Sort,
    filter: Filter,
    search: Option<Input>,
    loaded: bool,
    /// All loops, those in care and the open ones of those, while only the first rows are known.
    counts: Option<(usize, usize, usize)>,
    /// How many loops were read again, of how many, while that goes on.
    progress: Option<(usize, usize)>,
    /// How much is to be chosen of what joined folders say differently.
    asked: usize,
    /// The loop for the cursor once its row is known.
    wanted: Option<String>,
    /// The loop that the cursor stands on, where the window has room for it.
    chosen: Option<rack_loop::Chosen>,
    /// The window has that room, as last drawn.
    wide: Cell<bool>,
}

impl Default for RackScreen {
    fn default() -> Self {
        Self {
            rows: Vec::new(),
            problems: Vec::new(),
            shown: Vec::new(),
            cursor: Cursor::default(),
            sort: Sort::Name,
            filter: Filter::InCare,
            search: None,
            loaded: false,
            counts: None,
            progress: None,
            asked: 0,
            wanted: None,
            chosen: None,
            wide: Cell::new(false),
        }
    }
}

impl RackScreen {
    fn current(&self) -> Option<&Row> {
        self.rows.get(*self.shown.get(self.cursor.at())?)
    }

    fn arrange(&mut self) {
        self.arrange_at(self.current().map(|row| row.tag.clone()));
    }

    /// Filters and sorts, with the cursor on that loop where it is shown.
    fn arrange_at(&mut self, tag: Option<String>) {
        let wanted = self.search.as_ref().map(|input| input.value().to_lowercase()).unwrap_or_default();
        let rows = &self.rows;
        let filter = self.filter;
        self.shown = (0..rows.len()).filter(|&i| filter.takes(&rows[i]) && rows[i].holds(&wanted)).collect();
        let sort = self.sort;
        self.shown.sort_by(|&a, &b| sort.order(&rows[a], &rows[b]));
        let found = tag.and_then(|tag| self.shown.iter().position(|&i| rows[i].tag == tag));
        self.cursor.set(found.unwrap_or(0));
    }

    /// Takes all rows, or some that are new in place of older ones.
    fn take(&mut self, news: News) {
        // The row may have moved on the list, so the cursor follows its loop.
        let at = self.wanted.take().or_else(|| self.current().map(|row| row.tag.clone()));
        self.progress = news.progress;
        self.asked = news.asked;
        self.counts = None;
        if news.progress.is_none() {
            (self.rows, self.problems, self.loaded) = (news.rows, news.problems, true);
        } else {
            let new: BTreeSet<&str> = news.rows.iter().map(|row| row.tag.as_str()).collect();
            self.rows.retain(|row| !new.contains(row.tag.as_str()));
            self.rows.extend(news.rows);
        }
        self.arrange_at(at);
    }

    fn is_chosen(&self, row: &Row) -> bool {
        self.chosen.as_ref().is_some_and(|chosen| chosen.life.card.tag == row.tag)
    }

    /// Asks for what is known of the loop under the cursor, unless it is there.
    fn look_closer(&self) -> Vec<Effect> {
        let Some(row) = self.current().filter(|_| self.wide.get()) else { return Vec::new() };
        if self.is_chosen(row) { Vec::new() } else { vec![Effect::Desk(Work::LifeOf(row.tag.clone()))] }
    }

    fn open(&self) -> Vec<Effect> {
        let Some(row) = self.current() else { return Vec::new() };
        vec![Effect::Desk(Work::OpenLoop(row.tag.clone()))]
    }

    fn of_current(&self, effect: impl Fn(String) -> Effect) -> Vec<Effect> {
        self.current().map(|row| effect(row.tag.clone())).into_iter().collect()
    }

    fn work(&self, work: impl Fn(String) -> Work) -> Vec<Effect> {
        self.of_current(|tag| Effect::Desk(work(tag)))
    }

    /// Tags of the loops that are shown.
    fn tags(&self) -> Vec<Effect> {
        let named: Vec<String> =
            self.shown.iter().filter_map(|index| self.rows.get(*index)).map(|row| row.tag.clone()).collect();
        if named.is_empty() { Vec::new() } else { vec![Effect::Desk(Work::Tags { named, filter: self.filter })] }
    }

    fn search_key(&mut self, action: Action) -> Option<Vec<Effect>> {
        self.search.as_ref()?;
        match action {
            Action::Close => self.search = None,
            Action::Next => return Some(self.open()),
            Action::Up | Action::Down => self.cursor.act(action, self.shown.len()),
            _ => return None,
        }
        self.arrange();
        Some(Vec::new())
    }

    fn draw_rows(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        for (y, place) in (area.y..).zip(self.cursor.rows(self.shown.len(), usize::from(area.height))) {
            let Some(row) = self.rows.get(self.shown[place]) else { continue };
            frame.render_widget(
                rack_rows::line(row, area.width, place == self.cursor.at(), self.is_by_day(), theme),
                Rect { y, height: 1, ..area },
            );
        }
    }

    /// The chosen loop below the list; what is left for the list.
    fn draw_chosen(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Rect {
        let rows = u16::try_from(self.shown.len()).unwrap_or(u16::MAX).clamp(3, area.height * 2 / 5);
        let [list, _, below] =
            Layout::vertical([Constraint::Length(rows), Constraint::Length(1), Constraint::Min(0)]).areas(area);
        let known = self.current().zip(self.chosen.as_ref());
        if let Some((row, chosen)) = known.filter(|(row, _)| self.is_chosen(row)) {
            chosen.draw(frame, below, row, theme);
        }
        list
    }

    /// The days that loops are promised for are what is looked for.
    const fn is_by_day(&self) -> bool {
        matches!(self.sort, Sort::Promised) || matches!(self.filter, Filter::Promised | Filter::Overdue)
    }

    fn draw_empty(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        if self.loaded && self.rows.is_empty() {
            let role = |at: usize| if at == 0 { Role::Now } else { Role::Text };
            let lines = FIRST_RUN.iter().enumerate().map(|(at, text)| Line::styled(*text, theme.style(role(at))));
            frame.render_widget(Text::from(lines.collect::<Vec<_>>()), area);
            return;
        }
        let text = if self.loaded {
            "No loop fits. Press f to show others, or Esc to end the search."
        } else {
            "Reading the rack."
        };
        frame.render_widget(Line::styled(text, theme.style(Role::Now)), area);
    }

    fn head(&self, theme: Theme) -> Line<'static> {
        let (loops, shown, paused) = match self.counts {
            Some((loops, in_care, open)) if self.filter == Filter::InCare && self.search.is_none() => {
                (loops, in_care, open)
            }
            _ => (self.rows.len(), self.shown.len(), self.rows.iter().filter(|row| row.is_open()).count()),
        };
        let noun = if loops == 1 { "loop" } else { "loops" };
        let mut spans = vec![Span::styled("Rack", theme.style(Role::Title))];
        spans.push(Span::styled(
            format!("  {shown} of {loops} {noun}, {}, by {}", self.filter.word(), self.sort.word()),
            theme.style(Role::Quiet),
        ));
        if paused > 0 {
            spans.push(Span::styled(format!("  {paused} open to go on with"), theme.style(Role::Warn)));
        }
        if self.asked > 0 {
            spans.push(Span::styled(format!("  {} to choose, u", self.asked), theme.style(Role::Warn)));
        }
        let overdue = self.rows.iter().filter(|row| row.overdue).count();
        if overdue > 0 {
            spans.push(Span::styled(format!("  {overdue} OVERDUE"), theme.style(Role::Bad)));
        }
        // Over the whole workshop, once it is read.
        let cut = self.rows.iter().fold(Agreement::default(), |sum, row| sum.and(row.cut)).words();
        spans.extend(cut.map(|words| Span::styled(format!("  cut {words}"), theme.style(Role::Quiet))));
        Line::from(spans)
    }
}

impl Screen for RackScreen {
    fn place(&self) -> Place {
        if self.search.is_some() { Place::Text } else { Place::Rack }
    }

    fn has_text(&self) -> bool {
        self.search.is_some()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if let Some(effects) = self.search_key(action) {
            return effects;
        }
        match action {
            Action::Next => return self.open(),
            Action::Search => self.search = Some(Input::default()),
            Action::Sort => {
                self.sort = self.sort.next();
                self.arrange();
            }
            Action::Filter => {
                self.filter = self.filter.next();
                self.arrange();
            }
            Action::NewLoop => return vec![Effect::Desk(Work::NewLoopForm)],
            Action::Import => {
                let chosen = self.current().map(|row| Chosen { tag: row.tag.clone(), name: row.name.clone() });
                return vec![Effect::Desk(Work::ImportForm(chosen))];
            }
            Action::NewProfile => return vec![Effect::Desk(Work::NewProfileForm)],
            Action::Sheet => return self.work(Work::Sheet),
            Action::History => return self.work(Work::History),
            Action::Why => return self.work(Work::WhyOf),
            Action::Tags => return self.tags(),
            Action::JoinFolder => {
                let title =
                    "Which data folder is to be brought into this one? It is only read, and shown first.".to_owned();
                return vec![Effect::Go(Step::Open(Scene::Ask { title, purpose: Purpose::LookAtFolder }))];
            }
            Action::Questions => return vec![Effect::Desk(Work::Folders(Folders::Ask))],
            Action::Drills => return vec![Effect::Desk(Work::Drills)],
            Action::Practice => return vec![Effect::Desk(Work::Practice)],
            Action::Paper => return self.work(Work::Paper),
            Action::Saw => return self.work(Work::SawOf),
            Action::Gaps => return self.work(|tag| Work::Gaps { tag, unit: None }),
            Action::Card => return self.work(Work::CardForm),
            Action::Gauge => return self.work(Work::GaugeForm),
            Action::Scrap => return self.work(Work::ScrapForm),
            Action::Release => return self.work(Work::ReleaseForm),
            Action::Model => return vec![Effect::Desk(Work::ModelOf(self.current().map(|row| row.tag.clone())))],
            Action::Causes => return vec![Effect::Desk(Work::CausesOf(self.current().map(|row| row.tag.clone())))],
            Action::Settings => return vec![Effect::Desk(Work::Settings)],
            other => self.cursor.act(other, self.shown.len()),
        }
        Vec::new()
    }

    fn edit(&mut self, key: KeyEvent) {
        if let Some(input) = &mut self.search {
            if key.code == KeyCode::Backspace && input.value().is_empty() {
                self.search = None;
            } else {
                input.handle_event(&Event::Key(key));
            }
            self.arrange();
        }
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::Glance { rows, counts } if !self.loaded => {
                self.rows = rows;
                self.counts = Some(counts);
                self.arrange();
            }
            Answer::Rack(news) => {
                self.take(news);
                // What was known of the loop may have changed with it.
                self.chosen = None;
            }
            Answer::Life(life) => self.chosen = Some(rack_loop::Chosen::new(life.known, life.unit)),
            Answer::Choose(tag) => {
                let found = self.shown.iter().position(|&i| self.rows[i].tag == tag);
                self.cursor.set(found.unwrap_or(self.cursor.at()));
                self.wanted = Some(tag);
            }
            _ => {}
        }
        Vec::new()
    }

    fn drawn(&mut self) -> Vec<Effect> {
        if self.loaded { self.look_closer() } else { Vec::new() }
    }

    fn back(&mut self) -> Vec<Effect> {
        vec![Effect::Desk(Work::LoadRack)]
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let banner = u16::from(shared.banner.is_some());
        let problem = u16::from(self.progress.is_some() || !self.problems.is_empty());
        let wide = area.width >= WIDE.0 && area.height >= WIDE.1;
        self.wide.set(wide);
        // In a wide window that stands beside the loop.
        let beside = wide && self.current().is_some_and(|row| self.is_chosen(row));
        let advice = self.current().filter(|_| !beside).map_or_else(String::new, Row::advice);
        // Where a row has no room for it, it goes on below.
        let advice = if area.width < NARROW { wrap(&advice, usize::from(area.width.max(1)), 0) } else { vec![advice] };
        let told = u16::try_from(advice.len()).unwrap_or(1).clamp(1, (area.height / 5).max(1));
        let [top, head, columns, body, say, say_problem, foot] = Layout::vertical([
            Constraint::Length(banner),
            Constraint::Length(1),
            Constraint::Length(1),
            Constraint::Min(0),
            Constraint::Length(told),
            Constraint::Length(problem),
            Constraint::Length(1),
        ])
        .areas(area);
        if let Some(text) = &shared.banner {
            frame.render_widget(Line::styled(text.clone(), theme.style(Role::Warn)), top);
        }
        frame.render_widget(self.head(theme), head);
        let body = if wide { self.draw_chosen(frame, body, theme) } else { body };
        if self.shown.is_empty() {
            self.draw_empty(frame, body, theme);
        } else {
            frame.render_widget(rack_rows::heading(columns.width, self.is_by_day(), theme), columns);
            self.draw_rows(frame, body, theme);
        }
        if let Some((done, total)) = self.progress {
            let text = format!("Reading again what changed: {done} of {total} loops. Go on meanwhile.");
            frame.render_widget(Line::styled(text, theme.style(Role::Warn)), say_problem);
        } else if let Some(text) = self.problems.first() {
            let more = self.problems.len() - 1;
            let more = if more > 0 { format!(" ({more} more)") } else { String::new() };
            frame.render_widget(Line::styled(format!("{text}{more}"), theme.style(Role::Bad)), say_problem);
        }
        footer::draw(frame, foot, self.place(), shared);
        if let Some(input) = &self.search {
            frame.render_widget(
                Line::from(vec![
                    Span::styled("Search: ", theme.style(Role::Quiet)),
                    Span::raw(input.value().to_owned()),
                ]),
                say,
            );
            let x = say.x.saturating_add(8).saturating_add(u16::try_from(input.visual_cursor()).unwrap_or(0));
            return Some(Position { x, y: say.y });
        }
        let lines = advice.into_iter().map(|line| Line::styled(line, theme.style(Role::Now)));
        frame.render_widget(lines.collect::<Text>(), say);
        // The cursor stands on the chosen row: screen readers and magnifiers follow it.
        let row = u16::try_from(self.cursor.at().min(usize::from(body.height).saturating_sub(1))).unwrap_or(0);
        (!self.shown.is_empty() && body.height > 0).then_some(Position { x: body.x, y: body.y + row })
    }
}
