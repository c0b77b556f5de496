//! Fields of cards, lists and settings, as people call them.

/// As the forms call them.
const NAMES: [(&str, &str); 34] = [
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
    ("for_practice", "for practice"),
    ("visit.promised", "the day it is promised for"),
    ("visit.brought_by", "who brought it"),
    ("visit.brought", "the day it was brought"),
    ("visit.fetched_by", "who fetched it"),
    ("visit.fetched", "the day it was fetched"),
    ("visit.before", "its stays before"),
    ("ascii", "plain ASCII signs"),
    ("contrast", "high contrast"),
    ("units", "the unit of lengths"),
    ("cutters", "the links and order of its cutters"),
    ("listed", "the entry"),
    ("length_u_mm", "the spread of lengths"),
    ("gap_u_mm", "the spread of gaps"),
    ("angle_u_deg", "the spread of angles"),
    ("created", "the time it came into care"),
];

/// A field as people call it.
pub(crate) fn name(field: &str) -> &str {
    NAMES.iter().find(|(known, _)| *known == field).map_or(field, |(_, name)| name)
}
