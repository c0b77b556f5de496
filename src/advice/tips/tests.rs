use super::*;
use crate::advice::tests::readings::Bench;
use crate::units::Unit;

/// What is looked for on a usual chain: a band of 0.1 mm, strokes of 0.1 mm, angles within 2 degrees, gaps within 0.05 mm.
fn watched() -> Vec<Watched> {
    let watched = |habit, allowed, costs| Watched { habit, allowed, costs };
    vec![
        watched(Habit::Past, 0.025, 1.0),
        watched(Habit::Apart, 0.05, 1.0),
        watched(Habit::Light, 0.0, 1.0),
        watched(Habit::Turned { large: true }, 1.0, 0.05),
        watched(Habit::Turned { large: false }, 1.0, 0.05),
    ]
}

fn end(side: Side, off: f64) -> End {
    End { side, off, angle: None, took: None, by: 0, noise: 0.0 }
}

fn kinds(said: &[Option<Hint>]) -> Vec<(usize, &'static str)> {
    let name = |hint: &Hint| match hint {
        Hint::Do(tip) => match tip.habit {
            Habit::Past => "past",
            Habit::Apart => "apart",
            Habit::Light => "light",
            Habit::Turned { large: true } => "large",
            Habit::Turned { large: false } => "small",
            Habit::Low => "low",
        },
        Hint::Came { helped: true, .. } => "helped",
        Hint::Came { helped: false, .. } => "did not",
    };
    said.iter().enumerate().filter_map(|(at, hint)| Some((at, name(hint.as_ref()?)))).collect()
}

#[test]
fn a_hand_that_files_past_is_told_after_four_and_later_whether_it_helped() {
    let past = [-0.12, -0.11, -0.13, -0.12];
    let better = [0.0, 0.02, 0.01, 0.03, 0.02, 0.01];
    let ends: Vec<End> = past.iter().chain(&better).map(|off| end(Side::Left, *off)).collect();
    let said = told(&ends, [18, 18], &watched());
    assert_eq!(kinds(&said), [(3, "past"), (7, "helped")]);
    let Some(Hint::Do(tip)) = said[3] else { panic!("no tip") };
    // 0.12 mm past, a quarter of the band of 0.1 allowed, 14 cutters still to come.
    assert!((tip.found - 0.12).abs() < 1e-9 && (tip.saves.get() - (0.12 - 0.025) * 14.0).abs() < 1e-9, "{tip:?}");
}

#[test]
fn what_goes_on_is_told_again_after_five_cutters_and_no_sooner() {
    let ends: Vec<End> = (0..18).map(|_| end(Side::Left, -0.15)).collect();
    let said = kinds(&told(&ends, [18, 18], &watched()));
    assert_eq!(said[..3], [(3, "past"), (7, "did not"), (8, "past")]);
    let tips: Vec<usize> = said.iter().filter(|(_, kind)| *kind == "past").map(|(at, _)| *at).collect();
    assert!(tips.windows(2).all(|pair| pair[1] - pair[0] >= QUIET), "{said:?}");
    // With the last cutter nothing is left to save.
    assert!(tips.iter().all(|at| *at < 17), "{said:?}");
}

#[test]
fn rakers_of_both_sides_by_turns_have_the_outcome_told_before_the_next_tip() {
    let low = [Watched { habit: Habit::Low, allowed: 0.025, costs: 5.0 }];
    let low_left = |better_from: usize| -> Vec<End> {
        let off = |at: usize| if at.is_multiple_of(2) && at < better_from { 0.08 } else { 0.01 };
        let side = |at: usize| if at.is_multiple_of(2) { Side::Left } else { Side::Right };
        (0..24).map(|at| end(side(at), off(at))).collect()
    };
    // Four of the left are the 1st, 3rd, 5th and 7th raker; the next four of it end with the 15th.
    assert_eq!(kinds(&told(&low_left(8), [12, 12], &low)), [(6, "low"), (14, "helped")]);
    let goes_on = kinds(&told(&low_left(24), [12, 12], &low));
    assert_eq!(goes_on, [(6, "low"), (14, "did not"), (16, "low")]);
    // Low on both sides: each is told once, and what came of each.
    let both: Vec<End> = low_left(0).into_iter().map(|of| End { off: 0.08, ..of }).collect();
    let said = told(&both, [12, 12], &low);
    let sides: Vec<Side> = said
        .iter()
        .flatten()
        .map(|hint| match hint {
            Hint::Do(tip) | Hint::Came { of: tip, .. } => tip.side,
        })
        .collect();
    assert_eq!(kinds(&said)[..4], [(6, "low"), (11, "low"), (14, "did not"), (16, "low")]);
    assert_eq!(sides[..4], [Side::Left, Side::Right, Side::Left, Side::Left]);
}

#[test]
fn whoever_takes_the_round_over_is_not_told_of_anothers_cutters() {
    let ends: Vec<End> = [0, 0, 0, 1, 1, 1, 1].map(|by| End { by, ..end(Side::Left, -0.15) }).into();
    assert_eq!(kinds(&told(&ends, [18, 18], &watched())), [(6, "past")]);
    let handed: Vec<End> = [0, 0, 0, 0, 1, 1, 1, 1].map(|by| End { by, ..end(Side::Left, -0.15) }).into();
    assert_eq!(kinds(&told(&handed, [18, 18], &watched())), [(3, "past")], "what came of it is for whoever was told");
}

#[test]
fn a_ground_loop_has_no_strokes_to_be_stopped_early() {
    let mut bench = Bench::measured(36, &[9.1; 18]);
    bench.round.header.tool = crate::round::Tool::Grinder;
    bench.target(8.8);
    for cutter in [1, 3, 5, 7] {
        bench.length(cutter, When::After, 8.66);
    }
    assert_eq!(after(&bench.round, crate::chain::nth(7), Reading::LengthAfter), None);
}

#[test]
fn a_cutter_that_is_filed_on_has_not_ended_and_a_stroke_alone_may_be_a_light_one() {
    let mut bench = Bench::measured(36, &[9.1; 18]);
    bench.target(8.8);
    for (cutter, length) in [(1, 8.82), (3, 8.83), (5, 8.82), (7, 9.05)] {
        bench.strokes(cutter, 2).length(cutter, When::After, length);
    }
    assert_eq!(after(&bench.round, crate::chain::nth(7), Reading::LengthAfter), None, "not there yet, and no scatter");
    let mut bench = Bench::measured(36, &[8.9; 18]);
    bench.target(8.8);
    for (cutter, strokes) in [(1, 2), (3, 2), (2, 1), (4, 1)] {
        bench.strokes(cutter, strokes).length(cutter, When::After, 8.82);
    }
    let took: Vec<bool> = teeth(&bench.round).unwrap().iter().map(|(_, end)| end.took.is_some()).collect();
    assert_eq!(took, [true, true, false, false]);
}

#[test]
fn of_two_habits_the_one_that_saves_more_is_told() {
    let offs = [0.30, -0.32, 0.28, -0.34];
    let ends: Vec<End> = offs.iter().map(|off| end(Side::Right, *off)).collect();
    assert_eq!(kinds(&told(&ends, [18, 18], &watched())), [(3, "apart")]);
    let even: Vec<End> = [0.02, 0.03, 0.01, 0.02, 0.03].iter().map(|off| end(Side::Right, *off)).collect();
    assert_eq!(kinds(&told(&even, [18, 18], &watched())), [], "a steady hand is left alone");
}

#[test]
fn readings_that_scatter_are_not_put_down_to_the_hand() {
    let offs = [0.12, 0.0, 0.10, 0.01];
    let read = |noise: f64| -> Vec<End> { offs.iter().map(|off| End { noise, ..end(Side::Left, *off) }).collect() };
    assert_eq!(kinds(&told(&read(0.001), [36, 36], &watched())), [(3, "apart")]);
    assert_eq!(kinds(&told(&read(0.04), [36, 36], &watched())), [], "the caliper scatters as much");
    // In a round the noise is that of whoever measures, less where a cutter was read again.
    let mut bench = Bench::measured(36, &[9.1; 18]);
    bench.target(8.8);
    bench.length(1, When::After, 8.82).length(3, When::After, 8.82).repeat(3, When::After, 8.84);
    let trust = bench.round.header.trust.length.get();
    let noise: Vec<f64> = teeth(&bench.round).unwrap().iter().map(|(_, end)| end.noise).collect();
    assert!((noise[0] - trust).abs() < 1e-12 && (noise[1] - trust / 2.0_f64.sqrt()).abs() < 1e-12, "{noise:?}");
}

#[test]
fn strokes_that_take_less_than_the_other_sides_are_named_with_their_side() {
    let stroke = |side: Side, took: f64| End { took: Some((4.0, 4.0 * took)), ..end(side, 0.03) };
    let ends: Vec<End> =
        (0..4).map(|_| stroke(Side::Left, 0.08)).chain((0..4).map(|_| stroke(Side::Right, 0.05))).collect();
    let said = told(&ends, [18, 18], &watched());
    assert_eq!(kinds(&said), [(7, "light")]);
    let Some(hint) = said[7] else { panic!("no tip") };
    assert_eq!(
        hint.words(Unit::Mm),
        "Tip, right side: strokes take 0.12 less a cutter than left. Step round, do not reach."
    );
}

#[test]
fn a_round_tells_it_after_the_reading_that_shows_it() {
    let mut bench = Bench::measured(36, &[9.1; 18]);
    bench.target(8.8);
    for cutter in [1, 3, 5] {
        bench.strokes(cutter, 5).length(cutter, When::After, 8.66);
        assert_eq!(after(&bench.round, crate::chain::nth(cutter), Reading::LengthAfter), None);
    }
    bench.strokes(7, 5).length(7, When::After, 8.67);
    let hint = after(&bench.round, crate::chain::nth(7), Reading::LengthAfter).unwrap();
    assert!(matches!(hint, Hint::Do(Tip { habit: Habit::Past, side: Side::Left, .. })), "{hint:?}");
    assert!(hint.words(Unit::Mm).starts_with("Tip, left side: 4 ended 0.14 under."), "{hint:?}");
}

#[test]
fn a_turned_wrist_is_told_with_its_side_unless_something_else_costs_more() {
    let turned = |off: f64| End { angle: Some(33.0 - 30.0), ..end(Side::Right, off) };
    let ends: Vec<End> = [0.02, 0.03, 0.01, 0.02].map(turned).into();
    let said = told(&ends, [18, 18], &watched());
    assert_eq!(kinds(&said), [(3, "large")]);
    let Some(hint) = said[3] else { panic!("no tip") };
    assert_eq!(
        hint.words(Unit::Mm),
        "Tip, right side: angles run 3.0 deg large. Elbow along the line, then push. Saves up to 1.40 mm in all."
    );
    // 0.3 mm past the length on 14 cutters costs more than 3 degrees do.
    let past: Vec<End> = [-0.30, -0.30, -0.31, -0.30].map(turned).into();
    assert_eq!(kinds(&told(&past, [18, 18], &watched())), [(3, "past")]);
    let better = ends.iter().copied().chain((0..4).map(|_| End { angle: Some(0.5), ..turned(0.02) }));
    assert_eq!(kinds(&told(&better.collect::<Vec<_>>(), [18, 18], &watched())), [(3, "large"), (7, "helped")]);
}

#[test]
fn rakers_that_end_low_are_told_after_the_fourth_of_a_side() {
    let mut bench = Bench::measured(36, &[9.1; 18]);
    bench.target(8.8).rule(crate::chain::Rule::Fixed);
    for cutter in [1, 3, 5, 7] {
        bench.strokes(cutter, 5).length(cutter, When::After, 8.82);
    }
    let wanted = bench.round.target_gap(bench.round.cutter(crate::chain::nth(1)).unwrap()).unwrap().get();
    for cutter in [1, 3, 5] {
        bench.gap(cutter, When::After, wanted + 0.06);
        assert_eq!(after(&bench.round, crate::chain::nth(cutter), Reading::GapAfter), None);
    }
    bench.gap(7, When::After, wanted + 0.06);
    let hint = after(&bench.round, crate::chain::nth(7), Reading::GapAfter).unwrap();
    let words = hint.words(Unit::Mm);
    assert!(words.starts_with("Tip, left side: 4 rakers end 0.06 low. Two strokes, then look."), "{words}");
    // What is too low costs tooth: 0.06 less a quarter of the tolerance, over the back slope of 10 degrees, on 5 cutters more.
    let Hint::Do(tip) = hint else { panic!("{hint:?}") };
    let spec = &bench.round.header.spec;
    let costs = (0.06 - 0.25 * spec.gap_tolerance.get()) / spec.back_slope.get().to_radians().tan() * 5.0;
    assert!((tip.saves.get() - costs).abs() < 1e-9, "{tip:?} {costs}");
}
