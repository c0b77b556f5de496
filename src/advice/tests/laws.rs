//! Laws of the findings: whatever is recorded, in whatever order, they hold.

use proptest::prelude::*;

use super::readings::{Bench, header};
use crate::advice::*;
use crate::chain::nth;
use crate::chain::{CutterNumber, Rule, Wood};
use crate::round::{CutterState, Event, Header, LastCutter, Phase, Reading, Task, Tool, When};
use crate::units::{Unit, deg, mm};

/// A round of ten cutters with readings, without and with a length chosen.
fn round_of(lengths: &[f64], target: Option<f64>) -> Bench {
    let mut bench = Bench::measured(20, lengths);
    if let Some(target) = target {
        bench.target(target);
        for (cutter, length) in (1..).zip(lengths) {
            bench.length(cutter, When::After, *length);
        }
    }
    bench
}

fn lengths() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec((800_i32..950).prop_map(|v| f64::from(v) / 100.0), 10)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn permuting_cutters_permutes_verdicts(
        (values, order) in lengths().prop_flat_map(|v| (Just(v), Just((0..10_usize).collect::<Vec<_>>()).prop_shuffle())),
    ) {
        let moved: Vec<f64> = order.iter().map(|i| values[*i]).collect();
        let (a, b) = (round_of(&values, Some(8.5)).findings(), round_of(&moved, Some(8.5)).findings());
        for (place, from) in order.iter().enumerate() {
            let (new, old) = (b.cutters[place].length, a.cutters[*from].length);
            // What strokes take is learned in the order of filing: the last digits of a probability may differ, the verdict may not.
            prop_assert!(new.word == old.word || (new.conformity.unwrap_or_default() - 0.95).abs() < 0.06, "{old:?} {new:?}");
            prop_assert_eq!(b.cutters[place].stage, a.cutters[*from].stage);
        }
        prop_assert_eq!(b.evenness.spread, a.evenness.spread);
        let targets = |f: &Findings| f.plan.as_ref().unwrap().options[0].target;
        // Each side tells its own spread, and the cutters have changed sides.
        prop_assert!((targets(&a) - targets(&b)).abs() < mm(0.1));
    }

    #[test]
    fn units_change_words_and_nothing_else(values in lengths()) {
        let strip = |units: Unit| {
            let mut bench = Bench::new(Header { units, ..header(20) });
            bench.sound();
            for (cutter, length) in (1..).zip(&values) {
                bench.length(cutter, When::Before, *length);
            }
            bench.target(8.4);
            for (cutter, length) in (1..).zip(&values) {
                bench.length(cutter, When::After, *length - 0.05).angle(cutter, *length * 3.5);
                bench.gap(cutter, When::Before, *length - 8.0);
            }
            let mut found = bench.findings();
            // A status carries the unit for its words alone.
            found.status.unit = Unit::Mm;
            let words: Vec<String> = found.flags.iter().map(|flag| flag.words(units)).collect();
            (found, words)
        };
        let ((in_mm, mm_words), (in_inch, inch_words)) = (strip(Unit::Mm), strip(Unit::Inch));
        prop_assert!(in_mm == in_inch);
        prop_assert!(inch_words.iter().all(|line| !line.contains(" mm")));
        prop_assert_eq!(mm_words.len(), inch_words.len());
    }

    #[test]
    fn any_record_has_findings(
        events in prop::collection::vec(event(), 0..120), tool in any::<bool>(), wood in 0_usize..3, last in any::<bool>(),
    ) {
        let tool = if tool { Tool::File } else { Tool::Grinder };
        let wood = [Wood::Any, Wood::Hardwood, Wood::SoftwoodNoFrost][wood];
        let mut bench = Bench::new(Header { tool, wood, spread: last, ..header(26) });
        if last {
            let of = |number| {
                let state = CutterState::Kept;
                LastCutter { number, state, length: Some(mm(9.1)), gap: (number.get() % 3 > 0).then_some(mm(0.7)) }
            };
            bench.past.last = CutterNumber::up_to(13).map(of).collect();
        }
        for event in events {
            if bench.round.check(&event).is_ok() {
                bench.put(event);
            }
        }
        let found = bench.findings();
        prop_assert_eq!(found.cutters.len(), 13);
        for cutter in &found.cutters {
            // What is judged carries a probability, and only what was measured is judged.
            let judged = [cutter.length.conformity, cutter.gap.conformity, cutter.angle.conformity];
            prop_assert!(judged.iter().flatten().all(|p| (0.0..=1.0).contains(p)));
            prop_assert_eq!(cutter.length.word == LengthWord::Unmeasured, cutter.length.off_by.is_none());
            prop_assert!(cutter.strokes.is_none_or(|s| s.strokes <= 1 || s.per_stroke * f64::from(s.strokes) <= s.to_take + mm(0.05)));
            prop_assert!(cutter.state != CutterState::Missing || cutter.length.word == LengthWord::Unmeasured);
        }
        if let Some(plan) = &found.plan {
            prop_assert!(plan.best().is_none_or(|best| best.retires.is_empty()));
        }
        let uneven = &found.evenness.uneven;
        prop_assert!(uneven.iter().all(|n| bench.round.cutter(*n).unwrap().is_matched()));
    }
}

/// Anything that may be recorded of a loop of thirteen cutters.
fn event() -> impl Strategy<Value = Event> {
    let cutter = (1_u16..=13).prop_map(nth);
    let when = prop_oneof![Just(When::Before), Just(When::After)];
    let state = prop_oneof![Just(CutterState::Kept), Just(CutterState::Damaged), Just(CutterState::Missing)];
    let phase = (0_usize..Phase::ALL.len()).prop_map(|i| Phase::ALL[i]);
    let task =
        prop_oneof![Just(Task::SawTurned), Just(Task::FirstGround), Just(Task::SecondGround), Just(Task::Proved)];
    let rule = prop_oneof![Just(Rule::Fixed), Just(Rule::Scaled), Just(Rule::Plate)];
    let length = prop_oneof![8 => 8.0..9.6_f64, 1 => 2.0..12.0_f64, 1 => 0.1..60.0_f64];
    prop_oneof![
        8 => (cutter.clone(), when.clone(), length.clone(), any::<bool>())
            .prop_map(|(cutter, when, v, again)| Event::Length { cutter, when, mm: mm(v), again }),
        3 => (cutter.clone(), when, -5.0..5.0_f64, any::<bool>())
            .prop_map(|(cutter, when, v, again)| Event::Gap { cutter, when, mm: mm(v / 3.0), again }),
        2 => (cutter.clone(), 0.0..90.0_f64, any::<bool>())
            .prop_map(|(cutter, v, again)| Event::Angle { cutter, deg: deg(v), again }),
        2 => (cutter.clone(), 0_u32..999).prop_map(|(cutter, count)| Event::Strokes { cutter, count }),
        1 => (cutter.clone(), state, prop::option::of(0.0..20.0_f64))
            .prop_map(|(cutter, state, need)| Event::State { cutter, state, need_mm: need.map(mm) }),
        1 => (length, prop::collection::vec(cutter.clone(), 0..3))
            .prop_map(|(v, left_short)| Event::Target { mm: mm(v), left_short, recommended: false }),
        1 => rule.prop_map(|rule| Event::Rule { rule }),
        1 => (cutter.clone(), Just(Reading::LengthAfter)).prop_map(|(cutter, reading)| Event::LeftOut { cutter, reading }),
        1 => task.prop_map(|task| Event::Done { task }),
        1 => (phase, prop::option::of(cutter)).prop_map(|(phase, cutter)| Event::Went { phase, cutter, reading: None }),
    ]
}
