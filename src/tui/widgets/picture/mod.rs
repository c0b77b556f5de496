//! A scene in cells: filled shapes first, lines over them, then dimensions and words.
//!
//! With colours a cell shows two inks as foreground and background, as finely as the theme's blocks allow. Without them
//! the same shapes are told by their outlines and by a texture for each ink. Everything is worked out anew on each call;
//! whoever draws the same scene again and again keeps the cells.

mod shapes;
mod strokes;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier, Style};
use ratatui::widgets::Widget;

use super::plot::{Scale, words};
use super::text::{Labels, put, width};
use crate::drawing::{Ink, Measure, Near, Part, Scene};
use crate::tui::theme::{Colours, Glyph, Role, Theme};
use strokes::Strokes;

/// Least cells in which a scene can be made out.
const LEAST: (u16, u16) = (24, 6);

/// The picture, with its words under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Picture<'a> {
    /// Looks.
    pub theme: Theme,
    /// What is drawn.
    pub scene: &'a Scene,
}

impl Widget for &Picture<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let lines: Vec<String> = self.scene.words.iter().map(|line| self.theme.text(line)).collect();
        let below = u16::try_from(lines.len()).unwrap_or(0);
        if area.width < LEAST.0 || area.height < LEAST.1 + below {
            words(self.theme, area, buf, &lines);
            return;
        }
        let picture = Rect { height: area.height - below, ..area };
        words(self.theme, Rect { y: picture.bottom(), height: below, ..area }, buf, &lines);
        let Some(scale) = Scale::square(picture, self.scene.low, self.scene.high) else { return };
        let mut strokes = Strokes::new(scale);
        shapes::paint(self.theme, self.scene, scale, buf, &mut strokes);
        for part in &self.scene.parts {
            if let Part::Line { path, ink, dashed } = part {
                strokes.path(path, *ink, *dashed);
            }
        }
        strokes.put(self.theme, buf);
        let mut labels = Labels::new(picture);
        self.dimensions(scale, buf, &mut labels);
        self.labels(scale, buf, &mut labels);
    }
}

impl Picture<'_> {
    /// Words of an ink: on the plain ground, whatever is filled there.
    fn style(&self, ink: Ink) -> Style {
        let style = self.theme.style(Role::of_ink(ink)).bg(Color::Reset);
        // The terminal's own hues are for shapes: not each of them can be read.
        if self.theme.colours == Colours::Few { style.fg(Color::Reset) } else { style }
    }

    fn dimensions(&self, scale: Scale, buf: &mut Buffer, labels: &mut Labels) {
        for part in &self.scene.parts {
            match part {
                Part::Measure(measure) if measure.upright => self.upright(scale, buf, measure),
                Part::Measure(measure) => self.level(scale, buf, labels, measure),
                _ => {}
            }
        }
        for part in &self.scene.parts {
            if let Part::Spot { at, ink } = part
                && let Some(place) = scale.inside(*at)
            {
                labels.reserve(place);
                put(buf, scale.area, place, self.theme.glyph(Glyph::Point), self.style(*ink));
            }
        }
        for measure in self.scene.measures().filter(|measure| measure.upright) {
            let (x, y) = scale.cell((measure.at, f64::midpoint(measure.from.1, measure.to.1)));
            let text = self.theme.text(&measure.text);
            let wide = i32::from(width(&text));
            let ahead = measure.at > measure.to.0;
            let (near, far) = if ahead { (x + 2, x - 2 - wide) } else { (x - 1 - wide, x + 3) };
            let wished: Vec<(i32, i32)> =
                [near, far].iter().flat_map(|x| [0, -1, 1, -2, 2, 3].map(|down| (*x, y + down))).collect();
            labels.place(buf, &wished, &text, self.style(measure.ink));
        }
    }

    /// A level dimension: its line with an end mark over each point, a thin line down to it, the number in the middle.
    fn level(&self, scale: Scale, buf: &mut Buffer, labels: &mut Labels, measure: &Measure) {
        let theme = self.theme;
        let style = self.style(measure.ink);
        let (mut ends, (_, row)) = ([scale.cell(measure.from), scale.cell(measure.to)], scale.cell((0.0, measure.at)));
        ends.sort_unstable();
        let [(left, left_row), (right, right_row)] = ends;
        let put_at = |buf: &mut Buffer, x: i32, y: i32, sign: &str, style: Style| {
            if let (Ok(x), Ok(y)) = (u16::try_from(x), u16::try_from(y)) {
                put(buf, scale.area, (x, y), sign, style);
            }
        };
        let first = left.max(i32::from(scale.area.x));
        let last = right.min(i32::from(scale.area.right()) - 1);
        for x in first..=last {
            put_at(buf, x, row, theme.glyph(Glyph::Line), style);
        }
        for (x, from, sign) in [(left, left_row, Glyph::EndLeft), (right, right_row, Glyph::EndRight)] {
            let met = (u16::try_from(x).ok().zip(u16::try_from(row).ok()))
                .is_some_and(|at| scale.area.contains(at.into()) && self.is_end(buf, at));
            put_at(buf, x, row, theme.glyph(if met { Glyph::EndBoth } else { sign }), style);
            for y in (row + 1)..from {
                if let Some(behind) = ground(scale, buf, x, y) {
                    put_at(buf, x, y, theme.glyph(Glyph::Thin), self.style(Ink::Quiet).bg(behind));
                }
            }
        }
        let text = theme.text(&measure.text);
        let wide = i32::from(width(&text));
        let from = i32::midpoint(first, last) - wide / 2;
        let inside = last - first > wide + 2;
        let wished = if inside { vec![(from, row)] } else { vec![(from, row - 1)] };
        let padded = format!(" {text} ");
        let text = if inside { &padded } else { &text };
        let wished: Vec<(i32, i32)> = wished.into_iter().map(|(x, y)| (x - i32::from(inside), y)).collect();
        labels.place(buf, &wished, text, style);
    }

    fn is_end(&self, buf: &Buffer, at: (u16, u16)) -> bool {
        [Glyph::EndLeft, Glyph::EndRight, Glyph::EndBoth].iter().any(|end| buf[at].symbol() == self.theme.glyph(*end))
    }

    /// An upright dimension: a line as long as it is.
    fn upright(&self, scale: Scale, buf: &mut Buffer, measure: &Measure) {
        let (x, top) = scale.cell((measure.at, measure.from.1.max(measure.to.1)));
        let (_, bottom) = scale.cell((measure.at, measure.from.1.min(measure.to.1)));
        let area = scale.area;
        for y in top.max(i32::from(area.y))..=bottom.min(i32::from(area.bottom()) - 1) {
            let sign = if top == bottom {
                Glyph::Bar
            } else if y == top {
                Glyph::EndTop
            } else if y == bottom {
                Glyph::EndBottom
            } else {
                Glyph::Bar
            };
            if let (Ok(column), Ok(row)) = (u16::try_from(x), u16::try_from(y)) {
                let style = self.style(measure.ink).bg(ground(scale, buf, x, y).unwrap_or(Color::Reset));
                put(buf, area, (column, row), self.theme.glyph(sign), style);
            }
        }
    }

    fn labels(&self, scale: Scale, buf: &mut Buffer, labels: &mut Labels) {
        for part in &self.scene.parts {
            let Part::Label { at, near, text, ink } = part else { continue };
            let text = self.theme.text(text);
            let wide = i32::from(width(&text));
            let area = scale.area;
            let (x, y) = scale.cell(*at);
            let (first, last) = (i32::from(area.x), i32::from(area.right()) - wide);
            let (from, rows) = match near {
                Near::Right => (x + 2, [0, 1, -1, 2, -2]),
                Near::Left => (x - 1 - wide, [0, 1, -1, 2, -2]),
                Near::Above => (x - wide / 2, [-1, -2, -3, 0, 1]),
                Near::Below => (x - wide / 2, [1, 2, 3, 4, -1]),
            };
            let from = from.clamp(first, last.max(first));
            let wished = rows.map(|down| (from, y + down));
            if let Some((x, y)) = labels.find(&wished, &text) {
                let steel = self.theme.coloured()
                    && (x..x + width(&text)).all(|x| buf[(x, y)].bg == self.theme.colour(Role::Steel));
                // On steel the words are cut out of it: a hole of bare ground would look like one.
                let style = if steel {
                    Style::new().fg(self.theme.colour(Role::Steel)).bg(Color::Reset).add_modifier(Modifier::REVERSED)
                } else {
                    self.style(*ink)
                };
                put(buf, area, (x, y), &text, style);
            }
        }
    }
}

/// What is filled behind a whole cell; `None` where a shape ends in it, which a thin line must not wipe out.
fn ground(scale: Scale, buf: &Buffer, x: i32, y: i32) -> Option<Color> {
    let at = (u16::try_from(x).ok()?, u16::try_from(y).ok()?);
    let cell = scale.area.contains(at.into()).then(|| &buf[at])?;
    // The dots of the grain leave the wood behind them whole.
    let dots = cell.bg != Color::Reset && cell.symbol().starts_with(|sign| ('\u{2800}'..='\u{28ff}').contains(&sign));
    (cell.fg == cell.bg || cell.symbol() == " " || dots).then_some(cell.bg)
}

#[cfg(test)]
mod tests;
