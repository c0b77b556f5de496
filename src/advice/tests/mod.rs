//! The whole of the findings on rounds under way.

mod laws;
pub(super) mod readings;

use self::readings::{Bench, header};
use super::enough::EnoughWhy;
use super::flags::AngleOff;
use super::redo::{RedoWhy, What};
use super::*;
use crate::chain::Rule;
use crate::chain::nth;
use crate::round::{CutterState, Event, Header, Phase, Reading, Task, Tool, When};
use crate::units::{Unit, deg, mm};

/// Ten cutters filed to these lengths with 8.80 mm chosen.
fn filed(after: &[f64]) -> Bench {
    let mut bench = Bench::measured(20, &[9.1; 10]);
    bench.target(8.8);
    for (cutter, length) in (1..).zip(after) {
        bench.strokes(cutter, 3).length(cutter, When::After, *length);
    }
    bench
}

fn words(found: &Findings) -> Vec<&'static str> {
    found.cutters.iter().map(|cutter| cutter.length.word.into()).collect()
}

#[test]
fn each_filed_cutter_is_held_against_the_chosen_length() {
    let bench = filed(&[8.8, 8.85, 8.98, 9.3, 8.4, 8.82, 8.8, 8.8, 8.8]);
    let found = bench.findings();
    let expected = ["even", "even", "again", "long", "short", "even", "even", "even", "even", "long"];
    assert_eq!(words(&found), expected, "the tenth waits for the file");
    assert_eq!(
        (found.evenness.uneven.as_slice(), found.evenness.again.as_slice()),
        ([4, 5].map(nth).as_slice(), [3].map(nth).as_slice())
    );
    let flags: Vec<String> = found.flags.iter().map(|flag| flag.words(Unit::Mm)).collect();
    assert_eq!(
        flags,
        [
            "Cutter 4: 0.50 mm long, 0.09 mm high: grabs, cuts rough. File it.",
            "Cutter 5: 0.40 mm short, 0.07 mm low: cuts little. Leave short or match it.",
        ]
    );
    let redo: Vec<(Phase, u16, bool)> = found
        .redo
        .iter()
        .map(|r| {
            (
                r.phase,
                r.cutter.get(),
                matches!(r.what, crate::advice::redo::What::Measure | crate::advice::redo::What::Again(_)),
            )
        })
        .collect();
    // The third stands above the band: it is filed on without being asked for again.
    assert_eq!(redo, [(Phase::Plan, 5, false), (Phase::Second, 4, false)]);
}

#[test]
fn an_uneven_loop_at_the_proof_without_a_length_is_sent_to_choose_one() {
    let mut bench = Bench::measured(20, &[8.8, 8.8, 9.5, 8.8, 9.3, 8.8, 8.8, 8.8, 8.8, 8.8]);
    assert_eq!(bench.findings().redo, [], "the length is chosen next");
    bench.put(Event::Went { phase: Phase::Prove, cutter: None, reading: None });
    let redo = bench.findings().redo;
    let said: Vec<_> = redo.iter().map(|redo| (redo.cutter.get(), redo.phase, redo.words(Unit::Mm))).collect();
    // The shortest of ten uncertain lengths is likely less than the least reading.
    let why = "0.74 mm longer than the shortest, and no length is chosen: choose one.";
    assert_eq!(said, [(3, Phase::Plan, why.to_owned())]);
}

#[test]
fn a_repeat_settles_what_one_reading_left_open() {
    let mut bench = filed(&[8.8, 8.8, 8.62]);
    assert_eq!(words(&bench.findings())[2], "again");
    bench.repeat(3, When::After, 8.70).repeat(3, When::After, 8.72);
    assert_eq!(words(&bench.findings())[2], "even");
}

#[test]
fn a_second_length_is_asked_for_only_where_it_is_acted_on() {
    let asked = |bench: &Bench| -> Vec<u16> {
        bench
            .findings()
            .cutters
            .iter()
            .filter(|cutter| cutter.length.worth_again)
            .map(|cutter| cutter.number.get())
            .collect()
    };
    let mut bench = Bench::measured(20, &[9.0, 9.15, 9.15, 9.3, 9.15, 9.15, 9.15, 9.15, 9.15, 9.15]);
    assert_eq!(asked(&bench), [1], "it sets the length");
    bench.repeat(1, When::Before, 9.0);
    assert!(asked(&bench).is_empty());
    bench.target(9.0);
    assert!(asked(&bench).is_empty(), "they will be filed first");
    bench.length(2, When::After, 9.14);
    assert!(asked(&bench).is_empty(), "it is above the band and filed on");
    bench.strokes(4, 4).length(4, When::After, 8.84);
    assert_eq!(asked(&bench), [4], "it may be too short");
}

#[test]
fn an_angle_that_stands_out_is_flagged_once() {
    let mut bench = Bench::measured(72, &[9.0; 36]);
    for cutter in 1..=36 {
        bench.angle(cutter, 30.0);
    }
    let flags = |bench: &Bench| -> Vec<FlagKind> { bench.findings().flags.iter().map(|flag| flag.kind).collect() };
    let off = AngleOff { angle: deg(36.0), off: deg(6.0), target: deg(30.0) };
    bench.angle(6, 36.0);
    assert_eq!(flags(&bench), [FlagKind::AngleOff(off)]);
    // All a little small and one a little large: it is within tolerance by itself, and unlike the rest.
    for cutter in 1..=36 {
        bench.angle(cutter, 28.6);
    }
    bench.angle(6, 31.6);
    assert!(matches!(flags(&bench)[..], [FlagKind::AngleApart { .. }]), "{:?}", flags(&bench));
    let line = bench.findings().flags[0].words(Unit::Mm);
    assert_eq!(line, "Cutter 6: angle 3.0 deg larger than its side: cuts unlike the rest. Check it.");
}

#[test]
fn before_a_length_is_chosen_one_struck_cutter_does_not_make_the_others_long() {
    let mut lengths = [9.0; 36];
    lengths[8] = 8.1;
    let found = Bench::measured(72, &lengths).findings();
    assert_eq!(found.evenness.struck.len(), 1);
    assert_eq!(found.flags.len(), 1);
    let struck = found.flags[0];
    assert!(struck.cutter == 9 && matches!(struck.kind, FlagKind::Struck { .. }), "{struck:?}");
    assert_eq!(words(&found)[0], "long", "against the shortest it is");
    assert_eq!(struck.words(Unit::Mm), "Cutter 9: 0.90 mm shorter than its side, cuts nothing. Hit? Look it over.");
}

#[test]
fn a_side_shorter_as_a_whole_holds_no_struck_cutter_and_equal_readings_make_none() {
    let lengths: Vec<f64> = (0..36).map(|i| if i % 2 == 0 { 9.0 } else { 8.5 } + 0.01 * f64::from(i % 5)).collect();
    assert!(Bench::measured(72, &lengths).findings().evenness.struck.is_empty());
    let mut lengths = [9.0; 36];
    lengths[3] = 8.99;
    assert!(Bench::measured(72, &lengths).findings().evenness.struck.is_empty());
    assert!(Bench::measured(72, &[9.0; 36]).findings().evenness.struck.is_empty());
}

#[test]
fn angles_off_say_what_they_do_and_a_turned_wrist_shows() {
    let mut bench = filed(&[8.8; 10]);
    for cutter in 1..=10 {
        bench.angle(cutter, if cutter % 2 == 1 { 33.0 } else { 30.0 });
    }
    bench.angle(2, 24.0);
    let found = bench.findings();
    let off = found.flags.iter().filter(|flag| matches!(flag.kind, FlagKind::AngleOff(_)));
    let off: Vec<String> = off.map(|flag| flag.words(Unit::Mm)).collect();
    assert!(off.contains(&"Cutter 2: angle 24.0, 6.0 too small: slow, must be pushed. File to 30.0 deg.".to_owned()));
    // Five angles that agree prove what one reading of 33 degrees would leave open.
    assert_eq!(off.len(), 6, "{off:?}");
    assert_eq!(found.wrist.turned.len(), 1);
    assert_eq!(found.wrist.words().unwrap(), "Left angles run 3.0 deg large: the wrist turns on that side.");
    assert_eq!(found.cutters[0].angle.word, AngleWord::Off);
}

#[test]
fn a_raker_too_low_comes_first_and_names_the_danger() {
    let mut bench = filed(&[8.8, 8.8, 9.3, 8.8]);
    bench.gap(4, When::Before, 0.9).gap(1, When::Before, 0.3).gap(2, When::Before, 0.78);
    let found = bench.findings();
    let flags: Vec<String> = found.flags.iter().map(|flag| flag.words(Unit::Mm)).collect();
    assert_eq!(found.flags.iter().map(|flag| flag.cutter.get()).collect::<Vec<_>>(), [4, 2, 3, 1], "{flags:?}");
    assert!(
        matches!(
            found.flags.iter().map(|flag| flag.kind).collect::<Vec<_>>()[..],
            [
                FlagKind::RakerLow { .. },
                FlagKind::RakerMayBeLow { .. },
                FlagKind::Long { .. },
                FlagKind::RakerHigh { .. }
            ]
        ),
        "{flags:?}"
    );
    assert_eq!(flags[0], "Cutter 4: raker 0.25 mm TOO LOW: kicks back. Mark it, or file tooth 1.42 mm.");
    assert_eq!(found.cautions.first(), Some(&Caution::LowRakers(1)));
    assert!(
        found
            .redo
            .iter()
            .any(|r| r.cutter == 4 && r.phase == Phase::Rakers && matches!(r.why, RedoWhy::RakerLow { .. }))
    );
}

#[test]
fn a_raker_left_too_low_is_not_sent_back_again_until_it_is_read_or_filed_anew() {
    let mut bench = filed(&[8.8; 6]);
    bench.gap(4, When::Before, 0.9);
    let asked = |bench: &Bench| bench.findings().redo.iter().any(|redo| matches!(redo.what, What::Decide(_)));
    assert!(asked(&bench), "{:?}", bench.findings().redo);
    bench.put(Event::LeftAsIs { cutter: nth(4), reading: Reading::GapBefore });
    let left = bench.findings();
    assert!(!asked(&bench) && left.flags[0].kind.is_dangerous(), "left, and told all the same: {:?}", left.redo);
    bench.gap(4, When::After, 0.9);
    assert!(asked(&bench), "it is read anew");
}

#[test]
fn a_tooth_filed_back_to_a_low_raker_is_told_the_strokes_for_it() {
    let mut bench = filed(&[8.8; 6]);
    bench.gap(4, When::Before, 0.8);
    let recovery = bench.findings().cutters[3].raker.recovery.unwrap();
    assert_eq!(bench.findings().cutters[3].strokes.map(|advice| advice.strokes), Some(0), "even as it is");
    bench.went(Phase::Second, Some(4));
    let back = bench.findings().cutters[3].strokes.unwrap();
    let steel = f64::from(back.strokes) * back.per_stroke.get();
    assert!(back.strokes > 1 && steel <= recovery.tooth.get() + 0.1, "{back:?} for {recovery:?}");
}

#[test]
fn a_cutter_left_short_or_missing_is_not_called_uneven() {
    let mut bench = filed(&[8.8, 8.8, 8.3]);
    bench.put(Event::State { cutter: nth(3), state: CutterState::LeftShort, need_mm: None });
    bench.put(Event::State { cutter: nth(2), state: CutterState::Missing, need_mm: None });
    let found = bench.findings();
    assert!(found.evenness.uneven.is_empty() && found.flags.is_empty(), "{:?}", found.flags);
    assert_eq!(words(&found)[1..3], ["unmeasured", "short"]);
    assert_eq!((found.cutters[2].target, found.cutters[2].strokes), (None, None));
}

#[test]
fn strokes_are_counted_down_to_the_target_and_learned_on_the_way() {
    let mut bench = Bench::measured(20, &[9.6; 10]);
    bench.target(8.8);
    let first = bench.findings().cutters[2].strokes.unwrap();
    for cutter in [1, 5, 7, 9] {
        bench.strokes(cutter, 4).length(cutter, When::After, 8.8);
    }
    let found = bench.findings();
    let learned = found.cutters[2].strokes.unwrap();
    assert!(learned.per_stroke > mm(0.15) && first.per_stroke < mm(0.11), "{learned:?} {first:?}");
    let ends = 9.6 - f64::from(learned.strokes) * learned.per_stroke.get();
    assert!((8.8..9.1).contains(&ends), "{learned:?}");
    let other = found.cutters[1].strokes.unwrap();
    assert!(other.per_stroke < mm(0.11), "the other hand has not filed yet");
    assert_eq!(found.cutters[0].strokes.unwrap().strokes, 0);
}

#[test]
fn ground_cutters_that_were_not_sampled_are_taken_at_the_stop_and_not_judged() {
    let mut bench = Bench::new(Header { tool: Tool::Grinder, ..header(20) });
    bench.sound();
    for cutter in 1..=10 {
        bench.length(cutter, When::Before, 9.0);
    }
    bench.target(8.5).done(Task::StopSet).done(Task::FirstGround).length(1, When::After, 8.52);
    let found = bench.findings();
    assert_eq!(words(&found)[..3], ["even", "long", "unmeasured"]);
    assert_eq!((found.cutters[2].length_now, found.cutters[2].strokes), (Some(mm(8.5)), None));
    assert_eq!(found.drift, None);
}

#[test]
fn stopping_early_is_said_to_be_fair_only_in_the_spread_order() {
    let mut bench = Bench::new(Header { spread: true, ..header(72) });
    bench.sound();
    let order = bench.round.layout.measuring_order(true);
    for (i, cutter) in order.iter().take(20).enumerate() {
        bench.length(cutter.get(), When::Before, 9.0 + 0.01 * (i % 4) as f64);
    }
    let enough = bench.findings().enough.unwrap();
    assert!(enough.decided(), "{enough:?}");
    bench.length(order[20].get(), When::Before, 8.0);
    let enough = bench.findings().enough.unwrap();
    assert_eq!(enough.why, EnoughWhy::Struck, "{enough:?}");
    let plain = Bench::measured(72, &[9.0; 20]).findings().enough.unwrap();
    assert!(!plain.decided(), "{plain:?}");
    assert_eq!(Bench::measured(20, &[9.0; 10]).findings().enough, None);
}

#[test]
fn cautions_follow_the_round() {
    let mut bench = filed(&[8.8; 10]);
    bench.rule(Rule::Scaled).put(Event::Zero { mm: mm(0.05) });
    let found = bench.findings().cautions;
    assert!(
        matches!(found[..], [Caution::MakersLimit, Caution::Geometry(_), Caution::NotZero(zero)] if zero == mm(0.05)),
        "{found:?}"
    );
    let words = "The closed caliper showed 0.05 mm: set it to zero and measure again.";
    assert_eq!(found[2].words(Unit::Mm), words);
    assert_eq!(
        found[1].words(Unit::Mm),
        "Reach or new length not measured on this loop: rakers set to its wear may stand 0.05 mm too low or too high."
    );
    assert!(Bench::measured(20, &[9.0; 10]).findings().cautions.is_empty());
}

#[test]
fn loose_parts_and_narrow_kerfs_are_warned_of() {
    use crate::round::{Finding, LookItem};
    let mut bench = filed(&[8.8; 10]);
    bench.put(Event::Looked { item: LookItem::Rivets, finding: Finding::Worn, note: None });
    let bounce = |bench: &Bench| bench.findings().cautions.contains(&Caution::Bounce(Loose::Parts));
    assert!(!bounce(&bench), "rakers are right");
    bench.gap(1, When::Before, 0.95);
    assert!(bounce(&bench));
    bench.round.header.spec.half_kerf = Some(mm(4.0));
    bench.round.header.spec.side_taper = Some(deg(6.0));
    let narrow = |caution: &Caution| matches!(caution, Caution::Kerf(_));
    let kerf = |bench: &Bench| bench.findings().cautions.into_iter().find(narrow).map(|found| found.words(Unit::Mm));
    assert_eq!(kerf(&bench).unwrap(), "Worn cutters cut a kerf 0.25 mm narrower: see that the bar runs free.");
    bench.round.header.spec.side_taper = Some(deg(3.0));
    assert_eq!(kerf(&bench), None);
}

#[test]
fn at_the_proof_a_cutter_not_filed_is_sent_back_unless_left_on_purpose() {
    let mut bench = filed(&[8.8, 8.8, 8.8, 8.8, 8.8, 8.8, 8.8, 8.8]);
    bench.went(Phase::Prove, None);
    let back = |bench: &Bench| bench.findings().redo.iter().map(|redo| redo.cutter).collect::<Vec<_>>();
    assert_eq!(back(&bench), [9, 10]);
    bench.put(Event::LeftOut { cutter: nth(9), reading: crate::round::Reading::LengthAfter });
    assert_eq!(back(&bench), [10]);
}

#[test]
fn flag_lines_fit_a_small_screen() {
    let mut bench = Bench::new(Header { units: Unit::Mm, ..header(72) });
    bench.sound();
    for cutter in 1..=36 {
        bench.length(cutter, When::Before, if cutter == 30 { 8.0 } else { 9.0 + 0.02 * f64::from(cutter) });
    }
    let mut lines: Vec<String> = bench.findings().flags.iter().map(|flag| flag.words(Unit::Mm)).collect();
    bench.target(8.8);
    for cutter in 1..=36 {
        let length = if cutter % 2 == 0 { 9.2 } else { 8.3 };
        bench.length(cutter, When::After, length).angle(cutter, if cutter % 2 == 0 { 36.0 } else { 24.0 });
        bench.gap(cutter, When::Before, [0.3, 0.95, 0.78, 0.65][usize::from(cutter % 4)]);
    }
    lines.extend(bench.findings().flags.iter().map(|flag| flag.words(Unit::Mm)));
    assert!(lines.len() > 60);
    for line in lines {
        assert!(line.chars().count() <= 78, "{} {line}", line.len());
    }
}
