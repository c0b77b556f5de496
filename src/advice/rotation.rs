//! Which loop to run next on a saw, so that its loops and its sprocket wear together.
//!
//! A new loop on a worn sprocket wears quickly, and a maker's maintenance manual forbids it. So the loop with most life left
//! runs, until all of a saw's stand alike and are retired with their sprocket. To run several loops by turns on one sprocket is
//! common practice, no source; how many loops a sprocket lasts is stated differently: two (a note on cold weather), three to
//! four together with the bar (a weak page). With a worn sprocket new loops wait where there are others; with one that is
//! worn out it is the other way round: worn loops are run out on it, new ones wait for the next.

use chrono::{DateTime, FixedOffset};

use crate::saw::Grade;

/// Turns looked ahead.
const TURNS: usize = 6;
/// Share of life spent below which a loop counts as new: it is kept off a worn-out sprocket. A proposal.
const NEW_SHARE: f64 = 0.15;
/// Loops of one saw further apart than this share of life do not wear together. A proposal.
const APART: f64 = 0.25;
/// Rounds that a turn is taken to cost where nothing is known of a loop's wear: shares of life in ten steps.
const STEPS: f64 = 10.0;

/// One loop of a saw.
#[derive(Debug, Clone, PartialEq)]
pub struct Runner {
    /// Tag.
    pub tag: String,
    /// Name on screen.
    pub name: String,
    /// Pitch of its chain, in its own words; loops of another pitch need another sprocket.
    pub pitch: String,
    /// Share of usable life spent, 0 to 1; `None` where nothing is measured, which a new loop is taken for.
    pub spent: Option<f64>,
    /// Rounds left to the witness mark, where that can be told.
    pub rounds_left: Option<u32>,
    /// When it was last at the bench.
    pub last: Option<DateTime<FixedOffset>>,
    /// Why it cannot run now: rejected, in an open round, out of care.
    pub held: Option<&'static str>,
}

/// What to run next.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rotation {
    /// Tag of the loop to run next; none where none may run.
    pub next: Option<String>,
    /// Tags turn by turn, the next first, if one round of each turn is worn off.
    pub turns: Vec<String>,
    /// Tags of those that may run.
    pub may: Vec<String>,
    /// Loops that are to wait for a new sprocket.
    pub wait: Vec<String>,
    /// Pitches that are mixed on this saw; empty where there is one.
    pub pitches: Vec<String>,
    /// Share of life between the most and the least worn that may run.
    pub apart: Option<f64>,
    /// What there is to say, in order.
    pub told: Vec<Told>,
}

/// Something to say about which loop to run. Loops go by their names on screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// Loops of these pitches are mixed.
    Pitches(Vec<String>),
    /// No loop can run.
    NoneCanRun,
    /// The sprocket is worn out and only new loops are left.
    OnlyNewOnWornOut,
    /// The sprocket is worn out: this most worn loop may be run out on it.
    RunOut(String),
    /// This is the only loop that can run.
    Only(String),
    /// This one has most life left.
    Next(String),
    /// These wait for a new sprocket.
    Keep(Vec<String>),
    /// The sprocket is worn, and new loops are all that is left.
    OnlyNewOnWorn,
    /// The loops stand far apart.
    FarApart,
    /// One loop has the sprocket to itself.
    Alone,
    /// A usual number of loops: by turns.
    ByTurns,
    /// This many loops on one sprocket.
    Many(usize),
}

impl Runner {
    pub(super) fn spent(&self) -> f64 {
        self.spent.unwrap_or(0.0).clamp(0.0, 1.0)
    }

    fn is_spent(&self) -> bool {
        self.spent.is_some_and(|spent| spent >= 1.0) || self.rounds_left == Some(0)
    }

    /// Share of life that one turn takes.
    fn turn(&self) -> f64 {
        match self.rounds_left.filter(|rounds| *rounds > 0) {
            Some(rounds) => (1.0 - self.spent()) / f64::from(rounds),
            None => 1.0 / STEPS,
        }
    }
}

/// The order of the loops of one saw, by what is known of its sprocket.
pub(crate) fn rotation(runners: &[Runner], sprocket: Option<Grade>) -> Rotation {
    let mut out = Rotation::default();
    let worn_out = sprocket == Some(Grade::Bad);
    out.pitches = pitches(runners);
    if !out.pitches.is_empty() {
        out.told.push(Told::Pitches(out.pitches.clone()));
        return out;
    }
    let able = |runner: &&Runner| runner.held.is_none() && !runner.is_spent();
    let is_new = |runner: &&Runner| runner.spent() < NEW_SHARE;
    let (mut ready, mut wait): (Vec<&Runner>, Vec<&Runner>) =
        runners.iter().filter(able).partition(|runner| !(sprocket >= Some(Grade::Watch) && is_new(runner)));
    if !worn_out && ready.is_empty() {
        std::mem::swap(&mut ready, &mut wait);
    }
    out.wait = wait.iter().map(|runner| runner.tag.clone()).collect();
    ready.sort_by(|a, b| {
        let by_life = a.spent().total_cmp(&b.spent());
        let by_life = if worn_out { by_life.reverse() } else { by_life };
        // Of two alike the one that has lain longest; a loop never at the bench has lain longest of all.
        by_life.then_with(|| a.last.cmp(&b.last)).then_with(|| a.tag.cmp(&b.tag))
    });
    out.next = ready.first().map(|runner| runner.tag.clone());
    out.may = ready.iter().map(|runner| runner.tag.clone()).collect();
    out.turns = turns(&ready, worn_out);
    let spent = || ready.iter().map(|runner| runner.spent());
    out.apart = spent().reduce(f64::max).zip(spent().reduce(f64::min)).map(|(most, least)| most - least);
    out.told = told(runners, &ready, &wait, sprocket, &out);
    out
}

/// Turn by turn: the loop that then has most life left runs; on a worn-out sprocket the most worn runs to its end.
fn turns(ready: &[&Runner], worn_out: bool) -> Vec<String> {
    let mut spent: Vec<f64> = ready.iter().map(|runner| runner.spent()).collect();
    let mut turns = Vec::new();
    for _ in 0..TURNS {
        let left = spent.iter().enumerate().filter(|(_, spent)| **spent < 1.0);
        // Of equals the first in line runs, so that the turns begin as the line does.
        let next = if worn_out {
            left.max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)))
        } else {
            left.min_by(|a, b| a.1.total_cmp(b.1).then(a.0.cmp(&b.0)))
        };
        let Some((at, _)) = next else { break };
        turns.push(ready[at].tag.clone());
        spent[at] += ready[at].turn();
    }
    turns
}

fn pitches(runners: &[Runner]) -> Vec<String> {
    let in_use = runners.iter().filter(|runner| runner.held != Some(OUT_OF_CARE));
    let mut pitches: Vec<String> = in_use.map(|runner| runner.pitch.clone()).collect();
    pitches.sort();
    pitches.dedup();
    if pitches.len() > 1 { pitches } else { Vec::new() }
}

/// Why a scrapped loop does not run.
pub(crate) const OUT_OF_CARE: &str = "out of care";

fn told(runners: &[Runner], ready: &[&Runner], wait: &[&Runner], sprocket: Option<Grade>, out: &Rotation) -> Vec<Told> {
    let mut told = vec![match (ready, sprocket) {
        ([], _) if wait.is_empty() => Told::NoneCanRun,
        ([], _) => Told::OnlyNewOnWornOut,
        ([first, ..], Some(Grade::Bad)) => Told::RunOut(first.name.clone()),
        ([first], _) => Told::Only(first.name.clone()),
        ([first, ..], _) => Told::Next(first.name.clone()),
    }];
    if !wait.is_empty() {
        told.push(Told::Keep(wait.iter().map(|runner| runner.name.clone()).collect()));
    }
    if sprocket == Some(Grade::Watch) && ready.iter().any(|runner| runner.spent() < NEW_SHARE) {
        told.push(Told::OnlyNewOnWorn);
    }
    if out.apart.is_some_and(|apart| apart > APART) && sprocket != Some(Grade::Bad) {
        told.push(Told::FarApart);
    }
    told.extend(match runners.iter().filter(|runner| runner.held != Some(OUT_OF_CARE)).count() {
        0 | 1 => Some(Told::Alone),
        _ if ready.len() < 2 => None,
        2..=4 => Some(Told::ByTurns),
        n => Some(Told::Many(n)),
    });
    told
}

#[cfg(test)]
mod tests;
