//! The round in a window with room: what to do, large, and beside it the picture and the loop.
//!
//! Everything keeps its place as the window grows: things are added beside, none moves.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::style::Modifier;
use ratatui::text::{Line, Span, Text};

use super::super::super::footer;
use super::super::super::look::Shared;
use super::super::super::theme::{Glyph, Role, Theme};
use super::super::super::widgets::Big;
use super::super::gap_lines;
use super::super::picture::panel;
use super::super::view::View;
use super::draw::{LARGE, draw_wrapped, light};
use super::{RoundScreen, Screen};
use crate::advice::{CutterFinding, cautions};
use crate::coach::Tone;
use crate::report::format::wrap;
use crate::round::{Ask, CutterState, Phase};
use crate::units::{Millimetres, mm};

/// Columns of a letter of the large text, and between number and action.
const LETTER: u16 = 4;
/// Columns of the last verdict beside the action.
const VERDICT: u16 = 30;
/// Rows of the map: on the bar with its sides.
const MAP: u16 = 7;
/// Columns of a cutter's name among the next ones, and of each figure behind it.
const COMING: usize = 9;
const COLUMN: usize = 8;
/// Least rows for a chart.
const CHART: u16 = 12;

/// Takes rows off the top.
fn take(rest: &mut Rect, rows: u16) -> Rect {
    let rows = rows.min(rest.height);
    let part = Rect { height: rows, ..*rest };
    *rest = Rect { y: rest.y + rows, height: rest.height - rows, ..*rest };
    part
}

impl RoundScreen {
    /// A pane for what to do, the picture, and with more room the loop.
    pub(super) fn draw_roomy(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let [head, strip, body, foot] =
            Layout::vertical([Constraint::Length(1), Constraint::Length(1), Constraint::Min(0), Constraint::Length(1)])
                .areas(area);
        self.draw_head(frame, head, shared);
        self.draw_strip(frame, strip, theme);
        let cursor = if area.width >= LARGE.0 && area.height >= LARGE.1 {
            self.draw_panes(frame, body, shared)
        } else {
            self.draw_halves(frame, body, shared)
        };
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }

    /// What to do above, map and last readings beside the picture below.
    fn draw_halves(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let (cursor, rest) = self.draw_now(frame, area, shared, false);
        let [left, _, right] =
            Layout::horizontal([Constraint::Percentage(48), Constraint::Length(2), Constraint::Min(0)]).areas(rest);
        let [map, _, events] =
            Layout::vertical([Constraint::Max(MAP), Constraint::Length(1), Constraint::Min(0)]).areas(left);
        self.draw_map(frame, map, theme);
        self.draw_events(frame, events, theme);
        self.draw_picture(frame, right, theme, self.seen_going(shared).as_ref());
        cursor
    }

    /// Three panes over the map: what to do and the last readings; the picture and the gap curve; the lengths and the
    /// next cutters.
    fn draw_panes(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let [panes, map] = Layout::vertical([Constraint::Min(0), Constraint::Length(MAP)]).areas(area);
        let [now, _, middle, _, right] = Layout::horizontal([
            Constraint::Length(50 + (area.width - LARGE.0) / 6),
            Constraint::Length(2),
            Constraint::Fill(11),
            Constraint::Length(2),
            Constraint::Fill(10),
        ])
        .areas(panes);
        self.draw_map(frame, map, theme);
        let (cursor, mut rest) = self.draw_now(frame, now, shared, true);
        frame.render_widget(Line::styled("Last readings", theme.style(Role::Title)), take(&mut rest, 1));
        let kept = &self.glance.kept;
        kept.draw(frame, rest, (theme, "last"), |frame| self.draw_last(frame, rest, theme));
        let chart = (middle.height * 2 / 5).max(CHART).min(middle.height);
        let [upper, curve] = Layout::vertical([Constraint::Min(0), Constraint::Length(chart)]).areas(middle);
        self.draw_picture(frame, upper, theme, self.seen_going(shared).as_ref());
        kept.draw(frame, curve, (theme, "curve"), |frame| panel(&self.seen(), frame, curve, theme, View::Curve));
        let chart = (right.height / 2).max(CHART).min(right.height);
        let [lengths, coming] = Layout::vertical([Constraint::Length(chart), Constraint::Min(0)]).areas(right);
        kept.draw(frame, lengths, (theme, "lengths"), |frame| {
            panel(&self.seen(), frame, lengths, theme, View::Lengths);
        });
        kept.draw(frame, coming, (theme, "coming"), |frame| self.draw_coming(frame, coming, theme));
        cursor
    }

    /// The last readings, and with room under them what the chain asks for.
    fn draw_last(&self, frame: &mut Frame, mut rest: Rect, theme: Theme) {
        let header = &self.coach.round.header;
        let width = usize::from(rest.width);
        let setup = gap_lines::setup((&header.spec, header.wood), header.units, self.present(), width, theme);
        let below = u16::try_from(setup.len() + 1).unwrap_or(u16::MAX);
        if rest.height > 2 * below {
            let room = rest.height - below;
            let events = take(&mut rest, room);
            self.draw_events(frame, events, theme);
            take(&mut rest, 1);
            frame.render_widget(Text::from(setup), rest);
        } else {
            self.draw_events(frame, rest, theme);
        }
    }

    /// Place, number and action large, the last verdict, what to do in a sentence, the field, what it came to, choices;
    /// and what is left of the area. `narrow` puts the action under the number.
    fn draw_now(&self, frame: &mut Frame, area: Rect, shared: &Shared, narrow: bool) -> (Option<Position>, Rect) {
        let theme = shared.theme;
        let mut rest = area;
        let (width, prompt) = (usize::from(area.width).max(10), &self.prompt);
        let rows = |text: &str| u16::try_from(wrap(text, width, 0).len()).unwrap_or(u16::MAX);
        self.draw_place(frame, take(&mut rest, 1), theme);
        let beside = !prompt.big.is_empty() && self.draw_large(frame, &mut rest, shared, narrow);
        draw_wrapped(frame, take(&mut rest, rows(&prompt.now).clamp(2, 4)), &prompt.now, theme, Role::Now);
        let cursor = self.draw_field(frame, take(&mut rest, 1), theme);
        let said = self.said_rows(width).clamp(2, if narrow { 5 } else { 3 });
        let said = take(&mut rest, said);
        // The last saying stands once: beside the number where it fits there.
        if !beside || self.coach.question.is_some() || self.refused.is_some() || self.side.is_some() {
            self.draw_said(frame, said, shared);
        }
        let choices = self.choice_lines(width, theme, narrow).len().max(if narrow { prompt.facts.len() } else { 0 });
        let choices = u16::try_from(choices).unwrap_or(u16::MAX);
        // Choices come before pictures, but leave them some room.
        let most = rest.height.saturating_sub(if narrow { 6 } else { 4 });
        if !prompt.choices.is_empty() || prompt.big.is_empty() {
            self.draw_choices(frame, take(&mut rest, choices.min(most)), theme, narrow);
        } else if narrow {
            let facts: Vec<Line> = self.facts(theme).collect();
            frame.render_widget(Text::from(facts), take(&mut rest, choices.min(most)));
        }
        let air = u16::from(rest.height > 8);
        take(&mut rest, air);
        (cursor, rest)
    }

    /// Rows that the line under the field takes.
    fn said_rows(&self, width: usize) -> u16 {
        let text = self.said_text().map_or_else(String::new, |(text, _)| text);
        u16::try_from(wrap(&text, width, 0).len()).unwrap_or(1)
    }

    /// Number and action in one size, the last verdict beside them. True where all of that verdict stands there.
    fn draw_large(&self, frame: &mut Frame, rest: &mut Rect, shared: &Shared, narrow: bool) -> bool {
        let theme = shared.theme;
        let rows = if theme.ascii() { 5 } else { 4 };
        let letters = |text: &str| u16::try_from(text.chars().count()).unwrap_or(0) * LETTER;
        let (number, act) = (letters(&self.prompt.big), letters(&self.prompt.act));
        let top = take(rest, rows);
        let parts = if narrow {
            [Constraint::Length(number + 2), Constraint::Length(0), Constraint::Min(0)]
        } else {
            [Constraint::Length(number + 2 * LETTER), Constraint::Length(act + 2), Constraint::Min(0)]
        };
        let [at, beside, verdict] = Layout::horizontal(parts).areas(top);
        let big = |text, role| Big { rows_at_most: rows, ..Big::new(theme, text, role) };
        let kept = &self.glance.kept;
        kept.draw(frame, at, (theme, "number"), |frame| frame.render_widget(&big(&self.prompt.big, Role::Current), at));
        let all = self.draw_verdict(frame, Rect { width: verdict.width.min(VERDICT + 8), ..verdict }, shared);
        if narrow {
            take(rest, 1);
        }
        let act = if narrow { take(rest, rows) } else { beside };
        kept.draw(frame, act, (theme, "act"), |frame| frame.render_widget(&big(&self.prompt.act, Role::Title), act));
        if !narrow {
            let mut spans = Vec::new();
            for line in self.facts(theme) {
                spans.extend(line.spans);
                spans.push(Span::raw("   "));
            }
            frame.render_widget(Line::from(spans), take(rest, 1));
        }
        all
    }

    /// The last verdict with its cutter and a sign; false where there is no room for its sentence.
    fn draw_verdict(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> bool {
        let theme = shared.theme;
        let Some(said) = &self.said else { return true };
        let (sign, role) = match said.tone {
            Tone::Good => (theme.glyph(Glyph::Done), Role::Good),
            Tone::Plain => (theme.glyph(Glyph::Bullet), Role::Text),
            Tone::Again => ("?", Role::Warn),
            Tone::Warn => ("!", Role::Warn),
            Tone::Bad => ("!!", Role::Bad),
        };
        let cutter = self.said_of.and_then(|number| self.coach.round.cutter(number));
        let who = cutter.map_or_else(String::new, |cutter| format!("{} {} ", cutter.number, cutter.side.letter()));
        let named = !(who.is_empty() && said.word.is_empty());
        let head = format!("{sign} {who}{}", said.word);
        let mut lines = Vec::new();
        if named {
            lines.push(Line::styled(head.trim_end().to_owned(), theme.style(role).add_modifier(Modifier::BOLD)));
        }
        let text = wrap(&said.text, usize::from(area.width).max(10), 0);
        // What does not fit here stands whole under the field.
        let fits = text.len() + lines.len() <= usize::from(area.height);
        if fits {
            lines.extend(text.into_iter().map(|line| Line::styled(line, theme.style(Role::Text))));
        }
        frame.render_widget(Text::from(lines), area);
        if named {
            let wide = u16::try_from(head.trim_end().chars().count()).unwrap_or(0).min(area.width);
            light(frame, Rect { width: wide, height: area.height.min(1), ..area }, shared);
        }
        fits
    }

    /// Balance, then the next cutters of this part of the round, or what the proof has to say; then the gaps by length.
    fn draw_coming(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let (width, rows) = (usize::from(area.width).max(10), usize::from(area.height));
        let header = &self.coach.round.header;
        let unit = header.units;
        let mut lines: Vec<Line> = Vec::new();
        let mut say = |text: &str, role| {
            lines.extend(wrap(text, width, 2).into_iter().map(|line| Line::styled(line, theme.style(role))));
        };
        say(&self.findings.balance.words(unit), Role::Text);
        if self.prompt.step.phase >= Phase::Prove {
            for redo in &self.findings.redo {
                say(&redo.words(unit), Role::Warn);
            }
            for flag in &self.findings.flags {
                say(&flag.words(unit), Role::Text);
            }
            for caution in &self.findings.cautions {
                say(&caution.words(unit), Role::Text);
            }
        }
        let coming = self.coming();
        if !coming.is_empty() {
            let columns = self.coming_columns();
            let heads: String = columns.iter().map(|head| format!("{head:>COLUMN$}")).collect();
            let head = format!("{:<COMING$}{heads}", format!("next, {}", unit.name()));
            lines.push(Line::styled(head, theme.style(Role::Quiet)));
            let gaps = if rows > 30 { rows / 2 } else { 0 };
            let room = rows.saturating_sub(lines.len() + gaps);
            lines.extend(coming.iter().take(room).map(|found| self.coming_line(found, theme)));
        } else if self.prompt.step.phase < Phase::First {
            for always in cautions::ALWAYS {
                lines.extend(
                    wrap(always, width, 2).into_iter().map(|line| Line::styled(line, theme.style(Role::Quiet))),
                );
            }
        }
        lines.push(Line::raw(""));
        let present = self.present();
        let room = rows.saturating_sub(lines.len());
        lines.extend(gap_lines::lines((&header.spec, header.wood), unit, present, room, theme));
        frame.render_widget(Text::from(lines), area);
    }

    /// Length of the cutter in hand, where it is known.
    fn present(&self) -> Option<Millimetres> {
        self.at_hand().and_then(|number| self.findings.cutter(number)).and_then(|found| found.length_now)
    }

    /// What is told of each of the next cutters: what this part of the round works at.
    fn coming_columns(&self) -> [&'static str; 4] {
        match self.prompt.step.phase {
            Phase::Rakers => ["length", "gap", "wanted", ""],
            _ => ["length", "to take", "strokes", "gap"],
        }
    }

    fn coming_line(&self, found: &CutterFinding, theme: Theme) -> Line<'static> {
        let unit = self.coach.round.header.units;
        let shown = |value: Option<Millimetres>| value.map_or_else(String::new, |v| unit.show(v));
        let off = found.target.zip(found.length_now).map(|(target, now)| (now - target).max(mm(0.0)));
        let strokes = found.strokes.map_or_else(String::new, |advice| advice.strokes.to_string());
        let name = format!("{} {}", found.number, found.side.letter());
        let state = if found.state == CutterState::Kept { String::new() } else { format!("  {}", found.state) };
        // What is not read yet; the rest is left blank where it is not known.
        let read = |value: Option<Millimetres>| value.map_or_else(|| "?".to_owned(), |v| unit.show(v));
        let (length, gap) = (read(found.length_now), read(found.gap_now));
        let columns = if self.prompt.step.phase == Phase::Rakers {
            [length, gap, shown(found.raker.target), String::new()]
        } else {
            [length, shown(off), strokes, gap]
        };
        let text: String = columns.iter().map(|text| format!("{text:>COLUMN$}")).collect();
        Line::from(vec![
            Span::styled(format!("{name:<COMING$}"), theme.style(Role::of_side(found.side))),
            Span::styled(format!("{text}{state}"), theme.style(Role::Text)),
        ])
    }

    /// Cutters that this part of the round has still to come to, from the one in hand on.
    fn coming(&self) -> Vec<&CutterFinding> {
        let step = &self.prompt.step;
        let here = self.at_hand();
        let side = here.and_then(|number| self.findings.cutter(number)).map(|found| found.side);
        let waits = |found: &CutterFinding| match step.phase {
            Phase::Measure => found.before.is_none(),
            Phase::First | Phase::Second => found.after.is_none() && side.is_none_or(|side| side == found.side),
            Phase::Rakers => found.gap_now.is_none() || found.gap_stale,
            // While the length is chosen: all, the shortest first.
            Phase::Plan => found.length_now.is_some(),
            Phase::Look | Phase::Prove | Phase::Sign => false,
        };
        let there = |found: &&CutterFinding| found.state != CutterState::Missing && waits(found);
        let mut coming: Vec<&CutterFinding> = self.findings.cutters.iter().filter(there).collect();
        if step.phase == Phase::Plan || step.ask == Ask::Target {
            coming.sort_by(|a, b| a.length_now.partial_cmp(&b.length_now).unwrap_or(std::cmp::Ordering::Equal));
        } else if let Some(here) = here {
            let split = coming.iter().position(|found| found.number > here).unwrap_or(0);
            coming.rotate_left(split);
            coming.retain(|found| found.number != here);
        }
        coming
    }
}
