//! What is shown as it happens: how far a change that was just recorded has come.
//!
//! What the room is for: the time since the change, and nothing else, says what is drawn, so that it can be tried without a
//! clock. Only two things move, each once, and both mean something: the steel that a reading says is gone goes, and the
//! verdict lights up. It must know no screen, and it holds nothing: whatever comes in ends it.

use std::time::Duration;

use chrono::TimeDelta;

/// Time between two pictures: a terminal and a slow line keep up with it.
const STEP_MS: i64 = 60;
/// Pictures in which the steel goes; then it is seen as it is for a few more.
const GOING: i64 = 5;
/// All pictures.
const ALL: i64 = 8;
/// Pictures in which the verdict is lit.
const LIT: i64 = 3;

/// One picture of a change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// How much of the change is seen: from 0 to 1.
    pub share: f64,
    /// The verdict is lit.
    pub lit: bool,
    /// Until the next picture.
    pub left: Duration,
}

/// The picture this long after the change; none once it is over, or where the clock was set back.
pub(super) fn frame(since: TimeDelta) -> Option<Frame> {
    let since = since.num_milliseconds();
    let at = since.checked_div_euclid(STEP_MS).filter(|at| (0..ALL).contains(at))?;
    let left = u64::try_from((at + 1) * STEP_MS - since).ok()?;
    #[allow(clippy::cast_precision_loss, reason = "a handful of pictures")]
    let share = (at as f64 / GOING as f64).min(1.0);
    Some(Frame { share, lit: at < LIT, left: Duration::from_millis(left) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(ms: i64) -> Option<Frame> {
        frame(TimeDelta::milliseconds(ms))
    }

    #[test]
    fn the_steel_goes_once_the_verdict_is_lit_once_and_then_nothing_moves() {
        let (mut now, mut seen) = (0, Vec::new());
        while let Some(frame) = at(now) {
            seen.push(frame);
            assert!(frame.left > Duration::ZERO);
            now += i64::try_from(frame.left.as_millis()).unwrap();
        }
        assert_eq!((seen.first().unwrap().share, seen.last().unwrap().share), (0.0, 1.0));
        assert!(seen.is_sorted_by(|a, b| a.share <= b.share && a.lit >= b.lit), "{seen:?}");
        assert!(seen[0].lit && !seen.last().unwrap().lit);
        assert!(seen.len() <= 10 && now < 600, "a few pictures in half a second: {} in {now} ms", seen.len());
        assert!((now..now + 100_000).step_by(997).all(|ms| at(ms).is_none()));
    }

    #[test]
    fn a_clock_that_was_set_back_moves_nothing() {
        assert!([-1, -60, -3_600_000, i64::MIN / 1000].iter().all(|ms| at(*ms).is_none()));
    }
}
