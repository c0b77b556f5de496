//! The picture of a round's screen: of the cutter in hand, as the step at hand needs it.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::super::super::look::Shared;
use super::super::super::theme::Theme;
use super::super::picture::{Seen, titled};
use super::super::view::View;
use super::RoundScreen;

impl RoundScreen {
    pub(super) fn seen(&self) -> Seen<'_> {
        let (round, findings) = (&self.coach.round, &self.findings);
        Seen { round, findings, at: self.at_hand(), ask: self.prompt.step.ask, worn: None }
    }

    /// The cutter that was just filed, while its steel goes.
    pub(super) fn seen_going(&self, shared: &Shared) -> Option<Seen<'_>> {
        let (worn, frame) = self.worn.zip(shared.moves).filter(|_| self.view == View::Cutter)?;
        Some(Seen { at: Some(worn.cutter), ask: worn.ask, worn: Some((worn, frame.share)), ..self.seen() })
    }
}

/// Draws the picture that the screen's view asks for under a title line.
pub(super) fn draw(screen: &RoundScreen, seen: &Seen<'_>, frame: &mut Frame, area: Rect, theme: Theme) {
    titled(seen, frame, area, theme, (screen.view, "  v: next picture"));
}

#[cfg(test)]
mod tests;
