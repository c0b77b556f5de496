use crossterm::event::KeyCode;
use ratatui::style::Modifier;

use super::super::super::theme::{Role, Theme};
use super::super::drawing::{BARE, LINES, at_every_size, draw, press, shown};
use super::*;
use crate::chain::{Wood, profile::built_in};
use crate::coach::lessons::{Asked, Raker};
use crate::units::{Unit, mm};

fn keys(model: &mut Model, codes: &[KeyCode]) {
    for code in codes {
        press(model, *code);
    }
}

/// Moves the cursor to a setting.
fn choose(model: &mut Model, setting: Setting) {
    while model.setting() != setting {
        press(model, KeyCode::Down);
    }
}

fn fresh() -> Model {
    of(Ground::usual(Unit::Mm))
}

fn of(ground: Ground) -> Model {
    Model::new(Lecture { name: None, ground, lesson: None, lessons: Lessons::default() })
}

fn named(name: &str, ground: Ground) -> Model {
    Model { name: Some(name.to_owned()), ..of(ground) }
}

fn at(lesson: Lesson) -> Model {
    let ground = Ground::usual(Unit::Mm);
    Model::new(Lecture { name: None, ground, lesson: Some(lesson), lessons: Lessons::default() })
}

fn guess(model: &mut Model, text: &str) {
    for c in text.chars() {
        press(model, KeyCode::Char(c));
    }
    press(model, KeyCode::Enter);
}

fn answered(model: &Model) -> bool {
    model.sitting().is_some_and(Sitting::is_answered)
}

#[test]
fn every_lesson_is_gone_through_with_keys_alone() {
    let mut model = fresh();
    keys(&mut model, &[KeyCode::Enter, KeyCode::Enter]);
    for lesson in Lesson::ALL {
        assert_eq!(model.sitting().map(|sitting| sitting.lesson), Some(lesson));
        assert_eq!(model.setting(), lesson.setting(), "the cursor stands on what is asked");
        press(&mut model, KeyCode::Enter);
        assert!(!answered(&model), "{lesson:?} is answered without a guess");
        let answer = lesson.answer(&model.ground);
        guess(&mut model, &format!("{answer:.3}"));
        assert!(answered(&model), "{lesson:?}: {answer}: {:?}", model.sitting());
        press(&mut model, KeyCode::Enter);
    }
    assert!(model.mode == Mode::List(0) && model.lessons.is_done());
    press(&mut model, KeyCode::Esc);
    assert!(shown(&model, (80, 24), LINES).contains("all lessons done"));
}

#[test]
fn a_guess_is_called_too_little_or_too_much_and_the_third_is_told_by_how_much() {
    let mut model = at(Lesson::Shrinks);
    let screen = |model: &Model| shown(model, (80, 24), LINES);
    assert!(
        screen(&model).contains("Numbers come after the third guess.") && screen(&model).contains("Your guess, in mm:")
    );
    guess(&mut model, "1");
    assert!(screen(&model).contains("More than that."), "{}", screen(&model));
    guess(&mut model, "6,0");
    assert!(screen(&model).contains("Less than that."));
    guess(&mut model, "1");
    assert!(screen(&model).contains("Not yet: 2.69 mm more.") && screen(&model).contains("gap 0.47 mm"));
    choose(&mut model, Setting::Slope);
    keys(&mut model, &[KeyCode::Right, KeyCode::Enter]);
    assert!(screen(&model).contains("The back slope was moved too."));
    press(&mut model, KeyCode::Char('r'));
    assert_eq!(model.model(), &Lesson::Shrinks.start(&model.ground));
}

#[test]
fn before_a_guess_nothing_shown_tells_the_answer() {
    for lesson in Lesson::ALL {
        let model = at(lesson);
        let answer = lesson.answer(&model.ground);
        let told = match lesson.asked() {
            Asked::Percent => format!("{answer:.0} %"),
            Asked::Place(setting) if !setting.is_length() => format!("{answer:.1}\u{b0}"),
            _ => format!("{answer:.2} mm"),
        };
        for size in [(80, 24), (140, 45)] {
            let text = shown(&model, size, LINES);
            assert!(!text.contains(&told), "{lesson:?} tells {told}\n{text}");
        }
    }
}

#[test]
fn a_lesson_is_chosen_left_and_taken_up_again() {
    let mut model = fresh();
    keys(&mut model, &[KeyCode::Enter, KeyCode::Down, KeyCode::Down, KeyCode::Enter]);
    assert_eq!(model.sitting().map(|sitting| sitting.lesson), Some(Lesson::Rocks));
    guess(&mut model, "9");
    assert!(press(&mut model, KeyCode::Esc).is_empty() && model.mode == Mode::Own);
    press(&mut model, KeyCode::Enter);
    assert!(shown(&model, (80, 24), LINES).contains(">  3  The rocking cutter"));
    press(&mut model, KeyCode::Esc);
    let effects = press(&mut model, KeyCode::Esc);
    let [Effect::Desk(Work::KeepLessons(kept)), Effect::Go(Step::Close)] = &effects[..] else { panic!("not kept") };
    let ground = Ground::usual(Unit::Mm);
    let again = Model::new(Lecture { name: None, ground, lesson: Some(Lesson::Rocks), lessons: (**kept).clone() });
    assert_eq!(again.sitting().map(|sitting| sitting.tries), Some(1));
}

#[test]
fn the_model_opens_at_the_wear_of_the_loop() {
    let spec = built_in::named("three-eighths").unwrap().spec().clone();
    let model = of(Ground::of(&spec, Wood::Any, Some(mm(2.3)), Unit::Mm));
    assert!(shown(&model, (80, 24), LINES).contains("filed off       2.30 mm"));
}

#[test]
fn the_picture_follows_the_model() {
    let mut model = fresh();
    let corner = |model: &Model| {
        let buf = draw(model, (120, 40), LINES);
        let points = buf.area.positions().filter(|at| buf[*at].symbol() == "•");
        points.map(|at| at.x).min().unwrap()
    };
    let new = corner(&model);
    (0..40).for_each(|_| {
        press(&mut model, KeyCode::Right);
    });
    assert!(corner(&model) < new, "the corner moves back as it is filed");
    let views: Vec<String> = (0..4)
        .map(|_| {
            press(&mut model, KeyCode::Char('v'));
            shown(&model, (80, 24), LINES)
        })
        .collect();
    assert!(views[0].contains("Corner and raker") && views[1].contains("worth") && views[2].contains("heights drawn"));
    assert!(views[3].contains("From the side"));
}

#[test]
fn numbers_are_in_words_and_in_the_unit_asked_for() {
    let mut model = of(Ground::usual(Unit::Inch));
    choose(&mut model, Setting::Raker);
    press(&mut model, KeyCode::Left);
    assert_eq!(model.own.raker(), Raker::Untouched);
    choose(&mut model, Setting::Wear);
    // In steps of ten thousandths.
    (0..16).for_each(|_| {
        press(&mut model, KeyCode::Right);
    });
    let text = shown(&model, (80, 24), LINES);
    for words in ["no gap: the raker keeps the edge off", "0 % of the new", "0.1600 in", "corner dropped 0.0282 in"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    for part in ["reach", "bite", "fixed rule", "wear-scaled rule", "plate leaves", "no bite left"] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn a_loops_own_chain_is_shown() {
    let profile = built_in::named("point-325").unwrap();
    let text =
        shown(&named("North 12", Ground::of(profile.spec(), Wood::SoftwoodNoFrost, None, Unit::Mm)), (80, 24), LINES);
    assert!(text.contains("North 12, unfrozen softwood only"));
    assert!(text.contains(&format!("gap {}", Unit::Mm.show_named(profile.spec().softwood_gap))));
}

#[test]
fn signs_and_words_carry_what_colour_says() {
    let model = fresh();
    let buf = draw(&model, (80, 24), BARE);
    let chosen = buf.area.positions().find(|at| buf[*at].symbol() == ">").unwrap();
    assert!(buf[chosen].modifier.contains(Modifier::REVERSED));
    assert!(buf.content().iter().all(|cell| cell.symbol().is_ascii()));
    let plain = Theme::default().style(Role::Text).fg;
    assert!(buf.content().iter().all(|cell| Some(cell.fg) == plain), "colour without being asked");
    let coloured = draw(&model, (80, 24), LINES);
    assert!(coloured.content().iter().any(|cell| Some(cell.fg) == LINES.style(Role::Curve2).fg));
}

#[test]
fn a_small_window_shows_the_question_and_the_setting_in_hand() {
    let mut model = fresh();
    keys(&mut model, &[KeyCode::Enter, KeyCode::Enter]);
    choose(&mut model, Setting::Shorter);
    press(&mut model, KeyCode::Right);
    for size in [(60, 20), (60, 14), (40, 12)] {
        let text = shown(&model, size, LINES);
        assert!(text.contains("gone?") && text.contains("> next shorter by"), "{size:?}\n{text}");
    }
}

#[test]
fn no_size_panics() {
    let mut models = vec![fresh(), fresh()];
    keys(&mut models[1], &[KeyCode::Enter, KeyCode::Enter]);
    at_every_size(|size| {
        for model in &mut models {
            for view in [View::Cutter, View::Close, View::Curve, View::Pair] {
                model.view = view;
                draw(model, size, LINES);
            }
        }
    });
    for model in &mut models {
        // A worn cutter whose raker stands above its corner, rocked as far as it goes.
        (0..70).for_each(|_| model.change(true));
        (model.at, model.view) = (5, View::Close);
        (0..60).for_each(|_| model.change(true));
    }
    at_every_size(|size| {
        for model in &models {
            draw(model, size, BARE);
        }
    });
}

#[test]
fn drawings_at_the_usual_sizes() {
    let mut model = fresh();
    (0..30).for_each(|_| {
        press(&mut model, KeyCode::Right);
    });
    for (columns, rows) in [(60, 20), (80, 24), (120, 40)] {
        insta::assert_snapshot!(format!("own-{columns}x{rows}"), shown(&model, (columns, rows), LINES));
    }
    insta::assert_snapshot!("own-ascii-80x24", shown(&model, (80, 24), BARE));
    for lesson in Lesson::ALL {
        let mut model = fresh();
        model.begin(lesson);
        let name = format!("lesson-{}-80x24", lesson.number());
        insta::assert_snapshot!(name, shown(&model, (80, 24), LINES));
    }
    let mut model = fresh();
    model.begin(Lesson::Unequal);
    insta::assert_snapshot!("lesson-6-60x20", shown(&model, (60, 20), LINES));
    insta::assert_snapshot!("lesson-6-ascii-120x40", shown(&model, (120, 40), BARE));
    guess(&mut model, "0.09");
    insta::assert_snapshot!("lessons-80x24", {
        let mut list = fresh();
        press(&mut list, KeyCode::Enter);
        shown(&list, (80, 24), LINES)
    });
    insta::assert_snapshot!("lesson-6-answered-80x24", shown(&model, (80, 24), LINES));
}

#[test]
fn the_picture_is_kept_until_the_model_is_moved() {
    let mut model = fresh();
    let before = shown(&model, (140, 45), LINES);
    assert_eq!(shown(&model, (140, 45), LINES), before, "from memory");
    press(&mut model, KeyCode::Right);
    let after = shown(&model, (140, 45), LINES);
    let fresh = shown(&Model { kept: Kept::default(), ..model }, (140, 45), LINES);
    assert!(after != before && after == fresh, "{after}");
}
