//! The picture of a round's screen: of the cutter in hand, as the step at hand needs it.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::super::super::theme::Theme;
use super::super::picture::{Seen, titled};
use super::RoundScreen;

impl RoundScreen {
    pub(super) fn seen(&self) -> Seen<'_> {
        Seen { round: &self.coach.round, findings: &self.findings, at: self.at_hand(), ask: self.prompt.step.ask }
    }
}

/// Draws the picture that the screen's view asks for under a title line.
pub(super) fn draw(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme) {
    titled(&screen.seen(), frame, area, theme, (screen.view, "  v: next picture"));
}

#[cfg(test)]
mod tests;
