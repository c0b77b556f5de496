//! The loop chosen on the rack, where a wide window has room for it: its cutter as worn as it is, what is left, how its
//! lengths went, what to do next and what to watch.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Text};

use super::super::theme::{Role, Theme};
use super::super::widgets::{GapCurve, HistoryChart, Kept, Picture};
use super::gap_lines;
use crate::advice::say::status;
use crate::advice::say::visit::came_and_went;
use crate::care::{Life, Row};
use crate::drawing::Side;
use crate::report::format::{capital, wrap};
use crate::report::loops::percent;
use crate::round::{Closing, Summary};
use crate::units::Unit;

/// Least rows for a chart.
const CHART: u16 = 11;
/// Columns of the life bar.
const BAR: usize = 30;

/// What is known of the chosen loop, and its pictures.
pub(super) struct Chosen {
    pub life: Life,
    pub unit: Unit,
    kept: Kept,
}

impl Chosen {
    pub(super) fn new(life: Life, unit: Unit) -> Self {
        Self { life, unit, kept: Kept::default() }
    }

    /// Draws it: the cutter, what there is to say, the rounds.
    pub(super) fn draw(&self, frame: &mut Frame, area: Rect, row: &Row, theme: Theme) {
        let [left, _, middle, _, right] = Layout::horizontal([
            Constraint::Fill(10),
            Constraint::Length(2),
            Constraint::Fill(11),
            Constraint::Length(2),
            Constraint::Fill(11),
        ])
        .areas(area);
        // A picture is as high as its width has use for; below it there is room for the curve.
        let [picture, curve] = Layout::vertical([Constraint::Max(left.width * 2 / 5), Constraint::Min(0)]).areas(left);
        let (picture, curve) =
            if curve.height >= CHART { (picture, curve) } else { (left, Rect { height: 0, ..curve }) };
        self.kept.draw(frame, picture, (theme, "cutter"), |frame| {
            frame.render_widget(&Picture { theme, scene: &self.scene() }, picture);
        });
        self.kept.draw(frame, curve, (theme, "curve"), |frame| self.draw_curve(frame, curve, theme));
        let said = self.said(row, usize::from(middle.width), theme);
        let rows = u16::try_from(said.len() + 1).unwrap_or(u16::MAX);
        let [upper, chart] = Layout::vertical([Constraint::Max(rows), Constraint::Min(0)]).areas(middle);
        frame.render_widget(Text::from(said), upper);
        if chart.height >= CHART {
            self.kept.draw(frame, chart, (theme, "life"), |frame| self.draw_life(frame, chart, theme));
        }
        frame.render_widget(Text::from(self.rounds(right, theme)), right);
    }

    /// The median round by round, and what is to be expected.
    fn draw_life(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let life = &self.life;
        let signed = life.rounds.iter().filter(|round| round.how == Some(Closing::Signed));
        let past: Vec<_> = signed.filter_map(|round| round.median_after).collect();
        let future = life.ahead();
        let chart = HistoryChart {
            theme,
            past: &past,
            future: &future,
            rounds: life.forecast.to_mark.map(|ahead| ahead.rounds),
            mark: Some(life.spec.mark_length),
            worth: Some(life.spec.new_length - life.spec.worth_wear(life.forecast.wood)),
            unit: self.unit,
        };
        frame.render_widget(&chart, area);
    }

    fn draw_curve(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let life = &self.life;
        let curve = GapCurve {
            theme,
            spec: &life.spec,
            wood: life.forecast.wood,
            plate: life.spec.plate,
            points: &[],
            current: life.forecast.place.map(|place| place.length),
            unit: self.unit,
        };
        frame.render_widget(&curve, area);
    }

    /// The cutter at the loop's median length. Its gap is whatever the next round measures.
    fn scene(&self) -> crate::drawing::Scene {
        let life = &self.life;
        let length = life.forecast.place.map(|place| place.length);
        Side { length, unit: self.unit, ..Side::new(&life.spec) }.scene()
    }

    /// Whose it is, how much is left, what to do next, what is to be expected, what to watch.
    fn said(&self, row: &Row, width: usize, theme: Theme) -> Vec<Line<'static>> {
        let (life, unit) = (&self.life, self.unit);
        let mut lines = vec![Line::styled(row.name.clone(), theme.style(Role::Title))];
        let mut say = |text: &str, role: Role| {
            lines.extend(wrap(text, width, 2).into_iter().map(|line| Line::styled(line, theme.style(role))));
        };
        let owned = [row.owner.as_str(), row.saw.as_str()];
        let owned = owned.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ");
        say(&format!("{}, {} drive links. {owned}", row.chain, row.links), Role::Text);
        let went = came_and_went(&row.visit).join(", ");
        if !went.is_empty() {
            say(&capital(&format!("{went}.")), Role::Text);
        }
        match row.left {
            Some(left) => say(&format!("life left  {} {}", bar(left, theme), percent(left)), Role::Text),
            None => say("life left  not measured", Role::Unmeasured),
        }
        if let Some(place) = life.forecast.place {
            let (number, shortest) = place.ends;
            let text = format!(
                "median {}, mark {}; cutter {number} ends it, at {} now",
                unit.show_named(place.length),
                unit.show_named(life.spec.mark_length),
                unit.show_named(shortest)
            );
            say(&text, Role::Text);
        }
        say("", Role::Text);
        say(&row.advice(), Role::Now);
        if status::kept_back(&life.card, life.card.held(&life.rounds).as_ref()).is_some() {
            say(status::NOT_COUNTED, Role::Text);
        } else if !life.is_over() {
            say(&life.forecast.words(), Role::Text);
            let stage = life.forecast.place.map(|place| place.stage.sentence());
            stage.filter(|stage| !row.advice().contains(stage)).into_iter().for_each(|stage| say(stage, Role::Text));
        }
        if let Some(status) = &row.status {
            for reason in status.reasons() {
                say(&reason, Role::Warn);
            }
        }
        if let Some(hint) = life.saw_hint.as_ref().filter(|_| row.saw_says.hint.is_none()) {
            say(&format!("Its saw, {}: {hint}.", row.saw), Role::Warn);
        }
        for file in &life.not_read {
            say(file, Role::Bad);
        }
        lines.push(Line::raw(""));
        let present = life.forecast.place.map(|place| place.length);
        lines.extend(gap_lines::setup((&life.spec, life.forecast.wood), unit, present, width, theme));
        lines
    }

    /// How the median went, in a line and round by round, then the gaps by length.
    fn rounds(&self, area: Rect, theme: Theme) -> Vec<Line<'static>> {
        let (life, unit) = (&self.life, self.unit);
        let rows = usize::from(area.height);
        let medians: Vec<f64> = life.rounds.iter().filter_map(|round| Some(round.median_after?.get())).collect();
        let (low, high) = (life.spec.mark_length.get(), life.spec.new_length.get());
        let spark = medians.iter().map(|median| step((median - low) / (high - low), theme)).collect::<String>();
        let mut lines = Vec::new();
        if !spark.is_empty() {
            lines.push(Line::styled(format!("median by round, from mark to new  {spark}"), theme.style(Role::Curve2)));
        }
        let head = format!("{:<12}{:<9}{:>7}{:>8}{:>10}", "date", "sharpener", "median", "spread", "steel off");
        lines.push(Line::styled(head, theme.style(Role::Quiet)));
        let room = (rows / 2).max(3);
        lines.extend(life.rounds.iter().rev().take(room).map(|round| round_line(round, unit, theme)));
        if life.rounds.is_empty() {
            lines.push(Line::styled("no round yet", theme.style(Role::Unmeasured)));
        }
        lines.push(Line::raw(""));
        let present = life.forecast.place.map(|place| place.length);
        let room = rows.saturating_sub(lines.len());
        lines.extend(gap_lines::lines((&life.spec, life.forecast.wood), unit, present, room, theme));
        lines
    }
}

fn round_line(round: &Summary, unit: Unit, theme: Theme) -> Line<'static> {
    let shown = |length: Option<crate::units::Millimetres>| length.map_or_else(|| "?".to_owned(), |l| unit.show(l));
    let name: String = round.sharpener.chars().take(8).collect();
    let text = format!(
        "{:<12}{name:<9}{:>7}{:>8}{:>10}",
        round.ended.format("%Y-%m-%d").to_string(),
        shown(round.median_after.or(round.median_before)),
        shown(round.spread_after.or(round.spread_before)),
        unit.show_named(round.removed)
    );
    Line::styled(text, theme.style(Role::Text))
}

/// A bar of shares.
fn bar(share: f64, theme: Theme) -> String {
    // A share between 0 and 1 of a few columns.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a few columns")]
    let full = (share.clamp(0.0, 1.0) * BAR as f64).round() as usize;
    let (done, open) = if theme.ascii() { ("#", ".") } else { ("█", "░") };
    format!("{}{}", done.repeat(full), open.repeat(BAR - full))
}

/// One of the eight steps in a line of lengths.
fn step(share: f64, theme: Theme) -> char {
    let steps: [char; 8] = if theme.ascii() {
        ['_', '.', ':', '-', '=', '+', '*', '#']
    } else {
        ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█']
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of eight steps")]
    let at = (share.clamp(0.0, 1.0) * 7.0).round() as usize;
    steps[at]
}
