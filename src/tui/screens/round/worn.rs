//! What the entry just recorded took off its cutter, so that the steel is seen to go.

use crate::advice::{CutterFinding, Findings};
use crate::round::about::cutter_of;
use crate::round::{Ask, Event, Reading, When};
use crate::tui::screens::picture::Worn;

/// Less than a caliper shows is not seen.
const SEEN_MM: f64 = 0.005;

/// The cutter of an entry after the file, as it stood before the entry; none for every other entry.
pub(super) fn before(event: &Event, findings: &Findings) -> Option<Worn> {
    let ask = match event {
        Event::Length { when: When::After, .. } | Event::Strokes { .. } => Ask::Read(Reading::LengthAfter),
        Event::Gap { when: When::After, .. } => Ask::Read(Reading::GapAfter),
        _ => return None,
    };
    let found = findings.cutter(cutter_of(event)?)?;
    Some(Worn { cutter: found.number, ask, length: found.length_now, gap: found.gap_now })
}

/// That cutter, where steel is gone since.
pub(super) fn gone(before: Worn, findings: &Findings) -> Option<Worn> {
    let now: &CutterFinding = findings.cutter(before.cutter)?;
    let less = match before.ask {
        Ask::Read(Reading::LengthAfter) => before.length? - now.length_now?,
        _ => now.gap_now? - before.gap?,
    };
    (less.get() > SEEN_MM).then_some(before)
}
