//! Small words that every report needs: dates, counts, lists of numbers.

use chrono::DateTime;

use crate::chain::CutterNumber;
use crate::report::data::Number;
use crate::units::{Unit, mm};

/// `3 cutters`, `1 cutter`.
pub(super) fn count(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}

/// Numbers in rising order with runs drawn together: `1 to 4, 7 and 9`.
pub(super) fn ranges(numbers: &[CutterNumber]) -> String {
    let runs: Vec<String> = numbers
        .chunk_by(|a, b| b.index() == a.index() + 1)
        .flat_map(|run| match run {
            [first, .., last] if run.len() > 2 => vec![format!("{first} to {last}")],
            run => run.iter().map(CutterNumber::to_string).collect(),
        })
        .collect();
    match runs.as_slice() {
        [] => "none".to_owned(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// `cutter 4`, `cutters 4 and 9`.
pub(super) fn cutters(numbers: &[CutterNumber]) -> String {
    let noun = if numbers.len() == 1 { "cutter" } else { "cutters" };
    format!("{noun} {}", ranges(numbers))
}

/// A length with its unit.
pub(super) fn length(unit: Unit, number: Number) -> String {
    unit.show_named(mm(number.0))
}

/// A share or probability in whole percent; certainty is never claimed.
pub(super) fn percent(share: Number) -> String {
    match share.0 {
        p if p > 0.99 => "over 99 %".to_owned(),
        p if p < 0.01 => "under 1 %".to_owned(),
        p => format!("{:.0} %", p * 100.0),
    }
}

/// Day and time of an RFC 3339 time, as on the clock where it was written.
pub(super) fn moment(at: &str) -> String {
    DateTime::parse_from_rfc3339(at).map_or_else(|_| at.to_owned(), |at| at.format("%Y-%m-%d %H:%M").to_string())
}

/// The day alone.
pub(super) fn day(at: &str) -> String {
    DateTime::parse_from_rfc3339(at).map_or_else(|_| at.to_owned(), |at| at.format("%Y-%m-%d").to_string())
}

/// Days beyond which a date is told in years: nobody knows a day so far off.
const FAR_DAYS: i64 = 5 * 365;

/// A time ahead, seen from another: `about 2026-09-01`, or `in about 9 years` where it is far off.
pub(super) fn ahead_of(from: Option<&str>, at: &str) -> String {
    years(from, at).map_or_else(|| format!("about {}", day(at)), |years| format!("in about {years:.0} years"))
}

/// Two times ahead: `2026-09-01 to 2027-03-01`, in years where the later is far off.
pub(super) fn between(from: Option<&str>, low: &str, high: &str) -> String {
    let far = years(from, high);
    far.zip(years_of(from, low))
        .map_or_else(|| format!("{} to {}", day(low), day(high)), |(high, low)| format!("{low:.0} to {high:.0} years"))
}

/// Years from one to the other, where that is far.
fn years(from: Option<&str>, at: &str) -> Option<f64> {
    years_of(from, at).filter(|years| *years * 365.0 > FAR_DAYS as f64)
}

fn years_of(from: Option<&str>, at: &str) -> Option<f64> {
    let [from, at] = [from?, at].map(DateTime::parse_from_rfc3339);
    Some((at.ok()? - from.ok()?).num_days() as f64 / 365.25)
}

/// Minutes as people say them.
pub(super) fn minutes(number: Number) -> String {
    let whole = number.0.round().max(0.0);
    if whole < 120.0 {
        return format!("{whole:.0} min");
    }
    format!("{:.0} h {:.0} min", (whole / 60.0).floor(), whole % 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::nth;

    #[test]
    fn runs_are_drawn_together() {
        assert_eq!(ranges(&[1, 2, 3, 4, 7, 9, 10].map(nth)), "1 to 4, 7, 9 and 10");
        assert_eq!(cutters(&[4].map(nth)), "cutter 4");
        assert_eq!(cutters(&[4, 9].map(nth)), "cutters 4 and 9");
        assert_eq!(ranges(&[]), "none");
    }

    #[test]
    fn a_day_more_than_five_years_off_is_told_in_years() {
        let now = Some("2026-03-01T12:00:00+01:00");
        assert_eq!(ahead_of(now, "2031-02-01T12:00:00+01:00"), "about 2031-02-01");
        assert_eq!(ahead_of(now, "2038-03-01T12:00:00+01:00"), "in about 12 years");
        assert_eq!(ahead_of(None, "2038-03-01T12:00:00+01:00"), "about 2038-03-01");
        let low = "2030-03-01T12:00:00+01:00";
        assert_eq!(between(now, low, "2031-02-01T12:00:00+01:00"), "2030-03-01 to 2031-02-01");
        assert_eq!(between(now, low, "2036-03-01T12:00:00+01:00"), "4 to 10 years");
    }

    #[test]
    fn times_are_those_of_the_place() {
        assert_eq!(moment("2026-03-01T23:30:00+01:00"), "2026-03-01 23:30");
        assert_eq!(day("2026-03-01T23:30:00+01:00"), "2026-03-01");
        assert_eq!((minutes(Number(51.6)), minutes(Number(150.0))), ("52 min".into(), "2 h 30 min".into()));
        assert_eq!((percent(Number(1.0)), percent(Number(0.425))), ("over 99 %".into(), "42 %".into()));
    }
}
