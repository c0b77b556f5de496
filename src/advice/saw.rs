//! What the checks of a saw mean for the cut: an even loop still cuts crooked on a bad bar.
//!
//! Faults and remedies follow the tables of operator and maintenance manuals; what has no source says so.

use crate::saw::{Glance, Grade, Part, Saw, USUAL_SPROCKET_LIMIT};

/// Faults and remedies of manuals.
const MANUALS: &str = "operator manuals, fault tables; maintenance manual of a chain maker, pp. 52, 213";
const SPROCKET: &str = "maintenance manual of a chain maker, p. 43, and others";
const SAFETY: &str = "occupational safety guides: set the tension cold, look again after 5 to 10 minutes";
const PRACTICE: &str = "common practice, no source";

/// One part that is worn or bad.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Saying {
    /// Which.
    pub part: Part,
    /// Worn or bad.
    pub grade: Grade,
    /// What was found, for the bench.
    pub line: String,
    /// What it does to the cut, in plain words.
    pub effect: &'static str,
    /// What helps.
    pub remedy: &'static str,
    /// Who says so.
    pub source: &'static str,
}

/// Name of a part in a sentence.
pub(crate) const fn name(part: Part) -> &'static str {
    match part {
        Part::Rails => "bar rails",
        Part::Groove => "bar groove",
        Part::Straight => "bar shape",
        Part::Nose => "bar nose",
        Part::Sprocket => "sprocket",
        Part::Tension => "tension",
        Part::TensionWarm => "tension after cutting",
    }
}

/// What is wrong with a part in a word or two.
const fn fault(part: Part, grade: Grade) -> &'static str {
    match (part, grade) {
        (Part::Rails, Grade::Bad) => "uneven or burred",
        (Part::Groove, Grade::Bad) => "the chain leans in it",
        (Part::Straight, Grade::Bad) => "bent or cracked",
        (Part::Nose, Grade::Bad) => "does not turn freely",
        (Part::Tension | Part::TensionWarm, Grade::Bad) => "wrong",
        (Part::Tension | Part::TensionWarm, _) => "not quite right",
        (_, Grade::Bad) => "worn out",
        _ => "worn, to be watched",
    }
}

const fn effect(part: Part, grade: Grade) -> &'static str {
    match part {
        Part::Rails if matches!(grade, Grade::Bad) => "The cut can still go crooked, however even the chain is.",
        Part::Groove if matches!(grade, Grade::Bad) => "The chain leans over: the cut can still go crooked.",
        Part::Straight if matches!(grade, Grade::Bad) => {
            "On a bent bar the cut goes crooked, however even the chain is."
        }
        Part::Rails | Part::Groove | Part::Straight => "If it gets worse the cut goes crooked.",
        Part::Nose => "A nose that does not turn gets hot and wears bar and chain.",
        Part::Sprocket => "A worn sprocket batters the chain's drive links, a new chain's most of all.",
        Part::Tension | Part::TensionWarm => {
            "A slack chain runs badly and can jump off; a tight one wears bar and chain."
        }
    }
}

const fn remedy(part: Part, grade: Grade) -> &'static str {
    match part {
        Part::Groove | Part::Straight if matches!(grade, Grade::Watch) => "Look at it again at every visit.",
        Part::Sprocket if matches!(grade, Grade::Watch) => "No new chain on it if it can be helped.",
        Part::Rails => "Dress the rails square and to one height, take the burr off, or replace the bar.",
        Part::Groove => "Replace the bar, or have the rails closed.",
        Part::Straight => "Replace the bar.",
        Part::Nose => "Clean and grease it where it is made for it, or replace nose or bar.",
        Part::Sprocket => "Fit a new sprocket before a new chain goes on.",
        Part::Tension => "Set it with the chain cold; look again after 5 to 10 minutes of cutting.",
        Part::TensionWarm => "Let the chain cool, then set it. Never set a hot chain: it shrinks.",
    }
}

const fn source(part: Part) -> &'static str {
    match part {
        Part::Rails | Part::Groove | Part::Straight => MANUALS,
        Part::Sprocket => SPROCKET,
        Part::Tension | Part::TensionWarm => SAFETY,
        Part::Nose => PRACTICE,
    }
}

/// What is worn or bad, the worst first. A tension set anew is no fault of the saw any more: only the latest word counts.
pub(crate) fn sayings(saw: &Saw) -> Vec<Saying> {
    let newest = |part: Part| saw.checks.get(&part).map_or(0, |check| check.seq);
    let old_tension = |part: Part| match part {
        Part::Tension => newest(Part::TensionWarm) > newest(Part::Tension),
        Part::TensionWarm => newest(Part::Tension) > newest(Part::TensionWarm),
        _ => false,
    };
    let parts = Part::ALL.into_iter().filter(|part| !old_tension(*part));
    let mut found: Vec<Saying> = parts.filter_map(|part| saying(saw, part)).collect();
    found.sort_by_key(|saying| std::cmp::Reverse(saying.grade));
    found
}

fn saying(saw: &Saw, part: Part) -> Option<Saying> {
    let (judged, check) = (saw.judged(part)?, saw.checks.get(&part)?);
    // A repaired part is judged good: nothing is said of it.
    if judged.grade < Grade::Watch {
        return None;
    }
    let figure = check.mm.zip(part.figure()).map(|(mm, (what, _, _))| format!(", {what} {mm}")).unwrap_or_default();
    let limit = match (judged.past_limit, judged.by_maker) {
        (Some(limit), true) => format!(", at or past the maker's limit of {limit}"),
        (Some(limit), false) => format!(", at or past the usual {limit} ({PRACTICE}; enter the maker's)"),
        (None, _) => String::new(),
    };
    let note = check.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
    let line = format!("{}: {}{figure}{limit}{note}.", capital(name(part)), fault(part, judged.grade));
    Some(Saying {
        part,
        grade: judged.grade,
        line,
        effect: effect(part, judged.grade),
        remedy: remedy(part, judged.grade),
        source: source(part),
    })
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A few words for the rack; nothing where nothing is known to be wrong.
pub(crate) fn hint(glance: &Glance) -> Option<String> {
    let graded = [("bar", glance.bar), ("sprocket", glance.sprocket), ("tension", glance.tension)];
    let mut words: Vec<String> = [Grade::Bad, Grade::Watch]
        .into_iter()
        .flat_map(|grade| {
            let of = graded.into_iter().filter(move |(_, found)| *found == Some(grade));
            of.map(move |(what, _)| format!("{what} {}", if grade == Grade::Bad { "BAD" } else { "worn" }))
        })
        .map(|words| words.replace("tension worn", "tension to watch"))
        .collect();
    if glance.warm_due {
        words.push("tension to look at again".to_owned());
    }
    (!words.is_empty()).then(|| words.join(", "))
}

/// The limit that a sprocket is held to, in words.
pub(crate) fn sprocket_limit(saw: &Saw) -> String {
    match saw.limits.get(&Part::Sprocket) {
        Some(limit) => format!("{limit}, the maker's"),
        None => format!("{USUAL_SPROCKET_LIMIT} to watch ({PRACTICE}); the maker's is not entered"),
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::saw::{SawEntry, SawEvent, SawHeader};
    use crate::units::mm;

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
        assert!(sayings(&saw(&all_good)).is_empty());
        let found = sayings(&saw(&[(Part::Rails, Grade::Watch, Some(0.2)), (Part::Straight, Grade::Bad, None)]));
        assert_eq!(found.iter().map(|said| said.part).collect::<Vec<_>>(), [Part::Straight, Part::Rails]);
        assert_eq!(found[1].line, "Bar rails: worn, to be watched, rail height difference 0.20 mm.");
    }

    #[test]
    fn a_repaired_fault_is_no_fault_until_it_is_found_again() {
        let at = DateTime::parse_from_rfc3339("2026-05-02T08:00:00+02:00").unwrap();
        let mut known = saw(&[(Part::Rails, Grade::Bad, Some(0.4)), (Part::Tension, Grade::Bad, None)]);
        for part in [Part::Rails, Part::Tension] {
            let seq = u32::try_from(known.entries.len()).unwrap() + 1;
            known.apply(SawEntry { seq, at, event: SawEvent::Repaired { part } });
        }
        assert!(sayings(&known).is_empty(), "{:?}", sayings(&known));
        assert_eq!(hint(&known.glance()).unwrap(), "tension to look at again");
        assert!(known.looks()[0].checks[&Part::Rails].repaired);
        let event = SawEvent::Checked { part: Part::Rails, found: Grade::Watch, mm: None, note: None, with: None };
        known.apply(SawEntry { seq: 5, at, event });
        assert_eq!(sayings(&known).len(), 1);
    }

    #[test]
    fn the_usual_limit_is_named_for_what_it_is() {
        let found = sayings(&saw(&[(Part::Sprocket, Grade::Good, Some(0.6))]));
        assert_eq!(found[0].grade, Grade::Watch);
        assert!(found[0].line.contains("common practice, no source"), "{}", found[0].line);
    }

    #[test]
    fn only_the_latest_word_on_the_tension_counts() {
        let found = sayings(&saw(&[(Part::TensionWarm, Grade::Bad, None), (Part::Tension, Grade::Good, None)]));
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
