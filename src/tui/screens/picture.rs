//! The picture of a round: the cutter in hand from the side or from above, the gap curve, the lengths round the loop, or
//! what the signs of the map mean.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span, Text};
use strum::VariantArray;

use super::super::theme::{Role, Theme};
use super::super::widgets::{CurvePoint, GapCurve, MapSign, Picture, ProfileChart, ProfilePoint};
use super::view::View;
use crate::advice::{CutterFinding, Findings};
use crate::chain::{CutterNumber, Rule, Side as Hand};
use crate::drawing::{Front, Part, Scene, Show, Side, Top};
use crate::round::{Ask, CutterState, Reading, Round, Tool};
use crate::units::{Millimetres, Unit, mm};

/// Columns of one entry of the legend.
const ENTRY: u16 = 20;

/// What a picture is of.
pub(super) struct Seen<'a> {
    pub(super) round: &'a Round,
    pub(super) findings: &'a Findings,
    /// The cutter in hand.
    pub(super) at: Option<CutterNumber>,
    /// What is asked there.
    pub(super) ask: Ask,
    /// What the cutter in hand was before, and how much of the way it has come since: from 0 to 1.
    pub(super) worn: Option<(Worn, f64)>,
}

/// A cutter before the entry that took something off it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worn {
    pub(super) cutter: CutterNumber,
    /// What the entry told.
    pub(super) ask: Ask,
    pub(super) length: Option<Millimetres>,
    pub(super) gap: Option<Millimetres>,
}

/// A picture that stands there whatever the view is.
pub(super) fn panel(seen: &Seen<'_>, frame: &mut Frame, area: Rect, theme: Theme, view: View) {
    titled(seen, frame, area, theme, (view, ""));
}

pub(super) fn titled(seen: &Seen<'_>, frame: &mut Frame, area: Rect, theme: Theme, (view, note): (View, &str)) {
    if area.is_empty() {
        return;
    }
    let title_rows = u16::from(area.height > 1);
    let [head, body] = Layout::vertical([Constraint::Length(title_rows), Constraint::Min(0)]).areas(area);
    let title = title(seen, view);
    // Half a note says nothing.
    let room = usize::from(area.width).saturating_sub(title.chars().count());
    let note = if note.chars().count() <= room { note } else { "" };
    let title = Line::from(vec![
        Span::styled(title, theme.style(Role::Title)),
        Span::styled(note.to_owned(), theme.style(Role::Quiet)),
    ]);
    frame.render_widget(title, head);
    match view {
        View::Cutter => frame.render_widget(&Picture { theme, scene: &cutter_scene(seen) }, body),
        View::Top => frame.render_widget(&Picture { theme, scene: &top_scene(seen) }, body),
        View::Front => frame.render_widget(&Picture { theme, scene: &front_scene(seen) }, body),
        View::Curve => curve(seen, frame, body, theme),
        View::Lengths => lengths(seen, frame, body, theme),
        View::Signs => signs(frame, body, theme),
    }
}

/// The cutter in hand; else the shortest measured one that is kept.
fn shown<'a>(seen: &Seen<'a>) -> Option<&'a CutterFinding> {
    if let Some(found) = seen.at.and_then(|number| seen.findings.cutter(number)) {
        return Some(found);
    }
    let kept = seen.findings.cutters.iter().filter(|found| found.state == CutterState::Kept);
    let measured = kept.filter_map(|found| Some((found, found.length_now?)));
    measured.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(found, _)| found)
}

fn title(seen: &Seen<'_>, view: View) -> String {
    let cutter = || {
        let named = |found: &CutterFinding| format!("Cutter {}, {}", found.number, found.side);
        shown(seen).map_or_else(|| "A new cutter".to_owned(), named)
    };
    match view {
        View::Cutter if seen.ask == Ask::Read(Reading::Angle) => format!("{}, from above", cutter()),
        View::Cutter => match show(seen) {
            Show::Whole => format!("{}, from the side", cutter()),
            Show::Filing => format!("{}, its tooth", cutter()),
            Show::Raker => format!("{}, corner and raker", cutter()),
        },
        View::Top => format!("{}, from above", cutter()),
        View::Front => format!("{}, from the front", cutter()),
        View::Curve => "Raker gap by cutter length".to_owned(),
        View::Lengths => "Lengths round the loop".to_owned(),
        View::Signs => "Signs of the map".to_owned(),
    }
}

fn unit(seen: &Seen<'_>) -> Unit {
    seen.round.header.units
}

/// What is looked at in this step: the whole cutter, what to file off it, or its raker.
fn show(seen: &Seen<'_>) -> Show {
    match seen.ask {
        Ask::Read(Reading::Strokes | Reading::LengthAfter) => Show::Filing,
        Ask::Read(Reading::GapBefore | Reading::GapAfter) => Show::Raker,
        _ => Show::Whole,
    }
}

fn side_scene(seen: &Seen<'_>) -> Scene {
    let now = side(seen);
    seen.worn.map_or_else(|| now.scene(), |(worn, share)| going(&now, &worn, share))
}

/// On the way from what the cutter was to what it is: its shapes between the two, every number as it was read, and the place
/// of nothing else changed.
fn going(now: &Side<'_>, worn: &Worn, share: f64) -> Scene {
    let between = |was: Option<Millimetres>, is: Option<Millimetres>| {
        was.zip(is).map(|(was, is)| was + (is - was) * share).or(is)
    };
    let at = |length, gap| Side { length, gap, ..*now }.scene();
    let shape = |part: &Part| matches!(part, Part::Fill { .. } | Part::Line { .. });
    let (first, last) = (at(worn.length, worn.gap.filter(|_| now.gap.is_some())), now.scene());
    let shapes = at(between(worn.length, now.length), between(worn.gap, now.gap)).parts.into_iter().filter(shape);
    let told = last.parts.into_iter().filter(|part| !shape(part));
    Scene { parts: shapes.chain(told).collect(), words: last.words, ..first }
}

fn side<'a>(seen: &'a Seen<'_>) -> Side<'a> {
    let round = seen.round;
    let header = &round.header;
    let found = shown(seen);
    let target = found.and_then(|found| found.raker.target);
    // Until its own length is known the cutter is drawn as new, and so is its target.
    let as_new = || header.spec.target_gap(round.rule_in_force(), header.wood, mm(0.0));
    let show = show(seen);
    Side {
        length: found.and_then(|found| found.length_now),
        target_length: found.and_then(|found| found.target).filter(|_| show == Show::Filing),
        gap: found.filter(|found| !found.gap_stale).and_then(|found| found.gap_now),
        target_gap: target.or_else(as_new),
        mirrored: found.is_some_and(|found| found.side == Hand::Right),
        file: found
            .and_then(|found| header.spec.file_for(found.length_now?))
            .map(|step| step.diameter)
            .filter(|_| header.tool == Tool::File),
        plate: header.spec.plate.filter(|_| show == Show::Raker && round.rule_in_force() == Rule::Plate),
        wood: show == Show::Whole,
        show,
        unit: unit(seen),
        ..Side::new(&header.spec)
    }
}

fn top_scene(seen: &Seen<'_>) -> Scene {
    let header = &seen.round.header;
    let found = shown(seen);
    Top {
        spec: &header.spec,
        hand: found.map_or(header.begin, |found| found.side),
        length: found.and_then(|found| found.length_now),
        target: header.spec.top_plate_for(header.wood),
        reading: found.and_then(|found| found.angle_now),
    }
    .scene()
}

fn front_scene(seen: &Seen<'_>) -> Scene {
    let header = &seen.round.header;
    let found = shown(seen);
    Front {
        spec: &header.spec,
        hand: found.map_or(header.begin, |found| found.side),
        length: found.and_then(|found| found.length_now),
        gap: found.and_then(|found| found.gap_now),
        unit: unit(seen),
    }
    .scene()
}

/// The cutter as this step needs it: from above while its angle is read, else from the side.
fn cutter_scene(seen: &Seen<'_>) -> Scene {
    match seen.ask {
        Ask::Read(Reading::Angle) => top_scene(seen),
        _ => side_scene(seen),
    }
}

fn curve(seen: &Seen<'_>, frame: &mut Frame, area: Rect, theme: Theme) {
    let header = &seen.round.header;
    let point =
        |found: &CutterFinding| Some(CurvePoint { length: found.length_now?, gap: found.gap_now?, side: found.side });
    let points: Vec<CurvePoint> = seen.findings.cutters.iter().filter_map(point).collect();
    let curve = GapCurve {
        theme,
        spec: &header.spec,
        wood: header.wood,
        plate: header.spec.plate,
        points: &points,
        current: shown(seen).and_then(|found| found.length_now),
        unit: unit(seen),
    };
    frame.render_widget(&curve, area);
}

fn lengths(seen: &Seen<'_>, frame: &mut Frame, area: Rect, theme: Theme) {
    let points: Vec<ProfilePoint> = seen
        .findings
        .cutters
        .iter()
        .map(|found| ProfilePoint { number: found.number, side: found.side, before: found.before, after: found.after })
        .collect();
    let chart = ProfileChart { theme, points: &points, band: band(seen), current: seen.at, unit: unit(seen) };
    frame.render_widget(&chart, area);
}

/// Where a kept cutter counts as even: the target with its tolerance, else the shortest cutter with it.
fn band(seen: &Seen<'_>) -> Option<(Millimetres, Millimetres)> {
    let reference = seen.findings.evenness.reference.as_ref()?;
    let tolerance = seen.round.header.spec.length_tolerance;
    let at = reference.length;
    Some((at - tolerance, at + tolerance))
}

fn signs(frame: &mut Frame, area: Rect, theme: Theme) {
    let rows = usize::from(area.height).max(1);
    let columns = usize::from((area.width / ENTRY).max(1));
    let per_column = MapSign::VARIANTS.len().div_ceil(columns).clamp(1, rows);
    let mut lines = vec![Vec::new(); per_column];
    for (at, sign) in MapSign::VARIANTS.iter().copied().enumerate() {
        if at / per_column >= columns {
            break;
        }
        let width = usize::from(ENTRY) - 2;
        let text = format!(" {:<width$}", sign.word());
        lines[at % per_column].extend([
            Span::styled(sign.sign(theme), theme.style(sign.role())),
            Span::styled(text, theme.style(Role::Text)),
        ]);
    }
    frame.render_widget(Text::from(lines.into_iter().map(Line::from).collect::<Vec<_>>()), area);
}
