//! A loop's history: its median cutter length round by round, and where that is going.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;

use super::plot::{Axis, Point, Scale, axes, dash, faint, solid, span, words};
use super::text::{Labels, put_pieces, width};
use crate::advice::forecast::{Expected, Rounds, way};
use crate::tui::theme::{Glyph, Role, Theme};
use crate::units::{Millimetres, Unit};

/// The chart: past rounds, then coming ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HistoryChart<'a> {
    /// Looks.
    pub theme: Theme,
    /// Median length after each past round, the first round first.
    pub past: &'a [Millimetres],
    /// Coming rounds, the next first.
    pub future: &'a [Expected],
    /// Rounds until the loop ends, as the forecast tells them: they stand at the ends of its paths.
    pub rounds: Option<Rounds>,
    /// Length at the witness mark.
    pub mark: Option<Millimetres>,
    /// Length from which the wear-scaled gap is worth using.
    pub worth: Option<Millimetres>,
    /// Unit of the numbers.
    pub unit: Unit,
}

/// Edges of the forecast.
const EDGE: Marker = Marker::Custom(':');

impl HistoryChart<'_> {
    fn lines(&self) -> Vec<String> {
        let rounds = self.past.len();
        let mut lines = vec![match self.past.last() {
            Some(last) => {
                format!("{rounds} round{}, now {}", if rounds == 1 { "" } else { "s" }, self.unit.show_named(*last))
            }
            None => "no rounds yet".to_owned(),
        }];
        if let Some(end) = self.future.last() {
            lines.push(format!(
                "after {} more: {} to {}",
                self.future.len(),
                self.unit.show(end.low),
                self.unit.show_named(end.high)
            ));
        }
        lines
    }

    fn past_points(&self) -> Vec<Point> {
        (1_u32..).zip(self.past).map(|(round, length)| (f64::from(round), length.get())).collect()
    }

    /// One path of the fan, from the last past round to where the loop ends.
    fn way(&self, pick: fn(&Expected) -> Millimetres) -> Vec<Point> {
        let Some(last) = self.past.last() else { return Vec::new() };
        let from = self.past.len() as f64;
        way(*last, self.future, pick).into_iter().map(|(rounds, length)| (from + rounds, length.get())).collect()
    }
}

impl Widget for &HistoryChart<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(buf.area);
        let rounds = self.past.len() + self.future.len();
        let future = self.future.iter().flat_map(|round| [round.low, round.high]);
        // A changeover far above every reading would press the readings flat: then it is only named.
        let lengths = self.past.iter().copied().chain(future).chain(self.mark);
        let y_range = span(lengths.map(Millimetres::get), 0.5, 0.06);
        let Some(y_range) = y_range.filter(|_| area.width >= 30 && area.height >= 9 && rounds > 0) else {
            words(self.theme, area, buf, &self.lines());
            return;
        };
        let chart = Rect { height: area.height - 1, ..area };
        let x = Axis::counts([0.5, rounds as f64 + 0.5], chart.width, "round");
        let y = Axis::lengths(y_range, self.unit, chart.height, "median length");
        let Some(scale) = axes(self.theme, chart, buf, &x, &y) else { return };
        self.draw(scale, buf);
        self.key(Rect { y: chart.bottom(), height: 1, ..area }, buf);
    }
}

impl HistoryChart<'_> {
    fn draw(&self, scale: Scale, buf: &mut Buffer) {
        let theme = self.theme;
        let limits =
            [(self.worth, "worth it from", Role::Curve3, faint(theme)), (self.mark, "mark", Role::Mark, dash(theme))];
        for (limit, _, role, marker) in limits {
            let Some(limit) = limit.filter(|limit| limit.get() <= scale.y[1]) else { continue };
            scale.path(buf, marker, theme.colour(role), &[(scale.x[0], limit.get()), (scale.x[1], limit.get())]);
        }
        let middle = self.way(|round| round.middle);
        let edges = [self.way(|round| round.low), self.way(|round| round.high)];
        for edge in &edges {
            scale.path(buf, EDGE, theme.colour(Role::Quiet), edge);
        }
        scale.path(buf, faint(theme), theme.colour(Role::Curve2), &middle);
        let past = self.past_points();
        scale.path(buf, solid(theme), theme.colour(Role::Text), &past);
        for point in past {
            scale.sign(buf, theme, point, theme.glyph(Glyph::Point), Role::Curve1);
        }
        for point in middle.iter().skip(1) {
            scale.sign(buf, theme, *point, "?", Role::Curve2);
        }
        let mut labels = Labels::new(scale.area);
        let [best, low, high] = match self.rounds {
            Some(rounds) => [rounds.best, Some(rounds.low), rounds.high],
            None => [None; 3],
        };
        for (way, rounds, word) in [(&middle, best, " likely"), (&edges[0], low, ""), (&edges[1], high, "")] {
            let Some((at, rounds)) = way.last().zip(rounds) else { continue };
            let text = format!("{rounds}{word}");
            let (column, row) = scale.cell(*at);
            let wished = [(column - 1, row - 1), (column + 1, row - 1), (column - i32::from(width(&text)), row - 1)];
            place_free(&mut labels, buf, &wished, &text, theme.style(Role::Text));
        }
        for (limit, word, role, _) in limits {
            let Some(limit) = limit else { continue };
            let above = limit.get() > scale.y[1];
            let text = format!("{word} {}{}", self.unit.show(limit), if above { ", above" } else { "" });
            let (_, row) = scale.cell((scale.x[0], limit.get()));
            let (left, row) = (i32::from(scale.area.x) + 1, row.max(i32::from(scale.area.y)));
            let right = i32::from(scale.area.right()) - i32::from(width(&text)) - 1;
            let wished =
                [(right, row), (left, row), (right, row - 1), (left, row - 1), (left, row + 1), (right, row + 1)];
            place_free(&mut labels, buf, &wished, &text, theme.style(role));
        }
    }

    fn key(&self, area: Rect, buf: &mut Buffer) {
        let theme = self.theme;
        let past = format!("{} done  ", theme.glyph(Glyph::Point));
        let mut pieces = vec![(past.as_str(), theme.style(Role::Curve1))];
        if !self.future.is_empty() && area.width > width(&past) + 38 {
            pieces.push(("? expected  ", theme.style(Role::Curve2)));
            pieces.push((": shortest and longest to expect", theme.style(Role::Quiet)));
        }
        put_pieces(buf, area, (area.x, area.y), &pieces);
    }
}

/// Writes a label at the first wished place where no data stands, else at the first that is left.
fn place_free(labels: &mut Labels, buf: &mut Buffer, wished: &[(i32, i32)], text: &str, style: Style) {
    let bare = |(x, y): &(i32, i32)| {
        let cells = (*x..*x + i32::from(width(text))).map(|x| (u16::try_from(x).ok(), u16::try_from(*y).ok()));
        let mut signs = cells.map(|at| at.0.zip(at.1).and_then(|at| buf.cell(at)).map_or("", Cell::symbol));
        signs.all(|sign| matches!(sign, " " | "─" | "-" | "·" | "."))
    };
    let (free, rest): (Vec<_>, Vec<_>) = wished.iter().copied().partition(bare);
    labels.place(buf, &[free, rest].concat(), text, style);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::mm;

    const ROUNDS: Option<Rounds> = Some(Rounds { best: Some(3), low: 1, high: Some(6) });

    fn chart<'a>(past: &'a [Millimetres], future: &'a [Expected]) -> HistoryChart<'a> {
        let (mark, worth) = (Some(mm(3.5)), Some(mm(7.0)));
        HistoryChart { theme: Theme::default(), past, future, rounds: ROUNDS, mark, worth, unit: Unit::Mm }
    }

    #[test]
    fn every_round_has_its_sign_and_they_fall() {
        let past = [mm(9.0), mm(8.6), mm(8.3)];
        let future = [(7.6, 8.0, 8.2), (7.0, 7.6, 8.0)].map(|(low, middle, high)| Expected {
            low: mm(low),
            middle: mm(middle),
            high: mm(high),
        });
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        (&chart(&past, &future)).render(buf.area, &mut buf);
        let find = |sign: &str| {
            let mut places: Vec<(u16, u16)> = buf
                .area
                .positions()
                .filter(|at| at.y < 20 && buf[*at].symbol() == sign)
                .map(|at| (at.x, at.y))
                .collect();
            places.sort_unstable();
            places
        };
        let (done, expected) = (find("•"), find("?"));
        assert_eq!((done.len(), expected.len()), (3, 2));
        let all: Vec<_> = done.iter().chain(&expected).collect();
        assert!(all.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1), "{all:?}");
        assert_eq!(buf[done[0]].fg, chart(&past, &future).theme.colour(Role::Curve1));
    }

    #[test]
    fn the_fan_starts_at_the_last_round_and_its_ends_are_numbered() {
        let past = [mm(6.0), mm(5.0)];
        let future = [(4.0, 4.4, 4.8), (3.0, 3.8, 4.6), (3.0, 3.2, 4.4), (3.0, 3.0, 4.2)]
            .map(|(low, middle, high)| Expected { low: mm(low), middle: mm(middle), high: mm(high) });
        let chart = chart(&past, &future);
        assert_eq!(chart.way(|round| round.low), [(2.0, 5.0), (3.0, 4.0), (4.0, 3.0)]);
        assert!(HistoryChart { past: &[], ..chart }.way(|round| round.high).is_empty());
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        (&chart).render(buf.area, &mut buf);
        let text: String = buf.content().iter().map(Cell::symbol).collect();
        assert!(text.contains("3 likely") && text.contains("mark 3.50"), "{text}");
        assert!(text.contains("worth it from 7.00, above"), "the readings are not pressed flat: {text}");
    }

    #[test]
    fn without_rounds_or_room_words_say_it() {
        assert_eq!(chart(&[], &[]).lines(), ["no rounds yet"]);
        assert_eq!(chart(&[mm(9.0)], &[]).lines(), ["1 round, now 9.00 mm"]);
    }
}
