//! The key page: every key of the place one came from, then all the others, from the one table.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};

use super::super::app::Shared;
use super::super::effect::Effect;
use super::super::keys::{Action, Place, table};
use super::Screen;
use super::page::Page;

/// The key page.
pub struct KeysPage(Page);

impl KeysPage {
    /// All keys, those of `from` first.
    pub fn new(from: Place) -> Self {
        Self(Page::new("Keys", &text(from)))
    }
}

/// The key page as text; also what `evenbite --help` of the keys would say.
pub fn text(from: Place) -> String {
    let others = Place::ALL.into_iter().filter(|place| *place != from && *place != Place::Everywhere);
    let order = [from, Place::Everywhere].into_iter().chain(others);
    let mut out = String::new();
    let mut seen = Vec::new();
    for place in order {
        if seen.contains(&place) {
            continue;
        }
        seen.push(place);
        out.push_str(&format!("\n{}\n", place.title()));
        for row in table().iter().filter(|row| row.place == place) {
            let presses: Vec<String> = row.presses.iter().map(|press| press.label()).collect();
            out.push_str(&format!("  {:<24}{}\n", presses.join("  "), row.help));
        }
    }
    out
}

impl Screen for KeysPage {
    fn place(&self) -> Place {
        self.0.place()
    }

    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect> {
        self.0.act(action, shared)
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        self.0.draw(frame, area, shared)
    }
}
