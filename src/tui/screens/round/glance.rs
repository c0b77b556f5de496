//! What a round's screen shows that changes only when something is recorded: worked out once per reading, not once per key.

use super::super::super::widgets::{Kept, MapCell};
use super::map;
use crate::advice::Findings;
use crate::coach::{Coach, prompt, words};
use crate::round::Event;

/// A pause longer than this between two readings is a break, not work.
const BREAK_SECONDS: i64 = 600;
/// Events shown in the largest window.
const EVENTS: usize = 24;

/// What a glance at the round needs.
pub(super) struct Glance {
    /// Steps done, and all.
    pub steps: (usize, usize),
    /// Minutes left at this sharpener's pace; none before that can be told.
    pub minutes: Option<u64>,
    /// Cells of the loop map.
    pub cells: Vec<MapCell>,
    /// The last events, latest first.
    pub events: Vec<String>,
    /// What is drawn of it, until something is recorded.
    pub kept: Kept,
}

impl Glance {
    pub(super) fn of(coach: &Coach, findings: &Findings) -> Self {
        let steps = prompt::progress(coach);
        let unit = coach.round.header.units;
        let quiet = |event: &Event| matches!(event, Event::Paused {} | Event::Resumed {});
        let standing: Vec<_> = coach.round.standing().collect();
        let last = standing.iter().rev().filter(|entry| !quiet(&entry.event)).take(EVENTS);
        let events = last.map(|entry| format!("{}  {}", entry.at.format("%H:%M"), words::event(&entry.event, unit)));
        let times: Vec<i64> = standing.iter().map(|entry| entry.at.timestamp()).collect();
        Self {
            steps,
            minutes: minutes_left(&times, steps.1 - steps.0),
            cells: map::cells(&coach.round, findings),
            events: events.collect(),
            kept: Kept::default(),
        }
    }
}

/// Minutes for `steps` more, by the mean time between the entries at these seconds.
fn minutes_left(times: &[i64], steps: usize) -> Option<u64> {
    let gaps: Vec<f64> = times
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|seconds| (0..BREAK_SECONDS).contains(seconds))
        .map(|seconds| f64::from(i32::try_from(seconds).unwrap_or(0)))
        .collect();
    if gaps.len() < 8 || steps == 0 {
        return None;
    }
    let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
    let minutes = (mean * steps as f64 / 60.0).ceil();
    // Far below 2^53 and never negative.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred minutes at most")]
    Some(minutes as u64)
}
