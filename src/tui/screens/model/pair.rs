//! Two cutters one behind the other: how much lower the shorter one runs.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::symbols::Marker;
use ratatui::text::Line;
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Context, Line as Stroke};

use super::super::super::theme::{Glyph, Role, Theme};
use crate::coach::lessons::WearModel;
use crate::units::Unit;

/// Heights are drawn so many times larger than lengths, or nothing would be seen.
const HIGHER: f64 = 5.0;
/// From one cutter to the next in the drawing, mm: closer than on a chain, to save room.
const APART: f64 = 9.0;
/// Length of top plate shown behind a new corner, mm.
const PLATE: f64 = 5.0;
/// Space ahead of the first corner, mm.
const AHEAD: f64 = 2.0;
/// Height of a drawn tooth below its corner.
const TALL: f64 = 8.0;
/// Least height shown below the higher corner, so that the picture does not jump while lengths part.
const BELOW: f64 = 3.2;

/// The drawing. The chain runs to the right; the next cutter follows at the left.
pub(super) struct Pair<'a> {
    pub theme: Theme,
    pub model: &'a WearModel,
    pub unit: Unit,
}

impl Pair<'_> {
    /// The corner of a cutter that is shorter by `shorter` mm, drawn with its rear edge `behind` mm back.
    fn corner(&self, behind: f64, shorter: f64) -> (f64, f64) {
        (-behind - shorter, -shorter * self.model.spec().fall() * HIGHER)
    }

    fn tooth(&self, context: &mut Context, corner: (f64, f64), rear: f64, colour: Color) {
        let heel = (rear, corner.1 - (corner.0 - rear) * self.model.spec().fall() * HIGHER);
        let points = [(rear, heel.1 - TALL), heel, corner, (corner.0 - 0.6, corner.1 - TALL)];
        for pair in points.windows(2) {
            context.draw(&Stroke::new(pair[0].0, pair[0].1, pair[1].0, pair[1].1, colour));
        }
    }

    fn words(&self) -> [String; 2] {
        let model = self.model;
        let shorter = self.unit.show_named(model.length() - model.next_length());
        let lower = self.unit.show_named(model.next_lower());
        [format!("next {shorter} shorter, {lower} lower"), format!("heights drawn {HIGHER:.0} times as large")]
    }
}

impl Widget for &Pair<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let rows = area.height.min(2);
        let picture = Rect { height: area.height - rows, ..area };
        for (text, y) in self.words().into_iter().zip(picture.bottom()..area.bottom()) {
            Line::styled(text, self.theme.style(Role::Text)).render(Rect { y, height: 1, ..area }, buf);
        }
        if picture.width < 20 || picture.height < 4 {
            return;
        }
        let theme = self.theme;
        let shorter = (self.model.length() - self.model.next_length()).get();
        let (first, next) = (self.corner(0.0, 0.0), self.corner(APART, shorter));
        let marker = if theme.ascii() { Marker::Custom('*') } else { Marker::Braille };
        let bounds = ([-APART - PLATE - 0.5, AHEAD], [(next.1 - 1.0).min(-BELOW), 1.0]);
        let level = |(from, y): (f64, f64), role| {
            move |context: &mut Context| context.draw(&Stroke::new(from, y, AHEAD, y, theme.colour(role)))
        };
        let dots = Marker::Custom(theme.sign(Glyph::Faint));
        paint(picture, buf, dots, bounds, level((next.0, first.1), Role::Frame));
        let dashes = Marker::Custom(theme.sign(Glyph::Line));
        paint(picture, buf, dashes, bounds, level(next, Role::Mark));
        paint(picture, buf, marker, bounds, |context| {
            self.tooth(context, first, -PLATE, theme.colour(Role::Text));
            self.tooth(context, next, -APART - PLATE, theme.colour(Role::Text));
        });
    }
}

fn paint(area: Rect, buf: &mut Buffer, marker: Marker, (x, y): ([f64; 2], [f64; 2]), paint: impl Fn(&mut Context)) {
    Canvas::default().marker(marker).x_bounds(x).y_bounds(y).paint(paint).render(area, buf);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::{Wood, profile::built_in};
    use crate::coach::lessons::{Raker, Setting};

    /// A cutter 2 mm worn, the next one as long.
    fn worn() -> WearModel {
        let spec = built_in::named("three-eighths").unwrap().spec().clone();
        WearModel::new(&spec, Wood::Any).worn(2.0, Raker::Fixed)
    }

    #[test]
    fn the_shorter_cutter_is_drawn_lower_by_its_height_step() {
        let mut model = worn();
        (0..20).for_each(|_| model.change(Setting::Shorter, true, Unit::Mm));
        let pair = Pair { theme: Theme::default(), model: &model, unit: Unit::Mm };
        let shorter = (model.length() - model.next_length()).get();
        let (first, next) = (pair.corner(0.0, 0.0), pair.corner(APART, shorter));
        assert!(((first.1 - next.1) / HIGHER - model.next_lower().get()).abs() < 1e-12);
        assert!((first.0 - next.0 - APART - 1.0).abs() < 1e-9);
        assert_eq!(pair.words()[0], "next 1.00 mm shorter, 0.18 mm lower");
    }

    #[test]
    fn the_two_levels_part_only_once_the_lengths_do() {
        let level = |presses: usize| {
            let mut model = worn();
            (0..presses).for_each(|_| model.change(Setting::Shorter, true, Unit::Mm));
            let mut buf = Buffer::empty(Rect::new(0, 0, 50, 16));
            (&Pair { theme: Theme::default(), model: &model, unit: Unit::Mm }).render(buf.area, &mut buf);
            let row = |sign: &str| buf.area.positions().find(|at| buf[*at].symbol() == sign).map(|at| at.y);
            (row("·"), row("─"))
        };
        let (equal, apart) = (level(0), level(20));
        assert_eq!(equal.0, None, "one level covers the other");
        assert!(apart.0.unwrap() < apart.1.unwrap(), "{apart:?}");
    }
}
