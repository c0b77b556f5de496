//! A cutter seen from above: the top-plate angle aimed at and the one read.
//!
//! The angle lies between the cutting edge and the line square to the chain. The drawing is to scale in angle; the
//! cutter itself is a plain strip.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;

use super::plot::{Point, Scale, faint, solid, words};
use super::text::{Labels, put, width};
use crate::chain::Side;
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Degrees, deg};

/// The view from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterTop {
    /// Looks.
    pub theme: Theme,
    /// Hand of the cutter: its working corner is on that side of the chain, seen in running direction.
    pub side: Side,
    /// Angle aimed at.
    pub target: Degrees,
    /// Angle read, if any.
    pub reading: Option<Degrees>,
}

/// The line aimed at has dots of its own, so that it can be told without colour.
const AIMED: Marker = Marker::Custom('x');
/// Width of the drawn top plate; all other measures are shares of it.
const WIDE: f64 = 1.0;
/// Length of the drawn top plate at its working corner.
const LONG: f64 = 1.6;
/// Angles are drawn within this, so that a slip of the keyboard cannot draw a spike.
const STEEPEST: f64 = 60.0;

impl CutterTop {
    /// The edge from the working corner at the origin back to the inner end, for a chain that runs to the right. The
    /// left-hand corner lies at the upper side of the drawing.
    pub fn edge(side: Side, angle: Degrees) -> [(f64, f64); 2] {
        let angle = deg(angle.get().clamp(-STEEPEST, STEEPEST));
        let inward = match side {
            Side::Left => -WIDE,
            Side::Right => WIDE,
        };
        [(0.0, 0.0), (-WIDE * angle.radians().tan(), inward)]
    }

    fn lines(&self) -> Vec<String> {
        let target = format!("target {}", self.theme.angle(self.target));
        let Some(reading) = self.reading else {
            return vec![target, "not read yet".to_owned()];
        };
        let off = reading - self.target;
        let off = match self.theme.angle(off.abs()) {
            none if none.starts_with("0.0") => "on target".to_owned(),
            text if off.get() > 0.0 => format!("{text} more"),
            text => format!("{text} less"),
        };
        vec![target, format!("read {}, {off}", self.theme.angle(reading))]
    }
}

impl Widget for &CutterTop {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let lines = self.lines();
        if area.height < 7 || area.width < 24 {
            words(self.theme, area, buf, &lines);
            return;
        }
        let picture = Rect { height: area.height - 2, ..area };
        let caption = Rect { y: picture.bottom(), height: 2, ..area };
        words(self.theme, caption, buf, &lines);
        let inward = CutterTop::edge(self.side, self.target)[1].1;
        let (low, high) = (inward.min(0.0) - 0.1, inward.max(0.0) + 0.1);
        let Some(scale) = Scale::square(picture, (-LONG - 0.1, low), (0.5, high)) else { return };
        self.draw(scale, buf, inward);
    }
}

impl CutterTop {
    fn draw(&self, scale: Scale, buf: &mut Buffer, inward: f64) {
        let theme = self.theme;
        let target = Self::edge(self.side, self.target);
        let text = theme.colour(Role::Text);
        let edge = self.reading.map_or(target, |reading| Self::edge(self.side, reading));
        let plate: [Point; 4] = [edge[0], (-LONG, 0.0), (-LONG, inward), edge[1]];
        // The line square to the chain, from which the angle counts.
        scale.path(buf, faint(theme), theme.colour(Role::Frame), &[(0.0, 0.0), (0.0, inward)]);
        scale.path(buf, solid(theme), text, &plate);
        scale.path(buf, AIMED, theme.colour(Role::Curve3), &target);
        if self.reading.is_some() {
            scale.path(buf, solid(theme), theme.colour(Role::Curve2), &edge);
        }
        self.labels(scale, buf, inward);
    }

    fn labels(&self, scale: Scale, buf: &mut Buffer, inward: f64) {
        let theme = self.theme;
        let mut labels = Labels::new(scale.area);
        let letter = self.side.letter().to_string();
        let at = scale.cell((-LONG * 0.8, inward / 2.0));
        labels.place(buf, &[at], &letter, theme.style(Role::of_side(self.side)));
        let square = scale.cell((0.06, inward * 0.55));
        labels.place(buf, &[square], "square", theme.style(Role::Quiet));
        let runs = format!("runs {}", theme.glyph(Glyph::Forward));
        labels.place(buf, &[(square.0, square.1 + 2), (square.0, square.1 - 2)], &runs, theme.style(Role::Quiet));
        let middle = scale.cell((-0.3, inward / 2.0));
        let key = [(self.reading, Role::Curve2), (Some(self.target), Role::Curve3)];
        for (row, (angle, role)) in key.into_iter().enumerate() {
            let Some(angle) = angle else { continue };
            let sign = if row == 1 { "x " } else { "" };
            let text = format!("{sign}{}", theme.angle(angle));
            let row = i32::try_from(row).unwrap_or(0);
            let from = middle.0 - i32::from(width(&text)) - 4;
            labels.place(buf, &[(from, middle.1 + row)], &text, theme.style(role));
        }
        let corner = scale.cell((0.0, 0.0));
        if let Some(cell) = scale.inside((0.0, 0.0)) {
            labels.reserve(cell);
            put(buf, scale.area, cell, theme.glyph(Glyph::Point), theme.style(Role::Mark));
        }
        labels.place(buf, &[(corner.0 + 2, corner.1)], "corner", theme.style(Role::Quiet));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn top(reading: Option<f64>) -> CutterTop {
        CutterTop { theme: Theme::default(), side: Side::Left, target: deg(30.0), reading: reading.map(deg) }
    }

    #[test]
    fn the_drawn_edge_makes_the_angle_with_the_square_line() {
        for (side, angle) in [(Side::Left, 30.0_f64), (Side::Right, 25.0), (Side::Left, 0.0), (Side::Right, -3.0)] {
            let [corner, inner] = CutterTop::edge(side, deg(angle));
            let drawn = ((corner.0 - inner.0) / (corner.1 - inner.1).abs()).atan().to_degrees();
            assert!((drawn - angle).abs() < 1e-9, "{drawn} for {angle}");
            assert_eq!(inner.1 < 0.0, side == Side::Left, "the left-hand corner is the upper one");
        }
    }

    #[test]
    fn the_words_say_how_far_off_and_which_way() {
        assert_eq!(top(Some(27.5)).lines(), ["target 30.0°", "read 27.5°, 2.5° less"]);
        assert_eq!(top(Some(31.0)).lines(), ["target 30.0°", "read 31.0°, 1.0° more"]);
        assert_eq!(top(Some(30.04)).lines(), ["target 30.0°", "read 30.0°, on target"]);
        assert_eq!(top(None).lines(), ["target 30.0°", "not read yet"]);
    }

    #[test]
    fn target_and_reading_are_told_apart_without_colour() {
        let mut buf = Buffer::empty(Rect::new(0, 0, 60, 20));
        (&top(Some(20.0))).render(buf.area, &mut buf);
        let crosses = buf.area.positions().filter(|at| buf[*at].symbol() == "x").count();
        assert!(crosses > 5, "{crosses}");
    }
}
