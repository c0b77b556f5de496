//! What is said of an instrument, alike in both faces.

use crate::units::clean::clean;

/// An instrument sends faster than any hand measures.
pub(crate) const TOO_FAST: &str =
    "The instrument sends more than 5 lines a second: its lines are held and counted, none is taken.";

/// A line without its end.
pub(crate) fn cut_off(text: &str) -> String {
    format!("Cut off: '{}' arrived without its line end and is not taken. Measure again.", clean(text))
}

/// A line where no figure is asked for.
pub(crate) fn not_asked_for(text: &str) -> String {
    format!("The instrument sent '{}': not taken, no figure is asked for here.", clean(text))
}

/// This many lines are held.
pub(crate) fn held(lines: u64) -> String {
    format!("{lines} lines of the instrument held, none taken: more than 5 a second. Enter alone: seen.")
}
