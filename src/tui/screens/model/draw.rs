//! Drawing the wear model: settings and numbers at the left, the picture at the right, a lesson above both.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Position, Rect};
use ratatui::text::{Line, Span, Text};
use strum::VariantArray;

use super::super::super::footer;
use super::super::super::keys::Place;
use super::super::super::look::Shared;
use super::super::super::theme::{Role, Theme};
use super::super::super::widgets::{CurvePoint, GapCurve, Picture};
use super::super::gap_lines;
use super::pair::Pair;
use super::{Mode, Model, Sitting, View};
use crate::chain::{Rule, Side as Hand};
use crate::coach::lessons::{Asked, Lesson, Raker, Setting, WearModel};
use crate::drawing::{Show, Side};
use crate::report::format::wrap;
use crate::units::{Unit, deg, mm};

/// Columns of settings and numbers.
const PANEL: u16 = 36;
/// Least columns for a picture beside them.
const PICTURE: u16 = 24;
/// A window with room for every picture, and columns of the settings and the gaps by length there.
const ALL: (u16, u16) = (138, 36);
const GAPS: u16 = 40;
/// Rows of those gaps.
const GAP_ROWS: usize = 16;
/// Rows that the settings need: with fewer left, a lesson's text gives way once something has been moved.
const SETTINGS: u16 = 7;

/// What a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Gap,
    Bite,
    Rocked,
    Reach,
    Drop,
    Lost,
    Needs,
    Fixed,
    Scaled,
    Plate,
    Next,
    Length,
}

impl Kind {
    /// What a lesson's question is about: shown first, whatever room there is.
    const fn of(lesson: Lesson) -> &'static [Self] {
        match lesson {
            Lesson::Shrinks => &[Self::Gap, Self::Drop],
            Lesson::Growth => &[Self::Bite, Self::Lost, Self::Needs, Self::Drop],
            Lesson::Rocks => &[Self::Rocked, Self::Bite],
            Lesson::Rules => &[Self::Bite, Self::Fixed, Self::Scaled],
            Lesson::Plate => &[Self::Plate, Self::Bite, Self::Scaled],
            Lesson::Unequal | Lesson::LightHand => &[Self::Next],
            Lesson::TooDeep => &[Self::Gap, Self::Fixed],
            Lesson::Caliper | Lesson::Again => &[Self::Length],
        }
    }
}

/// A number in words.
struct Number {
    kind: Kind,
    text: String,
    role: Role,
}

impl Model {
    pub(super) fn draw_all(&self, frame: &mut Frame, area: Rect, shared: &Shared) -> Option<Position> {
        let theme = shared.theme;
        let (lesson, entry) = match (self.sitting(), self.mode) {
            (Some(sitting), _) => self.lesson_lines(sitting, area, theme),
            (None, Mode::List(at)) => (self.list_lines(at, theme), None),
            (None, _) => (Vec::new(), None),
        };
        let above = u16::try_from(lesson.len()).unwrap_or(u16::MAX);
        let [head, top, body, foot] = Layout::vertical([
            Constraint::Length(1),
            Constraint::Length(above.min(area.height.saturating_sub(3))),
            Constraint::Min(0),
            Constraint::Length(u16::from(area.height > 1)),
        ])
        .areas(area);
        frame.render_widget(self.head(head.width, theme), head);
        frame.render_widget(Text::from(lesson), top);
        let settings = self.draw_body(frame, body, theme);
        let in_entry = entry.map(|(x, row)| Position { x: top.x + x, y: top.y + row });
        let cursor = in_entry.filter(|at| top.contains(*at) && self.mode == Mode::Seat).or(settings);
        footer::draw(frame, foot, Place::Model, shared);
        cursor
    }

    fn head(&self, width: u16, theme: Theme) -> Line<'static> {
        let done = format!("{} of {} answered", self.lessons.answered.len(), Lesson::ALL.len());
        let (title, note) = match (self.sitting(), self.mode) {
            (Some(Sitting { lesson, .. }), _) => {
                (format!("Lesson {} of {}: {}", lesson.number(), Lesson::ALL.len(), lesson.title()), String::new())
            }
            (None, Mode::List(_)) => ("Lessons".to_owned(), format!("  {done}; Enter begins one")),
            (None, _) => {
                let name = self.name.as_deref().unwrap_or("a 3/8 inch cutter");
                let note = if self.lessons.is_done() { "  all lessons done" } else { "  Enter: ten short lessons" };
                (format!("Wear model: {name}, {}", self.own.wood().word()), note.to_owned())
            }
        };
        // Half a note says nothing.
        let fits = title.chars().count() + note.chars().count() <= usize::from(width);
        let note = if fits { note } else { String::new() };
        Line::from(vec![Span::styled(title, theme.style(Role::Title)), Span::styled(note, theme.style(Role::Quiet))])
    }

    /// The lessons, those answered marked.
    fn list_lines(&self, at: usize, theme: Theme) -> Vec<Line<'static>> {
        let line = |(place, lesson): (usize, Lesson)| {
            let left = self.lessons.open.as_ref().is_some_and(|open| open.lesson == lesson && !open.is_answered());
            let state = match (self.lessons.answered.contains(&lesson), left) {
                (true, _) => "answered",
                (false, true) => "left",
                (false, false) => "",
            };
            let mark = if place == at { "> " } else { "  " };
            let role = if place == at { Role::Selected } else { Role::Text };
            Line::styled(format!("{mark}{:>2}  {:<46}{state}", lesson.number(), lesson.title()), theme.style(role))
        };
        Lesson::ALL.into_iter().enumerate().map(line).collect()
    }

    /// Text, question and answer of a lesson, and the place of the guess that is typed: column and row.
    fn lesson_lines(&self, sitting: &Sitting, area: Rect, theme: Theme) -> (Vec<Line<'static>>, Option<(u16, u16)>) {
        let width = usize::from(area.width);
        let styled = |text: &str, role: Role| -> Vec<Line<'static>> {
            wrap(text, width, 0).into_iter().map(|line| Line::styled(line, theme.style(role))).collect()
        };
        let (lesson, ground) = (sitting.lesson, &sitting.ground);
        let mut text = styled(&lesson.text().join(" "), Role::Text);
        let figure = lesson.figure(ground, sitting.may_tell()).into_iter();
        text.extend(figure.map(|line| Line::styled(line, theme.style(Role::Curve1))));
        let question = styled(&lesson.question(ground), Role::Now);
        let mut said = match &sitting.said {
            None => Vec::new(),
            Some(Err(why)) => styled(why, Role::Warn),
            Some(Ok(right)) => {
                let next = if lesson.next().is_some() { "the next lesson" } else { "the list" };
                styled(&format!("{right} Enter: {next}."), Role::Good)
            }
        };
        let mut cursor = None;
        let unit = lesson.asked().unit(ground.unit);
        let name = format!("Your guess, in {unit}: ");
        if !sitting.is_answered() {
            let hint = match lesson.asked() {
                Asked::Place(_) if self.entry.value().is_empty() => "  or move the model, then Enter",
                _ => "",
            };
            said.push(Line::from(vec![
                Span::styled(name.clone(), theme.style(Role::Text)),
                Span::styled(format!("{:<8}", self.entry.value()), theme.style(Role::Field)),
                Span::styled(hint, theme.style(Role::Quiet)),
            ]));
            let x = name.chars().count() + self.entry.visual_cursor();
            cursor = u16::try_from(x).ok();
        }
        let needed = text.len() + question.len() + said.len() + usize::from(SETTINGS) + 2;
        let tight = needed > usize::from(area.height);
        let moved = sitting.tries > 0 || sitting.model != lesson.start(ground) || !self.entry.value().is_empty();
        let shown = if tight && moved { Vec::new() } else { text };
        let lines = [shown, question, said].concat();
        let row = u16::try_from(lines.len().saturating_sub(1)).unwrap_or(u16::MAX);
        (lines, cursor.map(|x| (x, row)))
    }

    fn draw_body(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Option<Position> {
        let beside = area.width >= PANEL + 1 + PICTURE - 2;
        let panel = if beside { Rect { width: PANEL.min(area.width - PICTURE - 1), ..area } } else { area };
        let all = area.width >= ALL.0 && area.height >= ALL.1 && self.may_tell();
        let panel = if all { Rect { width: GAPS, ..area } } else { panel };
        let cursor = self.draw_settings(frame, panel, theme);
        let below = Rect { y: area.y.saturating_add(SETTINGS), height: area.height.saturating_sub(SETTINGS), ..panel };
        let numbers = self.numbers(theme).into_iter().map(|number| Line::styled(number.text, theme.style(number.role)));
        let mut lines: Vec<Line> = numbers.collect();
        if !self.may_tell() {
            lines = vec![Line::styled("Numbers come after the third guess.", theme.style(Role::Quiet))];
        }
        if all {
            lines.push(Line::raw(""));
            let (model, room) = (self.model(), usize::from(below.height).saturating_sub(lines.len()));
            let chain = (model.spec(), model.wood());
            lines.extend(gap_lines::lines(chain, self.ground.unit, Some(model.length()), room.min(GAP_ROWS), theme));
            lines.push(Line::raw(""));
            let width = usize::from(panel.width);
            lines.extend(gap_lines::setup(chain, self.ground.unit, Some(model.length()), width, theme));
        }
        frame.render_widget(Text::from(lines), below);
        let x = panel.right() + 1;
        let pictures = Rect { x, width: area.right().saturating_sub(x), ..area };
        if all {
            self.draw_all_pictures(frame, pictures, theme);
        } else if beside {
            self.draw_picture(frame, pictures, theme, self.view);
        }
        cursor
    }

    /// Every picture at once, the chosen one first.
    fn draw_all_pictures(&self, frame: &mut Frame, area: Rect, theme: Theme) {
        let halves = [Constraint::Fill(1), Constraint::Fill(1)];
        let [upper, lower] = Layout::vertical([Constraint::Fill(6), Constraint::Fill(5)]).areas(area);
        let [upper, lower] = [upper, lower].map(|row| Layout::horizontal(halves).spacing(2).areas::<2>(row));
        let others = View::VARIANTS.iter().copied().filter(|view| *view != self.view);
        for (view, part) in std::iter::once(self.view).chain(others).zip(upper.into_iter().chain(lower)) {
            self.draw_picture(frame, part, theme, view);
        }
    }

    /// One row a setting; where rows are few, those around the chosen one.
    fn draw_settings(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Option<Position> {
        let rows = area.height.min(SETTINGS);
        let skip = (self.at + 1).saturating_sub(usize::from(rows));
        let shown = Setting::ALL.into_iter().enumerate().skip(skip).take(usize::from(rows));
        let mut cursor = None;
        for ((at, setting), y) in shown.zip(area.y..) {
            let chosen = at == self.at;
            let mark = if chosen { "> " } else { "  " };
            let text =
                format!("{mark}{:<16}{}", setting.name(), shown_value(self.model(), setting, self.ground.unit, theme));
            let role = if chosen { Role::Selected } else { Role::Text };
            frame.render_widget(Line::styled(text, theme.style(role)), Rect { y, height: 1, ..area });
            if chosen {
                cursor = Some(Position { x: area.x, y });
            }
        }
        cursor
    }

    /// What follows from the settings; in a lesson, what it is about comes first.
    fn numbers(&self, theme: Theme) -> Vec<Number> {
        let mut numbers = numbers(self.model(), self.ground.unit, theme);
        if let Some(sitting) = self.sitting() {
            let first = Kind::of(sitting.lesson);
            let place = |kind: Kind| first.iter().position(|other| *other == kind).unwrap_or(first.len());
            numbers.sort_by_key(|number| place(number.kind));
        }
        numbers
    }

    fn draw_picture(&self, frame: &mut Frame, area: Rect, theme: Theme, view: View) {
        // A curve or the next cutter's height would tell the answer before somebody has guessed.
        let view = if self.may_tell() || view == View::Close { view } else { View::Cutter };
        if !self.may_tell() && self.sitting().is_some_and(|sitting| sitting.lesson == Lesson::Rocks) {
            // Every picture of it names the bite angle.
            let text = "The picture comes after the third guess.";
            frame.render_widget(
                Line::styled(text, theme.style(Role::Quiet)),
                Rect { height: area.height.min(1), ..area },
            );
            return;
        }
        let [head, picture] = Layout::vertical([Constraint::Length(1), Constraint::Min(0)]).areas(area);
        frame.render_widget(Line::styled(view.title(), theme.style(Role::Quiet)), head);
        self.kept.draw(frame, picture, (theme, view.title()), |frame| self.render_picture(frame, picture, theme, view));
    }

    fn render_picture(&self, frame: &mut Frame, picture: Rect, theme: Theme, view: View) {
        let model = self.model();
        match view {
            View::Cutter | View::Close => {
                let side = Side {
                    length: Some(model.length()),
                    gap: Some(model.gap()),
                    target_gap: Some(model.spec().scaled_gap(model.wood(), model.wear())).filter(|_| self.may_tell()),
                    // Where the raker is filed flush with the slot, the plate lies on the cutter.
                    plate: Some(model.plate()).filter(|_| view == View::Close && model.raker() == Raker::Plate),
                    rock: Some(model.rock()).filter(|rock| rock.get() > 0.0),
                    show: if view == View::Close { Show::Raker } else { Show::Whole },
                    unit: self.ground.unit,
                    ..Side::new(model.spec())
                };
                frame.render_widget(&Picture { theme, scene: &side.scene() }, picture);
            }
            View::Curve => {
                let point = CurvePoint { length: model.length(), gap: model.gap(), side: Hand::Left };
                let curve = GapCurve {
                    theme,
                    spec: model.spec(),
                    wood: model.wood(),
                    plate: Some(model.plate()),
                    points: &[point],
                    current: Some(model.length()),
                    unit: self.ground.unit,
                };
                frame.render_widget(&curve, picture);
            }
            View::Pair => frame.render_widget(&Pair { theme, model, unit: self.ground.unit }, picture),
        }
    }
}

fn shown_value(model: &WearModel, setting: Setting, unit: Unit, theme: Theme) -> String {
    let value = model.value(setting);
    match setting {
        Setting::Raker => model.raker().word().to_owned(),
        Setting::Slope | Setting::Rock => theme.angle(deg(value)),
        Setting::Wear | Setting::Gap | Setting::Foot | Setting::Shorter => unit.show_named(mm(value)),
    }
}

fn numbers(model: &WearModel, unit: Unit, theme: Theme) -> Vec<Number> {
    let named = |length| unit.show_named(length);
    let (spec, wood, wear) = (model.spec(), model.wood(), model.wear());
    let number = |kind, text, role| Number { kind, text, role };
    let gone = model.gap().get() <= 0.0;
    let gap = if gone {
        number(Kind::Gap, "no gap: the raker keeps the edge off".to_owned(), Role::Bad)
    } else {
        let low = model.gap() - spec.scaled_gap(wood, wear) > spec.gap_tolerance;
        let role = if low { Role::Bad } else { Role::Text };
        let end = if low { ": raker too low" } else { "" };
        number(Kind::Gap, format!("gap {}{end}", named(model.gap())), role)
    };
    let left = match model.bite_left() {
        none if none.get() <= 0.0 => "no bite left, rocked so far".to_owned(),
        left if model.rock().get() > 0.0 => format!("rocked, {} of bite left", named(left)),
        left => format!("not rocked, bite {}", named(left)),
    };
    let share = (model.share() * 100.0).max(0.0);
    let rule = |rule| spec.target_gap(rule, wood, wear).map(named).unwrap_or_default();
    vec![
        gap,
        number(Kind::Bite, format!("bite {}, {share:.0} % of the new", theme.angle(model.bite())), Role::Curve2),
        number(Kind::Rocked, left, Role::Text),
        number(Kind::Reach, format!("reach {}", named(model.reach())), Role::Text),
        number(Kind::Drop, format!("corner dropped {}", named(model.tip_drop())), Role::Text),
        number(Kind::Lost, format!("raker lost {}", named(model.raker_lost())), Role::Text),
        number(Kind::Needs, format!("for the new bite {} off", named(model.raker_needs())), Role::Text),
        number(Kind::Fixed, format!("fixed rule {}", rule(Rule::Fixed)), Role::Text),
        number(Kind::Scaled, format!("wear-scaled rule {}", rule(Rule::Scaled)), Role::Text),
        number(Kind::Plate, format!("plate leaves {}", named(model.plate_gap())), Role::Text),
        number(Kind::Next, format!("next corner {} lower", named(model.next_lower())), Role::Text),
        number(Kind::Length, format!("length left {}", named(model.length())), Role::Text),
    ]
}
