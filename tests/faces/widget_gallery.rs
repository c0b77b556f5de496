//! Every drawing at the usual sizes, with lines and blocks and in plain ASCII, and at every size that a window can have.

use std::fmt::Write as _;
use strum::VariantArray;

use evenbite::advice::forecast::{Expected, Rounds};
use evenbite::chain::profile::built_in;
use evenbite::chain::{Plate, Side, Spec, Wood, nth};
use evenbite::drawing as cutter;
use evenbite::tui::theme::{Colours, Glyphs, Role, Theme};
use evenbite::tui::widgets::{
    Big, CurvePoint, GapCurve, HistoryChart, LoopMap, MapCell, MapSign, Picture, ProfileChart, ProfilePoint,
};
use evenbite::units::{Millimetres, Unit, deg, mm};
use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::widgets::{Clear, Widget};

const COLOUR: Theme = Theme::new(Colours::Few, Glyphs::Unicode);
const BARE: Theme = Theme::new(Colours::None, Glyphs::Ascii);

/// An invented loop half way through its life.
struct Bench {
    spec: Spec,
    cells: Vec<MapCell>,
    points: Vec<CurvePoint>,
    profile: Vec<ProfilePoint>,
    past: Vec<Millimetres>,
    future: Vec<Expected>,
}

fn bench(count: u16) -> Bench {
    let spec = built_in::named("three-eighths").expect("built in").spec().clone();
    let side = |number: u16| if number % 2 == 1 { Side::Left } else { Side::Right };
    let length = move |number: u16| 8.1 + 0.04 * f64::from(number * 7 % 11) + 0.15 * f64::from(1 - number % 2);
    let sign = |number: u16| MapSign::VARIANTS[usize::from(number * 5 % 13)];
    let profile = (1..=count).map(|number| ProfilePoint {
        number: nth(number),
        side: side(number),
        before: Some(mm(length(number))),
        after: (number % 9 != 0).then(|| mm(8.0 + 0.02 * f64::from(number % 4))),
    });
    let points = (1..=count).map(|number| CurvePoint {
        length: mm(length(number) - 0.3 * f64::from(number % 5)),
        gap: mm(0.55 + 0.03 * f64::from(number * 3 % 8)),
        side: side(number),
    });
    let forecast = |n: u32| {
        let (middle, spread) = (8.3 - 0.4 * f64::from(n), 0.15 * f64::from(n));
        Expected { low: mm(middle - spread), middle: mm(middle), high: mm(middle + spread) }
    };
    Bench {
        spec,
        cells: (1..=count)
            .map(|number| MapCell { number: nth(number), side: side(number), sign: sign(number) })
            .collect(),
        points: points.collect(),
        profile: profile.collect(),
        past: [10.6, 10.2, 9.9, 9.3, 8.9, 8.5, 8.3].map(mm).to_vec(),
        future: (1..=6).map(forecast).collect(),
    }
}

/// A drawing, ready to be put into an area.
type Draw<'a> = Box<dyn Fn(Rect, &mut Buffer) + 'a>;
/// The same with its name.
type Drawing<'a> = (&'static str, Draw<'a>);

fn drawings(bench: &Bench, theme: Theme) -> Vec<Drawing<'_>> {
    let mut all = charts(bench, theme);
    let worn = cutter::Side {
        length: Some(mm(8.0)),
        gap: Some(mm(0.65)),
        target_gap: Some(mm(0.95)),
        ..cutter::Side::new(&bench.spec)
    };
    let rocked = cutter::Side { mirrored: true, rock: Some(deg(3.0)), unit: Unit::Inch, ..worn };
    let raker = cutter::Side { wood: false, show: cutter::Show::Raker, ..worn };
    let plate = Some(Plate { foot: mm(14.0), height: mm(5.17), slot: mm(0.9) });
    let plate = cutter::Side { plate, ..raker };
    let (show, file) = (cutter::Show::Filing, Some(mm(5.2)));
    let filing = cutter::Side { target_length: Some(mm(7.6)), show, file, gap: None, ..worn };
    let bare = cutter::Side::new(&bench.spec);
    let top = |reading| cutter::Top {
        spec: &bench.spec,
        hand: Side::Left,
        length: Some(mm(8.0)),
        target: deg(30.0),
        reading,
    };
    let front = cutter::Front {
        spec: &bench.spec,
        hand: Side::Left,
        length: Some(mm(8.0)),
        gap: Some(mm(0.65)),
        unit: Unit::Mm,
    };
    let picture = move |scene: cutter::Scene| -> Draw<'static> {
        Box::new(move |area, buf| (&Picture { theme, scene: &scene }).render(area, buf))
    };
    let map = LoopMap { theme, cells: &bench.cells, current: Some(nth(12)) };
    let more: [Drawing<'_>; 11] = [
        ("side", picture(worn.scene())),
        ("side-rocked", picture(rocked.scene())),
        ("side-raker", picture(raker.scene())),
        ("side-filing", picture(filing.scene())),
        ("top", picture(top(Some(deg(26.0))).scene())),
        ("front", picture(front.scene())),
        ("side-plate", picture(plate.scene())),
        ("side-bare", picture(bare.scene())),
        ("top-bare", picture(top(None).scene())),
        ("map", Box::new(move |area, buf| map.render(area, buf))),
        ("big", Box::new(move |area, buf| Big::new(theme, "12 L 8.05", Role::Title).render(area, buf))),
    ];
    all.extend(more);
    all
}

fn charts(bench: &Bench, theme: Theme) -> Vec<Drawing<'_>> {
    let curve = GapCurve {
        theme,
        spec: &bench.spec,
        wood: Wood::Any,
        plate: Some(Plate { foot: mm(9.0), height: mm(3.0), slot: mm(0.5) }),
        points: &bench.points,
        current: Some(mm(8.0)),
        unit: Unit::Mm,
    };
    let profile = ProfileChart {
        theme,
        points: &bench.profile,
        band: Some((mm(8.0), mm(8.1))),
        current: Some(nth(12)),
        unit: Unit::Mm,
    };
    let history = HistoryChart {
        theme,
        past: &bench.past,
        future: &bench.future,
        rounds: Some(Rounds { best: Some(5), low: 3, high: Some(8) }),
        mark: Some(bench.spec.mark_length),
        worth: Some(bench.spec.new_length - bench.spec.worth_wear(Wood::Any)),
        unit: Unit::Mm,
    };
    vec![
        ("curve", Box::new(move |area, buf: &mut Buffer| curve.render(area, buf))),
        ("profile", Box::new(move |area, buf: &mut Buffer| profile.render(area, buf))),
        ("history", Box::new(move |area, buf: &mut Buffer| history.render(area, buf))),
    ]
}

fn picture(columns: u16, rows: u16, draw: &dyn Fn(Rect, &mut Buffer)) -> String {
    let mut buf = Buffer::empty(Rect::new(0, 0, columns, rows));
    draw(buf.area, &mut buf);
    let mut text = String::new();
    for row in buf.area.rows() {
        let line: String = row.positions().map(|at| buf[at].symbol()).collect();
        writeln!(text, "{}", line.trim_end()).expect("a String takes everything");
    }
    text
}

#[test]
fn drawings_at_the_usual_sizes() {
    let bench = bench(36);
    for (theme, mode) in [(COLOUR, "lines"), (BARE, "ascii")] {
        for (at, (name, draw)) in drawings(&bench, theme)[..12].iter().enumerate() {
            for (columns, rows) in [(60, 20), (80, 24), (120, 40)] {
                // A chart's axes fit themselves to its size; a scene only gets larger.
                if columns == 80 || (mode == "lines" && (at < 3 || columns == 60)) {
                    let drawn = picture(columns, rows, draw.as_ref());
                    insta::assert_snapshot!(format!("{name}-{mode}-{columns}x{rows}"), drawn);
                }
            }
        }
    }
}

#[test]
fn the_map_in_all_its_forms() {
    for (theme, mode) in [(COLOUR, "lines"), (BARE, "ascii")] {
        let mut text = String::new();
        for (count, columns, rows) in
            [(36, 78, 7), (36, 78, 5), (66, 78, 7), (100, 78, 5), (66, 40, 4), (66, 60, 3), (66, 40, 2), (66, 40, 1)]
        {
            let bench = bench(count);
            let map = LoopMap { theme, cells: &bench.cells, current: Some(nth(12)) };
            let drawn = picture(columns, rows, &|area, buf| map.render(area, buf));
            write!(text, "{count} cutters in {columns}x{rows}\n{drawn}\n").expect("a String takes everything");
        }
        insta::assert_snapshot!(format!("map-{mode}"), text);
    }
}

#[test]
fn big_digits() {
    let bench = bench(36);
    for (theme, mode) in [(COLOUR, "lines"), (BARE, "ascii")] {
        let mut text = String::new();
        let all = drawings(&bench, theme);
        let (_, draw) = all.iter().find(|(name, _)| *name == "big").expect("drawn above");
        for (columns, rows) in [(72, 8), (72, 4), (38, 5), (20, 1)] {
            let drawn = picture(columns, rows, draw.as_ref());
            write!(text, "big in {columns}x{rows}\n{drawn}\n").expect("a String takes everything");
        }
        insta::assert_snapshot!(format!("digits-{mode}"), text);
    }
}

#[test]
fn a_bare_theme_puts_no_colour_and_nothing_but_ascii_anywhere() {
    let bench = bench(36);
    for (name, draw) in drawings(&bench, BARE) {
        for (columns, rows) in [(10, 2), (40, 12), (80, 24), (120, 40)] {
            let mut buf = Buffer::empty(Rect::new(0, 0, columns, rows));
            draw(buf.area, &mut buf);
            for cell in buf.content() {
                assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset), "{name} at {columns}x{rows}");
                assert!(cell.symbol().is_ascii(), "{name} at {columns}x{rows}: {}", cell.symbol());
            }
        }
    }
}

#[test]
fn only_filled_shapes_set_a_background_and_all_but_plain_text_use_an_accent() {
    let bench = bench(36);
    for theme in [COLOUR, Theme { colours: Colours::Full, ..COLOUR }] {
        for (name, draw) in drawings(&bench, theme) {
            let mut buf = Buffer::empty(Rect::new(0, 0, 100, 30));
            draw(buf.area, &mut buf);
            let filled = buf.content().iter().any(|cell| cell.bg != Color::Reset);
            let is_scene = ["side", "top", "front"].iter().any(|scene| name.starts_with(scene));
            assert_eq!(filled, is_scene, "{name}");
            let coloured = buf.content().iter().filter(|cell| cell.fg != Color::Reset).count();
            assert!(coloured > 0 || name == "big", "{name} uses no accent");
        }
    }
}

#[test]
fn each_line_has_the_colour_of_its_role() {
    let bench = bench(36);
    let all = drawings(&bench, COLOUR);
    for (name, sign, role) in [
        ("side-raker", "x", Role::Curve3),
        ("top", "x", Role::Curve3),
        ("curve", "=", Role::Curve1),
        ("curve", "+", Role::Curve3),
        ("curve", "L", Role::Left),
        ("curve", "R", Role::Right),
        ("history", ":", Role::Quiet),
        ("profile", "l", Role::Quiet),
    ] {
        let (_, draw) = all.iter().find(|(other, _)| *other == name).expect("drawn above");
        let mut buf = Buffer::empty(Rect::new(0, 0, 80, 24));
        draw(buf.area, &mut buf);
        // Not the words above and below the picture.
        let cells = buf.area.positions().filter(|at| (3..20).contains(&at.y) && buf[*at].symbol() == sign);
        let looks: Vec<Color> = cells.map(|at| buf[at].fg).collect();
        let own = looks.iter().filter(|fg| **fg == COLOUR.colour(role)).count();
        assert!(own > 0 && own * 10 >= looks.len() * 8, "{sign} in {name}: {own} of {}", looks.len());
    }
}

#[test]
fn every_small_size_is_drawn_without_leaving_the_area() {
    let bench = bench(66);
    let blank = Buffer::empty(Rect::new(0, 0, 54, 16));
    for theme in [COLOUR, BARE] {
        for (name, draw) in drawings(&bench, theme) {
            for (columns, rows) in (0..=48).step_by(3).flat_map(|columns| (0..=14).map(move |rows| (columns, rows))) {
                let area = Rect::new(2, 1, columns, rows);
                let mut buf = blank.clone();
                draw(area, &mut buf);
                Clear.render(area, &mut buf);
                assert!(buf == blank, "{name} in {area} wrote outside:\n{buf:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_area_and_no_number_panics(
        x in 0..40_u16, y in 0..20_u16, columns in 0..260_u16, rows in 0..80_u16, wide in 0..200_u16, high in 0..70_u16,
        count in 0..150_u16, number in prop::num::f64::ANY, other in -50.0..50.0_f64, unicode in any::<bool>(),
    ) {
        let mut bench = bench(count);
        let (number, other) = (mm(number), mm(other));
        bench.points.push(CurvePoint { length: number, gap: other, side: Side::Left });
        bench.points.push(CurvePoint { length: other, gap: number, side: Side::Right });
        bench.profile.push(ProfilePoint { number: nth(7), side: Side::Left, before: Some(number), after: Some(other) });
        bench.past.push(number);
        bench.future.push(Expected { low: number, middle: other, high: number });
        let theme = if unicode { COLOUR } else { BARE };
        let area = Rect::new(x, y, columns, rows);
        let mut buf = Buffer::empty(Rect::new(0, 0, wide, high));
        for (_, draw) in drawings(&bench, theme) {
            draw(area, &mut buf);
        }
        for show in [cutter::Show::Whole, cutter::Show::Filing, cutter::Show::Raker] {
            let side = cutter::Side {
                length: Some(other),
                target_length: Some(number),
                gap: Some(number),
                target_gap: Some(number),
                rock: Some(deg(other.get())),
                show,
                ..cutter::Side::new(&bench.spec)
            };
            let other_way = cutter::Side { gap: Some(other), length: Some(number), ..side };
            for scene in [side.scene(), other_way.scene()] {
                (&Picture { theme, scene: &scene }).render(area, &mut buf);
            }
        }
        let (target, reading, length) = (deg(number.get()), Some(deg(other.get())), Some(number));
        let top = cutter::Top { spec: &bench.spec, hand: Side::Right, length, target, reading };
        (&Picture { theme, scene: &top.scene() }).render(area, &mut buf);
    }
}
