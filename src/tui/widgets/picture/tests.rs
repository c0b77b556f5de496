use super::*;
use crate::chain::Side as Hand;
use crate::chain::profile::built_in;
use crate::drawing::{Front, Side, Top};
use crate::report::picture::picture;
use crate::tui::theme::{Blocks, Glyphs};
use crate::units::{Unit, deg, mm};

fn scene(mirrored: bool) -> Scene {
    let profile = built_in::named("three-eighths").unwrap();
    let spec = profile.spec();
    Side { length: Some(mm(8.0)), gap: Some(mm(0.65)), mirrored, ..Side::new(spec) }.scene()
}

fn cells(theme: Theme, scene: &Scene, (columns, rows): (u16, u16)) -> Buffer {
    let mut buf = Buffer::empty(Rect::new(0, 0, columns, rows));
    (&Picture { theme, scene }).render(buf.area, &mut buf);
    buf
}

fn text(buf: &Buffer) -> String {
    buf.content().iter().map(ratatui::buffer::Cell::symbol).collect()
}

#[test]
fn every_dimension_of_the_scene_stands_in_the_cells_with_its_ends_where_they_are() {
    let scene = scene(false);
    for theme in [Theme::new(Colours::Full, Glyphs::Unicode), Theme::new(Colours::None, Glyphs::Ascii)] {
        let buf = cells(theme, &scene, (100, 36));
        let all = text(&buf);
        let area = Rect { height: 34, ..buf.area };
        let scale = Scale::square(area, scene.low, scene.high).unwrap();
        for measure in scene.measures() {
            assert!(all.contains(&measure.text), "{}\n{all}", measure.text);
            if !measure.upright {
                let (left, row) = scale.inside((measure.from.0, measure.at)).unwrap();
                let (right, _) = scale.inside((measure.to.0, measure.at)).unwrap();
                let picture = Picture { theme, scene: &scene };
                assert!(picture.is_end(&buf, (left, row)) && picture.is_end(&buf, (right, row)), "{}", measure.name);
                let (cells, mm) = (f64::from(right - left), measure.drawn());
                assert!((cells * 2.0 * scale.dot() - mm).abs() < 4.0 * scale.dot(), "{}", measure.name);
            }
        }
    }
}

#[test]
fn a_mirrored_picture_is_filled_the_same_the_other_way_round() {
    let theme = Theme::new(Colours::Full, Glyphs::Unicode);
    let (there, back) = (cells(theme, &scene(false), (80, 30)), cells(theme, &scene(true), (80, 30)));
    let steel = theme.colour(Role::Steel);
    let row = |buf: &Buffer, y: u16| (0..80).map(|x| buf[(x, y)].bg == steel).collect::<Vec<_>>();
    for y in 16..20 {
        let mirrored: Vec<bool> = row(&back, y).into_iter().rev().collect();
        let same = row(&there, y).iter().zip(&mirrored).filter(|(a, b)| a == b).count();
        assert!(same >= 76, "row {y}");
        assert!(mirrored.iter().any(|steel| *steel), "row {y}");
    }
}

#[test]
fn finer_blocks_show_the_same_shapes() {
    let scene = scene(false);
    let steel = |blocks| {
        let theme = Theme { blocks, ..Theme::new(Colours::Full, Glyphs::Unicode) };
        let buf = cells(theme, &scene, (80, 30));
        let colour = theme.colour(Role::Steel);
        buf.content().iter().filter(|cell| cell.bg == colour || cell.fg == colour).count()
    };
    let counts = [Blocks::Halves, Blocks::Quadrants, Blocks::Octants].map(steel);
    assert!(counts.iter().all(|count| *count > 100 && count.abs_diff(counts[0]) < 12), "{counts:?}");
}

#[test]
fn without_colours_each_ink_has_an_outline_or_a_texture_of_its_own() {
    for theme in [Theme::new(Colours::None, Glyphs::Unicode), Theme::new(Colours::None, Glyphs::Ascii)] {
        let buf = cells(theme, &scene(false), (100, 36));
        assert!(buf.content().iter().all(|cell| (cell.fg, cell.bg) == (Color::Reset, Color::Reset)));
        let all = text(&buf);
        let inks = [Ink::Steel, Ink::Plate, Ink::Link, Ink::Bar, Ink::Wood, Ink::Filed, Ink::Gauge];
        let signs = inks.map(|ink| shapes::texture(theme, Some(ink)));
        for (at, sign) in signs.iter().enumerate() {
            assert!(!signs[..at].contains(sign), "{sign} stands for two");
        }
        assert!(signs[..5].iter().all(|sign| all.contains(*sign)), "{signs:?}");
    }
}

/// Every figure in a text.
fn figures(text: &str) -> std::collections::BTreeSet<String> {
    let parts = text.split(|sign: char| !(sign.is_ascii_digit() || sign == '.')).map(|part| part.trim_matches('.'));
    parts.filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// Each label and number of a drawing in SVG, without that of its scale.
fn texts_of_svg(page: &str) -> Vec<&str> {
    let texts = page.split("<text").skip(1).filter_map(|rest| rest.split_once('>')?.1.split_once("</text>"));
    texts.map(|(text, _)| text).filter(|text| !text.starts_with("5 mm")).collect()
}

#[test]
fn a_scene_says_the_same_figures_in_cells_and_in_svg() {
    let profile = built_in::named("three-eighths").unwrap();
    let spec = profile.spec();
    let (length, gap) = (Some(mm(6.4)), Some(mm(0.85)));
    let top = |hand| Top { spec, hand, length, target: deg(30.0), reading: Some(deg(27.5)) }.scene();
    let scenes = [
        scene(false),
        scene(true),
        Side { length, gap, ..Side::new(spec) }.scene(),
        top(Hand::Left),
        top(Hand::Right),
        Front { spec, hand: Hand::Left, length, gap, unit: Unit::Mm }.scene(),
    ];
    for mut scene in scenes {
        // The words under the picture stand beside the drawing on a page.
        scene.words.clear();
        let page = picture(&scene, "cutter", "", "", &maud::html! {}).into_string();
        let cells = text(&cells(Theme::new(Colours::Full, Glyphs::Unicode), &scene, (160, 60)));
        let said = texts_of_svg(&page);
        assert!(!said.is_empty() && said.iter().all(|said| cells.contains(said)), "{said:?}\n{cells}");
        assert_eq!(figures(&cells), figures(&said.join(" ")));
    }
}
