//! The raker gap by cutter length: what the fixed gap, the wear-scaled gap and a plate gauge ask for, the loop's own
//! cutters as points, the witness mark, the changeover and the cap.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;

use super::plot::{Axis, Point, Scale, axes, dash, faint, length_ticks, solid, span, upright, words};
use super::text::{Labels, put, put_pieces};
use crate::chain::{Plate, Rule, Side, Spec, Stage, Wood};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Millimetres, Unit, mm};

/// A cutter with a measured gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Its length.
    pub length: Millimetres,
    /// Its raker gap.
    pub gap: Millimetres,
    /// Its hand.
    pub side: Side,
}

/// The chart. Wear runs to the right: a new cutter stands at the left, the witness mark near the right edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapCurve<'a> {
    /// Looks.
    pub theme: Theme,
    /// The chain.
    pub spec: &'a Spec,
    /// What the saw will cut.
    pub wood: Wood,
    /// A plate gauge, where one is owned.
    pub plate: Option<Plate>,
    /// The loop's cutters.
    pub points: &'a [CurvePoint],
    /// Length of the cutter in hand.
    pub current: Option<Millimetres>,
    /// Unit of the numbers.
    pub unit: Unit,
}

/// How many straight pieces a curve is drawn with.
const PIECES: u32 = 48;

impl GapCurve<'_> {
    /// Points of a rule's gap over wear, from new to the mark.
    fn rule(&self, rule: Rule) -> Vec<Point> {
        let gap = |wear| match (rule, self.plate) {
            (Rule::Plate, Some(plate)) => Some(plate.gap(self.spec, wear).min(self.spec.gap_max)),
            (Rule::Plate, None) => None,
            _ => self.spec.target_gap(rule, self.wood, wear),
        };
        (0..=PIECES)
            .filter_map(|piece| {
                let wear = self.spec.usable() * (f64::from(piece) / f64::from(PIECES));
                Some((wear.get(), gap(wear)?.get()))
            })
            .collect()
    }

    fn lines(&self) -> Vec<String> {
        let (spec, unit) = (self.spec, self.unit);
        let mark = spec.usable();
        let at = |wear| unit.show_named(spec.new_length - wear);
        vec![
            format!("fixed gap {}{}", unit.show_named(spec.fixed_gap(self.wood)), self.wood.only()),
            format!(
                "wear-scaled {} new, {} at the mark",
                unit.show(spec.scaled_gap(self.wood, mm(0.0))),
                unit.show_named(spec.scaled_gap(self.wood, mark))
            ),
            format!("worth it from {}, due from {}", at(spec.worth_wear(self.wood)), at(spec.due_wear(self.wood))),
        ]
    }

    fn scales(&self, area: Rect) -> Option<(Axis, Axis)> {
        let spec = self.spec;
        let wears = self.points.iter().map(|point| spec.wear(point.length).get());
        let x_range = span(wears.chain([0.0, spec.usable().get()]), 1.0, 0.03)?;
        let curves = [Rule::Fixed, Rule::Scaled, Rule::Plate].into_iter().flat_map(|rule| self.rule(rule));
        let gaps = self.points.iter().map(|point| point.gap.get());
        let top = span(curves.map(|(_, gap)| gap).chain(gaps).chain([0.0, spec.gap_max.get()]), 0.1, 0.04)?;
        let y = Axis::lengths([top[0].min(0.0), top[1]], self.unit, area.height, "gap");
        let lengths = [spec.new_length.get() - x_range[1], spec.new_length.get() - x_range[0]];
        let ticks = length_ticks(lengths, self.unit, usize::from(area.width / 10).clamp(2, 10));
        // Wear grows to the right, so the lengths at its ticks fall.
        let ticks = ticks.into_iter().rev().map(|(length, text)| (spec.new_length.get() - length, text)).collect();
        let x = Axis { range: x_range, ticks, title: format!("cutter length, {}", self.unit.name()) };
        Some((x, y))
    }
}

impl Widget for &GapCurve<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let lines = self.lines();
        if area.width < 40 || area.height < 12 {
            words(self.theme, area, buf, &lines);
            return;
        }
        let chart = Rect { height: area.height - 1, ..area };
        let Some(scale) = self.scales(chart).and_then(|(x, y)| axes(self.theme, chart, buf, &x, &y)) else {
            words(self.theme, area, buf, &lines);
            return;
        };
        self.draw_limits(scale, buf);
        self.draw_curves(scale, buf);
        self.draw_points(scale, buf);
        self.draw_stages(scale, buf);
        self.draw_key(Rect { y: chart.bottom(), height: 1, ..area }, buf);
    }
}

impl GapCurve<'_> {
    fn draw_limits(&self, scale: Scale, buf: &mut Buffer) {
        let (theme, spec) = (self.theme, self.spec);
        let level = |y: f64| [(scale.x[0], y), (scale.x[1], y)];
        scale.path(buf, dash(theme), theme.colour(Role::Mark), &level(spec.gap_max.get()));
        for (wear, marker, role) in [
            (spec.worth_wear(self.wood), faint(theme), Role::Frame),
            (spec.due_wear(self.wood), faint(theme), Role::Frame),
            (spec.usable(), upright(theme), Role::Mark),
        ] {
            let line = [(wear.get(), scale.y[0]), (wear.get(), scale.y[1])];
            scale.path(buf, marker, theme.colour(role), &line);
        }
    }

    fn curves(&self) -> [(Rule, Marker, Role); 3] {
        let theme = self.theme;
        [
            (Rule::Fixed, FIXED, Role::Curve1),
            (Rule::Scaled, solid(theme), Role::Curve2),
            (Rule::Plate, PLATE, Role::Curve3),
        ]
    }

    fn draw_curves(&self, scale: Scale, buf: &mut Buffer) {
        for (rule, marker, role) in self.curves() {
            scale.path(buf, marker, self.theme.colour(role), &self.rule(rule));
        }
        if let Some(length) = self.current {
            let wear = self.spec.wear(length).get();
            scale.sign(buf, self.theme, (wear, scale.y[0]), self.theme.glyph(Glyph::Up), Role::Current);
        }
    }

    /// `L` and `R`; where both share a cell, `B`.
    fn draw_points(&self, scale: Scale, buf: &mut Buffer) {
        let cell = |point: &CurvePoint| scale.inside((self.spec.wear(point.length).get(), point.gap.get()));
        for point in self.points {
            let Some(at) = cell(point) else { continue };
            let shared = self.points.iter().any(|other| other.side != point.side && cell(other) == Some(at));
            let (sign, role) = if shared {
                ("B".to_owned(), Role::Text)
            } else {
                (point.side.letter().to_string(), Role::of_side(point.side))
            };
            put(buf, scale.area, at, &sign, self.theme.style(role));
        }
    }

    /// Above the picture, which stretch is which stage; at the right, what the level lines are.
    fn draw_stages(&self, scale: Scale, buf: &mut Buffer) {
        let (theme, spec) = (self.theme, self.spec);
        let above = Rect { y: scale.area.y - 1, height: 1, ..scale.area };
        let mut labels = Labels::new(above);
        let row = i32::from(above.y);
        let from = |wear: Millimetres| scale.cell((wear.get(), 0.0)).0;
        let (worth, due, mark) = (spec.worth_wear(self.wood), spec.due_wear(self.wood), spec.usable());
        let retire = i32::from(above.right()) - 4;
        labels.place(buf, &[(from(mark) - 1, row), (retire, row)], "mark", theme.style(Role::Mark));
        for (stage, start) in [(Stage::Due, from(due)), (Stage::Worth, from(worth)), (Stage::Fixed, from(mm(0.0)))] {
            let text = format!("{} {}", stage, theme.glyph(Glyph::Forward));
            let start = if stage == Stage::Fixed { start.max(i32::from(above.x) + 4) } else { start };
            labels.place(buf, &[(start, row)], &text, theme.style(Role::Quiet));
        }
        let mut inside = Labels::new(scale.area);
        let (_, cap) = scale.cell((0.0, spec.gap_max.get()));
        let x = i32::from(scale.area.x) + 1;
        let text = format!("cap {}", self.unit.show(spec.gap_max));
        inside.place(buf, &[(x, cap - 1), (x, cap + 1)], &text, theme.style(Role::Mark));
    }

    /// Which line is which.
    fn draw_key(&self, area: Rect, buf: &mut Buffer) {
        let theme = self.theme;
        let mut texts = Vec::new();
        for (rule, marker, role) in self.curves() {
            if rule == Rule::Plate && self.plate.is_none() {
                continue;
            }
            let dot = match marker {
                Marker::Custom(dot) => dot,
                _ => '⠒',
            };
            texts.push((format!("{dot}{dot} {}  ", rule.word()), role));
        }
        let told: usize = texts.iter().map(|(text, _)| text.chars().count()).sum();
        if !self.points.is_empty() && told + "L/R cutters, B both".len() <= usize::from(area.width) {
            texts.extend([
                ("L".to_owned(), Role::Left),
                ("/".to_owned(), Role::Text),
                ("R".to_owned(), Role::Right),
                (" cutters, B both".to_owned(), Role::Text),
            ]);
        }
        let pieces: Vec<_> = texts.iter().map(|(text, role)| (text.as_str(), theme.style(*role))).collect();
        put_pieces(buf, area, (area.x, area.y), &pieces);
    }
}

/// The fixed gap's line.
const FIXED: Marker = Marker::Custom('=');
/// The plate's line.
const PLATE: Marker = Marker::Custom('+');

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;

    fn curve(spec: &Spec) -> GapCurve<'_> {
        GapCurve {
            theme: Theme::default(),
            spec,
            wood: Wood::Any,
            plate: Some(Plate { foot: mm(9.0), height: mm(3.0), slot: mm(0.5) }),
            points: &[],
            current: None,
            unit: Unit::Mm,
        }
    }

    #[test]
    fn the_lines_go_through_the_gaps_of_the_rules() {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let curve = curve(spec);
        for (rule, at_start, at_end) in [
            (Rule::Fixed, spec.base_gap, spec.base_gap),
            (Rule::Scaled, spec.base_gap, spec.scaled_gap(Wood::Any, spec.usable())),
            (Rule::Plate, curve.plate.unwrap().gap(spec, mm(0.0)), curve.plate.unwrap().gap(spec, spec.usable())),
        ] {
            let points = curve.rule(rule);
            let (first, last) = (points[0], points[points.len() - 1]);
            assert!((first.1 - at_start.min(spec.gap_max).get()).abs() < 1e-9, "{rule:?}");
            assert!((last.1 - at_end.min(spec.gap_max).get()).abs() < 1e-9, "{rule:?}");
            assert!((last.0 - spec.usable().get()).abs() < 1e-9);
        }
        assert!(GapCurve { plate: None, ..curve }.rule(Rule::Plate).is_empty());
    }

    #[test]
    fn cutters_stand_where_their_numbers_say_and_share_a_cell_as_b() {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let point = |length, gap, side| CurvePoint { length: mm(length), gap: mm(gap), side };
        let points = [point(8.0, 0.4, Side::Left), point(6.0, 0.4, Side::Right), point(6.0, 0.4, Side::Left)];
        let chart = GapCurve { points: &points, ..curve(spec) };
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        chart.render(buf.area, &mut buf);
        // Not the row above the picture nor the key below it.
        let find = |sign: &str| {
            buf.area.positions().find(|at| at.y > 0 && at.y < 21 && buf[*at].symbol() == sign).map(|at| (at.x, at.y))
        };
        let (left, both) = (find("L").unwrap(), find("B").unwrap());
        assert!(left.0 < both.0 && left.1 == both.1, "{left:?} {both:?}");
        assert_eq!(find("R"), None);
        assert_eq!(buf[left].fg, chart.theme.colour(Role::Left));
    }

    #[test]
    fn without_room_the_changeover_is_said_in_words() {
        let profile = built_in::named("three-eighths").unwrap();
        let mut buf = Buffer::empty(Rect::new(0, 0, 60, 5));
        (&curve(profile.spec())).render(buf.area, &mut buf);
        let text: String = buf.content().iter().map(ratatui::buffer::Cell::symbol).collect();
        assert!(text.contains("worth it from") && text.contains("wear-scaled"));
    }
}
