use chrono::TimeDelta;

use super::*;
use crate::chain::nth;
use crate::round::tests::intake::header;
use crate::round::{Entry, Finding, Header, LookItem, When};
use crate::units::mm;

/// Ten cutters of a chain whose dull edge needs 0.1 mm.
struct Bench {
    round: Round,
    minute: i64,
}

impl Bench {
    fn new() -> Self {
        let mut header = Header { take_strokes: false, take_angles: false, ..header(20) };
        header.spec.need = mm(0.1);
        let mut bench = Self { round: Round::begin(header).unwrap(), minute: 0 };
        for item in LookItem::ALL {
            bench.put(0, Event::Looked { item, finding: Finding::Sound, note: None });
        }
        bench
    }

    /// Adds an event so many minutes after the one before.
    fn put(&mut self, minutes: i64, event: Event) -> &mut Self {
        self.round.check(&event).unwrap();
        self.minute += minutes;
        let seq = u32::try_from(self.round.entries.len()).unwrap() + 1;
        let at = self.round.header.started + TimeDelta::minutes(self.minute);
        self.round.apply(Entry { seq, at, by: None, typed: None, event });
        self
    }

    fn length(&mut self, cutter: u16, when: When, value: f64) -> &mut Self {
        self.put(0, Event::Length { cutter: nth(cutter), when, mm: mm(value), again: false })
    }

    fn state(&mut self, cutter: u16, state: CutterState, need: Option<f64>) -> &mut Self {
        self.put(0, Event::State { cutter: nth(cutter), state, need_mm: need.map(mm) })
    }
}

type Mark = (u16, CutterState, Option<f64>);

/// Removal by cause: all, wear, damage, evening-up; of cutters that are 9.0 long but for those named, each filed to one
/// length but for those left alone.
fn split(marks: &[Mark], before: &[(u16, f64)], to: f64, alone: &[u16]) -> [f64; 4] {
    let mut bench = Bench::new();
    for (cutter, state, need) in marks {
        bench.state(*cutter, *state, *need);
    }
    let length = |cutter: u16| before.iter().find(|(known, _)| *known == cutter).map_or(9.0, |(_, length)| *length);
    for cutter in 1..=10 {
        bench.length(cutter, When::Before, length(cutter));
    }
    bench.put(0, Event::Target { mm: mm(to), left_short: alone.iter().copied().map(nth).collect(), recommended: true });
    for cutter in (1..=10).filter(|cutter| !alone.contains(cutter)) {
        bench.length(cutter, When::After, to);
    }
    let found = Summary::of(&bench.round);
    [found.removed, found.removed_wear, found.removed_damage, found.removed_even].map(Millimetres::get)
}

#[test]
fn steel_is_put_down_to_its_cause() {
    const HURT: CutterState = CutterState::Damaged;
    type Row<'a> = (&'a str, &'a [Mark], &'a [(u16, f64)], f64, &'a [u16], [f64; 4]);
    let rows: [Row; 9] = [
        ("all alike: a dull edge each", &[], &[], 8.9, &[], [1.0, 1.0, 0.0, 0.0]),
        ("a short sound one: the other nine even up", &[], &[(4, 8.6)], 8.5, &[], [4.6, 1.0, 0.0, 3.6]),
        // 0.5 beyond the dull edge of the hurt one, and the same of the nine that had to follow.
        (
            "a hurt one as long as the rest sets the length",
            &[(4, HURT, Some(0.6))],
            &[],
            8.4,
            &[],
            [6.0, 1.0, 5.0, 0.0],
        ),
        (
            "one broken short sets it, though it needs little",
            &[(4, HURT, None)],
            &[(4, 8.3)],
            8.2,
            &[],
            [7.3, 1.0, 6.3, 0.0],
        ),
        // The nine would have come down to 8.5 for cutter 7 anyway: 8.5 to 8.4 is the damage, of all ten.
        (
            "part of it was needed anyway",
            &[(4, HURT, Some(0.6))],
            &[(7, 8.6)],
            8.4,
            &[],
            [5.6, 1.0, 0.1 * 9.0 + 0.5, 5.6 - 1.0 - 1.4],
        ),
        (
            "a hurt one that does not set it counts alone",
            &[(4, HURT, Some(0.4))],
            &[(7, 8.4)],
            8.3,
            &[],
            [6.4, 1.0, 0.3, 5.1],
        ),
        ("lower than anybody needed is evening-up", &[(4, HURT, Some(0.6))], &[], 8.3, &[], [7.0, 1.0, 5.0, 1.0]),
        ("left short, it makes nobody follow", &[(4, HURT, Some(0.6))], &[], 8.9, &[4], [0.9, 0.9, 0.0, 0.0]),
        (
            "nothing is known of the length without it where every one is hurt",
            &[
                (1, HURT, Some(0.2)),
                (2, HURT, Some(0.2)),
                (3, HURT, Some(0.2)),
                (4, HURT, Some(0.2)),
                (5, HURT, Some(0.2)),
                (6, HURT, Some(0.2)),
                (7, HURT, Some(0.2)),
                (8, HURT, Some(0.2)),
                (9, HURT, Some(0.2)),
                (10, HURT, Some(0.2)),
            ],
            &[],
            8.8,
            &[],
            [2.0, 1.0, 1.0, 0.0],
        ),
    ];
    for (what, marks, before, to, alone, expected) in rows {
        let found = split(marks, before, to, alone);
        let near = found.iter().zip(expected).all(|(found, expected)| (found - expected).abs() < 1e-9);
        assert!(near, "{what}: {found:?}, not {expected:?}");
    }
}

#[test]
fn pauses_and_long_absences_are_no_minutes_at_the_bench() {
    let mut bench = Bench::new();
    bench.put(5, Event::Length { cutter: nth(1), when: When::Before, mm: mm(9.0), again: false });
    assert_eq!(Summary::of(&bench.round).minutes, Some(5.0));
    bench.put(2, Event::Paused {}).put(60, Event::Resumed {});
    bench.put(3, Event::Length { cutter: nth(2), when: When::Before, mm: mm(9.0), again: false });
    assert_eq!(Summary::of(&bench.round).minutes, Some(10.0));
    bench.put(LONGEST_MIN + 1, Event::Length { cutter: nth(3), when: When::Before, mm: mm(9.0), again: false });
    let found = Summary::of(&bench.round);
    assert_eq!(found.minutes, Some(10.0), "nobody stood there for two hours without an entry");
    assert!((found.ended - found.started).num_minutes() > 180);
}
