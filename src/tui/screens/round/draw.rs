//! Drawing the round: rows are given out by what a glance needs first.

use std::cmp::Ordering;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span, Text};

use super::super::super::footer;
use super::super::super::look::Shared;
use super::super::super::theme::{Glyph, Role, Theme};
use super::super::super::widgets::{Big, LoopMap};
use super::super::picture::Seen;
use super::{RoundScreen, Screen, picture};
use crate::coach::Tone;
use crate::practice::MARK;
use crate::report::format::wrap;
use crate::round::Phase;

/// Least columns for the picture beside the work instead of under it.
const WIDE: u16 = 110;
/// Least rows for that.
const BESIDE: u16 = 14;
/// A window in which the action is as large as the number, and drawing, map and last readings stand beside each other.
const MIDDLE: (u16, u16) = (100, 30);
/// A window with a pane for what to do, one for the picture and one for the loop.
pub(super) const LARGE: (u16, u16) = (140, 40);
/// Least rows in which a picture says anything.
const PICTURE: u16 = 5;

/// Below so many columns the stages do not fit side by side.
const NARROW: u16 = 58;
/// Most rows that what to do may take there.
const NOW: u16 = 6;

/// Rows of each part, top to bottom.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Rows {
    head: u16,
    strip: u16,
    place: u16,
    big: u16,
    now: u16,
    field: u16,
    said: u16,
    choices: u16,
    map: u16,
    picture: u16,
    events: u16,
    foot: u16,
}

impl Rows {
    /// What no window may lack, and the rows left of `height`: what to do and the field come first.
    fn needed(height: u16, choices: u16) -> (Self, u16) {
        let mut rows = Self::default();
        let mut left = height;
        give(&mut left, &mut rows.field, 1);
        give(&mut left, &mut rows.now, 1);
        give(&mut left, &mut rows.foot, 1);
        give(&mut left, &mut rows.said, 1);
        give(&mut left, &mut rows.place, 1);
        give(&mut left, &mut rows.choices, choices.min(3));
        give(&mut left, &mut rows.now, 2);
        give(&mut left, &mut rows.map, 1);
        give(&mut left, &mut rows.strip, 1);
        give(&mut left, &mut rows.head, 1);
        (rows, left)
    }

    /// With the picture as large as it can be: big digits and the map's loop make room for it.
    fn pictured(height: u16, choices: u16, now: u16) -> Self {
        let (mut rows, mut left) = Self::needed(height, choices);
        give(&mut left, &mut rows.now, now);
        rows.picture = left;
        rows
    }

    /// Gives `height` rows out, decoration last.
    fn of(height: u16, big: u16, choices: u16, now: u16, picture_below: bool) -> Self {
        let (mut rows, mut left) = Self::needed(height, choices);
        give(&mut left, &mut rows.now, now);
        give(&mut left, &mut rows.choices, choices.min(6));
        give(&mut left, &mut rows.said, 2);
        // Big digits are all or nothing; half of them says nothing.
        if left > big {
            give(&mut left, &mut rows.big, big);
        }
        give(&mut left, &mut rows.strip, 1);
        give(&mut left, &mut rows.choices, choices);
        give(&mut left, &mut rows.map, 3);
        give(&mut left, &mut rows.events, 1);
        if left >= 2 {
            give(&mut left, &mut rows.map, 5);
        }
        if picture_below && left >= PICTURE {
            let rest = left.saturating_sub(2).max(PICTURE);
            give(&mut left, &mut rows.picture, rest);
        }
        give(&mut left, &mut rows.events, 3);
        if left >= 2 {
            give(&mut left, &mut rows.map, 7);
        }
        rows
    }
}

/// Raises a slot to `want` rows as far as what is left allows.
fn give(left: &mut u16, slot: &mut u16, want: u16) {
    let more = want.saturating_sub(*slot).min(*left);
    *slot += more;
    *left -= more;
}

impl RoundScreen {
    pub(super) fn draw_all(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        self.large.set(area.width >= LARGE.0 && area.height >= LARGE.1);
        if area.width >= MIDDLE.0 && area.height >= MIDDLE.1 {
            self.wide.set(true);
            return self.draw_roomy(frame, area, shared);
        }
        let wide = area.width >= WIDE && area.height >= BESIDE;
        let (left, right) = if wide {
            let [left, _, right] =
                Layout::horizontal([Constraint::Min(0), Constraint::Length(2), Constraint::Percentage(44)]).areas(area);
            (left, Some(right))
        } else {
            (area, None)
        };
        let big = if self.prompt.big.is_empty() {
            0
        } else if theme.ascii() {
            5
        } else {
            4
        };
        let width = usize::from(left.width).max(10);
        let choices = u16::try_from(self.choice_lines(width, theme, big == 0).len()).unwrap_or(u16::MAX);
        self.wide.set(wide);
        // Where there is much to choose from, that comes before any picture.
        let below = right.is_none() && choices <= 3;
        // A narrow window breaks what to do into more rows; all of it is read before anything is drawn.
        let now = u16::try_from(wrap(&self.prompt.now, width, 0).len()).unwrap_or(2).min(NOW);
        let now = if area.width < NARROW { now } else { 0 };
        let rows = if below && self.enlarged {
            Rows::pictured(area.height, choices, now)
        } else {
            Rows::of(area.height, big, choices, now, below)
        };
        let heights = [
            rows.head,
            rows.strip,
            rows.place,
            rows.big,
            rows.now,
            rows.field,
            rows.said,
            rows.choices,
            rows.map,
            rows.picture,
            rows.events,
            rows.foot,
        ];
        let mut y = area.y;
        let [head, strip, place, big, now, field, said, choices, map, picture, events, _] = heights.map(|height| {
            let part = Rect { y, height, ..left };
            y += height;
            part
        });
        let foot = Rect { y: area.bottom() - rows.foot, height: rows.foot, ..left };
        self.draw_head(frame, Rect { width: area.width, ..head }, shared);
        self.draw_strip(frame, Rect { width: area.width, ..strip }, theme);
        self.draw_place(frame, place, theme);
        self.draw_big(frame, big, theme);
        draw_wrapped(frame, now, &self.prompt.now, theme, Role::Now);
        let cursor = self.draw_field(frame, field, theme);
        self.draw_said(frame, said, shared);
        self.draw_choices(frame, choices, theme, rows.big == 0);
        self.draw_map(frame, map, theme);
        if right.is_none() {
            self.draw_picture(frame, picture, theme, None);
        }
        self.draw_events(frame, events, theme);
        if let Some(right) = right {
            let top = rows.head + rows.strip;
            let body = Rect { y: area.y + top, height: area.height.saturating_sub(top + rows.foot), ..right };
            self.draw_picture(frame, body, theme, None);
        }
        footer::draw(frame, Rect { width: area.width, ..foot }, self.place(), shared);
        cursor
    }

    pub(super) fn draw_head(&self, frame: &mut Frame, area: Rect, shared: &Shared) {
        let theme = shared.theme;
        let header = &self.coach.round.header;
        let (done, all) = self.glance.steps;
        // In a round that is over, or that a rejection ends, no work is left.
        let over = self.coach.round.closed.is_some() || self.coach.round.is_rejected();
        let minutes = self.glance.minutes.filter(|_| !over).map(|minutes| format!(", about {minutes} min left"));
        let pieces = [
            (format!("{}  ", self.name), Role::Title),
            (format!("{done} of {all} steps  "), Role::Text),
            (format!("{}, {}, {}", self.coach.hand(), header.wood.word(), header.tool), Role::Quiet),
            (minutes.unwrap_or_default(), Role::Quiet),
        ];
        let demo = if shared.banner.is_some() { "  demo" } else { "" };
        let mark = self.marks().map_or_else(String::new, |_| format!("{MARK}  "));
        let mut room = usize::from(area.width).saturating_sub(demo.len() + mark.chars().count());
        let mut spans = Vec::new();
        for (text, role) in pieces {
            // Half a piece says nothing; the name is told as far as there is room.
            if spans.is_empty() || text.trim_end().chars().count() <= room {
                room = room.saturating_sub(text.chars().count());
                spans.push(Span::styled(text, theme.style(role)));
            }
        }
        if !mark.is_empty() {
            spans.insert(0, Span::styled(mark, theme.style(Role::Warn)));
        }
        spans.push(Span::styled(demo, theme.style(Role::Warn)));
        frame.render_widget(Line::from(spans), area);
    }

    pub(super) fn draw_strip(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let here = self.prompt.step.phase;
        let name = |phase: Phase| if area.width < 90 { phase.short() } else { phase.word() };
        let stage = |phase: Phase| {
            let word = name(phase);
            match phase.cmp(&here) {
                Ordering::Less => (format!(" {word} {}", theme.glyph(Glyph::Done)), Role::Quiet),
                Ordering::Equal => (format!("[{}]", word.to_uppercase()), Role::Current),
                Ordering::Greater => (format!(" {word} "), Role::Quiet),
            }
        };
        let stages: Vec<(String, Role)> = Phase::ALL.into_iter().map(stage).collect();
        let columns: usize = stages.iter().map(|(text, _)| text.chars().count()).sum();
        let mut spans: Vec<Span> = Vec::new();
        // The blank behind the last one may go.
        if area.width < NARROW || columns > usize::from(area.width) + 1 {
            // Where not all of them fit, the stage at hand is the one to be seen.
            let at = Phase::ALL.iter().position(|phase| *phase == here).unwrap_or(0);
            spans.push(Span::styled(format!("[{}]", name(here).to_uppercase()), theme.style(Role::Current)));
            spans.push(Span::styled(format!(" {} of {}", at + 1, Phase::ALL.len()), theme.style(Role::Quiet)));
            let next = Phase::ALL.get(at + 1).map(|phase| format!(", then {}", name(*phase)));
            spans.push(Span::styled(next.unwrap_or_default(), theme.style(Role::Quiet)));
        } else {
            spans.extend(stages.into_iter().map(|(text, role)| Span::styled(text, theme.style(role))));
        }
        frame.render_widget(Line::from(spans), area);
    }

    pub(super) fn draw_place(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let mut spans = vec![Span::styled(self.prompt.place.clone(), theme.style(Role::Title))];
        let notes = self.at_hand().and_then(|n| self.coach.round.cutter(n)).and_then(|cutter| cutter.notes.last());
        if let Some(note) = notes {
            spans.push(Span::styled(format!("  note: {note}"), theme.style(Role::Quiet)));
        }
        frame.render_widget(Line::from(spans), area);
    }

    /// The cutter's number, readable from the vice, with what helps beside it.
    fn draw_big(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        if area.height == 0 {
            return;
        }
        let [number, facts] = Layout::horizontal([Constraint::Max(26), Constraint::Min(0)]).areas(area);
        frame.render_widget(&Big::new(theme, &self.prompt.big, Role::Current), number);
        let lines: Vec<Line> = self.facts(theme).collect();
        let skip = lines.len().saturating_sub(usize::from(facts.height));
        frame.render_widget(
            Text::from(lines.into_iter().take(usize::from(facts.height) + skip).collect::<Vec<_>>()),
            facts,
        );
    }

    pub(super) fn facts(&self, theme: Theme) -> impl Iterator<Item = Line<'_>> {
        self.prompt.facts.iter().map(move |(name, value)| {
            Line::from(vec![
                Span::styled(format!("{name}: "), theme.style(Role::Quiet)),
                Span::styled(value.as_str(), theme.style(Role::Text)),
            ])
        })
    }

    pub(super) fn draw_field(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Option<Position> {
        let (label, input) = match &self.side {
            Some(side) => (side.title.clone(), &side.input),
            None if self.prompt.field.is_empty() => (format!("Enter: {}", self.prompt.enter), &self.field),
            None => (self.prompt.field.clone(), &self.field),
        };
        let label = format!("{label} > ");
        let width = u16::try_from(Line::from(label.as_str()).width()).unwrap_or(0);
        let room = usize::from(area.width.saturating_sub(width + 1)).max(1);
        let scroll = input.visual_scroll(room);
        let shown: String = input.value().chars().skip(scroll).collect();
        let mut spans = vec![
            Span::styled(label, theme.style(Role::Title)),
            Span::styled(format!("{shown:<6} "), theme.style(Role::Field)),
        ];
        if self.side.is_none()
            && input.value().is_empty()
            && !self.prompt.field.is_empty()
            && !self.prompt.enter.is_empty()
        {
            let taken: usize = spans.iter().map(Span::width).sum();
            let ways = ["Enter alone", "Enter"].map(|key| format!("  {key}: {}", self.prompt.enter));
            let fits = ways.into_iter().find(|way| taken + way.chars().count() <= usize::from(area.width));
            spans.extend(fits.map(|way| Span::styled(way, theme.style(Role::Quiet))));
        }
        frame.render_widget(Line::from(spans), area);
        let column = u16::try_from(input.visual_cursor().saturating_sub(scroll)).unwrap_or(0);
        let x = area.x.saturating_add(width).saturating_add(column).min(area.right().saturating_sub(1));
        (area.height > 0).then_some(Position { x, y: area.y })
    }

    /// What the last entry came to, a refusal, or an open question: one place, the word first.
    pub(super) fn said_text(&self) -> Option<(String, Role)> {
        if let Some(question) = &self.coach.question {
            let ways = question.ways(|meant| format!("y takes {meant}"), "* keeps it");
            return Some((format!("? {}  {ways}. Anything else: {}.", question.text, question.or), Role::Question));
        }
        if let Some(side) = self.side.as_ref().filter(|side| self.refused.is_none() && !side.hint.is_empty()) {
            return Some((side.hint.clone(), Role::Quiet));
        }
        if let Some(why) = &self.refused {
            return Some((why.clone(), Role::Warn));
        }
        let role = |tone| match tone {
            Tone::Good => Role::Good,
            Tone::Plain => Role::Text,
            Tone::Again | Tone::Warn => Role::Warn,
            Tone::Bad => Role::Bad,
        };
        self.said.as_ref().map(|said| (said.line(), role(said.tone)))
    }

    pub(super) fn draw_said(&self, frame: &mut Frame, area: Rect, shared: &Shared) {
        let Some((text, role)) = self.said_text() else { return };
        draw_wrapped(frame, area, &text, shared.theme, role);
        let word =
            self.said.as_ref().filter(|said| text.starts_with(&said.word)).map_or(0, |said| said.word.chars().count());
        light(frame, Rect { width: u16::try_from(word).unwrap_or(0), height: area.height.min(1), ..area }, shared);
    }

    /// The picture; that of `going` in its place while there is one.
    pub(super) fn draw_picture(&self, frame: &mut Frame, area: Rect, theme: Theme, going: Option<&Seen<'_>>) {
        if let Some(going) = going {
            return picture::draw(self, going, frame, area, theme);
        }
        let kept = &self.glance.kept;
        let seen = self.seen();
        kept.draw(frame, area, (theme, self.view.name()), |frame| picture::draw(self, &seen, frame, area, theme));
    }

    pub(super) fn draw_map(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let map = LoopMap { theme, cells: &self.glance.cells, current: self.at_hand() };
        self.glance.kept.draw(frame, area, (theme, "map"), |frame| frame.render_widget(&map, area));
    }

    pub(super) fn draw_events(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let mut lines = Vec::new();
        for (index, event) in self.glance.events.iter().take(usize::from(area.height)).enumerate() {
            let hint = if index == 0 && self.coach.round.closed.is_none() { "  / takes it back" } else { "" };
            let fits = event.chars().count() + hint.len() <= usize::from(area.width);
            let hint = if fits { hint } else { "" };
            lines.push(Line::styled(format!("{event}{hint}"), theme.style(Role::Quiet)));
        }
        frame.render_widget(Text::from(lines), area);
    }
}

/// Swaps the colours of a verdict's words and ground while it is lit.
pub(super) fn light(frame: &mut Frame, area: Rect, shared: &Shared) {
    if shared.moves.is_some_and(|frame| frame.lit) {
        let area = area.intersection(frame.area());
        frame.buffer_mut().set_style(area, Style::new().add_modifier(Modifier::REVERSED));
    }
}

pub(super) fn draw_wrapped(frame: &mut Frame, area: Rect, text: &str, theme: Theme, role: Role) {
    let lines =
        wrap(text, usize::from(area.width).max(1), 0).into_iter().map(|line| Line::styled(line, theme.style(role)));
    frame.render_widget(lines.collect::<Text>(), area);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_never_exceed_the_window_and_the_field_comes_first() {
        for height in 0..80 {
            for (big, choices) in [(0, 0), (4, 0), (5, 3), (0, 6), (0, 60)] {
                for below in [false, true] {
                    let rows = Rows::of(height, big, choices, height % 7, below);
                    let all = rows.head
                        + rows.strip
                        + rows.place
                        + rows.big
                        + rows.now
                        + rows.field
                        + rows.said
                        + rows.choices
                        + rows.map
                        + rows.picture
                        + rows.events
                        + rows.foot;
                    assert!(all <= height, "{height}: {rows:?}");
                    assert_eq!(rows.field, height.min(1));
                    assert!(rows.big == 0 || rows.big == big);
                }
            }
        }
    }

    #[test]
    fn a_usual_window_shows_everything() {
        let rows = Rows::of(24, 4, 0, 2, true);
        assert!(rows.big == 4 && rows.map >= 3 && rows.now == 2 && rows.events >= 1 && rows.strip == 1, "{rows:?}");
    }
}
