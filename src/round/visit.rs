//! A loop of a customer: who brought it and when, the day it is promised for, who fetched it and when.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// The stay of a loop in the workshop, and the stays before it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Day for which it is promised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub promised: Option<NaiveDate>,
    /// Who brought it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub brought_by: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub brought: Option<NaiveDate>,
    /// Who fetched it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub fetched_by: String,
    /// When; from then on the promise is kept or broken, and nothing waits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fetched: Option<NaiveDate>,
    /// The stays before this one, oldest first; these have none before them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub before: Vec<Self>,
}

/// Why a stay cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadVisit {
    /// It lies ahead.
    #[error("It cannot have been brought on a day that lies ahead.")]
    BroughtAhead,
    /// It lies ahead.
    #[error("It cannot have been fetched on a day that lies ahead.")]
    FetchedAhead,
    /// It was fetched first.
    #[error("It cannot have been fetched before it was brought.")]
    FetchedFirst,
}

impl Visit {
    /// True where nothing was entered.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The day that it is promised for, while nobody has fetched it.
    pub fn waits_for(&self) -> Option<NaiveDate> {
        self.promised.filter(|_| self.fetched.is_none())
    }

    /// What stands once this is typed over it today. Whoever is named without a day came today. A loop that comes back after
    /// it was fetched begins a new stay: the one before is kept.
    ///
    /// # Errors
    /// [`BadVisit`].
    pub fn typed_over(&self, typed: Self, today: NaiveDate) -> Result<Self, BadVisit> {
        let came = |by: &str, day: Option<NaiveDate>| day.or_else(|| (!by.is_empty()).then_some(today));
        let (brought, fetched) = (came(&typed.brought_by, typed.brought), came(&typed.fetched_by, typed.fetched));
        let mut new = Self { brought, fetched, before: self.before.clone(), ..typed };
        if brought.is_some_and(|day| day > today) {
            return Err(BadVisit::BroughtAhead);
        }
        if fetched.is_some_and(|day| day > today) {
            return Err(BadVisit::FetchedAhead);
        }
        let came_back =
            self.fetched.is_some_and(|was| brought != self.brought && brought.is_some_and(|day| day >= was));
        if came_back {
            new.before.push(Self { before: Vec::new(), ..self.clone() });
            if fetched == self.fetched {
                (new.fetched, new.fetched_by) = (None, String::new());
            }
            new.promised = new.promised.filter(|_| new.promised != self.promised);
        }
        match new.brought.zip(new.fetched) {
            Some((brought, fetched)) if fetched < brought => Err(BadVisit::FetchedFirst),
            _ => Ok(new),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_name_alone_came_today_and_nobody_fetches_before_it_was_brought() {
        let today = day("2026-11-26");
        let typed = Visit { promised: Some(day("2026-12-01")), brought_by: "Tove".into(), ..Visit::default() };
        let stays = Visit::default().typed_over(typed.clone(), today).unwrap();
        assert_eq!((stays.brought, stays.waits_for()), (Some(today), Some(day("2026-12-01"))));
        let fetched = Visit { fetched_by: "Jon".into(), ..stays.clone() };
        let gone = stays.typed_over(fetched, day("2026-12-02")).unwrap();
        assert_eq!((gone.fetched, gone.waits_for(), gone.before.len()), (Some(day("2026-12-02")), None, 0));
        let early = Visit { fetched: Some(day("2026-11-25")), ..stays.clone() };
        assert_eq!(stays.typed_over(early, today), Err(BadVisit::FetchedFirst));
        let ahead = Visit { fetched: Some(day("2026-11-27")), ..stays.clone() };
        assert_eq!(stays.typed_over(ahead, today), Err(BadVisit::FetchedAhead));
        let ahead = Visit { brought: Some(day("2026-11-27")), ..typed };
        assert_eq!(stays.typed_over(ahead, today), Err(BadVisit::BroughtAhead));
    }

    #[test]
    fn a_loop_that_comes_back_begins_a_new_stay_and_the_one_before_is_kept() {
        let first = Visit {
            promised: Some(day("2026-06-01")),
            brought_by: "Tove".into(),
            brought: Some(day("2026-05-20")),
            fetched_by: "Jon".into(),
            fetched: Some(day("2026-06-02")),
            before: Vec::new(),
        };
        // A slip in the first stay is mended in its place.
        let mended = first.typed_over(Visit { fetched_by: "Ina".into(), ..first.clone() }, day("2026-06-03")).unwrap();
        assert_eq!((mended.before.len(), mended.fetched_by.as_str()), (0, "Ina"));
        let typed = Visit { brought: Some(day("2026-11-20")), promised: Some(day("2026-12-01")), ..first.clone() };
        let again = first.typed_over(typed, day("2026-11-26")).unwrap();
        assert_eq!((again.fetched, again.fetched_by.as_str(), again.waits_for()), (None, "", Some(day("2026-12-01"))));
        assert_eq!(again.before, std::slice::from_ref(&first));
        let without = first.typed_over(Visit { brought: Some(day("2026-11-20")), ..first.clone() }, day("2026-11-26"));
        assert_eq!(without.unwrap().promised, None, "an old promise is not made again");
    }
}
