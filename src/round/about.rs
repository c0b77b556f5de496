//! What an event is about.

use super::event::{Event, Reading, When};
use crate::chain::CutterNumber;

/// A reading of the same thing once more, to be averaged.
pub(crate) const fn is_repeat(event: &Event) -> bool {
    matches!(
        event,
        Event::Length { again: true, .. } | Event::Angle { again: true, .. } | Event::Gap { again: true, .. }
    )
}

/// The cutter that an event is about.
pub(crate) fn cutter_of(event: &Event) -> Option<CutterNumber> {
    match event {
        Event::Length { cutter, .. }
        | Event::Angle { cutter, .. }
        | Event::Gap { cutter, .. }
        | Event::Strokes { cutter, .. }
        | Event::State { cutter, .. }
        | Event::LeftOut { cutter, .. }
        | Event::LeftAsIs { cutter, .. } => Some(*cutter),
        Event::Went { cutter, .. } | Event::Note { cutter, .. } | Event::Rejected { cutter, .. } => *cutter,
        _ => None,
    }
}

/// The asked reading that an event answers.
pub(crate) fn reading_of(event: &Event) -> Option<Reading> {
    match event {
        Event::Length { when: When::Before, .. } => Some(Reading::LengthBefore),
        Event::Length { when: When::After, .. } => Some(Reading::LengthAfter),
        Event::Angle { .. } => Some(Reading::Angle),
        Event::Gap { when: When::Before, .. } => Some(Reading::GapBefore),
        Event::Gap { when: When::After, .. } => Some(Reading::GapAfter),
        Event::Strokes { .. } => Some(Reading::Strokes),
        Event::LeftOut { reading, .. } => Some(*reading),
        _ => None,
    }
}
