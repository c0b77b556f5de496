//! A cutter seen from its side, to scale: new outline, present outline, raker now and at its target, gap, bite angle and
//! witness mark.

mod shape;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;

use super::plot::{Scale, faint, solid, words};
use super::text::{Labels, width};
use crate::chain::geometry::{bite_angle, bite_left};
use crate::chain::{Spec, Wood};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Degrees, Millimetres, Unit, deg};
use shape::{Outline, Point, outline};

/// The drawing. Without `mirrored` the chain runs to the right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterSide<'a> {
    /// Looks.
    pub theme: Theme,
    /// The chain.
    pub spec: &'a Spec,
    /// Cutter length now.
    pub length: Millimetres,
    /// Raker gap now, where it was measured.
    pub gap: Option<Millimetres>,
    /// Raker gap aimed at, where one is known.
    pub target_gap: Option<Millimetres>,
    /// Seen from the other side: the chain runs to the left.
    pub mirrored: bool,
    /// How far the cutter is rocked back about its raker top.
    pub rock: Option<Degrees>,
    /// Only the corner and the raker, larger.
    pub close: bool,
    /// Unit of the numbers.
    pub unit: Unit,
}

impl<'a> CutterSide<'a> {
    /// The whole cutter, not rocked, nothing measured but its length.
    pub const fn new(theme: Theme, spec: &'a Spec, length: Millimetres) -> Self {
        Self {
            theme,
            spec,
            length,
            gap: None,
            target_gap: None,
            mirrored: false,
            rock: None,
            close: false,
            unit: Unit::Mm,
        }
    }

    /// The gap drawn: as measured, else as aimed at, else as on a new cutter.
    fn drawn_gap(&self) -> Millimetres {
        self.gap.or(self.target_gap).unwrap_or_else(|| self.spec.fixed_gap(Wood::Any))
    }

    /// What the drawing says, in words: two lines, three for a rocked cutter.
    pub fn lines(&self) -> Vec<String> {
        let unit = self.unit;
        let reach = self.spec.reach(self.spec.wear(self.length));
        let gap = self.gap.map_or_else(|| "gap not measured".to_owned(), |gap| format!("gap {}", unit.show_named(gap)));
        let target = self.target_gap.map(|gap| format!(", target {}", unit.show_named(gap)));
        let bite = self.gap.map(|gap| format!(", bite {}", self.theme.angle(bite_angle(gap, reach))));
        let aimed = self.target_gap.map(|gap| format!(", target {}", self.theme.angle(bite_angle(gap, reach))));
        let mut lines = vec![
            gap + &target.unwrap_or_default(),
            format!("length {}", unit.show_named(self.length)) + &bite.unwrap_or_default() + &aimed.unwrap_or_default(),
        ];
        if let (Some(rock), Some(gap)) = (self.rock, self.gap) {
            let left = bite_left(gap, reach, rock);
            let left = if left.get() > 0.0 { format!("{} of", unit.show_named(left)) } else { "no".to_owned() };
            lines.push(format!("rocked {}: {left} bite left", self.theme.angle(rock)));
        }
        lines
    }

    fn hand(&self, point: Point) -> Point {
        if self.mirrored { (-point.0, point.1) } else { point }
    }

    fn path(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.hand(*point)).collect()
    }

    /// What must be seen: the new cutter always, so that the picture does not jump from reading to reading.
    fn frame(&self, new: &Outline, now: &Outline) -> (Point, Point) {
        let (low, high) = if self.close {
            let reach = now.reach().get();
            let ahead = (now.raker.0 + 0.35 * reach, now.corner.1.max(now.raker.1) + 0.12 * reach);
            ((now.corner.0 - 0.35 * reach, now.raker.1.min(now.corner.1) - 0.25 * reach), ahead)
        } else {
            let (a, b) = (new.bounds(), now.bounds());
            let wide = b.1.0.max(a.1.0) - b.0.0.min(a.0.0);
            ((a.0.0.min(b.0.0), a.0.1.min(b.0.1)), (a.1.0.max(b.1.0), a.1.1.max(b.1.1) + 0.05 * wide))
        };
        if self.mirrored { ((-high.0, low.1), (-low.0, high.1)) } else { (low, high) }
    }
}

impl Widget for &CutterSide<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let lines = self.lines();
        let below = u16::try_from(lines.len()).unwrap_or(0);
        if area.width < 24 || area.height < 6 + below {
            words(self.theme, area, buf, &lines);
            return;
        }
        let picture = Rect { height: area.height - below, ..area };
        words(self.theme, Rect { y: picture.bottom(), height: below, ..area }, buf, &lines);
        let spec = self.spec;
        let new = outline(spec, spec.new_length, spec.fixed_gap(Wood::Any), deg(0.0));
        let now = outline(spec, self.length, self.drawn_gap(), self.rock.unwrap_or_default());
        let (low, high) = self.frame(&new, &now);
        let Some(scale) = Scale::square(picture, low, high) else { return };
        self.draw(scale, buf, &new, &now);
        self.label(scale, buf, &now);
    }
}

impl CutterSide<'_> {
    fn draw(&self, scale: Scale, buf: &mut Buffer, new: &Outline, now: &Outline) {
        let theme = self.theme;
        let quiet = theme.colour(Role::Quiet);
        for part in [&new.tooth, &new.hump] {
            scale.path(buf, faint(theme), quiet, &self.path(part));
        }
        let text = theme.colour(Role::Text);
        for index in 0..now.rivets.len() {
            scale.path(buf, solid(theme), text, &self.path(&now.rivet(index)));
        }
        scale.path(buf, solid(theme), theme.colour(Role::Mark), &self.path(&now.mark));
        scale.path(buf, solid(theme), text, &self.path(&now.tooth));
        // A raker that nobody measured is drawn faintly where it should be.
        let (marker, role) =
            if self.gap.is_some() { (solid(theme), Role::Text) } else { (faint(theme), Role::Unmeasured) };
        scale.path(buf, marker, theme.colour(role), &self.path(&now.hump));
        self.draw_target(scale, buf, now);
        self.draw_measures(scale, buf, now);
    }

    /// A level dash where the raker top ought to be.
    fn draw_target(&self, scale: Scale, buf: &mut Buffer, now: &Outline) {
        let (Some(target), Some(_), None) = (self.target_gap, self.gap, self.rock) else { return };
        let (half, y) = (0.12 * now.reach().get(), now.corner.1 - target.get());
        let dash = [(now.raker.0 - half, y), (now.raker.0 + half, y)];
        scale.path(buf, TARGET, self.theme.colour(Role::Curve3), &self.path(&dash));
    }

    /// The level through the corner, and the line from raker top to corner whose slope is the bite angle.
    fn draw_measures(&self, scale: Scale, buf: &mut Buffer, now: &Outline) {
        let theme = self.theme;
        let level = [now.corner, (now.raker.0 + 0.25 * now.reach().get(), now.corner.1)];
        let gap = [now.raker, (now.raker.0, now.corner.1)];
        for line in [level, gap] {
            scale.path(buf, faint(theme), theme.colour(Role::Frame), &self.path(&line));
        }
        scale.path(buf, solid(theme), theme.colour(Role::Curve2), &self.path(&[now.corner, now.raker]));
        scale.sign(buf, theme, self.hand(now.corner), theme.glyph(Glyph::Point), Role::Curve1);
        scale.sign(buf, theme, self.hand(now.raker), theme.glyph(Glyph::Point), Role::Curve1);
    }

    fn label(&self, scale: Scale, buf: &mut Buffer, now: &Outline) {
        let theme = self.theme;
        let mut labels = Labels::new(scale.area);
        for point in [now.corner, now.raker] {
            if let Some(cell) = scale.inside(self.hand(point)) {
                labels.reserve(cell);
            }
        }
        if let Some(gap) = self.gap {
            // Once it is rocked, only what is left of gap and angle can be seen.
            let (text, bite) = match self.rock {
                Some(_) => (format!("left {}", self.unit.show(now.gap())), "left"),
                None => (format!("gap {}", self.unit.show(gap)), "bite"),
            };
            self.beside(&mut labels, buf, scale, now.raker, &[-1, 0, -2, -3], (&text, Role::Curve1));
            let bite = format!("{bite} {}", theme.angle(now.bite()));
            let middle = (f64::midpoint(now.corner.0, now.raker.0), f64::midpoint(now.corner.1, now.raker.1));
            let (x, y) = scale.cell(self.hand(middle));
            let from = x - i32::from(width(&bite)) / 2;
            labels.place(buf, &[(from, y + 1), (from, y + 2), (from, y - 2)], &bite, theme.style(Role::Curve2));
        }
        if let (Some(target), Some(_), None) = (self.target_gap, self.gap, self.rock) {
            let text = format!("x target {}", self.unit.show(target));
            let at = (now.raker.0, now.corner.1 - target.get());
            self.beside(&mut labels, buf, scale, at, &[1, 2, 0, 3], (&text, Role::Curve3));
        }
        if !self.close {
            self.beside(&mut labels, buf, scale, now.mark[1], &[0, 1, -1], ("mark", Role::Mark));
        }
        let runs = if self.mirrored {
            format!("{} runs", theme.glyph(Glyph::Back))
        } else {
            format!("runs {}", theme.glyph(Glyph::Forward))
        };
        let area = scale.area;
        let x = if self.mirrored { area.x } else { area.right().saturating_sub(6) };
        let corners = [area.y, area.bottom() - 1].map(|y| (i32::from(x), i32::from(y)));
        labels.place(buf, &corners, &runs, theme.style(Role::Quiet));
    }

    /// A label a little ahead of a point, so many rows further down; the next of `rows` where that is taken.
    fn beside(
        &self,
        labels: &mut Labels,
        buf: &mut Buffer,
        scale: Scale,
        at: Point,
        rows: &[i32],
        label: (&str, Role),
    ) {
        let (x, y) = scale.cell(self.hand(at));
        let wide = i32::from(width(label.0));
        let first = i32::from(scale.area.x);
        let last = (i32::from(scale.area.right()) - wide).max(first);
        let x = if self.mirrored { x - 1 - wide } else { x + 2 }.clamp(first, last);
        let wished: Vec<(i32, i32)> = rows.iter().map(|down| (x, y + down)).collect();
        labels.place(buf, &wished, label.0, self.theme.style(label.1));
    }
}

/// The target has dots of its own, so that it can be told without colour.
const TARGET: Marker = Marker::Custom('x');

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;
    use crate::units::mm;

    #[test]
    fn the_words_carry_every_number_of_the_drawing() {
        let profile = built_in::named("three-eighths").unwrap();
        let side = CutterSide {
            gap: Some(mm(0.65)),
            target_gap: Some(mm(0.95)),
            rock: Some(deg(2.0)),
            ..CutterSide::new(Theme::default(), profile.spec(), mm(8.0))
        };
        let spec = profile.spec();
        let reach = spec.reach(spec.wear(mm(8.0)));
        let bite = (0.65 / reach.get()).atan().to_degrees();
        let lines = side.lines();
        assert_eq!(lines[0], "gap 0.65 mm, target 0.95 mm");
        assert!(lines[1].starts_with(&format!("length 8.00 mm, bite {bite:.1}°, target ")), "{}", lines[1]);
        assert!(lines[2].starts_with("rocked 2.0°: 0.") && lines[2].ends_with("of bite left"), "{}", lines[2]);
        let over = CutterSide { rock: Some(deg(bite + 0.1)), ..side };
        assert!(over.lines()[2].ends_with("no bite left"), "{}", over.lines()[2]);
        let bare = CutterSide::new(Theme::default(), spec, mm(8.0));
        assert_eq!(bare.lines(), ["gap not measured", "length 8.00 mm"]);
    }

    #[test]
    fn the_mirrored_drawing_has_the_corner_as_far_from_the_other_edge() {
        let profile = built_in::named("three-eighths").unwrap();
        let find = |mirrored| {
            let side = CutterSide {
                gap: Some(mm(0.65)),
                mirrored,
                ..CutterSide::new(Theme::default(), profile.spec(), mm(8.0))
            };
            let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
            side.render(buf.area, &mut buf);
            let points = buf.area.positions().filter(|at| buf[*at].symbol() == "•");
            points.map(|at| i32::from(at.x)).collect::<Vec<_>>()
        };
        let plain = find(false);
        let mut mirrored: Vec<i32> = find(true).into_iter().map(|x| 79 - x).collect();
        mirrored.sort_unstable();
        let mut sorted = plain;
        sorted.sort_unstable();
        assert_eq!(sorted.len(), 2);
        for (a, b) in sorted.iter().zip(&mirrored) {
            assert!((a - b).abs() <= 1, "{sorted:?} {mirrored:?}");
        }
    }

    #[test]
    fn a_raker_that_nobody_measured_gets_no_number() {
        let profile = built_in::named("three-eighths").unwrap();
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        (&CutterSide::new(Theme::default(), profile.spec(), mm(8.0))).render(buf.area, &mut buf);
        let text: String = buf.content().iter().map(ratatui::buffer::Cell::symbol).collect();
        assert!(!text.contains("bite") && text.contains("gap not measured"));
    }
}
