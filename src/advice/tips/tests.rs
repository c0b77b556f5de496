use super::*;
use crate::advice::tests::readings::Bench;
use crate::units::Unit;

fn end(side: Side, off: f64) -> End {
    End { side, off, took: None }
}

fn kinds(said: &[Option<Hint>]) -> Vec<(usize, &'static str)> {
    let name = |hint: &Hint| match hint {
        Hint::Do(tip) => match tip.habit {
            Habit::Past => "past",
            Habit::Apart => "apart",
            Habit::Light => "light",
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
    let said = told(&ends, [18, 18], 0.1);
    assert_eq!(kinds(&said), [(3, "past"), (7, "helped")]);
    let Some(Hint::Do(tip)) = said[3] else { panic!("no tip") };
    // 0.12 mm past, a quarter of the band of 0.1 allowed, 14 cutters still to come.
    assert!((tip.found.get() - 0.12).abs() < 1e-9 && (tip.saves.get() - (0.12 - 0.025) * 14.0).abs() < 1e-9, "{tip:?}");
}

#[test]
fn what_goes_on_is_told_again_after_five_cutters_and_no_sooner() {
    let ends: Vec<End> = (0..18).map(|_| end(Side::Left, -0.15)).collect();
    let said = kinds(&told(&ends, [18, 18], 0.1));
    assert_eq!(said[..3], [(3, "past"), (7, "did not"), (8, "past")]);
    let tips: Vec<usize> = said.iter().filter(|(_, kind)| *kind == "past").map(|(at, _)| *at).collect();
    assert!(tips.windows(2).all(|pair| pair[1] - pair[0] >= QUIET), "{said:?}");
    // With the last cutter nothing is left to save.
    assert!(tips.iter().all(|at| *at < 17), "{said:?}");
}

#[test]
fn of_two_habits_the_one_that_saves_more_is_told() {
    let offs = [0.30, -0.32, 0.28, -0.34];
    let ends: Vec<End> = offs.iter().map(|off| end(Side::Right, *off)).collect();
    assert_eq!(kinds(&told(&ends, [18, 18], 0.1)), [(3, "apart")]);
    let even: Vec<End> = [0.02, 0.03, 0.01, 0.02, 0.03].iter().map(|off| end(Side::Right, *off)).collect();
    assert_eq!(kinds(&told(&even, [18, 18], 0.1)), [], "a steady hand is left alone");
}

#[test]
fn strokes_that_take_less_than_the_other_sides_are_named_with_their_side() {
    let stroke = |side: Side, took: f64| End { side, off: 0.03, took: Some((4.0, 4.0 * took)) };
    let ends: Vec<End> =
        (0..4).map(|_| stroke(Side::Left, 0.08)).chain((0..4).map(|_| stroke(Side::Right, 0.05))).collect();
    let said = told(&ends, [18, 18], 0.1);
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
        assert_eq!(after(&bench.round, crate::chain::nth(cutter)), None);
    }
    bench.strokes(7, 5).length(7, When::After, 8.67);
    let hint = after(&bench.round, crate::chain::nth(7)).unwrap();
    assert!(matches!(hint, Hint::Do(Tip { habit: Habit::Past, side: Side::Left, .. })), "{hint:?}");
    assert!(hint.words(Unit::Mm).starts_with("Tip, left side: 4 ended 0.14 under."), "{hint:?}");
}
