//! What every screen can do.

use crossterm::event::KeyEvent;
use ratatui::Frame;
use ratatui::layout::{Position, Rect};

use super::effect::{Answer, Effect};
use super::keys::{Action, Place};
use super::look::Shared;

/// A screen. Everything but drawing changes only the screen itself and says in effects what it wants done.
pub(super) trait Screen {
    /// Its place in the key table, as it stands now.
    fn place(&self) -> Place;

    /// True while characters belong to a field that holds something.
    fn has_text(&self) -> bool {
        false
    }

    /// What is to be done as it comes up.
    fn opened(&self) -> Vec<Effect> {
        Vec::new()
    }

    /// A key of the table.
    fn act(&mut self, action: Action, shared: &Shared) -> Vec<Effect>;

    /// A key that is not in the table: for the field.
    fn edit(&mut self, key: KeyEvent) {
        let _ = key;
    }

    /// Before a key of the table: whether the field was filled as a hand fills it, key by key.
    fn typed(&mut self, by_hand: bool) {
        let _ = by_hand;
    }

    /// A whole line at once; `ended` where it came with its Enter.
    fn line(&mut self, text: &str, ended: bool, shared: &Shared) -> Vec<Effect> {
        let _ = (text, ended, shared);
        Vec::new()
    }

    /// True where a line from an instrument may be taken: not where something is chosen.
    fn takes_sent(&self, text: &str) -> bool {
        let _ = text;
        false
    }

    /// What was typed and could not be stored, while it still stands in the field.
    fn not_stored(&self) -> Option<String> {
        None
    }

    /// What must stand on this screen and on every one over it, in a sentence; this one shows it itself.
    fn marks(&self) -> Option<&'static str> {
        None
    }

    /// What came of an effect.
    fn answer(&mut self, answer: Answer, shared: &Shared) -> Vec<Effect> {
        let _ = (answer, shared);
        Vec::new()
    }

    /// A frame was drawn: what its size now has room for and nobody asked for yet.
    fn drawn(&mut self) -> Vec<Effect> {
        Vec::new()
    }

    /// The screen on top of this one went away.
    fn back(&mut self) -> Vec<Effect> {
        Vec::new()
    }

    /// The program ends.
    fn leave(&mut self) -> Vec<Effect> {
        Vec::new()
    }

    /// True where its figures are those of the loop or the round that the screen below shows: they are reckoned there.
    fn tells_of_below(&self) -> bool {
        false
    }

    /// Draws, and says where the cursor stands.
    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position>;
}
