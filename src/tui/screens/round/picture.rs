//! The picture of a round: the cutter in hand from the side or from above, the gap curve, the lengths round the loop, or
//! what the signs of the map mean.

use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::text::{Line, Span, Text};
use strum::VariantArray;

use super::super::super::theme::{Role, Theme};
use super::super::super::widgets::{CurvePoint, GapCurve, MapSign, Picture, ProfileChart, ProfilePoint};
use super::{RoundScreen, View};
use crate::advice::CutterFinding;
use crate::chain::{Rule, Side as Hand};
use crate::drawing::{Front, Scene, Show, Side, Top};
use crate::round::{Ask, CutterState, Reading, Tool};
use crate::units::{Millimetres, Unit, mm};

/// Columns of one entry of the legend.
const ENTRY: u16 = 20;

/// Draws the picture that the screen's view asks for under a title line.
pub(super) fn draw(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme) {
    titled(screen, frame, area, theme, (screen.view, "  v: next picture"));
}

/// A picture that stands there whatever the view is.
pub(super) fn panel(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme, view: View) {
    titled(screen, frame, area, theme, (view, ""));
}

fn titled(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme, (view, note): (View, &str)) {
    if area.is_empty() {
        return;
    }
    let title_rows = u16::from(area.height > 1);
    let [head, body] = Layout::vertical([Constraint::Length(title_rows), Constraint::Min(0)]).areas(area);
    let title = Line::from(vec![
        Span::styled(title(screen, view), theme.style(Role::Title)),
        Span::styled(note.to_owned(), theme.style(Role::Quiet)),
    ]);
    frame.render_widget(title, head);
    match view {
        View::Cutter => frame.render_widget(&Picture { theme, scene: &cutter_scene(screen) }, body),
        View::Top => frame.render_widget(&Picture { theme, scene: &top_scene(screen) }, body),
        View::Front => frame.render_widget(&Picture { theme, scene: &front_scene(screen) }, body),
        View::Curve => curve(screen, frame, body, theme),
        View::Lengths => lengths(screen, frame, body, theme),
        View::Signs => signs(frame, body, theme),
    }
}

/// The cutter in hand; else the shortest measured one that is kept.
fn shown(screen: &RoundScreen) -> Option<&CutterFinding> {
    if let Some(found) = screen.at_hand().and_then(|number| screen.findings.cutter(number)) {
        return Some(found);
    }
    let kept = screen.findings.cutters.iter().filter(|found| found.state == CutterState::Kept);
    let measured = kept.filter_map(|found| Some((found, found.length_now?)));
    measured.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(found, _)| found)
}

fn title(screen: &RoundScreen, view: View) -> String {
    let cutter = || {
        let named = |found: &CutterFinding| format!("Cutter {}, {}", found.number, found.side);
        shown(screen).map_or_else(|| "A new cutter".to_owned(), named)
    };
    match view {
        View::Cutter if screen.prompt.step.ask == Ask::Read(Reading::Angle) => format!("{}, from above", cutter()),
        View::Cutter => match show(screen) {
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

fn unit(screen: &RoundScreen) -> Unit {
    screen.coach.round.header.units
}

/// What is looked at in this step: the whole cutter, what to file off it, or its raker.
fn show(screen: &RoundScreen) -> Show {
    match screen.prompt.step.ask {
        Ask::Read(Reading::Strokes | Reading::LengthAfter) => Show::Filing,
        Ask::Read(Reading::GapBefore | Reading::GapAfter) => Show::Raker,
        _ => Show::Whole,
    }
}

fn side_scene(screen: &RoundScreen) -> Scene {
    let round = &screen.coach.round;
    let header = &round.header;
    let found = shown(screen);
    let target = found.and_then(|found| found.raker.target);
    // Until its own length is known the cutter is drawn as new, and so is its target.
    let as_new = || header.spec.target_gap(round.rule_in_force(), header.wood, mm(0.0));
    let show = show(screen);
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
        unit: unit(screen),
        ..Side::new(&header.spec)
    }
    .scene()
}

fn top_scene(screen: &RoundScreen) -> Scene {
    let header = &screen.coach.round.header;
    let found = shown(screen);
    Top {
        spec: &header.spec,
        hand: found.map_or(header.begin, |found| found.side),
        length: found.and_then(|found| found.length_now),
        target: header.spec.top_plate_for(header.wood),
        reading: found.and_then(|found| found.angle_now),
    }
    .scene()
}

fn front_scene(screen: &RoundScreen) -> Scene {
    let header = &screen.coach.round.header;
    let found = shown(screen);
    Front {
        spec: &header.spec,
        hand: found.map_or(header.begin, |found| found.side),
        length: found.and_then(|found| found.length_now),
        gap: found.and_then(|found| found.gap_now),
        unit: unit(screen),
    }
    .scene()
}

/// The cutter as this step needs it: from above while its angle is read, else from the side.
fn cutter_scene(screen: &RoundScreen) -> Scene {
    match screen.prompt.step.ask {
        Ask::Read(Reading::Angle) => top_scene(screen),
        _ => side_scene(screen),
    }
}

fn curve(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme) {
    let header = &screen.coach.round.header;
    let point =
        |found: &CutterFinding| Some(CurvePoint { length: found.length_now?, gap: found.gap_now?, side: found.side });
    let points: Vec<CurvePoint> = screen.findings.cutters.iter().filter_map(point).collect();
    let curve = GapCurve {
        theme,
        spec: &header.spec,
        wood: header.wood,
        plate: header.spec.plate,
        points: &points,
        current: shown(screen).and_then(|found| found.length_now),
        unit: unit(screen),
    };
    frame.render_widget(&curve, area);
}

fn lengths(screen: &RoundScreen, frame: &mut Frame, area: Rect, theme: Theme) {
    let points: Vec<ProfilePoint> = screen
        .findings
        .cutters
        .iter()
        .map(|found| ProfilePoint { number: found.number, side: found.side, before: found.before, after: found.after })
        .collect();
    let chart =
        ProfileChart { theme, points: &points, band: band(screen), current: screen.at_hand(), unit: unit(screen) };
    frame.render_widget(&chart, area);
}

/// Where a kept cutter counts as even: the target with its tolerance, else the shortest cutter with it.
fn band(screen: &RoundScreen) -> Option<(Millimetres, Millimetres)> {
    let reference = screen.findings.evenness.reference.as_ref()?;
    let tolerance = screen.coach.round.header.spec.length_tolerance;
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

#[cfg(test)]
mod tests;
