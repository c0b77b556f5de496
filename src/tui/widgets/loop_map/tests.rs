use std::collections::BTreeSet;

use ratatui::style::Modifier;
use strum::VariantArray;
use unicode_width::UnicodeWidthStr;

use super::*;
use crate::chain::nth;
use crate::tui::theme::{Colours, Glyphs};

const ASCII: Theme = Theme::new(Colours::None, Glyphs::Ascii);

fn cells(count: u16) -> Vec<MapCell> {
    (1..=count)
        .map(|number| MapCell {
            number: nth(number),
            side: if number % 2 == 1 { Side::Left } else { Side::Right },
            sign: MapSign::Damaged,
        })
        .collect()
}

fn drawn(map: &LoopMap<'_>, columns: u16, rows: u16) -> Buffer {
    let mut buf = Buffer::empty(Rect::new(0, 0, columns, rows));
    map.render(buf.area, &mut buf);
    buf
}

fn count_of(buf: &Buffer, sign: &str) -> usize {
    buf.content().iter().filter(|cell| cell.symbol() == sign).count()
}

#[test]
fn every_sign_is_one_column_and_its_own() {
    for theme in [Theme::default(), ASCII] {
        let signs: BTreeSet<&str> = MapSign::VARIANTS.iter().map(|sign| sign.sign(theme)).collect();
        let words: BTreeSet<&str> = MapSign::VARIANTS.iter().map(|sign| sign.word()).collect();
        assert_eq!((signs.len(), words.len()), (MapSign::VARIANTS.len(), MapSign::VARIANTS.len()));
        // Lines of the bar must not look like a cutter.
        for line in [Glyph::Line, Glyph::Bar, Glyph::Start, Glyph::More] {
            assert!(!signs.contains(theme.glyph(line)), "{line:?}");
        }
        assert!(signs.iter().all(|sign| sign.width() == 1 && (!theme.ascii() || sign.is_ascii())));
    }
}

#[test]
fn every_cutter_of_any_loop_is_on_the_bar_at_eighty_columns() {
    for count in 10..=140 {
        let cells = cells(count);
        let map = LoopMap { theme: ASCII, cells: &cells, current: None };
        assert!(matches!(map.shape(78, 5), MapShape::Bar { .. }), "{count}");
        for rows in [5, 7, 9] {
            assert_eq!(count_of(&drawn(&map, 78, rows), "!"), usize::from(count), "{count} in {rows} rows");
        }
    }
}

#[test]
fn the_form_goes_by_the_room() {
    let cells = cells(66);
    let map = LoopMap { theme: ASCII, cells: &cells, current: Some(nth(12)) };
    assert_eq!(map.shape(78, 5), MapShape::Bar { step: 2, sides: false });
    assert_eq!(map.shape(78, 7), MapShape::Bar { step: 2, sides: true });
    assert_eq!(map.shape(36, 7), MapShape::Bar { step: 1, sides: true });
    assert_eq!(map.shape(30, 4), MapShape::Rows { per_row: 20 });
    assert_eq!(map.shape(78, 1), MapShape::Strip);
    assert_eq!(map.shape(12, 3), MapShape::Strip);
    assert_eq!(map.shape(0, 5), MapShape::Nothing);
    assert_eq!(LoopMap { cells: &[], ..map }.shape(78, 5), MapShape::Nothing);
}

#[test]
fn rows_hold_every_cutter() {
    let cells = cells(66);
    let map = LoopMap { theme: ASCII, cells: &cells, current: Some(nth(12)) };
    assert_eq!(count_of(&drawn(&map, 30, 4), "!"), 66);
}

#[test]
fn the_cutter_in_hand_is_the_only_reversed_sign_in_every_form_and_theme() {
    let cells = cells(66);
    for theme in [Theme::default(), ASCII, Theme { contrast: true, ..Theme::default() }] {
        for current in [1, 2, 12, 33, 34, 35, 65, 66] {
            for (columns, rows) in [(78, 5), (78, 7), (36, 5), (30, 4), (78, 1), (20, 2), (20, 3), (8, 1), (1, 1)] {
                let map = LoopMap { theme, cells: &cells, current: Some(nth(current)) };
                let buf = drawn(&map, columns, rows);
                let reversed: Vec<&str> = buf
                    .content()
                    .iter()
                    .filter(|cell| cell.modifier.contains(Modifier::REVERSED))
                    .map(ratatui::buffer::Cell::symbol)
                    .collect();
                let signs = reversed.iter().filter(|sign| **sign == "!").count();
                assert_eq!(signs, 1, "{current} in {columns}x{rows}: {reversed:?}");
                let others = reversed.iter().filter(|sign| !"![]0123456789".contains(**sign)).count();
                assert_eq!(others, 0, "{current} in {columns}x{rows}: {reversed:?}");
            }
        }
    }
}

#[test]
fn a_strip_says_where_more_cutters_follow() {
    let cells = cells(66);
    let row = |current, columns| {
        let buf = drawn(&LoopMap { theme: ASCII, cells: &cells, current: Some(nth(current)) }, columns, 1);
        buf.content().iter().map(ratatui::buffer::Cell::symbol).collect::<String>()
    };
    assert_eq!(row(1, 16), "[!]! ! ! ! ! ! ~");
    assert_eq!(row(33, 16), "~! ! ![!]! ! ! ~");
    assert_eq!(row(66, 16).chars().next(), Some('~'));
    assert_eq!(row(66, 16).trim_end().chars().last(), Some(']'));
}

#[test]
fn a_current_number_that_is_not_there_harms_nothing() {
    let cells = cells(20);
    for current in [None, Some(nth(999))] {
        let buf = drawn(&LoopMap { theme: ASCII, cells: &cells, current }, 78, 5);
        assert!(buf.content().iter().all(|cell| !cell.modifier.contains(Modifier::REVERSED)));
    }
}
