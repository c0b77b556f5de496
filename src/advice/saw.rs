//! What the checks of a saw come to: what is worn or bad, by which limit, and what is to be looked at again.
//!
//! An even loop still cuts crooked on a bad bar. The words, who says so and what helps stand in [`super::say`].

use crate::saw::{Glance, Grade, Part, Saw, USUAL_SPROCKET_LIMIT};
use crate::units::Millimetres;

/// A limit that a figure is held to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Limit {
    /// The maker's.
    Maker(Millimetres),
    /// The usual one, which has no source.
    Usual(Millimetres),
}

/// One part that is worn or bad.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fault {
    /// Which.
    pub part: Part,
    /// Worn or bad.
    pub grade: Grade,
    /// The figure measured.
    pub figure: Option<Millimetres>,
    /// The limit that it has reached.
    pub past: Option<Limit>,
    /// What was remarked.
    pub note: Option<String>,
}

/// Something to say of a saw in a word or two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hint {
    /// What is worn or bad.
    Found(About, Grade),
    /// The tension was set cold and not looked at again since.
    WarmDue,
}

/// What part of a saw a hint is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum About {
    /// The bar.
    Bar,
    /// The sprocket.
    Sprocket,
    /// What brings the oil.
    Oil,
    /// The tension.
    Tension,
}

/// What is worn or bad, the worst first. A tension set anew is no fault of the saw any more: only the latest word counts.
pub(crate) fn faults(saw: &Saw) -> Vec<Fault> {
    let newest = |part: Part| saw.checks.get(&part).map_or(0, |check| check.seq);
    let old_tension = |part: Part| match part {
        Part::Tension => newest(Part::TensionWarm) > newest(Part::Tension),
        Part::TensionWarm => newest(Part::Tension) > newest(Part::TensionWarm),
        _ => false,
    };
    let parts = Part::ALL.into_iter().filter(|part| !old_tension(*part));
    let mut found: Vec<Fault> = parts.filter_map(|part| fault(saw, part)).collect();
    found.sort_by_key(|fault| std::cmp::Reverse(fault.grade));
    found
}

fn fault(saw: &Saw, part: Part) -> Option<Fault> {
    let (judged, check) = (saw.judged(part)?, saw.checks.get(&part)?);
    // A repaired part is judged good: nothing is said of it.
    if judged.grade < Grade::Watch {
        return None;
    }
    let limit = |limit| if judged.by_maker { Limit::Maker(limit) } else { Limit::Usual(limit) };
    Some(Fault {
        part,
        grade: judged.grade,
        figure: check.mm,
        past: judged.past_limit.map(limit),
        note: check.note.clone(),
    })
}

/// What is known to be wrong, the worst first; empty where nothing is.
pub(crate) fn hints(glance: &Glance) -> Vec<Hint> {
    let graded = [
        (About::Bar, glance.bar),
        (About::Sprocket, glance.sprocket),
        (About::Oil, glance.oil),
        (About::Tension, glance.tension),
    ];
    let of = |wanted: Grade| {
        let of = graded.into_iter().filter(move |(_, found)| *found == Some(wanted));
        of.map(move |(about, _)| Hint::Found(about, wanted))
    };
    of(Grade::Bad).chain(of(Grade::Watch)).chain(glance.warm_due.then_some(Hint::WarmDue)).collect()
}

/// The limit that a sprocket is held to.
pub(crate) fn sprocket_limit(saw: &Saw) -> Limit {
    saw.limits.get(&Part::Sprocket).map_or(Limit::Usual(USUAL_SPROCKET_LIMIT), |limit| Limit::Maker(*limit))
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::super::say::saw::hint;
    use super::*;
    use crate::saw::{SawEntry, SawEvent, SawHeader};
    use crate::units::{Unit, mm};

    fn saw(found: &[(Part, Grade, Option<f64>)]) -> Saw {
        let at = DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap();
        let header = SawHeader { tag: "a".into(), name: "A".into(), started: at };
        let entry = |(seq, (part, found, figure)): (u32, &(Part, Grade, Option<f64>))| {
            let event = SawEvent::Checked { part: *part, found: *found, mm: figure.map(mm), note: None, with: None };
            SawEntry { seq, at, event }
        };
        Saw::replay(header, (1..).zip(found).map(entry).collect())
    }

    #[test]
    fn the_worst_is_said_first_and_a_sound_saw_says_nothing() {
        let all_good: Vec<_> = Part::ALL.iter().map(|part| (*part, Grade::Good, None)).collect();
        assert!(faults(&saw(&all_good)).is_empty());
        let found = faults(&saw(&[(Part::Rails, Grade::Watch, Some(0.2)), (Part::Straight, Grade::Bad, None)]));
        assert_eq!(found.iter().map(|said| said.part).collect::<Vec<_>>(), [Part::Straight, Part::Rails]);
        assert_eq!(found[1].words(Unit::Mm), "Bar rails: worn, to be watched, rail height difference 0.20 mm.");
    }

    #[test]
    fn a_repaired_fault_is_no_fault_until_it_is_found_again() {
        let at = DateTime::parse_from_rfc3339("2026-05-02T08:00:00+02:00").unwrap();
        let mut known = saw(&[(Part::Rails, Grade::Bad, Some(0.4)), (Part::Tension, Grade::Bad, None)]);
        for part in [Part::Rails, Part::Tension] {
            let seq = u32::try_from(known.entries.len()).unwrap() + 1;
            known.apply(SawEntry { seq, at, event: SawEvent::Repaired { part } });
        }
        assert!(faults(&known).is_empty(), "{:?}", faults(&known));
        assert_eq!(hint(&known.glance()).unwrap(), "tension to look at again");
        assert!(known.looks()[0].checks[&Part::Rails].repaired);
        let event = SawEvent::Checked { part: Part::Rails, found: Grade::Watch, mm: None, note: None, with: None };
        known.apply(SawEntry { seq: 5, at, event });
        assert_eq!(faults(&known).len(), 1);
    }

    #[test]
    fn the_usual_limit_is_named_for_what_it_is() {
        let found = faults(&saw(&[(Part::Sprocket, Grade::Good, Some(0.6))]));
        assert_eq!(found[0].grade, Grade::Watch);
        assert_eq!(found[0].past, Some(Limit::Usual(mm(0.5))));
        let words = found[0].words(Unit::Inch);
        assert_eq!(
            words,
            "Sprocket: worn, to be watched, depth of the wear mark 0.0236 in, at or past the usual 0.0197 in (common practice, no source; enter the maker's)."
        );
    }

    #[test]
    fn too_little_oil_is_a_fault_of_the_saw() {
        let known = saw(&[(Part::Oil, Grade::Bad, None)]);
        assert_eq!(faults(&known)[0].words(Unit::Mm), "Oil: too little reaches bar and chain.");
        assert_eq!(hint(&known.glance()).unwrap(), "oil BAD");
    }

    #[test]
    fn only_the_latest_word_on_the_tension_counts() {
        let found = faults(&saw(&[(Part::TensionWarm, Grade::Bad, None), (Part::Tension, Grade::Good, None)]));
        assert!(found.is_empty(), "{found:?}");
    }

    #[test]
    fn the_hint_is_short_and_says_what_is_worst() {
        let known = saw(&[(Part::Sprocket, Grade::Watch, None), (Part::Rails, Grade::Bad, None)]);
        assert_eq!(hint(&known.glance()).unwrap(), "bar BAD, sprocket worn");
        let set = saw(&[(Part::Tension, Grade::Good, None)]);
        assert_eq!(hint(&set.glance()).unwrap(), "tension to look at again");
        assert_eq!(hint(&saw(&[]).glance()), None);
    }
}
