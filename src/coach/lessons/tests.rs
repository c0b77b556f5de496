use super::*;
use crate::chain::Rule;

/// Presses one key until the check says right; the number of presses.
fn presses(lesson: Lesson) -> Option<(usize, WearModel)> {
    let mut model = lesson.start();
    let more = lesson.answer(&model) > model.value(lesson.setting());
    for count in 0..200 {
        if lesson.check(&model, Unit::Mm).is_ok() {
            return Some((count, model));
        }
        model.change(lesson.setting(), more);
    }
    None
}

#[test]
fn every_question_is_answered_by_moving_its_setting_and_by_nothing_less() {
    for lesson in Lesson::ALL {
        let (count, model) = presses(lesson).unwrap_or_else(|| panic!("{lesson:?} cannot be answered"));
        assert!(count >= 5, "{lesson:?} is answered after {count} presses");
        assert!(lesson.check(&lesson.start(), Unit::Mm).is_err(), "{lesson:?} begins answered");
        // Three steps further in either direction are wrong again.
        for more in [false, true] {
            let mut off = model.clone();
            (0..3).for_each(|_| off.change(lesson.setting(), more));
            assert!(lesson.check(&off, Unit::Mm).is_err(), "{lesson:?} {more}");
        }
    }
}

#[test]
fn the_answers_are_where_the_model_itself_says_so() {
    let at = |lesson: Lesson| presses(lesson).unwrap().1;
    let step = |lesson: Lesson| lesson.setting().step();
    let gone = at(Lesson::Shrinks);
    assert!(gone.gap().get().abs() <= step(Lesson::Shrinks) * gone.spec().fall() + 1e-9, "{:?}", gone.gap());
    let growth = at(Lesson::Growth);
    assert!((growth.share() - 1.0).abs() < 0.025, "{}", growth.share());
    assert!((growth.raker_lost() - growth.raker_needs()).get().abs() <= 0.02 + 1e-9);
    let rocked = at(Lesson::Rocks);
    let one_step = crate::units::deg(step(Lesson::Rocks)).radians() * rocked.reach().get();
    assert!(rocked.bite_left().get().abs() <= one_step * 1.01, "{:?}", rocked.bite_left());
    let faded = at(Lesson::Rules);
    assert!((faded.share() - faded.spec().worth_share).abs() < 0.01, "{}", faded.share());
    assert_eq!(Some(faded.gap()), faded.spec().target_gap(Rule::Fixed, Wood::Any, faded.wear()));
    let plate = at(Lesson::Plate);
    assert!((plate.plate_gap() - plate.spec().fixed_gap(Wood::Any)).get().abs() < 0.02, "{:?}", plate.plate_gap());
    assert!(plate.plate().foot > Lesson::Plate.start().plate().foot, "a longer foot leaves a smaller gap");
    let unequal = at(Lesson::Unequal);
    assert!((unequal.next_lower() - LOWER).get().abs() < 0.01, "{:?}", unequal.next_lower());
}

#[test]
fn the_worn_raker_of_the_second_lesson_lost_the_growth_alone() {
    let start = Lesson::Growth.start();
    let growth = start.spec().scaled_gap(Wood::Any, start.wear()) - start.spec().fixed_gap(Wood::Any);
    assert!((start.raker_lost() - growth).get().abs() < 1e-9);
    assert!(start.share() < 0.5, "{}", start.share());
}

#[test]
fn moving_something_else_is_no_answer() {
    for lesson in Lesson::ALL {
        let right = presses(lesson).unwrap().1;
        for setting in Setting::ALL.into_iter().filter(|setting| *setting != lesson.setting()) {
            let gap = lesson.setting() == Setting::Gap;
            if setting == Setting::Gap || (setting == Setting::Raker && gap) {
                continue; // the gap is the raker's, and a gap asked for may be reached by any rule
            }
            let mut model = right.clone();
            model.change(setting, true);
            let said = lesson.check(&model, Unit::Mm).expect_err("moved aside");
            assert!(said.contains("was moved too"), "{lesson:?} {setting:?}: {said}");
        }
    }
}

#[test]
fn the_wear_scaled_gap_also_answers_the_second_lesson() {
    let model = Lesson::Growth.start().worn(WORN, Raker::Scaled);
    assert!(Lesson::Growth.check(&model, Unit::Mm).is_ok());
    let fixed = Lesson::Growth.start().worn(WORN, Raker::Fixed);
    assert!(Lesson::Growth.check(&fixed, Unit::Mm).unwrap_err().starts_with("Not yet"));
}

#[test]
fn what_is_off_says_which_way_and_how_far() {
    let said = Lesson::Shrinks.check(&Lesson::Shrinks.start(), Unit::Mm).unwrap_err();
    let answer = 0.65 / 10_f64.to_radians().tan();
    assert_eq!(said, format!("Not yet: {answer:.2} mm more."));
    let far = Lesson::Shrinks.start().worn(6.0, Raker::Untouched);
    assert!(Lesson::Shrinks.check(&far, Unit::Mm).unwrap_err().starts_with("Too far: 2.3"));
    let rocks = Lesson::Rocks.check(&Lesson::Rocks.start(), Unit::Inch).unwrap_err();
    assert!(rocks.ends_with("degrees more."), "{rocks}");
}

#[test]
fn texts_are_short_plain_sentences_that_follow_each_other() {
    for lesson in Lesson::ALL {
        let text = lesson.text();
        assert!((3..=6).contains(&text.len()) && text.iter().all(|sentence| sentence.ends_with('.')));
        let all = text.join(" ");
        assert!(all.len() <= 330 && all.is_ascii(), "{lesson:?}: {}", all.len());
        assert!(lesson.question(Unit::Inch).len() <= 118, "{}", lesson.question(Unit::Inch));
    }
    let order: Vec<_> = std::iter::successors(Some(Lesson::ALL[0]), |lesson| lesson.next()).collect();
    assert_eq!(order, Lesson::ALL);
}

#[test]
fn steps_land_on_round_numbers_and_stop_at_the_ends() {
    let mut model = Lesson::Growth.start();
    let uneven = model.gap().get();
    model.change(Setting::Gap, true);
    let gap = model.gap().get();
    assert!(gap > uneven && gap - uneven <= 0.02 + 1e-9 && ((gap / 0.02).round() * 0.02 - gap).abs() < 1e-9, "{gap}");
    for setting in Setting::ALL {
        for more in [false, true] {
            let mut model = model.clone();
            (0..2000).for_each(|_| model.change(setting, more));
            let length = model.length().get();
            assert!((model.spec().mark_length.get() - 1e-9..=model.spec().new_length.get()).contains(&length));
            assert!(model.gap() <= model.spec().gap_max && model.bite().get().is_finite() && model.share().is_finite());
        }
    }
}

#[test]
fn the_raker_goes_into_ones_own_hand_at_the_gap_it_has() {
    let mut model = WearModel::new(&Lesson::spec(), Wood::Any).worn(3.0, Raker::Plate);
    let gap = model.gap();
    model.change(Setting::Raker, true);
    assert_eq!((model.raker(), model.gap()), (Raker::ByHand, gap));
    model.change(Setting::Gap, false);
    assert!(model.gap() < gap && model.raker() == Raker::ByHand);
}

#[test]
fn every_built_in_chain_has_a_plate_to_show_that_leaves_the_fixed_gap_when_new() {
    for profile in built_in::all() {
        let model = WearModel::new(profile.spec(), Wood::Any).worn(0.0, Raker::Plate);
        let off = (model.gap() - profile.spec().fixed_gap(Wood::Any)).get();
        assert!(off.abs() < 0.01, "{}: {off}", profile.name);
    }
}
