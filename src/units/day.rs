//! Days as people type them.

use chrono::{Days, NaiveDate};

/// A day that cannot be understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("Expected: a day such as 2026-12-05, 05.12.2026, today, or +7 for a week from now.")]
pub(crate) struct NoDay;

/// The day that a text names, seen from today; nothing where the text is blank.
///
/// # Errors
/// [`NoDay`].
pub(crate) fn day(text: &str, today: NaiveDate) -> Result<Option<NaiveDate>, NoDay> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if text.eq_ignore_ascii_case("today") {
        return Ok(Some(today));
    }
    if let Some(days) = text.strip_prefix('+') {
        let days = days.parse::<u16>().map_err(|_| NoDay)?;
        return today.checked_add_days(Days::new(days.into())).map(Some).ok_or(NoDay);
    }
    // Four digits of a year: a shorter one would be read as one of the first century.
    let written = ["%Y-%m-%d", "%d.%m.%Y"].iter().find_map(|form| NaiveDate::parse_from_str(text, form).ok());
    let sure = |day: &NaiveDate| (1900..=2999).contains(&chrono::Datelike::year(day));
    written.filter(sure).map(Some).ok_or(NoDay)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_read_as_written_or_counted_from_today() {
        let today: NaiveDate = "2026-11-26".parse().unwrap();
        let read = |text: &str| day(text, today).map(|day| day.map(|day| day.to_string()));
        for (text, expected) in [
            ("2026-12-05", "2026-12-05"),
            (" 05.12.2026 ", "2026-12-05"),
            ("5.12.2026", "2026-12-05"),
            ("today", "2026-11-26"),
            ("+7", "2026-12-03"),
        ] {
            assert_eq!(read(text), Ok(Some(expected.to_owned())), "{text}");
        }
        assert_eq!(read("  "), Ok(None));
        for text in ["soon", "26-12-05", "2026-13-05", "2026-02-30", "5.12.26", "+-7", "+99999999", "-7"] {
            assert_eq!(read(text), Err(NoDay), "{text}");
        }
    }
}
