//! One-line scales: a value held against its tolerance, and how far a job has come.
//!
//! A meter shows and says how far a value is from its target; whether that is good enough is decided elsewhere.

use std::ops::Range;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;
use ratatui::widgets::Widget;

use super::text::{put, put_pieces, width};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Degrees, Millimetres, Unit, deg, mm};

/// A value against its target: `├───[══┼══]──●──┤ 8.15 mm, 0.10 over`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meter {
    /// Looks.
    pub theme: Theme,
    /// Lower end of the tolerance, mm or degrees.
    pub low: f64,
    /// What is aimed at, mm or degrees.
    pub target: f64,
    /// Upper end of the tolerance, mm or degrees.
    pub high: f64,
    /// The reading, where there is one, mm or degrees.
    pub value: Option<f64>,
    /// Unit of lengths; `None` for angles.
    pub unit: Option<Unit>,
    /// How the value looks: what the verdict on it is.
    pub role: Role,
}

/// Columns of the shortest scale that says anything.
const SHORTEST: u16 = 9;

impl Meter {
    /// A length or a gap between `low` and `high`.
    pub const fn length(theme: Theme, unit: Unit, band: [Millimetres; 3], value: Option<Millimetres>) -> Self {
        let value = match value {
            Some(value) => Some(value.get()),
            None => None,
        };
        let [low, target, high] = band;
        let (low, target, high) = (low.get(), target.get(), high.get());
        Self { theme, low, target, high, value, unit: Some(unit), role: Role::Text }
    }

    /// An angle within `tolerance` of its target.
    pub fn angle(theme: Theme, target: Degrees, tolerance: Degrees, value: Option<Degrees>) -> Self {
        let (low, high) = ((target - tolerance).get(), (target + tolerance).get());
        Self { theme, low, target: target.get(), high, value: value.map(Degrees::get), unit: None, role: Role::Text }
    }

    /// The same with the look of a verdict.
    #[must_use]
    pub const fn role(self, role: Role) -> Self {
        Self { role, ..self }
    }

    fn number(&self, value: f64) -> String {
        match self.unit {
            Some(unit) => unit.show(mm(value)),
            None => format!("{:.1}", value + 0.0),
        }
    }

    fn named(&self, value: f64) -> String {
        match self.unit {
            Some(unit) => unit.show_named(mm(value)),
            None => self.theme.angle(deg(value)),
        }
    }

    /// The value and its distance from the target in words.
    pub fn words(&self) -> String {
        let Some(value) = self.value else {
            return format!("target {}", self.named(self.target));
        };
        let off = self.number((value - self.target).abs());
        if off.chars().all(|c| c == '0' || c == '.') {
            format!("{}, on target", self.named(value))
        } else if value > self.target {
            format!("{}, {off} over", self.named(value))
        } else {
            format!("{}, {off} under", self.named(value))
        }
    }

    /// What the scale shows: the tolerance in its middle third, whatever the value.
    fn range(&self) -> Range<f64> {
        let half = 3.0 * (self.high - self.target).max(self.target - self.low).max(1e-6);
        self.target - half..self.target + half
    }

    /// The scale as signs with their looks, `columns` of them; a value off the scale shows as an arrow at its end.
    fn scale(&self, columns: u16) -> Vec<(&'static str, Role)> {
        let range = self.range();
        let last = columns.saturating_sub(1);
        let column = |value: f64| {
            let share = ((value - range.start) / (range.end - range.start)).clamp(0.0, 1.0);
            // Inside 0 to `last`, which fits.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let column = (share * f64::from(last)).round() as u16;
            column
        };
        let [low, target, high] = [self.low, self.target, self.high].map(column);
        let sign = |at: u16| match at {
            _ if at == low => ("[", Role::Text),
            _ if at == high => ("]", Role::Text),
            _ if at == target => (self.theme.glyph(Glyph::Target), Role::Text),
            _ if (low..high).contains(&at) => (self.theme.glyph(Glyph::Zone), Role::Good),
            _ => (self.theme.glyph(Glyph::Line), Role::Frame),
        };
        let mut signs: Vec<_> = (0..columns).map(sign).collect();
        if let Some(value) = self.value.filter(|value| value.is_finite()) {
            let here = if value < range.start {
                self.theme.glyph(Glyph::Back)
            } else if value > range.end {
                self.theme.glyph(Glyph::Forward)
            } else {
                self.theme.glyph(Glyph::Here)
            };
            if let Some(cell) = signs.get_mut(usize::from(column(value))) {
                *cell = (here, self.role);
            }
        }
        signs
    }
}

impl Widget for &Meter {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        if area.is_empty() {
            return;
        }
        let (at, words) = ((area.x, area.y), self.words());
        let columns = area.width.saturating_sub(width(&words) + 1).min(61);
        let style = self.theme.style(self.role);
        if columns < SHORTEST {
            put(buf, area, at, &words, style);
            return;
        }
        for (x, (sign, role)) in (area.x..).zip(self.scale(columns)) {
            put(buf, area, (x, area.y), sign, self.theme.style(role).remove_modifier(Modifier::UNDERLINED));
        }
        put(buf, area, (area.x + columns + 1, area.y), &words, style);
    }
}

/// How far a job has come: `████░░░░ 12 of 66`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress<'a> {
    /// Looks.
    pub theme: Theme,
    /// Done so far.
    pub done: usize,
    /// In all.
    pub total: usize,
    /// What follows the count: `about 9 min left`; may be empty.
    pub note: &'a str,
}

impl Widget for &Progress<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        if area.is_empty() {
            return;
        }
        let (theme, done) = (self.theme, self.done.min(self.total));
        let count = format!("{} of {}", self.done, self.total);
        let mut words = if self.note.is_empty() { count.clone() } else { format!("{count}, {}", self.note) };
        if width(&words) > area.width {
            words = count;
        }
        let columns = area.width.saturating_sub(width(&words) + 1).min(40);
        if columns < 4 {
            put(buf, area, (area.x, area.y), &words, theme.style(Role::Text));
            return;
        }
        let filled = usize::from(columns).checked_mul(done).and_then(|n| n.checked_div(self.total)).unwrap_or(0);
        let bar = theme.glyph(Glyph::Full).repeat(filled);
        let rest = theme.glyph(Glyph::Empty).repeat(usize::from(columns) - filled);
        let (good, frame) = (theme.style(Role::Good), theme.style(Role::Frame));
        let pieces = [(bar.as_str(), good), (&rest, frame), (" ", frame), (&words, theme.style(Role::Text))];
        put_pieces(buf, area, (area.x, area.y), &pieces);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::theme::{Colours, Glyphs};

    const ASCII: Theme = Theme { colours: Colours::None, glyphs: Glyphs::Ascii, contrast: false };

    fn row(widget: impl Widget, columns: u16) -> String {
        let mut buf = Buffer::empty(Rect::new(0, 0, columns, 1));
        widget.render(buf.area, &mut buf);
        buf.content().iter().map(ratatui::buffer::Cell::symbol).collect::<String>().trim_end().to_owned()
    }

    fn meter(theme: Theme, value: Option<f64>) -> Meter {
        Meter::length(theme, Unit::Mm, [mm(7.9), mm(8.0), mm(8.1)], value.map(mm))
    }

    #[test]
    fn the_zone_is_the_middle_third_and_the_value_stands_in_its_place() {
        assert_eq!(row(&meter(ASCII, Some(8.1)), 38), "------[==|==x------ 8.10 mm, 0.10 over");
        assert_eq!(row(&meter(ASCII, Some(8.2)), 38), "------[==|==]--x--- 8.20 mm, 0.20 over");
        assert_eq!(row(&meter(ASCII, Some(8.0)), 38), "------[==x==]------ 8.00 mm, on target");
        assert_eq!(row(&meter(ASCII, Some(5.0)), 39), "<-----[==|==]------ 5.00 mm, 3.00 under");
        assert_eq!(row(&meter(ASCII, None), 34), "------[==|==]------ target 8.00 mm");
        assert_eq!(row(&meter(Theme::default(), Some(9.0)), 38), "──────[══┼══]─────→ 9.00 mm, 1.00 over");
    }

    #[test]
    fn without_room_the_words_remain() {
        assert_eq!(row(&meter(ASCII, Some(8.1)), 20), "8.10 mm, 0.10 over");
        assert_eq!(row(&meter(ASCII, Some(8.1)), 4), "8.10");
    }

    #[test]
    fn inches_and_degrees_are_said_in_their_own_steps() {
        let inch = Meter { unit: Some(Unit::Inch), ..meter(ASCII, Some(8.1)) };
        assert_eq!(inch.words(), "0.3189 in, 0.0039 over");
        let angle = Meter::angle(Theme::default(), deg(30.0), deg(2.0), Some(deg(27.5)));
        assert_eq!(angle.words(), "27.5°, 2.5 under");
    }

    #[test]
    fn the_verdict_colours_the_value_alone() {
        let theme = Theme::default();
        let mut buf = Buffer::empty(Rect::new(0, 0, 39, 1));
        (&meter(theme, Some(8.2)).role(Role::Bad)).render(buf.area, &mut buf);
        let bad: Vec<&str> = buf
            .content()
            .iter()
            .filter(|c| c.fg == theme.colour(Role::Bad))
            .map(ratatui::buffer::Cell::symbol)
            .collect();
        assert_eq!(bad.concat(), "●8.20 mm, 0.20 over");
    }

    #[test]
    fn progress_fills_from_the_left_and_keeps_the_count() {
        let progress = |done, total, note| Progress { theme: ASCII, done, total, note };
        assert_eq!(row(&progress(12, 24, ""), 19), "#####..... 12 of 24");
        assert_eq!(row(&progress(12, 24, "9 min left"), 20), "12 of 24, 9 min left");
        assert_eq!(row(&progress(12, 24, "9 min left"), 12), "12 of 24");
        assert_eq!(row(&progress(0, 0, ""), 15), "........ 0 of 0");
        assert_eq!(row(&progress(9, 3, ""), 15), "######## 9 of 3");
    }
}
