//! The owner's page promises only what every reading proves.

use crate::rounds::{self, Bench, card, header};
use evenbite::advice::{Context, Skill};
use evenbite::chain::{Rule, Side, nth};
use evenbite::report::Sheet;
use evenbite::round::{Card, Closing, CutterState, Event, Past, Prices, Reading, Round, Summary, Task, Tool, When};
use evenbite::units::{deg, mm};

const START: &str = "2026-04-26T08:00:00+02:00";

fn sheet(round: &Round, past: &Past, card: Option<&Card>) -> Sheet {
    let prices = card.map_or_else(Prices::default, |card| card.prices.clone());
    Sheet::of(&Context { round, past, skill: &Skill::default(), prices: &prices, tension: None }, card)
}

fn owner(round: &Round) -> String {
    said(&sheet(round, &Past::default(), Some(&card())).owner_text(true))
}

fn said(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A round from lengths as they come to a signed end; `after` of a cutter is `None` where it is left out.
fn worked(prepare: impl Fn(&mut Bench), after: impl Fn(u16) -> Option<f64>, angle: Option<f64>) -> Round {
    let mut bench = Bench::new(header(Tool::File, START));
    bench.sound();
    prepare(&mut bench);
    for cutter in 1..=28 {
        bench.length(cutter, When::Before, 8.6);
    }
    bench.put(Event::Target { mm: mm(8.3), left_short: vec![], recommended: true });
    for side in [Side::Left, Side::Right] {
        if side == Side::Right {
            bench.put(Event::Done { task: Task::SawTurned });
        }
        for cutter in bench.numbers(side) {
            bench.put(Event::Strokes { cutter: nth(cutter), count: 3 });
            match after(cutter) {
                Some(length) => bench.length(cutter, When::After, length),
                None => bench.put(Event::LeftOut { cutter: nth(cutter), reading: Reading::LengthAfter }),
            };
            bench.put(match angle {
                Some(angle) => Event::Angle { cutter: nth(cutter), deg: deg(angle), again: false },
                None => Event::LeftOut { cutter: nth(cutter), reading: Reading::Angle },
            });
        }
    }
    bench.put(Event::Rule { rule: Rule::Fixed });
    for cutter in 1..=28 {
        bench.gap(cutter, When::Before, 0.65);
    }
    bench.put(Event::Done { task: Task::Proved }).put(Event::Closed { how: Closing::Signed });
    bench.0
}

#[test]
fn one_length_and_a_straight_cut_are_promised_only_where_every_reading_proves_them() {
    let right = |cutter: u16| Some(8.3 + if cutter == 4 { 0.05 } else { 0.0 });
    let whole = owner(&worked(|_| {}, right, Some(30.0)));
    assert!(whole.contains("filed to one length, 8.30 mm. Afterwards all 28 were measured"), "{whole}");
    assert!(whole.contains("longest is 0.05 mm (left 0.00 mm, right 0.05 mm) longer than the shortest."), "{whole}");
    assert!(whole.contains("Straight, with even chips and little push"), "{whole}");

    // One reading missing, the angles not measured, or one cutter not proven: each takes the promise away.
    let lacking = |cutter: u16| if cutter == 9 { None } else { Some(8.3) };
    let half = owner(&worked(|_| {}, lacking, Some(30.0)));
    assert!(half.contains("aim was 8.30 mm. Afterwards 27 of 28 were measured"), "{half}");
    let no_angles = owner(&worked(|_| {}, right, None));
    assert!(no_angles.contains("angles were not all measured"), "{no_angles}");
    let doubtful = owner(&worked(|_| {}, |cutter| Some(if cutter == 9 { 8.08 } else { 8.3 }), Some(30.0)));
    for page in [&half, &no_angles, &doubtful] {
        assert!(!page.contains("Straight"), "{page}");
    }
    for page in [&half, &doubtful] {
        assert!(!page.contains("one length"), "{page}");
    }
}

#[test]
fn a_loop_measured_on_some_cutters_is_not_said_to_have_come_even() {
    let mut bench = Bench::new(header(Tool::File, START));
    bench.sound();
    for cutter in 1..=6 {
        bench.length(cutter, When::Before, 8.6);
    }
    let page = owner(&bench.0);
    assert!(!page.contains("came even") && page.contains("6 of 28"), "{page}");
}

#[test]
fn damage_that_was_filed_out_is_told_in_the_past() {
    let hurt = |bench: &mut Bench| {
        bench.put(Event::State { cutter: nth(7), state: CutterState::Damaged, need_mm: Some(mm(0.25)) });
    };
    let page = owner(&worked(hurt, |_| Some(8.3), Some(30.0)));
    assert!(page.contains("Cutter 7 was damaged; the damage was filed out."), "{page}");
    // Less came off than the damage is deep: it is still there.
    let deeper = |bench: &mut Bench| {
        bench.put(Event::State { cutter: nth(7), state: CutterState::Damaged, need_mm: Some(mm(0.8)) });
    };
    let page = owner(&worked(deeper, |_| Some(8.3), Some(30.0)));
    assert!(page.contains("Cutter 7 is damaged."), "{page}");
}

#[test]
fn a_far_day_is_told_in_years_and_money_as_money() {
    let starts = ["2024-02-01T08:00:00+01:00", "2025-02-01T08:00:00+01:00"];
    let rounds: Vec<Summary> = (0_u8..)
        .zip(starts)
        .map(|(i, start)| {
            let length = 9.2 - 0.3 * f64::from(i);
            Summary::of(&rounds::clean(header(Tool::File, start), length, length - 0.25))
        })
        .collect();
    let past = Past { rounds, ..Past::default() };
    let (round, card) = (rounds::clean(header(Tool::File, START), 8.6, 8.3), card());
    let text = said(&sheet(&round, &past, Some(&card)).text(true));
    let ahead = text.split("Witness mark ").nth(1).unwrap();
    assert!(ahead.starts_with("in about 1"), "{ahead}");
    assert!(ahead.contains(" years"), "{ahead}");
    // Its own price and its share of the loop's are two sums, each with its name.
    assert!(text.contains("A round costs 8.00 at the bench and wears off"), "{text}");
    assert!(text.contains("of a new loop (30.00)"), "{text}");
}

#[test]
fn damage_that_was_left_in_a_cutter_left_short_is_told() {
    let mut bench = Bench::new(header(Tool::File, START));
    bench.sound().put(Event::State { cutter: nth(7), state: CutterState::Damaged, need_mm: Some(mm(0.8)) });
    for cutter in 1..=28 {
        bench.length(cutter, When::Before, 8.6);
    }
    bench.put(Event::Target { mm: mm(8.3), left_short: vec![nth(7)], recommended: true });
    let page = owner(&bench.0);
    assert!(page.contains("Cutter 7 is damaged.") && page.contains("Cutter 7 keeps its damage on purpose"), "{page}");
}

#[test]
fn a_probability_counted_from_a_new_length_that_nobody_measured_says_so() {
    let of = |header| said(&sheet(&rounds::clean(header, 8.0, 7.7), &Past::default(), None).text(true));
    let by_profile = of(header(Tool::File, START));
    assert!(by_profile.contains("%, new length by the profile)"), "{by_profile}");
    let mut measured = header(Tool::File, START);
    let mut card = card();
    card.own.new_length = Some(mm(10.1));
    measured.spec = card.spec(&measured.spec);
    let measured = of(measured);
    assert!(!measured.contains("by the profile)"), "{measured}");
}
