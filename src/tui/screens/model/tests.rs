use crossterm::event::KeyCode;
use ratatui::style::Modifier;

use super::super::super::theme::{Role, Theme};
use super::super::drawing::{BARE, LINES, at_every_size, draw, press, shown};
use super::*;
use crate::coach::lessons::Raker;
use crate::units::mm;

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

fn answered(model: &Model) -> bool {
    model.session.as_ref().is_some_and(Session::is_answered)
}

#[test]
fn every_lesson_is_gone_through_with_keys_alone() {
    let mut model = Model::default();
    press(&mut model, KeyCode::Enter);
    for lesson in Lesson::ALL {
        assert_eq!(model.session.as_ref().map(|session| session.lesson), Some(lesson));
        press(&mut model, KeyCode::Enter);
        assert!(!answered(&model), "{lesson:?} is answered without moving anything");
        choose(&mut model, lesson.setting());
        let more = lesson.answer(model.model()) > model.model().value(lesson.setting());
        let key = if more { KeyCode::Right } else { KeyCode::Left };
        for _ in 0..200 {
            press(&mut model, key);
            press(&mut model, KeyCode::Enter);
            if answered(&model) {
                break;
            }
        }
        assert!(answered(&model), "{lesson:?} cannot be answered by keys");
        press(&mut model, KeyCode::Enter);
    }
    assert!(model.session.is_none() && model.finished);
    assert!(shown(&model, (80, 24), LINES).contains("all lessons done"));
}

#[test]
fn a_wrong_answer_says_how_far_off_and_another_setting_moved_can_be_put_back() {
    let mut model = Model::default();
    keys(&mut model, &[KeyCode::Enter, KeyCode::Right, KeyCode::Enter]);
    assert!(shown(&model, (80, 24), LINES).contains("Not yet: 3."));
    choose(&mut model, Setting::Slope);
    keys(&mut model, &[KeyCode::Right, KeyCode::Enter]);
    assert!(shown(&model, (80, 24), LINES).contains("The back slope was moved too."));
    press(&mut model, KeyCode::Char('r'));
    assert_eq!(model.model(), &Lesson::Shrinks.start());
}

#[test]
fn leaving_a_lesson_leads_back_to_ones_own_cutter_and_then_out() {
    let mut model = Model::default();
    keys(&mut model, &[KeyCode::Right, KeyCode::Right, KeyCode::Enter]);
    assert_eq!(model.model().wear(), mm(0.0));
    assert!(press(&mut model, KeyCode::Esc).is_empty());
    assert!((model.model().wear().get() - 0.2).abs() < 1e-9);
    assert!(matches!(press(&mut model, KeyCode::Esc)[..], [Effect::Go(Step::Close)]));
}

#[test]
fn the_picture_follows_the_model() {
    let mut model = Model::default();
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
    let mut model = Model::default().in_unit(Unit::Inch);
    choose(&mut model, Setting::Raker);
    press(&mut model, KeyCode::Left);
    assert_eq!(model.own.raker(), Raker::Untouched);
    choose(&mut model, Setting::Wear);
    (0..40).for_each(|_| {
        press(&mut model, KeyCode::Right);
    });
    let text = shown(&model, (80, 24), LINES);
    for words in ["no gap: the raker keeps the edge off", "0 % of the new", "0.1575 in", "corner dropped 0.0278 in"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    for part in ["reach", "bite", "fixed rule", "wear-scaled rule", "plate leaves", "no bite left"] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn a_loops_own_chain_is_shown() {
    let profile = built_in::named("point-325").unwrap();
    let text = shown(&Model::of("North 12", profile.spec(), Wood::SoftwoodNoFrost), (80, 24), LINES);
    assert!(text.contains("North 12, unfrozen softwood only"));
    assert!(text.contains(&format!("gap {}", Unit::Mm.show_named(profile.spec().softwood_gap))));
}

#[test]
fn signs_and_words_carry_what_colour_says() {
    let model = Model::default();
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
    let mut model = Model::default();
    press(&mut model, KeyCode::Enter);
    choose(&mut model, Setting::Shorter);
    press(&mut model, KeyCode::Right);
    for size in [(60, 20), (60, 14), (40, 12)] {
        let text = shown(&model, size, LINES);
        assert!(text.contains("gone?") && text.contains("> next shorter by"), "{size:?}\n{text}");
    }
}

#[test]
fn no_size_panics() {
    let mut models = vec![Model::default(), Model::default()];
    press(&mut models[1], KeyCode::Enter);
    for model in &mut models {
        for view in [View::Cutter, View::Close, View::Curve, View::Pair] {
            model.view = view;
            at_every_size(|size| {
                draw(model, size, LINES);
            });
        }
        // A worn cutter whose raker stands above its corner, rocked as far as it goes.
        (0..70).for_each(|_| model.change(true));
        (model.at, model.view) = (5, View::Close);
        (0..60).for_each(|_| model.change(true));
        at_every_size(|size| {
            draw(model, size, BARE);
        });
    }
}

#[test]
fn drawings_at_the_usual_sizes() {
    let mut model = Model::default();
    (0..30).for_each(|_| {
        press(&mut model, KeyCode::Right);
    });
    for (columns, rows) in [(60, 20), (80, 24), (120, 40)] {
        insta::assert_snapshot!(format!("own-{columns}x{rows}"), shown(&model, (columns, rows), LINES));
    }
    insta::assert_snapshot!("own-ascii-80x24", shown(&model, (80, 24), BARE));
    for lesson in Lesson::ALL {
        let mut model = Model::default();
        model.begin(lesson);
        let name = format!("lesson-{}-80x24", lesson.number());
        insta::assert_snapshot!(name, shown(&model, (80, 24), LINES));
    }
    let mut model = Model::default();
    model.begin(Lesson::Unequal);
    insta::assert_snapshot!("lesson-6-60x20", shown(&model, (60, 20), LINES));
    insta::assert_snapshot!("lesson-6-ascii-120x40", shown(&model, (120, 40), BARE));
    choose(&mut model, Setting::Shorter);
    keys(&mut model, &[KeyCode::Right; 11]);
    press(&mut model, KeyCode::Enter);
    insta::assert_snapshot!("lesson-6-answered-80x24", shown(&model, (80, 24), LINES));
}

#[test]
fn the_picture_is_kept_until_the_model_is_moved() {
    let mut model = Model::default();
    let before = shown(&model, (140, 45), LINES);
    assert_eq!(shown(&model, (140, 45), LINES), before, "from memory");
    press(&mut model, KeyCode::Right);
    let after = shown(&model, (140, 45), LINES);
    let fresh = shown(&Model { kept: Kept::default(), ..model }, (140, 45), LINES);
    assert!(after != before && after == fresh, "{after}");
}
