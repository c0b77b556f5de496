use std::sync::LazyLock;

use proptest::prelude::*;

use super::*;
use crate::chain::geometry::{bite_angle, bite_left};
use crate::chain::profile::built_in;
use crate::chain::{Side as Hand, Spec};
use crate::units::{deg, mm};

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

fn measure<'a>(scene: &'a Scene, name: &str) -> &'a Measure {
    scene.measures().find(|measure| measure.name == name).unwrap_or_else(|| panic!("no {name}"))
}

fn spec() -> &'static Spec {
    static SPEC: LazyLock<Spec> = LazyLock::new(|| built_in::named("three-eighths").unwrap().spec().clone());
    &SPEC
}

fn side(length: f64, gap: f64) -> Side<'static> {
    Side { length: Some(mm(length)), gap: Some(mm(gap)), ..Side::new(spec()) }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_drawn_is_what_the_arithmetic_says(
        chain in 0..5_usize, spent in -0.1..1.1_f64, gap in 0.0..2.0_f64, rock in 0.0..15.0_f64, mirrored in any::<bool>(),
    ) {
        let chains = built_in::all();
        let spec = chains[chain].spec();
        let length = spec.new_length - spec.usable() * spent;
        let side = Side { length: Some(length), gap: Some(mm(gap)), mirrored, ..Side::new(spec) };
        let scene = side.scene();
        let reach = spec.reach(spec.wear(length));
        prop_assert!(near(measure(&scene, "gap").drawn(), gap));
        prop_assert!(near(measure(&scene, "reach").drawn(), reach.get()));
        let long = measure(&scene, "length");
        prop_assert!(near(long.drawn(), length.get()));
        let slope = ((long.to.1 - long.from.1) / long.drawn()).atan().to_degrees();
        prop_assert!(near(slope, spec.back_slope.get()), "{slope}");
        let bite = format!("bite {:.1}°", bite_angle(mm(gap), reach).get());
        prop_assert!(scene.words[1].contains(&bite));
        let rocked = Side { rock: Some(deg(rock)), ..side }.scene();
        let gap_left = measure(&rocked, "gap");
        let left = (gap_left.to.1 - gap_left.from.1).abs();
        prop_assert!(near(left, bite_left(mm(gap), reach, deg(rock)).get().abs()));
    }

    #[test]
    fn the_raker_is_the_highest_point_of_its_hump(chain in 0..5_usize, spent in 0.0..1.0_f64, gap in 0.0..2.0_f64) {
        let chains = built_in::all();
        let spec = chains[chain].spec();
        let length = spec.new_length - spec.usable() * spent;
        let side = Side { length: Some(length), gap: Some(mm(gap)), ..Side::new(spec) };
        let scene = side.scene();
        let (corner, raker) = (measure(&scene, "reach").from, measure(&scene, "reach").to);
        let steel = scene.parts.iter().find_map(|part| match part {
            Part::Fill { path, ink: Ink::Steel } => Some(path.flat().concat()),
            _ => None,
        });
        let ahead = steel.unwrap().into_iter().filter(|point| point.0 > corner.0 + 1e-6);
        for (_, y) in ahead.filter(|point| point.0 > f64::midpoint(corner.0, raker.0)) {
            prop_assert!(y <= raker.1 + 1e-9, "{y} over {}", raker.1);
        }
    }
}

#[test]
fn nothing_that_was_not_measured_carries_a_number() {
    let bare = Side::new(spec()).scene();
    assert_eq!(bare.measures().count(), 0);
    assert_eq!(bare.words, ["gap not measured", "length not measured"]);
    let no_gap = Side { length: Some(mm(8.0)), target_gap: Some(mm(0.9)), ..Side::new(spec()) }.scene();
    assert!(no_gap.measures().all(|measure| measure.name != "gap"));
    let says = |scene: &Scene, text: &str| {
        scene.parts.iter().any(|part| matches!(part, Part::Label { text: said, .. } if said.contains(text)))
    };
    assert!(says(&no_gap, "gap not measured") && !says(&no_gap, "bite"));
    // No chip, for nobody knows how thick it is.
    let chip = |scene: &Scene| scene.parts.iter().any(|part| matches!(part, Part::Fill { ink: Ink::Chip, .. }));
    assert!(!chip(&no_gap) && chip(&side(8.0, 0.65).scene()));
    assert!(!chip(&side(8.0, 0.0).scene()), "a raker as high as the corner takes no chip");
}

#[test]
fn the_words_carry_every_number_of_the_drawing() {
    let rocked = Side { target_gap: Some(mm(0.95)), rock: Some(deg(2.0)), ..side(8.0, 0.65) };
    let reach = spec().reach(spec().wear(mm(8.0)));
    let bite = (0.65 / reach.get()).atan().to_degrees();
    let lines = rocked.scene().words;
    assert_eq!(lines[0], "gap 0.65 mm, target 0.95 mm");
    assert!(lines[1].starts_with(&format!("length 8.00 mm, bite {bite:.1}°, target ")), "{}", lines[1]);
    assert!(lines[2].starts_with("rocked 2.0°: 0.") && lines[2].ends_with("of bite left"), "{}", lines[2]);
    let over = Side { rock: Some(deg(bite + 0.1)), ..rocked };
    assert!(over.scene().words[2].ends_with("no bite left"));
}

#[test]
fn a_mirrored_scene_is_the_same_the_other_way_round() {
    let there = side(8.0, 0.65).scene();
    let back = Side { mirrored: true, ..side(8.0, 0.65) }.scene();
    assert_eq!(there.clone().mirrored(), back);
    assert_eq!(back.clone().mirrored().low, there.low);
    let runs = |scene: &Scene, text: &str| {
        scene.parts.iter().any(|part| matches!(part, Part::Label { text: said, .. } if said == text))
    };
    assert!(runs(&there, "runs →") && runs(&back, "← runs"));
}

#[test]
fn what_is_to_be_filed_is_hatched_while_there_is_something_to_file() {
    let filed = |side: Side| side.scene().parts.iter().any(|part| matches!(part, Part::Fill { ink: Ink::Filed, .. }));
    let tooth = |aim: f64| Side { target_length: Some(mm(aim)), show: Show::Filing, ..side(8.0, 0.65) };
    assert!(filed(tooth(7.6)) && !filed(tooth(8.0)) && !filed(tooth(8.2)));
    let raker = |aim: f64| Side { target_gap: Some(mm(aim)), show: Show::Raker, ..side(8.0, 0.65) };
    assert!(filed(raker(0.9)) && !filed(raker(0.65)) && !filed(raker(0.5)));
}

#[test]
fn the_edge_from_above_makes_the_angle_with_the_square_line() {
    for (hand, angle) in [(Hand::Left, 30.0_f64), (Hand::Right, 25.0), (Hand::Left, 0.0), (Hand::Right, -3.0)] {
        let top = Top { spec: spec(), hand, length: None, target: deg(30.0), reading: Some(deg(angle)) };
        let edge = top.scene().parts.iter().find_map(|part| match part {
            Part::Line { path, ink: Ink::Bite, .. } => Some(path.flat().concat()),
            _ => None,
        });
        let edge = edge.unwrap();
        let drawn = ((edge[0].0 - edge[1].0) / (edge[0].1 - edge[1].1).abs()).atan().to_degrees();
        assert!((drawn - angle).abs() < 1e-9, "{drawn} for {angle}");
        assert_eq!(edge[0].1 > 0.0, hand == Hand::Left, "the left-hand corner is the upper one");
    }
}

#[test]
fn the_words_say_how_far_off_and_which_way() {
    let words = |reading: Option<f64>| {
        Top { spec: spec(), hand: Hand::Left, length: None, target: deg(30.0), reading: reading.map(deg) }.scene().words
    };
    assert_eq!(words(Some(27.5)), ["target 30.0°", "read 27.5°, 2.5° less"]);
    assert_eq!(words(Some(31.0)), ["target 30.0°", "read 31.0°, 1.0° more"]);
    assert_eq!(words(Some(30.04)), ["target 30.0°", "read 30.0°, on target"]);
    assert_eq!(words(None), ["target 30.0°", "angle not measured"]);
}

#[test]
fn the_grid_has_the_shapes_where_they_are() {
    let scene = side(8.0, 0.65).scene();
    let (columns, rows) = (280_u32, 200_u32);
    let grid = rasterise(&scene, (columns, rows), scene.low, scene.high).unwrap();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places inside the picture")]
    let at = |x: f64, y: f64| {
        let along = (x - scene.low.0) / (scene.high.0 - scene.low.0) * f64::from(columns);
        let down = (scene.high.1 - y) / (scene.high.1 - scene.low.1) * f64::from(rows);
        grid.at(along as usize, down as usize)
    };
    let corner = measure(&scene, "length").to;
    assert_eq!(at(3.3, 0.0), Some(Ink::Rivet));
    assert_eq!(at(8.0, 0.0), Some(Ink::Steel));
    assert_eq!(at(7.0, -5.5), Some(Ink::Bar));
    assert_eq!(at(-6.0 + 1.0, 0.0), Some(Ink::Rivet));
    assert_eq!(at(corner.0 - 4.0, corner.1 + 1.0), Some(Ink::Wood));
    assert_eq!(at(corner.0 + 4.0, corner.1 - 2.0), None, "the gullet is open");
    assert!(rasterise(&scene, (0, 5), scene.low, scene.high).is_none());
    assert!(rasterise(&scene, (1 << 20, 1 << 20), scene.low, scene.high).is_none());
}

#[test]
fn a_reading_that_no_cutter_has_is_filled_nowhere_and_breaks_nothing() {
    for gap in [1e3, -1e6, 1e300, f64::NAN, f64::INFINITY] {
        for show in [Show::Whole, Show::Filing, Show::Raker] {
            let scene = Side { show, target_length: Some(mm(gap)), ..side(8.0, gap) }.scene();
            drop(rasterise(&scene, (200, 100), (-10.0, -10.0), (30.0, 10.0)));
            drop(rasterise(&scene, (200, 100), scene.low, scene.high));
        }
    }
}
