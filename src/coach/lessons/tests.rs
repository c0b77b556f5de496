use super::*;
use crate::units::Unit;

fn grounds() -> Vec<Ground> {
    let usual = Ground::usual(Unit::Mm);
    let of = |name: &str, wear: f64, unit| {
        Ground::of(built_in::named(name).unwrap().spec(), Wood::Any, Some(mm(wear)), unit)
    };
    vec![
        usual,
        of("three-eighths", 2.3, Unit::Inch),
        of("point-325", 1.5, Unit::Mm),
        of("three-eighths-low", 0.0, Unit::Mm),
    ]
}

/// What a person would type for the right answer.
fn typed(lesson: Lesson, ground: &Ground, value: f64) -> String {
    match lesson.asked() {
        Asked::Percent => format!("{value:.1} %"),
        Asked::Place(setting) if !setting.is_length() => format!("{value:.2}"),
        _ if ground.unit == Unit::Inch => format!("{:.5} in", value / 25.4),
        _ => format!("{value:.4}"),
    }
}

#[test]
fn every_question_is_answered_by_a_number_computed_for_the_loop() {
    for ground in grounds() {
        for lesson in Lesson::ALL {
            let answer = lesson.answer(&ground);
            let mut sitting = Sitting::new(lesson, &ground);
            assert_eq!(sitting.typed(&typed(lesson, &ground, answer)), Ok(()), "{lesson:?}");
            assert!(sitting.is_answered(), "{lesson:?}: {answer}: {:?}", sitting.said);
            // Half as much again is wrong, and nothing typed is no guess.
            let mut off = Sitting::new(lesson, &ground);
            off.typed(&typed(lesson, &ground, answer * 1.5 + 0.02)).unwrap();
            assert!(!off.is_answered(), "{lesson:?}");
            assert!(off.typed("abc").is_err() && off.tries == 1);
        }
    }
}

#[test]
fn the_amount_comes_with_the_third_guess_and_not_before() {
    let ground = Ground::usual(Unit::Mm);
    for lesson in Lesson::ALL {
        let mut sitting = Sitting::new(lesson, &ground);
        let wrong = typed(lesson, &ground, lesson.answer(&ground) * 0.4);
        for guess in 1..=TRIES {
            assert!(!sitting.may_tell());
            sitting.typed(&wrong).unwrap();
            let said = sitting.said.clone().unwrap().unwrap_err();
            let tells = said.chars().any(|c| c.is_ascii_digit());
            assert_eq!(tells, guess == TRIES, "{lesson:?}, guess {guess}: {said}");
        }
        assert!(sitting.may_tell());
    }
}

#[test]
fn the_answers_are_those_of_the_loops_own_arithmetic() {
    let ground = Ground::usual(Unit::Mm);
    let about = |lesson: Lesson, value: f64| {
        assert!((lesson.answer(&ground) - value).abs() < 0.006, "{lesson:?}: {}", lesson.answer(&ground));
    };
    // 0.65 mm of gap, 10 degrees of slope, reach 6.00 growing by 1.107 a mm, 4 mm worn.
    about(Lesson::Shrinks, 0.65 / 10_f64.to_radians().tan());
    about(Lesson::Growth, (6.0 + 4.0 * 1.107) * 0.65 / 6.0);
    about(Lesson::Rocks, (0.65_f64 / (6.0 + 4.0 * 1.107)).atan().to_degrees());
    about(Lesson::Rules, 1.82);
    about(Lesson::Unequal, 0.5 * 10_f64.to_radians().tan());
    about(Lesson::TooDeep, 0.1 / 10_f64.to_radians().tan());
    // 6.07, 5.98 and 6.07 read, 0.02 shown by the closed jaws.
    about(Lesson::Caliper, 18.12 / 3.0 - 0.02);
    about(Lesson::Again, 0.0272);
    let length = ground.spec.stroke.get() * 10.0;
    about(Lesson::LightHand, length * 10_f64.to_radians().tan());
    // A plate's gap levels off, it does not fall: 1.01 at 4 mm worn, 1.05 at the mark.
    let plate = |worn: f64| WearModel::new(&ground.spec, Wood::Any).worn(worn, Raker::Plate).gap().get();
    assert!(plate(0.0) < plate(4.0) && plate(4.0) < plate(6.0) && plate(7.0) - plate(5.5) < 0.05);
    assert!((15.0..45.0).contains(&Lesson::Plate.answer(&ground)), "{}", Lesson::Plate.answer(&ground));
}

#[test]
fn an_untouched_raker_leaves_the_reach_to_the_corner_alone() {
    let model = WearModel::new(&Ground::usual(Unit::Mm).spec, Wood::Any).worn(3.7, Raker::Untouched);
    assert!((model.reach().get() - 9.7).abs() < 1e-9, "{:?}", model.reach());
}

#[test]
fn the_model_begins_at_the_wear_of_the_loop() {
    let spec = built_in::named("three-eighths").unwrap().spec().clone();
    let ground = Ground::of(&spec, Wood::Any, Some(mm(2.3)), Unit::Mm);
    assert!((Lesson::Rocks.start(&ground).wear().get() - 2.3).abs() < 1e-9);
    assert!(Lesson::Rocks.question(&ground).contains("2.30 mm filed off"));
    // A new loop has nothing to show: it is looked at as it will be.
    let new = Ground::of(&spec, Wood::Any, Some(mm(0.1)), Unit::Mm);
    assert!((Lesson::Rocks.start(&new).wear().get() - 4.0).abs() < 1e-9);
}

#[test]
fn a_place_is_also_found_by_moving_the_model_and_by_nothing_else() {
    let ground = Ground::usual(Unit::Mm);
    for lesson in Lesson::ALL {
        let Asked::Place(setting) = lesson.asked() else {
            let mut sitting = Sitting::new(lesson, &ground);
            sitting.guess();
            assert!(!sitting.is_answered() && sitting.tries == 0, "{lesson:?}");
            continue;
        };
        let mut sitting = Sitting::new(lesson, &ground);
        let more = lesson.answer(&ground) > sitting.model.value(setting);
        (0..200).for_each(|_| {
            if !sitting.is_answered() {
                sitting.change(setting, more);
                sitting.guess();
            }
        });
        assert!(sitting.is_answered(), "{lesson:?}");
        let mut aside = Sitting::new(lesson, &ground);
        aside.change(Setting::Slope, true);
        aside.guess();
        assert!(aside.said.unwrap().unwrap_err().contains("was moved too"), "{lesson:?}");
    }
}

#[test]
fn texts_are_short_plain_sentences_that_follow_each_other() {
    for ground in grounds() {
        for lesson in Lesson::ALL {
            let text = lesson.text();
            assert!((3..=6).contains(&text.len()) && text.iter().all(|sentence| sentence.ends_with('.')));
            let all = text.join(" ");
            assert!(all.len() <= 330 && all.is_ascii(), "{lesson:?}: {}", all.len());
            let question = lesson.question(&ground);
            assert!(question.len() <= 118 && question.ends_with('?'), "{}: {question}", question.len());
            let figure = [lesson.figure(&ground, false), lesson.figure(&ground, true)].concat();
            assert!(figure.iter().all(|line| line.len() <= 78), "{figure:?}");
        }
    }
    let order: Vec<_> = std::iter::successors(Some(Lesson::ALL[0]), |lesson| lesson.next()).collect();
    assert_eq!(order, Lesson::ALL);
}

#[test]
fn bite_fading_and_both_slices_are_drawn() {
    let ground = Ground::usual(Unit::Mm);
    let fading = Lesson::Rules.figure(&ground, false);
    assert!(fading[0].contains("6.2 deg") && fading[1].contains("3.6 deg"), "{fading:?}");
    assert!(fading[1].len() > fading[0].len(), "the longer reach is drawn longer");
    assert_eq!(Lesson::Growth.figure(&ground, false), Vec::<String>::new(), "it would tell the answer");
    let slices = Lesson::Growth.figure(&ground, true);
    assert!(slices[2].ends_with("1.19"), "{slices:?}");
    let mut sitting = Sitting::new(Lesson::Growth, &ground);
    sitting.typed(&format!("{:.2}", Lesson::Growth.answer(&ground))).unwrap();
    let said = sitting.said.unwrap().unwrap();
    assert!(said.ends_with("over the whole life 0.84 mm + 1.23 mm = 2.07 mm."), "{said}");
}

#[test]
fn steps_land_on_round_numbers_and_stop_at_the_ends() {
    let mut model = Lesson::Growth.start(&Ground::usual(Unit::Mm));
    let uneven = model.gap().get();
    model.change(Setting::Gap, true, Unit::Mm);
    let gap = model.gap().get();
    assert!(gap > uneven && gap - uneven <= 0.02 + 1e-9 && ((gap / 0.02).round() * 0.02 - gap).abs() < 1e-9, "{gap}");
    for setting in Setting::ALL {
        for more in [false, true] {
            let mut model = model.clone();
            (0..2000).for_each(|_| model.change(setting, more, Unit::Mm));
            let length = model.length().get();
            assert!((model.spec().mark_length.get() - 1e-9..=model.spec().new_length.get()).contains(&length));
            assert!(model.gap() <= model.spec().gap_max && model.bite().get().is_finite() && model.share().is_finite());
        }
    }
}

#[test]
fn in_inches_steps_are_round_inches() {
    let mut model = Lesson::Growth.start(&Ground::usual(Unit::Inch));
    for (setting, thousandths) in
        [(Setting::Wear, 10.0), (Setting::Gap, 1.0), (Setting::Foot, 20.0), (Setting::Shorter, 2.0)]
    {
        for _ in 0..3 {
            let before = model.value(setting);
            model.change(setting, true, Unit::Inch);
            let (steps, moved) = (model.value(setting) / 0.0254 / thousandths, model.value(setting) - before);
            assert!((steps - steps.round()).abs() < 1e-6, "{setting:?}: {steps}");
            assert!(moved > 0.0 && moved <= thousandths * 0.0254 + 1e-9, "{setting:?}: {moved}");
        }
    }
}

#[test]
fn the_raker_goes_into_ones_own_hand_at_the_gap_it_has() {
    let mut model = WearModel::new(&Ground::usual(Unit::Mm).spec, Wood::Any).worn(3.0, Raker::Plate);
    let gap = model.gap();
    model.change(Setting::Raker, true, Unit::Mm);
    assert_eq!((model.raker(), model.gap()), (Raker::ByHand, gap));
    model.change(Setting::Gap, false, Unit::Mm);
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
