//! The life of a loop: its median length round by round with what is to be expected, and its rounds in a list.

#[cfg(test)]
mod tests;

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Text};

use super::super::effect::{Effect, Step, Work};
use super::super::footer;
use super::super::keys::{Action, Place};
use super::super::look::Shared;
use super::super::scene::Life;
use super::super::scroll::Scroll;
use super::super::theme::{Glyph, Role, Theme};
use super::super::widgets::{GapCurve, HistoryChart, Kept, Picture, Steel, SteelRow};
use super::gap_lines;
use crate::advice::forecast::{Ahead, Expected, Rounds};
use crate::advice::say::{cutters, status};
use crate::advice::{Agreement, cut};
use crate::care;
use crate::chain::{Spec, Stage, Wood};
use crate::drawing::Side;
use crate::report::format::{capital, wrap};
use crate::round::{Closing, Summary};
use crate::tui::screen::Screen;
use crate::units::{Millimetres, Unit};

/// Rows from which chart and list stand one above the other.
const BOTH: u16 = 22;
/// Least rows of a chart above the bars.
const CHART: u16 = 11;

/// A window with room for the cutter and its gaps beside the chart.
const WIDE: (u16, u16) = (140, 40);
/// A window with room for the gap curve too, and the columns of the gaps by length there.
const HUGE: (u16, u16) = (180, 52);
const GAPS: u16 = 40;

/// What is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum View {
    /// The chart, and the list where there is room for both.
    Chart,
    /// The list alone.
    List,
    /// Where the steel went.
    Steel,
}

/// The history of a loop.
pub(super) struct History {
    tag: String,
    name: String,
    unit: Unit,
    rounds: Vec<Summary>,
    past: Vec<Millimetres>,
    future: Vec<Expected>,
    /// Rounds until it ends.
    left: Option<Rounds>,
    /// Where the steel of each signed round went, the last first.
    steel: Vec<SteelRow>,
    spec: Spec,
    wood: Wood,
    place: Option<Millimetres>,
    worth: Millimetres,
    /// The cutter as it is drawn in a wide window.
    kept: Kept,
    /// What is to be expected, in sentences.
    outlook: Vec<(String, Role)>,
    view: View,
    scroll: Scroll,
}

impl History {
    /// From what is known of a loop.
    pub(super) fn new(Life { known, unit }: Life) -> Self {
        let future = known.ahead();
        let care::Life { card, spec, rounds, forecast: found, saw_hint: hint, not_read } = known;
        let signed = || rounds.iter().filter(|round| round.how == Some(Closing::Signed));
        let past: Vec<Millimetres> = signed().filter_map(|round| round.median_after).collect();
        let steel = signed().rev().filter(|round| round.median_before.and(round.median_after).is_some());
        let steel = steel.map(|round| SteelRow {
            day: round.started.format("%Y-%m-%d").to_string(),
            parts: [round.removed_wear, round.removed_damage, round.removed_even],
            apart: round.left_less_right,
        });
        let steel = steel.collect();
        let place = found.place;
        let wood = found.wood;
        let worth = spec.new_length - spec.worth_wear(wood);
        let mut outlook = Vec::new();
        outlook.extend(not_read.into_iter().map(|file| (file, Role::Bad)));
        if let Some(scrapped) = &card.scrapped {
            outlook.push((format!("Out of care: {}", scrapped.reason), Role::Warn));
        }
        let kept_back = status::kept_back(&card, card.held(&rounds).as_ref());
        let is_kept_back = kept_back.is_some();
        outlook.extend(kept_back.map(|why| (format!("{}.", capital(&why)), Role::Bad)));
        outlook.extend(card.releases.last().map(|release| (status::released(release), Role::Text)));
        if is_kept_back {
            outlook.push((status::NOT_COUNTED.to_owned(), Role::Text));
        } else {
            outlook.push((found.words(), Role::Text));
            outlook.extend(place.map(|place| (changeover(place.stage, found.to_changeover), Role::Text)));
        }
        // What scrapping would lose is said once it is scrapped; on a loop in care it only frightens.
        outlook.extend(found.early.filter(|_| card.scrapped.is_some()).map(|early| (early.words(), Role::Warn)));
        outlook.extend(Agreement::of(&rounds).words().map(|words| (format!("It cut {words}."), Role::Text)));
        outlook.extend(hint.map(|hint| (format!("Its saw, {}: {hint}.", card.saw), Role::Warn)));
        Self {
            tag: card.tag,
            name: card.name,
            unit,
            rounds,
            past,
            future,
            left: found.to_mark.map(|ahead| ahead.rounds),
            steel,
            wood,
            place: place.map(|place| place.length),
            worth,
            kept: Kept::default(),
            spec,
            outlook,
            view: View::Chart,
            scroll: Scroll::default(),
        }
    }

    fn chart(&self, theme: Theme) -> HistoryChart<'_> {
        HistoryChart {
            theme,
            past: &self.past,
            future: &self.future,
            rounds: self.left,
            mark: Some(self.spec.mark_length),
            worth: Some(self.worth),
            unit: self.unit,
        }
    }

    fn head(&self, theme: Theme) -> Line<'static> {
        let count = self.rounds.len();
        let rounds = if count == 1 { "1 round".to_owned() } else { format!("{count} rounds") };
        let title = format!("History of {}  {rounds}", self.name);
        Line::styled(title, theme.style(Role::Title))
    }

    fn outlook_lines(&self, width: u16, theme: Theme) -> Vec<Line<'static>> {
        let wrapped = |(text, role): &(String, Role)| {
            let style = theme.style(*role);
            let lines = wrap(text, usize::from(width), 2).into_iter();
            lines.map(move |line| Line::styled(line, style)).collect::<Vec<_>>()
        };
        self.outlook.iter().flat_map(wrapped).collect()
    }

    /// Heading and rows, the last round first.
    fn list(&self, width: u16, theme: Theme) -> (Line<'static>, Vec<Line<'static>>) {
        let columns = Columns::of(width, self.unit);
        let heading = columns.row(["date", "sharpener", "median", "spread", "steel off", "ended"]);
        let rows = self.rounds.iter().rev().flat_map(|round| {
            let judged = round.cut_since.and_then(|since| cut::beside(round.promised, since));
            let judged = judged.map(|line| Line::styled(format!("{:DATE$}{line}", ""), theme.style(Role::Quiet)));
            let signed = round.how == Some(Closing::Signed);
            let row = columns.of_round(round, theme);
            let row = Line::styled(row, theme.style(if signed { Role::Text } else { Role::Quiet }));
            // Who the spread leaves out.
            let short = (!round.left_short.is_empty()).then(|| {
                let line = format!("{:DATE$}without {}, left short", "", cutters(&round.left_short));
                Line::styled(line, theme.style(Role::Quiet))
            });
            std::iter::once(row).chain(short).chain(judged)
        });
        (Line::styled(heading, theme.style(Role::Quiet)), rows.collect())
    }

    /// What is to be expected and the rounds, the chart, the cutter and its gaps beside each other; in the largest windows
    /// the gap curve too.
    fn draw_wide(&self, frame: &mut Frame, area: Rect, shared: &Shared) {
        let theme = shared.theme;
        let [head, body, foot] =
            Layout::vertical([Constraint::Length(1), Constraint::Min(0), Constraint::Length(1)]).areas(area);
        frame.render_widget(self.head(theme), head);
        footer::draw(frame, foot, Place::Reading, shared);
        if area.width >= HUGE.0 && area.height >= HUGE.1 {
            let [left, middle, gaps] =
                Layout::horizontal([Constraint::Fill(15), Constraint::Fill(16), Constraint::Length(GAPS)])
                    .spacing(2)
                    .areas(body);
            let chart = self.draw_words(frame, left, theme);
            self.draw_chart(frame, chart, theme);
            let [picture, curve] = Layout::vertical([Constraint::Fill(1), Constraint::Fill(1)]).areas(middle);
            self.draw_cutter(frame, picture, theme);
            self.kept.draw(frame, curve, (theme, "curve"), |frame| frame.render_widget(&self.curve(theme), curve));
            self.draw_gaps(frame, gaps, theme);
        } else {
            let [left, right] = Layout::horizontal([Constraint::Fill(10), Constraint::Fill(13)]).spacing(2).areas(body);
            let gaps = self.draw_words(frame, left, theme);
            self.draw_gaps(frame, gaps, theme);
            let [chart, picture] = Layout::vertical([Constraint::Fill(4), Constraint::Fill(5)]).areas(right);
            self.draw_chart(frame, chart, theme);
            self.draw_cutter(frame, picture, theme);
        }
    }

    /// The chart over the bars of where the steel went.
    fn draw_chart(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let rows = u16::try_from(self.steel.len() + 1).unwrap_or(u16::MAX).min(area.height.saturating_sub(CHART));
        let [chart, steel] = Layout::vertical([Constraint::Min(0), Constraint::Length(rows)]).areas(area);
        frame.render_widget(&self.chart(theme), chart);
        frame.render_widget(&self.steel(theme), steel);
    }

    const fn steel(&self, theme: Theme) -> Steel<'_> {
        Steel { theme, rows: self.steel.as_slice(), unit: self.unit }
    }

    /// What is to be expected, the rounds, and how the bench is set; what is left of the area.
    fn draw_words(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Rect {
        let outlook = self.outlook_lines(area.width, theme);
        let setup = gap_lines::setup((&self.spec, self.wood), self.unit, self.place, usize::from(area.width), theme);
        let rows = |count: usize| u16::try_from(count).unwrap_or(u16::MAX);
        let [say, list, bench, rest] = Layout::vertical([
            Constraint::Max(rows(outlook.len()).min(area.height / 2)),
            Constraint::Max(rows(self.list(area.width, theme).1.len() + 1)),
            Constraint::Length(rows(setup.len())),
            Constraint::Min(4),
        ])
        .spacing(1)
        .areas(area);
        frame.render_widget(Text::from(outlook), say);
        self.draw_list(frame, list, theme);
        frame.render_widget(Text::from(setup), bench);
        rest
    }

    fn draw_gaps(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let chain = (&self.spec, self.wood);
        let lines = gap_lines::lines(chain, self.unit, self.place, usize::from(area.height), theme);
        frame.render_widget(Text::from(lines), area);
    }

    fn draw_cutter(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        self.kept.draw(frame, area, (theme, "cutter"), |frame| {
            let side = Side { length: self.place, unit: self.unit, ..Side::new(&self.spec) };
            frame.render_widget(&Picture { theme, scene: &side.scene() }, area);
        });
    }

    fn curve(&self, theme: Theme) -> GapCurve<'_> {
        GapCurve {
            theme,
            spec: &self.spec,
            wood: self.wood,
            plate: self.spec.plate,
            points: &[],
            current: self.place,
            unit: self.unit,
        }
    }

    fn draw_list(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let (heading, rows) = self.list(area.width, theme);
        let seen = self.scroll.lines(rows.len(), usize::from(area.height.saturating_sub(1)));
        let shown = rows[seen].iter().cloned();
        frame.render_widget(Text::from(std::iter::once(heading).chain(shown).collect::<Vec<_>>()), area);
    }
}

/// Where the loop stands between the two rules, and when that changes.
fn changeover(stage: Stage, ahead: Option<Ahead>) -> String {
    let rounds = match ahead.and_then(|ahead| ahead.rounds.best).filter(|_| stage == Stage::Fixed) {
        None => String::new(),
        Some(1) => " A wear-scaled gap is worth using in about 1 round.".to_owned(),
        Some(n) => format!(" A wear-scaled gap is worth using in about {n} rounds."),
    };
    format!("{}{rounds}", stage.sentence())
}

/// Widths of the list's columns.
struct Columns {
    unit: Unit,
    sharpener: usize,
    median: usize,
    number: usize,
    /// The last column too.
    ended: bool,
}

impl Columns {
    fn of(width: u16, unit: Unit) -> Self {
        let (number, median) = if unit == Unit::Mm { (8, 15) } else { (9, 17) };
        let fixed = DATE + median + number + 3 + number + 1;
        let rest = usize::from(width).saturating_sub(fixed);
        let ended = rest >= 24;
        let sharpener = rest.saturating_sub(if ended { ENDED } else { 0 }).min(24);
        Self { unit, sharpener, median, number, ended }
    }

    fn row(&self, [date, sharpener, median, spread, steel, ended]: [&str; 6]) -> String {
        let ended = if self.ended { ended } else { "" };
        let (sharpener, number) = (fit(sharpener, self.sharpener), self.number);
        let median_width = self.median;
        let row = format!(
            "{date:<DATE$}{sharpener}{median:<median_width$}{spread:<number$}{steel:<width$}{ended}",
            width = number + 4
        );
        row.trim_end().to_owned()
    }

    fn of_round(&self, round: &Summary, theme: Theme) -> String {
        let shown =
            |length: Option<Millimetres>| length.map_or_else(|| "?".to_owned(), |length| self.unit.show(length));
        let arrow = theme.glyph(Glyph::Forward);
        let median = match (round.median_before, round.median_after) {
            (None, None) => "not measured".to_owned(),
            (before, after) => format!("{} {arrow} {}", shown(before), shown(after)),
        };
        let spread = round.spread_after.or(round.spread_before);
        let ended = match round.how {
            Some(Closing::Signed) => "signed off",
            Some(Closing::Rejected) => "rejected",
            Some(Closing::Abandoned) => "not signed",
            None => "open",
        };
        let steel = format!("{} {}", self.unit.show(round.removed), self.unit.name());
        let date = round.ended.format("%Y-%m-%d").to_string();
        self.row([&date, &round.sharpener, &median, &shown(spread), &steel, ended])
    }
}

/// Columns of a date with the space after it.
const DATE: usize = 12;
/// Columns of the way a round ended.
const ENDED: usize = 10;

/// Exactly this wide, with a space at the end.
fn fit(text: &str, width: usize) -> String {
    let Some(room) = width.checked_sub(1) else { return String::new() };
    let mut line = Line::raw("").width();
    let mut out = String::new();
    for c in text.chars() {
        let wide = Line::raw(c.to_string()).width();
        if line + wide > room {
            break;
        }
        line += wide;
        out.push(c);
    }
    out + &" ".repeat(width - line)
}

impl Screen for History {
    fn place(&self) -> Place {
        Place::Reading
    }

    fn act(&mut self, action: Action, _: &Shared) -> Vec<Effect> {
        match action {
            Action::Close => return vec![Effect::Go(Step::Close)],
            Action::Why => return vec![Effect::Desk(Work::WhyOf(self.tag.clone()))],
            Action::Format => {
                self.view = match self.view {
                    View::Chart => View::List,
                    View::List if !self.steel.is_empty() => View::Steel,
                    View::List | View::Steel => View::Chart,
                };
            }
            other => self.scroll.act(other),
        }
        Vec::new()
    }

    fn draw(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        if area.width >= WIDE.0 && area.height >= WIDE.1 && self.view == View::Chart {
            self.draw_wide(frame, area, shared);
            return None;
        }
        let outlook = self.outlook_lines(area.width, theme);
        let said = u16::try_from(outlook.len()).unwrap_or(u16::MAX).min(area.height.saturating_sub(4));
        let [head, say, body, foot] = Layout::vertical([
            Constraint::Length(1),
            Constraint::Length(said),
            Constraint::Min(0),
            Constraint::Length(u16::from(area.height > 1)),
        ])
        .areas(area);
        frame.render_widget(self.head(theme), head);
        frame.render_widget(Text::from(outlook), say);
        match self.view {
            View::List => self.draw_list(frame, body, theme),
            View::Steel => frame.render_widget(&self.steel(theme), body),
            View::Chart if area.height >= BOTH => {
                let list = u16::try_from(self.rounds.len() + 1).unwrap_or(u16::MAX).min(body.height / 3);
                let [chart, list] = Layout::vertical([Constraint::Min(0), Constraint::Length(list)]).areas(body);
                frame.render_widget(&self.chart(theme), chart);
                self.draw_list(frame, list, theme);
            }
            View::Chart => frame.render_widget(&self.chart(theme), body),
        }
        footer::draw(frame, foot, Place::Reading, shared);
        None
    }
}
