//! A customer's loop, in words: when it is promised, who brought and who fetched it.

use chrono::NaiveDate;

use crate::round::Visit;
use crate::units::clean::clean;

/// The promise in a few words, seen from that day; `None` where nothing waits. In capitals once the day is past.
pub(crate) fn promise(visit: &Visit, today: NaiveDate) -> Option<String> {
    let day = visit.waits_for()?;
    Some(match (day - today).num_days() {
        0 => format!("promised for today, {day}"),
        days if days < 0 => format!("OVERDUE: promised for {day}"),
        _ => format!("promised for {day}"),
    })
}

/// Who brought it and who fetched it, each in a few words.
pub(crate) fn came_and_went(visit: &Visit) -> Vec<String> {
    let said = |what: &str, by: &str, day: Option<NaiveDate>| {
        let by = if by.is_empty() { String::new() } else { format!(" by {}", clean(by)) };
        day.map(|day| format!("{what} {day}{by}"))
    };
    let Visit { brought_by, brought, fetched_by, fetched, .. } = visit;
    [said("brought", brought_by, *brought), said("fetched", fetched_by, *fetched)].into_iter().flatten().collect()
}
