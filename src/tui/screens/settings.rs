//! Settings: colours, signs, contrast, unit of lengths, bell, mouse, motion.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use strum::VariantArray;

use super::super::effect::{Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::settings::Settings;
use super::super::theme::{Blocks, Colours, Glyphs, Ground, Look};
use super::form::{Field, Form, Outcome};
use crate::tui::screen::Screen;
use crate::units::Unit;

/// The settings form.
pub(super) struct SettingsScreen(Form);

impl SettingsScreen {
    /// The form over what is set now.
    pub(super) fn new(settings: Settings) -> Self {
        let colours = settings.theme.colours as usize;
        let fields = vec![
            Field::choice(
                "colours",
                "Colours",
                Colours::VARIANTS.iter().map(|colours| <&str>::from(*colours)),
                colours,
                "None: bold and reversed only. Few: the terminal's own 16. Many: 256. Full: 24 bit.",
            ),
            words("ground", "Ground", settings.theme.ground, "What your terminal has behind the words: dark or light."),
            words("look", "Look", settings.theme.look, "Three sets of colours: cool steel, warm, blue."),
            words("blocks", "Pictures in", settings.theme.blocks, "Octants are the finest, where your font has them."),
            Field::choice(
                "contrast",
                "High contrast",
                ["off", "on"],
                usize::from(settings.theme.contrast),
                "Nothing dim, no colour: the terminal's own text colour everywhere.",
            ),
            Field::choice(
                "signs",
                "Signs",
                ["lines and dots", "plain ASCII"],
                usize::from(settings.theme.ascii()),
                "Plain ASCII where lines or dots look broken.",
            ),
            Field::choice(
                "units",
                "Lengths in",
                ["mm", "inch"],
                usize::from(settings.units == Unit::Inch),
                "Everything told outside a round. A round asks for its own unit.",
            ),
            Field::choice("bell", "Bell", ["off", "on"], usize::from(settings.bell), "One: taken. Two: a question."),
            Field::choice(
                "mouse",
                "Mouse",
                ["off", "on"],
                usize::from(settings.mouse),
                "Its wheel, and a click on a name below. Off leaves it to the terminal.",
            ),
            Field::choice(
                "motion",
                "Motion",
                ["off", "on"],
                usize::from(settings.motion),
                "Filed steel goes before your eyes, and a verdict lights up once. Enter keeps these settings.",
            ),
        ];
        Self(Form::new("Settings", fields))
    }

    fn settings(&self, shared: &Shared) -> Settings {
        let mut theme = shared.theme;
        if let Some(colours) = Colours::VARIANTS.get(self.0.chosen("colours")) {
            theme.colours = *colours;
        }
        theme.ground = Ground::VARIANTS.get(self.0.chosen("ground")).copied().unwrap_or(theme.ground);
        theme.look = Look::VARIANTS.get(self.0.chosen("look")).copied().unwrap_or(theme.look);
        theme.blocks = Blocks::VARIANTS.get(self.0.chosen("blocks")).copied().unwrap_or(theme.blocks);
        theme.contrast = self.0.chosen("contrast") == 1;
        theme.glyphs = if self.0.chosen("signs") == 1 { Glyphs::Ascii } else { Glyphs::Unicode };
        let units = if self.0.chosen("units") == 1 { Unit::Inch } else { Unit::Mm };
        let on = |name| self.0.chosen(name) == 1;
        Settings { theme, units, bell: on("bell"), mouse: on("mouse"), motion: on("motion") }
    }
}

/// A choice among all words of a setting.
fn words<T>(name: &'static str, label: &'static str, now: T, help: &'static str) -> Field
where
    T: VariantArray + Copy + PartialEq + Into<&'static str>,
{
    let at = T::VARIANTS.iter().position(|choice| *choice == now).unwrap_or(0);
    Field::choice(name, label, T::VARIANTS.iter().map(|choice| (*choice).into()), at, help)
}

impl Screen for SettingsScreen {
    fn place(&self) -> Place {
        Place::Form
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        match self.0.act(action) {
            Outcome::Open => Vec::new(),
            Outcome::Left => vec![Effect::Go(Step::Close)],
            Outcome::Finished => {
                vec![Effect::Desk(Work::SetSettings(Box::new(self.settings(shared)))), Effect::Go(Step::Close)]
            }
        }
    }

    fn edit(&mut self, key: KeyEvent) {
        self.0.edit(key);
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let [body, foot] = Layout::vertical([Constraint::Min(0), Constraint::Length(1)]).areas(area);
        let cursor = self.0.draw(frame, body, shared.theme);
        footer::draw(frame, foot, self.place(), shared);
        cursor
    }
}
