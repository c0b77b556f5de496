//! Those who learn, seat by seat.

use chrono::{DateTime, FixedOffset};

use crate::advice::say::drill as words;
use crate::drill::Learner;

/// A learner in the group: name, and how far in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Seat {
    /// Name.
    pub name: String,
    /// What was last done, and what is next.
    pub stands: String,
}

/// The group in the order in which they began; never a rank.
pub(crate) fn seats(learners: &[Learner], now: DateTime<FixedOffset>) -> Vec<Seat> {
    let mut order: Vec<&Learner> = learners.iter().collect();
    order.sort_by_key(|learner| learner.header.started);
    order.into_iter().map(|learner| seat(learner, now)).collect()
}

fn seat(learner: &Learner, now: DateTime<FixedOffset>) -> Seat {
    let name = learner.header.name.clone();
    let waits = learner.open().map(|set| format!("{}, a set is open", words::name(set.up.drill)));
    let last = learner.sets.iter().rev().find_map(|set| set.score().map(|score| (set, score)));
    let stands = match (waits, last) {
        (Some(waits), _) => waits,
        (None, None) => "no set yet".to_owned(),
        (None, Some((set, score))) => {
            let drill = set.up.drill;
            let came = if learner.has_passed(drill) {
                "passed"
            } else if score.good {
                "a good set"
            } else {
                "not yet"
            };
            let minutes = (now - set.at).num_minutes().max(0);
            let when = if minutes < 600 { format!("{minutes} min ago") } else { set.at.format("%Y-%m-%d").to_string() };
            let needs = set.tip(&score).map(|tip| format!(" Needs a look: {}", words::tip(tip))).unwrap_or_default();
            format!("{}: {came}, {when}, {}.{needs}", words::name(drill), words::stage(set.up.stage))
        }
    };
    Seat { name, stands }
}
