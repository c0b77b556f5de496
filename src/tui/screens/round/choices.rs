//! What may be typed at this step, and the facts that stand nowhere else.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span, Text};

use super::super::super::theme::{Role, Theme};
use super::RoundScreen;
use crate::report::format::wrap;

impl RoundScreen {
    /// What may be typed, each with its meaning, and the facts that stand nowhere else; what is too long goes on below, set in.
    pub(super) fn choice_lines(&self, width: usize, theme: Theme, with_facts: bool) -> Vec<Line<'static>> {
        let width = width.max(10);
        let keys = self.prompt.choices.iter().map(|(key, _)| key.len()).max().unwrap_or(1);
        let mut lines: Vec<Line> = Vec::new();
        for (key, meaning) in &self.prompt.choices {
            for (at, piece) in wrap(meaning, width.saturating_sub(keys + 2).max(8), 0).into_iter().enumerate() {
                let key = if at == 0 { key.as_str() } else { "" };
                lines.push(Line::from(vec![
                    Span::styled(format!("{key:>keys$}"), theme.style(Role::Key)),
                    Span::styled(format!("  {piece}"), theme.style(Role::Text)),
                ]));
            }
        }
        if with_facts && !self.prompt.choices.is_empty() || self.prompt.big.is_empty() {
            let facts = self.prompt.facts.iter().map(|(name, value)| format!("{name}: {value}"));
            let wrapped = facts.flat_map(|fact| wrap(&fact, width, 2));
            lines.extend(wrapped.map(|line| Line::styled(line, theme.style(Role::Text))));
        }
        lines
    }

    pub(super) fn draw_choices(&self, frame: &mut Frame, area: Rect, theme: Theme, with_facts: bool) {
        let mut lines = self.choice_lines(usize::from(area.width), theme, with_facts);
        let height = usize::from(area.height);
        if lines.len() > height && height > 0 {
            let more = lines.len() - height + 1;
            lines.truncate(height - 1);
            lines.push(Line::styled(format!("and {more} more: s shows them all"), theme.style(Role::Quiet)));
        }
        frame.render_widget(Text::from(lines), area);
    }
}
