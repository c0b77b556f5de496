use unicode_width::UnicodeWidthStr;

use super::*;
use crate::units::deg;
use strum::VariantArray;

fn all_themes() -> impl Iterator<Item = Theme> {
    [Colours::None, Colours::Few, Colours::Full].into_iter().flat_map(|colours| {
        [Glyphs::Unicode, Glyphs::Ascii]
            .into_iter()
            .flat_map(move |glyphs| [false, true].map(|contrast| Theme { colours, glyphs, contrast }))
    })
}

/// Relative luminance as WCAG 2.2 (W3C) defines it.
fn luminance((red, green, blue): (u8, u8, u8)) -> f64 {
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// The smaller of the contrast ratios against black and against white.
fn worst_contrast(colour: (u8, u8, u8)) -> f64 {
    let light = luminance(colour);
    ((light + 0.05) / 0.05).min(1.05 / (light + 0.05))
}

#[test]
fn own_colours_reach_the_text_ratio_on_black_and_on_white() {
    let theme = Theme { colours: Colours::Full, ..Theme::default() };
    let mut seen = 0;
    for role in Role::VARIANTS.iter().copied() {
        if let Color::Rgb(red, green, blue) = theme.colour(role) {
            assert!(worst_contrast((red, green, blue)) >= 4.5, "{role:?}");
            seen += 1;
        }
    }
    assert!(seen >= 8, "only {seen} roles have a colour");
}

#[test]
fn the_few_colours_reach_the_large_text_ratio_in_two_usual_palettes() {
    // Palettes from memory: the defaults of xterm and of the PC text console.
    let palettes = |colour| match colour {
        Color::LightBlue => vec![(0x5c, 0x5c, 0xff), (0x55, 0x55, 0xff)],
        Color::LightRed => vec![(0xff, 0x00, 0x00), (0xff, 0x55, 0x55)],
        Color::Magenta => vec![(0xcd, 0x00, 0xcd), (0xaa, 0x00, 0xaa)],
        Color::Reset => vec![],
        other => panic!("{other} was not checked on both grounds"),
    };
    let theme = Theme::default();
    for role in Role::VARIANTS.iter().copied() {
        for colour in palettes(theme.colour(role)) {
            assert!(worst_contrast(colour) >= 3.0, "{role:?}");
        }
    }
}

#[test]
fn no_single_colour_could_serve_high_contrast_on_both_grounds() {
    let best = (0..=255).map(|grey| worst_contrast((grey, grey, grey))).fold(0.0, f64::max);
    assert!(best < 7.0, "{best}");
    let theme = Theme { colours: Colours::Full, contrast: true, ..Theme::default() };
    for role in Role::VARIANTS.iter().copied() {
        assert_eq!(theme.colour(role), Color::Reset, "{role:?}");
        assert!(!theme.style(role).add_modifier.contains(Modifier::DIM), "{role:?}");
    }
}

#[test]
fn no_theme_sets_a_background_and_bare_themes_set_no_colour() {
    for theme in all_themes() {
        for role in Role::VARIANTS.iter().copied() {
            let style = theme.style(role);
            assert_eq!(style.bg, None, "{role:?}");
            if theme.colours == Colours::None {
                assert_eq!(style.fg, Some(Color::Reset), "{role:?}");
            }
        }
    }
}

#[test]
fn what_matters_stands_out_in_every_theme() {
    for theme in all_themes() {
        let plain = theme.style(Role::Text);
        for role in [Role::Now, Role::Current, Role::Selected, Role::Field, Role::Question, Role::Bad, Role::Warn] {
            assert_ne!(theme.style(role), plain, "{role:?} in {theme:?}");
        }
        for role in [Role::Current, Role::Now, Role::Selected, Role::Question] {
            assert!(theme.style(role).add_modifier.contains(Modifier::REVERSED), "{role:?} in {theme:?}");
        }
        assert_ne!(theme.style(Role::Bad), theme.style(Role::Good));
    }
}

#[test]
fn every_glyph_is_one_column_and_the_ascii_set_is_ascii() {
    for theme in all_themes() {
        for glyph in Glyph::VARIANTS.iter().copied() {
            let sign = theme.glyph(glyph);
            assert_eq!(sign.width(), 1, "{glyph:?}");
            assert_eq!(sign.chars().count(), 1, "{glyph:?}");
            assert!(!theme.ascii() || sign.is_ascii(), "{glyph:?}");
        }
    }
}

#[test]
fn the_environment_decides_as_documented() {
    let of = Theme::from_env;
    let plain = |colours, glyphs| Theme { colours, glyphs, contrast: false };
    let xterm = Some("xterm-256color");
    assert_eq!(of(None, xterm, Some("en_GB.UTF-8")), plain(Colours::Few, Glyphs::Unicode));
    assert_eq!(of(Some(""), xterm, None), plain(Colours::Few, Glyphs::Unicode));
    assert_eq!(of(Some("1"), xterm, Some("de_DE.utf8")), plain(Colours::None, Glyphs::Unicode));
    assert_eq!(of(None, Some("dumb"), Some("en_GB.UTF-8")), plain(Colours::None, Glyphs::Ascii));
    assert_eq!(of(None, Some("linux"), Some("en_GB.UTF-8")), plain(Colours::Few, Glyphs::Ascii));
    assert_eq!(of(None, xterm, Some("C")), plain(Colours::Few, Glyphs::Ascii));
    assert_eq!(of(None, None, None), plain(Colours::Few, Glyphs::Unicode));
}

#[test]
fn angles_are_written_in_the_theme_s_signs() {
    assert_eq!(Theme::default().angle(deg(30.0)), "30.0°");
    assert_eq!(Theme { glyphs: Glyphs::Ascii, ..Theme::default() }.angle(deg(-0.01)), "0.0 deg");
}
