//! What a chain asks for at the bench in a few rows: its gaps by cutter length, its files, angles and tolerances.

use ratatui::text::Line;

use super::super::theme::{Role, Theme};
use crate::chain::geometry::bite_angle;
use crate::chain::{Rule, Spec, Wood};
use crate::report::format::wrap;
use crate::units::{Millimetres, Unit};

/// Least and most rows that say anything.
const ROWS: std::ops::RangeInclusive<usize> = 4..=58;

/// File, angles, gaps and tolerances, in sentences that fit into so many columns.
pub(super) fn setup(
    (spec, wood): (&Spec, Wood),
    unit: Unit,
    present: Option<Millimetres>,
    width: usize,
    theme: Theme,
) -> Vec<Line<'static>> {
    let file = present.and_then(|length| spec.file_for(length)).or_else(|| spec.files.first().copied());
    let later = spec.files.iter().filter(|step| file.is_some_and(|now| step.from_life > now.from_life));
    let mut files =
        file.map_or_else(|| "file not known".to_owned(), |now| format!("file {}", unit.file_size(now.diameter)));
    for step in later {
        let from = spec.new_length - spec.usable() * step.from_life;
        files.push_str(&format!(", {} from {} on", unit.file_size(step.diameter), unit.show(from)));
    }
    let angle = |angle| theme.angle(angle);
    let texts = [
        files,
        format!("top plate {}, side plate {}", angle(spec.top_plate_for(wood)), angle(spec.side_plate)),
        format!("cutting angle {}, file tilt {}", angle(spec.cutting), angle(spec.file_tilt)),
        format!(
            "gap {} in any wood, {} in softwood, never above {}",
            unit.show(spec.base_gap),
            unit.show(spec.softwood_gap),
            unit.show_named(spec.gap_max)
        ),
        format!("wear-scaled gap worth it from {} on", unit.show_named(spec.new_length - spec.worth_wear(wood))),
        format!(
            "even within {}, gap within {}, angle within {}",
            unit.show(spec.length_tolerance),
            unit.show_named(spec.gap_tolerance),
            angle(spec.angle_tolerance)
        ),
    ];
    let mut lines = vec![Line::styled("At the bench", theme.style(Role::Title))];
    for text in texts {
        lines.extend(wrap(&text, width, 2).into_iter().map(|line| Line::styled(line, theme.style(Role::Text))));
    }
    lines
}

/// A heading and a row per length, from new to the mark, in as many rows as there are.
pub(super) fn lines(
    (spec, wood): (&Spec, Wood),
    unit: Unit,
    present: Option<Millimetres>,
    rows: usize,
    theme: Theme,
) -> Vec<Line<'static>> {
    if rows < *ROWS.start() {
        return Vec::new();
    }
    let steps = rows.min(*ROWS.end()) - 2;
    let length = |step: usize| spec.new_length - spec.usable() * (step as f64 / steps as f64);
    let nearest = present.and_then(|present| {
        let apart = |step: &usize| (length(*step) - present).abs();
        (0..=steps).min_by(|a, b| apart(a).total_cmp(&apart(b)))
    });
    let length_in = format!("length, {}", unit.name());
    let head = format!("{length_in} {:>6} {:>6} {:>6} {:>6}", "fixed", "scaled", "reach", "bite");
    let mut lines = vec![Line::styled(head, theme.style(Role::Quiet))];
    lines.extend((0..=steps).map(|step| {
        let (at, wear) = (length(step), spec.wear(length(step)));
        let gap = |rule| spec.target_gap(rule, wood, wear).map_or_else(|| "?".to_owned(), |gap| unit.show(gap));
        let bite = spec.target_gap(Rule::Fixed, wood, wear).map(|gap| theme.angle(bite_angle(gap, spec.reach(wear))));
        let here = nearest == Some(step);
        let row = format!(
            "{} {:>8} {:>6} {:>6} {:>6} {:>6}",
            if here { ">" } else { " " },
            unit.show(at),
            gap(Rule::Fixed),
            gap(Rule::Scaled),
            unit.show(spec.reach(wear)),
            bite.unwrap_or_default()
        );
        Line::styled(row, theme.style(if here { Role::Title } else { Role::Text }))
    }));
    lines
}
