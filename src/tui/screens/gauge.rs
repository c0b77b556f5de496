//! The form over the cutters measured for a loop's own reach and its plate gauge, and what they come to.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout as Split, Position, Rect};
use ratatui::text::{Line, Text};
use ratatui::widgets::{Paragraph, Wrap};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::theme::Role;
use super::super::widgets::{CurvePoint, GapCurve};
use super::form::{Field, Form, Outcome};
use crate::care;
use crate::chain::{Profile, Side, Wood};
use crate::coach::Tone;
use crate::coach::gauge::{self, Cell};
use crate::round::Card;
use crate::tui::screen::Screen;
use crate::units::{Millimetres, Unit};

const HOLDS: [&str; 2] = ["this loop", "every loop of this chain type"];
/// Least width at which the curve stands beside the form.
const WIDE: u16 = 100;
/// Rows shown; older ones are in the card.
const LATEST: usize = 5;

/// The form, the rows so far and what they come to.
pub(super) struct Gauge {
    gauge: gauge::Gauge,
    form: Form,
}

impl Gauge {
    /// Over a loop's card and its chain.
    pub(super) fn new(card: Card, profile: Profile, unit: Unit) -> Self {
        let title = format!("Reach and plate gauge: {}", card.name);
        let gauge = gauge::Gauge::new(card, profile, unit);
        let foot = gauge.foot();
        let value = |cell| if cell == Cell::Foot { foot.as_str() } else { "" };
        let cells = Cell::ALL.map(|cell| Field::text(cell.key(), cell.label(), value(cell), &cell.hint(unit)));
        let mut fields = cells.to_vec();
        let hint = "Right or Space for the other. Enter keeps the row.";
        fields.push(Field::choice("holds", "Plate holds for", HOLDS, 0, hint));
        Self { gauge, form: Form::new(&title, fields).in_unit(unit) }
    }

    fn keep(&self, card: &Card) -> Vec<Effect> {
        let mut effects = vec![Effect::Desk(Work::ChangeCard(Box::new((self.gauge.card.clone(), card.clone()))))];
        if self.form.chosen("holds") == 1
            && let Some(plate) = self.gauge.plate_of(card)
        {
            match self.gauge.profile_with(plate) {
                Ok(profile) => effects.push(Effect::Desk(Work::SaveProfile(Box::new(profile)))),
                Err(error) => {
                    effects.push(Effect::Go(Step::Notice(format!("Kept for this loop only: {}", error.problem))));
                }
            }
        }
        effects
    }

    /// The rows and what they come to.
    fn found(&self) -> Vec<(String, Role)> {
        let rows = &self.gauge.card.own.measured;
        let unit = self.gauge.unit();
        let mut lines = Vec::new();
        if !rows.is_empty() {
            lines.push(("length  reach  plate gap".to_owned(), Role::Quiet));
        }
        let cell = |value: Option<Millimetres>| value.map_or_else(|| "-".to_owned(), |value| unit.show(value));
        for row in rows.iter().skip(rows.len().saturating_sub(LATEST)) {
            let text = format!("{:>6} {:>6} {:>10}", unit.show(row.length), cell(row.reach), cell(row.plate_gap));
            lines.push((text, Role::Text));
        }
        lines.extend(self.gauge.found().into_iter().map(|(tone, text)| (text, role(tone))));
        lines
    }
}

const fn role(tone: Tone) -> Role {
    match tone {
        Tone::Good | Tone::Again => Role::Now,
        Tone::Plain => Role::Text,
        Tone::Warn => Role::Warn,
        Tone::Bad => Role::Bad,
    }
}

impl Screen for Gauge {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if action == Action::Why {
            return vec![Effect::Desk(Work::WhyOf(self.gauge.card.tag.clone()))];
        }
        if action == Action::TakeBack {
            return self.gauge.without_last().map_or_else(Vec::new, |card| self.keep(&card));
        }
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let typed = Cell::ALL.map(|cell| self.form.value(cell.key()));
                match self.gauge.with_row(typed.each_ref().map(String::as_str)) {
                    Ok(card) => self.keep(&card),
                    Err((cell, why)) => {
                        self.form.refuse(cell.key(), why);
                        Vec::new()
                    }
                }
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::CardKept(kept) => {
                let care::CardChange { card, changed, unnoted } = *kept;
                self.gauge.card = card;
                for key in ["length", "reach", "gap"] {
                    self.form.set(key, "");
                }
                self.form.restart();
                let told = [Some(care::changed(&changed)), unnoted].into_iter().flatten();
                let told = told.filter(|told| !told.is_empty()).collect::<Vec<_>>().join(" ");
                return Some(told)
                    .filter(|told| !told.is_empty())
                    .map(|told| Effect::Go(Step::Notice(told)))
                    .into_iter()
                    .collect();
            }
            Answer::Created(Err(why)) => self.form.refuse("length", why),
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let said = match self.gauge.card.own.measured.len() {
            0 => "A plate gauge is neither rule: what it really leaves is measured here.".to_owned(),
            rows => format!("Kept: {rows}. Ctrl-D takes the last out; Esc when done."),
        };
        let body = footer::under(frame, area, self.place(), (&said, Role::Now), shared);
        let [left, right] = if body.width >= WIDE {
            Split::horizontal([Constraint::Percentage(46), Constraint::Fill(1)]).spacing(2).areas(body)
        } else {
            [body, Rect::default()]
        };
        let [top, below] = Split::vertical([Constraint::Length(9), Constraint::Min(0)]).areas(left);
        let cursor = self.form.draw(frame, top, shared.theme);
        let lines = self.found().into_iter().map(|(text, role)| Line::styled(text, shared.theme.style(role)));
        frame.render_widget(Paragraph::new(lines.collect::<Text>()).wrap(Wrap { trim: false }), below);
        if right.width > 0 {
            let spec = self.gauge.spec();
            let rows = self.gauge.card.own.measured.iter();
            let points: Vec<CurvePoint> = rows
                .filter_map(|row| Some(CurvePoint { length: row.length, gap: row.plate_gap?, side: Side::Left }))
                .collect();
            let plate = self.gauge.plate_of(&self.gauge.card);
            let (theme, unit) = (shared.theme, self.gauge.unit());
            let curve = GapCurve { theme, spec: &spec, wood: Wood::Any, plate, points: &points, current: None, unit };
            frame.render_widget(&curve, right);
        }
        cursor
    }
}
