//! Intake: who files, for what wood, with what, in which unit. Cautions stand here, before the first reading.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout as Split, Position, Rect};
use ratatui::text::{Line, Text};
use ratatui::widgets::{Paragraph, Wrap};

use super::super::effect::{Answer, Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene;
use super::super::theme::Role;
use super::form::{Field, Form, Outcome};
use crate::advice::{cautions, slope};
use crate::chain::{Side, Spec, Wood};
use crate::coach::known_as;
use crate::round::{Card, Header, Tool, Trust};
use crate::tui::screen::Screen;
use crate::units::Unit;

const WOODS: [Wood; 3] = [Wood::Any, Wood::Hardwood, Wood::SoftwoodNoFrost];
const READINGS: [&str; 4] = ["length only", "length and strokes", "length and angle", "length, strokes and angle"];

/// The intake form.
pub(super) struct Intake {
    card: Card,
    profile: String,
    spec: Spec,
    /// Names of those who file.
    hands: Vec<String>,
    form: Form,
}

impl Intake {
    /// The form for one loop.
    pub(super) fn new(scene::Intake { card, profile, spec, usual, hands }: scene::Intake) -> Self {
        let wood = WOODS.iter().position(|wood| *wood == usual.wood).unwrap_or(0);
        let readings = usize::from(usual.strokes) + 2 * usize::from(usual.angles);
        let fields = vec![
            Field::text(
                "sharpener",
                "Who files",
                &usual.sharpener,
                "Your name; your strokes and repeats are learned under it.",
            ),
            Field::choice(
                "wood",
                "Wood",
                WOODS.map(Wood::word),
                wood,
                "What the saw cuts until the next round. Frost or hardwood: never the softwood gap.",
            ),
            Field::choice(
                "tool",
                "Tool",
                [Tool::File, Tool::Grinder].map(|tool| tool.to_string()),
                usize::from(usual.tool == Tool::Grinder),
                "Round file by hand, or a grinder with a stop.",
            ),
            Field::choice(
                "units",
                "Caliper shows",
                ["mm", "inch"],
                usize::from(usual.units == Some(Unit::Inch)),
                "Asked once; every length of this round is read that way.",
            ),
            Field::choice(
                "readings",
                "Measure at each cutter",
                READINGS,
                readings,
                "Any of them can be skipped later with Enter alone.",
            ),
            Field::choice(
                "begin",
                "First side",
                ["left", "right"],
                usize::from(usual.begin == Some(Side::Right)),
                "The side filed first.",
            ),
            Field::choice(
                "spread",
                "Measuring order",
                ["one after the other", "spread round the loop"],
                usize::from(usual.spread),
                "Spread: stopping early is fair to both sides. Enter begins the round.",
            ),
        ];
        let title = format!("Round on {}: {} links, {}", card.name, card.links, profile.title);
        Self { card, profile: profile.name, spec, hands, form: Form::new(&title, fields) }
    }

    fn header(&self, shared: &Shared) -> Result<Header, (&'static str, String)> {
        let sharpener = self.form.value("sharpener");
        if sharpener.is_empty() {
            return Err(("sharpener", "Type a name.".to_owned()));
        }
        let readings = self.form.chosen("readings");
        Ok(Header {
            tag: self.card.tag.clone(),
            started: shared.now,
            sharpener,
            wood: WOODS.get(self.form.chosen("wood")).copied().unwrap_or_default(),
            tool: if self.form.chosen("tool") == 0 { Tool::File } else { Tool::Grinder },
            units: if self.form.chosen("units") == 0 { Unit::Mm } else { Unit::Inch },
            begin: if self.form.chosen("begin") == 0 { Side::Left } else { Side::Right },
            take_strokes: readings & 1 == 1,
            take_angles: readings & 2 == 2,
            edges: true,
            trust: Trust::default(),
            spread: self.form.chosen("spread") == 1,
            links: self.card.links,
            sequence: self.card.sequence.clone(),
            first: self.card.first,
            start_mark: self.card.start_mark.clone(),
            saw: self.card.saw.clone(),
            profile: self.profile.clone(),
            spec: self.spec.clone(),
        })
    }
}

impl Screen for Intake {
    fn place(&self) -> Place {
        Place::Form
    }

    fn has_text(&self) -> bool {
        self.form.is_typing()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        let leaves = self.form.leaves("sharpener", action);
        if let Some(why) = known_as(&self.form.value("sharpener"), &self.hands).filter(|_| leaves) {
            self.form.refuse("sharpener", why);
            return Vec::new();
        }
        match self.form.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                let read = self.header(shared);
                self.form.finished(read, |header| vec![Effect::Desk(Work::Begin(Box::new(header)))])
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.form.edit(key);
    }

    fn answer(&mut self, answer: Answer, _: &Shared) -> Vec<Effect> {
        if let Answer::Created(Err(why)) = answer {
            self.form.refuse("sharpener", why);
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let cautions: Vec<Line> = cautions::ALWAYS.iter().map(|text| Line::raw(format!("- {text}"))).collect();
        let wrapped = cautions.iter().map(|line| line.width().div_ceil(usize::from(area.width.max(1)))).sum::<usize>();
        let height = u16::try_from(wrapped + 1).unwrap_or(8).min(area.height.saturating_sub(12));
        let own = slope::counted_with(&self.spec, shared.units);
        let rows = own.as_ref().map_or(0, |text| text.len().div_ceil(usize::from(area.width.max(1))));
        let rows = u16::try_from(rows).unwrap_or(2).min(area.height.saturating_sub(height + 12));
        let [body, figures, say, foot] = Split::vertical([
            Constraint::Min(0),
            Constraint::Length(rows),
            Constraint::Length(height),
            Constraint::Length(1),
        ])
        .areas(area);
        let cursor = self.form.draw(frame, body, shared.theme);
        if let Some(text) = own {
            let line = Line::styled(text, shared.theme.style(Role::Now));
            frame.render_widget(Paragraph::new(line).wrap(Wrap { trim: true }), figures);
        }
        let mut text = Text::from(Line::styled("Before you begin", shared.theme.style(Role::Warn)));
        text.extend(cautions);
        frame.render_widget(Paragraph::new(text).wrap(Wrap { trim: true }), say);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}
