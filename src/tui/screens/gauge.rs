//! Cutters measured for a loop's own reach, and for what a plate gauge leaves on it.
//!
//! A row is a cutter: its length, its reach, the gap that the plate left there. Each row is kept as it is taken. What the rows
//! come to stands beside them: the loop's reach, the plate's measures, and its curve between the two rules.

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
use super::fields::{self, Fault};
use super::form::{Field, Form, Outcome};
use crate::care;
use crate::chain::profile::ProfileError;
use crate::chain::{Measure, Plate, Profile, Rule, Side, Spec, Wood, measures};
use crate::round::Card;
use crate::tui::screen::Screen;
use crate::units::{Millimetres, Unit, mm};

const HOLDS: [&str; 2] = ["this loop", "every loop of this chain type"];
/// Least width at which the curve stands beside the form.
const WIDE: u16 = 100;

/// The form, the rows so far and what they come to.
pub(super) struct Gauge {
    card: Card,
    profile: Profile,
    form: Form,
}

impl Gauge {
    /// Over a loop's card and its chain.
    pub(super) fn new(card: Card, profile: Profile) -> Self {
        let foot = card.own.plate_foot.map_or_else(String::new, |foot| format!("{}", foot.get()));
        let fields = vec![
            Field::text("length", "Cutter length", "", "mm, as always. Cutters of different wear tell most."),
            Field::text(
                "reach",
                "Its reach",
                "",
                "mm, top of the raker to the corner, along the chain. May stay empty.",
            ),
            Field::text(
                "gap",
                "Gap the plate left",
                "",
                "mm, raker filed flush with the plate. Empty without a plate.",
            ),
            Field::text("foot", "Plate foot", &foot, "mm, from the top of the raker ahead to where the foot rests."),
            Field::choice("holds", "Plate holds for", HOLDS, 0, "Right or Space for the other. Enter keeps the row."),
        ];
        let form = Form::new(&format!("Reach and plate gauge: {}", card.name), fields);
        Self { card, profile, form }
    }

    fn spec(&self) -> Spec {
        self.card.spec(self.profile.spec())
    }

    /// The card with the row in the fields.
    fn with_row(&self) -> Result<Card, Fault> {
        let spec = self.spec();
        let (shortest, longest) = (spec.mark_length.get() * 0.5, spec.new_length.get() + 2.0);
        let length = fields::length(&self.form, "length", (shortest, longest))?
            .ok_or(("length", "A length is needed. Esc leaves; the rows are kept.".to_owned()))?;
        let reach = fields::length(&self.form, "reach", (1.0, 60.0))?;
        let plate_gap = fields::length(&self.form, "gap", (-1.0, 3.0))?;
        let foot = fields::length(&self.form, "foot", fields::range("plate_foot_mm"))?;
        if reach.is_none() && plate_gap.is_none() {
            return Err(("reach", "A reach or a gap is needed beside the length.".to_owned()));
        }
        if plate_gap.is_some() && foot.is_none() {
            return Err((
                "foot",
                "Where the foot rests is needed once: without it the plate cannot be told.".to_owned(),
            ));
        }
        let mut card = self.card.clone();
        card.own.plate_foot = foot.or(card.own.plate_foot);
        card.own.measured.push(Measure { length, reach, plate_gap });
        // A plate entered by hand would hide what was measured now.
        if plate_gap.is_some() {
            card.own.plate = None;
        }
        Ok(card)
    }

    fn keep(&self, card: &Card) -> Vec<Effect> {
        let mut effects = vec![Effect::Desk(Work::ChangeCard(Box::new((self.card.clone(), card.clone()))))];
        if self.form.chosen("holds") == 1
            && let Some(plate) = calibrated(card, self.profile.spec())
        {
            match self.profile_with(plate) {
                Ok(profile) => effects.push(Effect::Desk(Work::SaveProfile(Box::new(profile)))),
                Err(error) => {
                    effects.push(Effect::Go(Step::Notice(format!("Kept for this loop only: {}", error.problem))));
                }
            }
        }
        effects
    }

    fn profile_with(&self, plate: Plate) -> Result<Profile, ProfileError> {
        let figures = [
            ("plate_foot_mm", plate.foot.get()),
            ("plate_height_mm", plate.height.get()),
            ("plate_slot_mm", plate.slot.get()),
        ];
        let (name, title) = (&self.profile.name, &self.profile.title);
        Profile::measured(&self.profile, name, title, &figures, "calibrated on a loop of this chain type")
    }

    /// The rows and what they come to.
    fn found(&self) -> Vec<(String, Role)> {
        let (spec, rows) = (self.spec(), &self.card.own.measured);
        if rows.is_empty() {
            let what =
                "Take a cutter that is little worn and one that is much worn, 0.5 mm apart or more; three are better.";
            return vec![(what.to_owned(), Role::Text)];
        }
        let mut lines = vec![("length  reach  plate gap".to_owned(), Role::Quiet)];
        let cell = |value: Option<Millimetres>| value.map_or_else(|| "-".to_owned(), |value| Unit::Mm.show(value));
        // The latest rows; older ones are in the card.
        for row in rows.iter().skip(rows.len().saturating_sub(5)) {
            let text = format!("{:>6} {:>6} {:>10}", Unit::Mm.show(row.length), cell(row.reach), cell(row.plate_gap));
            lines.push((text, Role::Text));
        }
        lines.extend(self.reach_line(&spec));
        lines.extend(self.plate_lines(&spec));
        lines
    }

    fn reach_line(&self, spec: &Spec) -> Option<(String, Role)> {
        let rows = &self.card.own.measured;
        rows.iter().any(|row| row.reach.is_some()).then_some(())?;
        let mut profile = self.profile.spec().clone();
        profile.new_length = spec.new_length;
        let Some(seen) = measures::reach(&profile, rows) else {
            return Some((
                "These reaches make no sense: a reach grows with wear. Measure again.".to_owned(),
                Role::Bad,
            ));
        };
        let how = if seen.growth_seen { "grows as measured" } else { "grows as the chain type says" };
        let text = format!(
            "Reach of this loop: {} new, {} at the mark, give or take {}; {how} (chain type: {} new).",
            Unit::Mm.show(seen.new),
            Unit::Mm.show_named(seen.at_mark),
            seen.u,
            Unit::Mm.show_named(profile.reach_new)
        );
        Some((text, Role::Now))
    }

    fn plate_lines(&self, spec: &Spec) -> Vec<(String, Role)> {
        let rows = &self.card.own.measured;
        let gaps = rows.iter().filter(|row| row.plate_gap.is_some()).count();
        if gaps == 0 {
            return Vec::new();
        }
        let Some(plate) = calibrated(&self.card, self.profile.spec()) else {
            let text = "The plate needs gaps of two cutters that differ by 0.5 mm in length or more.";
            return vec![(text.to_owned(), Role::Warn)];
        };
        let worth = spec.worth_wear(Wood::Any);
        let at = |wear: Millimetres| Unit::Mm.show(plate.gap(spec, wear));
        let by_rule = |wear: Millimetres| {
            spec.target_gap(Rule::Scaled, Wood::Any, wear).map_or_else(String::new, |gap| Unit::Mm.show(gap))
        };
        let (new, mark) = (mm(0.0), spec.usable());
        let mut lines = vec![(
            format!(
                "The plate leaves {} new, {} at the changeover, {} at the mark; the wear-scaled gap is {}, {}, {} mm.",
                at(new),
                at(worth),
                at(mark),
                by_rule(new),
                by_rule(worth),
                by_rule(mark)
            ),
            Role::Now,
        )];
        if let Some(miss) = measures::worst_miss(spec, plate, rows).filter(|_| gaps > 2) {
            let sure = if miss > 0.06 { ("; measure again what is farthest off", Role::Warn) } else { ("", Role::Now) };
            lines.push((
                format!("It meets the gaps measured within {}{}.", Unit::Mm.show_named(mm(miss)), sure.0),
                sure.1,
            ));
        }
        if plate.gap(spec, mark) > spec.gap_max || plate.gap(spec, new) < mm(0.0) {
            lines.push((
                "Some of its gaps are out of bounds: the largest gap allowed still holds.".to_owned(),
                Role::Warn,
            ));
        }
        lines
    }
}

fn calibrated(card: &Card, profile: &Spec) -> Option<Plate> {
    let spec = card.spec(profile);
    measures::plate(&spec, card.own.plate_foot?, &card.own.measured)
}

impl Screen for Gauge {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        if action == Action::TakeBack {
            let mut card = self.card.clone();
            return if card.own.measured.pop().is_some() { self.keep(&card) } else { Vec::new() };
        }
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => match self.with_row() {
                Ok(card) => self.keep(&card),
                Err((key, why)) => {
                    self.form.refuse(key, why);
                    Vec::new()
                }
            },
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        match answer {
            Answer::CardKept(kept) => {
                let (card, changed) = *kept;
                self.card = card;
                for key in ["length", "reach", "gap"] {
                    self.form.set(key, "");
                }
                self.form.restart();
                let told = Some(care::changed(&changed)).filter(|told| !told.is_empty());
                return told.into_iter().map(|told| Effect::Go(Step::Notice(told))).collect();
            }
            Answer::Created(Err(why)) => self.form.refuse("length", why),
            _ => {}
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [body, say, foot] =
            Split::vertical([Constraint::Min(0), Constraint::Length(1), Constraint::Length(1)]).areas(area);
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
            let spec = self.spec();
            let rows = self.card.own.measured.iter();
            let points: Vec<CurvePoint> = rows
                .filter_map(|row| Some(CurvePoint { length: row.length, gap: row.plate_gap?, side: Side::Left }))
                .collect();
            let plate = calibrated(&self.card, self.profile.spec());
            let (theme, unit) = (shared.theme, Unit::Mm);
            let curve = GapCurve { theme, spec: &spec, wood: Wood::Any, plate, points: &points, current: None, unit };
            frame.render_widget(&curve, right);
        }
        let said = match self.card.own.measured.len() {
            0 => "A plate gauge is neither rule: what it really leaves is measured here.".to_owned(),
            rows => format!("Kept: {rows}. Ctrl-D takes the last out; Esc when done."),
        };
        frame.render_widget(Line::styled(said, shared.theme.style(Role::Now)), say);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}
