//! What another window changed meanwhile, in words.

use crate::record::Changed;

/// Fields of a card and of the settings, as the forms call them.
const NAMES: [(&str, &str); 22] = [
    ("first", "the hand of cutter 1"),
    ("links", "the number of drive links"),
    ("sequence", "the order of cutters"),
    ("profile", "the chain"),
    ("start_mark", "the start mark"),
    ("own.new_length_mm", "the length when new"),
    ("own.reach_new_mm", "the reach when new"),
    ("own.reach_mark_mm", "the reach at the mark"),
    ("own.back_slope_deg", "the back slope"),
    ("own.base_gap_mm", "the raker gap stamped"),
    ("own.largest_gap_mm", "the maker's largest gap"),
    ("own.lower_kickback", "lower-kickback chain"),
    ("own.corner", "the working corner"),
    ("own.plate_foot_mm", "the foot of the plate"),
    ("own.measured", "the cutters measured"),
    ("prices.new_loop", "the price of a new loop"),
    ("prices.round", "the price of a round"),
    ("prices.hours_between", "the hours between rounds"),
    ("ascii", "plain ASCII signs"),
    ("contrast", "high contrast"),
    ("units", "the unit of tables"),
    ("created", "the time it came into care"),
];

/// A field as people call it.
fn name(field: &str) -> &str {
    NAMES.iter().find(|(known, _)| *known == field).map_or(field, |(_, name)| name)
}

/// One change: `owner is now Tove`.
fn change(changed: &Changed) -> String {
    match (changed.field.as_str(), changed.theirs.as_str()) {
        ("scrapped", "") => "the loop is back in care".to_owned(),
        ("scrapped", reason) => format!("the loop is out of care: {reason}"),
        ("releases", _) => "the loop was released".to_owned(),
        (field, "") => format!("{} is now empty", name(field)),
        (field, theirs) => format!("{} is now {theirs}", name(field)),
    }
}

/// What was changed elsewhere and kept, in a sentence; nothing where nothing was.
pub fn words(changed: &[Changed]) -> String {
    let changes: Vec<String> = changed.iter().map(change).collect();
    if changes.is_empty() {
        return String::new();
    }
    format!("Another window changed: {}. That is kept.", changes.join("; "))
}
