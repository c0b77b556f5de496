//! Those who learn, seat by seat.

use chrono::{DateTime, FixedOffset};
use strum::VariantArray;

use crate::advice::say::drill as words;
use crate::drill::{Drill, Learner, Score, Set};
use crate::units::clean::clean;

/// A learner in the group: name, and how far they are, in a sentence.
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

/// Who is meant by a number of the group or by a name, in any case of letters where somebody has it; nothing for a number that nobody
/// has, and for nothing.
pub(crate) fn named(seats: &[Seat], others: &[String], text: &str) -> Option<String> {
    let text = clean(text);
    if let Ok(number) = text.parse::<usize>() {
        return seats.get(number.checked_sub(1)?).map(|seat| seat.name.clone());
    }
    let known = seats.iter().map(|seat| &seat.name).chain(others);
    let is = |name: &&String| name.to_lowercase() == text.to_lowercase();
    let known = known.clone().find(|name| **name == text).or_else(|| known.clone().find(is)).cloned();
    known.or(Some(text)).filter(|text| !text.is_empty())
}

/// Two people, named with a sign between them.
pub(crate) fn pair(seats: &[Seat], others: &[String], text: &str) -> Option<(String, String)> {
    let (one, other) = text.split_once('+')?;
    Some((named(seats, others, one)?, named(seats, others, other)?))
}

/// Where somebody stands: drill, which set of it, how soon they are told, what needs a look, and since when nothing was done.
fn seat(learner: &Learner, now: DateTime<FixedOffset>) -> Seat {
    let name = learner.header.name.clone();
    let last = learner.sets.iter().rev().find_map(|set| set.score().map(|score| (set, score)));
    let head = |set: &Set, number: usize| {
        format!("{}, set {number}, {}", words::name(set.up.drill), words::stage(set.up.stage))
    };
    let whole = |drill: Drill| learner.whole(drill).len();
    let stands = match (learner.open(), last) {
        (Some(set), _) => {
            let answered = learner.entries.last().map_or(set.at, |entry| entry.at);
            format!("{}: under way, last answer {}.", head(set, whole(set.up.drill) + 1), since(answered, now))
        }
        (None, None) => "no set yet".to_owned(),
        (None, Some((set, score))) => {
            let drill = set.up.drill;
            let came = if score.good { "a good set" } else { "not yet" };
            let passed = if learner.has_passed(drill) { ", the drill is passed" } else { "" };
            let came =
                format!("{}: {came}{passed}; waiting, {}.", head(set, whole(drill)), since(set_end(learner, set), now));
            let needs = needs_a_look(learner, set, &score).map(|why| format!(" Needs a look: {why}"));
            came + &needs.unwrap_or_default()
        }
    };
    Seat { name, stands }
}

/// The hand was proven steady in a drill and is no longer, else the fault that the last set shows.
fn needs_a_look(learner: &Learner, set: &Set, score: &Score) -> Option<String> {
    let lost = Drill::VARIANTS.iter().find(|drill| learner.is_relapsed(**drill));
    let lost = lost.map(|drill| format!("in {} the hand was steady and is no longer.", words::name(*drill)));
    lost.or_else(|| set.tip(score).map(words::tip))
}

/// When the last answer of a set was given.
fn set_end(learner: &Learner, set: &Set) -> DateTime<FixedOffset> {
    let last = set.given.last().and_then(|(seq, _)| learner.entries.iter().find(|entry| entry.seq == *seq));
    last.map_or(set.at, |entry| entry.at)
}

/// Minutes, on the same day; else the day. A clock that was set back has no minutes below zero.
fn since(at: DateTime<FixedOffset>, now: DateTime<FixedOffset>) -> String {
    let minutes = (now - at).num_minutes().max(0);
    if minutes < 600 { format!("{minutes} min ago") } else { at.format("%Y-%m-%d").to_string() }
}
