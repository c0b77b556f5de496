use unicode_width::UnicodeWidthStr;

use super::palette::Tone;
use super::*;
use crate::units::deg;
use strum::VariantArray;

fn all_themes() -> impl Iterator<Item = Theme> {
    Colours::VARIANTS.iter().flat_map(|colours| {
        [Glyphs::Unicode, Glyphs::Ascii]
            .into_iter()
            .flat_map(move |glyphs| [false, true].map(|contrast| Theme { contrast, ..Theme::new(*colours, glyphs) }))
    })
}

/// Every palette of our own.
fn palettes() -> impl Iterator<Item = Theme> {
    [Colours::Many, Colours::Full].into_iter().flat_map(|colours| {
        Look::VARIANTS.iter().flat_map(move |look| {
            let theme = Theme { look: *look, ..Theme::new(colours, Glyphs::Unicode) };
            Ground::VARIANTS.iter().map(move |ground| Theme { ground: *ground, ..theme })
        })
    })
}

fn linear(channel: u8) -> f64 {
    let share = f64::from(channel) / 255.0;
    if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
}

/// Relative luminance as WCAG 2.2 (W3C) defines it.
fn luminance((red, green, blue): (u8, u8, u8)) -> f64 {
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

fn contrast(one: (u8, u8, u8), other: (u8, u8, u8)) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The smaller of the contrast ratios against black and against white.
fn worst_contrast(colour: (u8, u8, u8)) -> f64 {
    contrast(colour, (0, 0, 0)).min(contrast(colour, (255, 255, 255)))
}

/// A colour as numbers. The 216 of the cube and the 24 greys are those that xterm's manual page (ctlseqs, colour setting)
/// gives and others follow.
fn rgb(colour: Color) -> (u8, u8, u8) {
    match colour {
        Color::Rgb(red, green, blue) => (red, green, blue),
        Color::Indexed(index @ 16..=231) => {
            let level = |step: u8| [0, 95, 135, 175, 215, 255][usize::from(step % 6)];
            let at = index - 16;
            (level(at / 36), level(at / 6), level(at))
        }
        Color::Indexed(index @ 232..) => {
            let grey = 8 + 10 * (index - 232);
            (grey, grey, grey)
        }
        other => panic!("{other} is the person's own"),
    }
}

/// What a person may have behind the words and call dark or light.
fn grounds(ground: Ground) -> [(u8, u8, u8); 2] {
    match ground {
        Ground::Dark => [(0, 0, 0), (0x20, 0x20, 0x20)],
        Ground::Light => [(255, 255, 255), (0xf0, 0xf0, 0xf0)],
    }
}

#[test]
fn words_and_shapes_reach_their_contrast_on_both_grounds_in_every_palette() {
    let mut seen = 0;
    for theme in palettes() {
        for tone in Tone::VARIANTS.iter().copied() {
            let colour = rgb(tone.colour(theme.colours, theme.look, theme.ground));
            let needed = if tone.is_word() { 4.5 } else { 3.0 };
            for ground in grounds(theme.ground) {
                let reached = contrast(colour, ground);
                assert!(reached >= needed, "{tone:?} in {theme:?} reaches {reached:.2} on {ground:?}");
            }
            seen += 1;
        }
        // Words are cut out of steel, so the ground must be read on it.
        let steel = rgb(theme.colour(Role::Steel));
        assert!(grounds(theme.ground).iter().all(|ground| contrast(steel, *ground) >= 4.5), "{theme:?}");
    }
    assert_eq!(seen, 12 * Tone::VARIANTS.len());
    let quiet = Theme { colours: Colours::Full, ..Theme::default() }.style(Role::Quiet);
    assert!(quiet.add_modifier.is_empty() && quiet.fg != Some(Color::Reset), "the quiet role is a colour, not dimmed");
}

/// Machado, Oliveira, Fernandes: A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE
/// Transactions on Visualization and Computer Graphics 15 (2009); severity 1.0, for linear RGB. The first is no deficiency.
const VISION: [[[f64; 3]; 3]; 4] = [
    [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    [[0.152_286, 1.052_583, -0.204_868], [0.114_503, 0.786_281, 0.099_216], [-0.003_882, -0.048_116, 1.051_998]],
    [[0.367_322, 0.860_646, -0.227_968], [0.280_085, 0.672_501, 0.047_413], [-0.011_820, 0.042_940, 0.968_881]],
    [[1.255_528, -0.076_749, -0.178_779], [-0.078_411, 0.930_809, 0.147_602], [0.004_733, 0.691_367, 0.303_900]],
];

/// Lightness, red to green, blue to yellow (CIE 1976 L*a*b*, D65) as seen with that vision.
fn seen(colour: (u8, u8, u8), vision: &[[f64; 3]; 3]) -> [f64; 3] {
    let linear = [colour.0, colour.1, colour.2].map(linear);
    let sum = |row: [f64; 3], of: [f64; 3]| row.iter().zip(of).map(|(share, value)| share * value).sum::<f64>();
    let light = vision.map(|row| sum(row, linear).clamp(0.0, 1.0));
    let bend = |share: f64| if share > 0.008_856 { share.cbrt() } else { 7.787 * share + 16.0 / 116.0 };
    let red_like = bend(sum([0.4124, 0.3576, 0.1805], light) / 0.950_47);
    let lightness = bend(sum([0.2126, 0.7152, 0.0722], light));
    let blue_like = bend(sum([0.0193, 0.1192, 0.9505], light) / 1.088_83);
    [116.0 * lightness - 16.0, 500.0 * (red_like - lightness), 200.0 * (lightness - blue_like)]
}

#[test]
fn what_lies_side_by_side_stays_apart_under_every_common_colour_deficiency() {
    use Tone::{
        Aim, Bad, Bar, Bite, Chip, Filed, Gap, Gauge, Good, Grain, Left, Link, Plate, Right, Rivet, Steel, Warn, Wood,
    };
    let pairs = [
        (Steel, Wood),
        (Steel, Link),
        (Steel, Plate),
        (Steel, Rivet),
        (Steel, Filed),
        (Steel, Chip),
        (Steel, Bar),
        (Link, Bar),
        (Link, Rivet),
        (Wood, Chip),
        (Wood, Plate),
        (Wood, Grain),
        (Plate, Filed),
        (Plate, Chip),
        (Gauge, Steel),
        (Gauge, Wood),
        (Gauge, Link),
        (Good, Bad),
        (Good, Warn),
        (Warn, Bad),
        (Left, Right),
        (Bite, Aim),
        (Gap, Bite),
        (Gap, Aim),
    ];
    for theme in palettes() {
        for (one, other) in pairs {
            // Grain is a texture; everything else must be told at a glance: about ten just noticeable differences of 1.
            let least = if one == Grain || other == Grain { 8.0 } else { 10.0 };
            for vision in &VISION {
                let of = |tone: Tone| seen(rgb(tone.colour(theme.colours, theme.look, theme.ground)), vision);
                let apart = of(one).iter().zip(of(other)).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt();
                assert!(apart >= least, "{one:?} and {other:?} in {theme:?}: {apart:.1}");
            }
        }
    }
}

#[test]
fn the_sixteen_are_six_hues_for_shapes_and_reach_their_contrast_in_two_usual_palettes() {
    // Palettes from memory: the defaults of xterm and of the PC text console.
    let palettes = |colour| match colour {
        Color::Cyan => [(0x00, 0xcd, 0xcd), (0x00, 0xaa, 0xaa)],
        Color::Yellow => [(0xcd, 0xcd, 0x00), (0xaa, 0x55, 0x00)],
        Color::Blue => [(0x00, 0x00, 0xee), (0x00, 0x00, 0xaa)],
        Color::Magenta => [(0xcd, 0x00, 0xcd), (0xaa, 0x00, 0xaa)],
        Color::Red => [(0xcd, 0x00, 0x00), (0xaa, 0x00, 0x00)],
        Color::LightBlue => [(0x5c, 0x5c, 0xff), (0x55, 0x55, 0xff)],
        Color::LightRed => [(0xff, 0x00, 0x00), (0xff, 0x55, 0x55)],
        Color::LightCyan => [(0x00, 0xff, 0xff), (0x55, 0xff, 0xff)],
        Color::LightGreen => [(0x00, 0xff, 0x00), (0x55, 0xff, 0x55)],
        Color::LightYellow => [(0xff, 0xff, 0x00), (0xff, 0xff, 0x55)],
        Color::LightMagenta => [(0xff, 0x00, 0xff), (0xff, 0x55, 0xff)],
        other => panic!("{other} is none of the six hues"),
    };
    for ground in Ground::VARIANTS.iter().copied() {
        for tone in Tone::VARIANTS.iter().copied() {
            let colour = tone.colour(Colours::Few, Look::Bench, ground);
            if matches!(tone, Tone::Quiet | Tone::Good | Tone::Warn | Tone::Bad | Tone::Ask) {
                assert_eq!(colour, Color::Reset, "{tone:?} is for words");
                continue;
            }
            for shade in palettes(colour) {
                assert!(contrast(shade, grounds(ground)[0]) >= 3.0, "{tone:?} on {ground:?}");
            }
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
    let told = |no_color, term, locale| Theme::from_env(&Told { no_color, term, locale, ..Told::default() });
    let plain = Theme::new;
    let xterm = Some("xterm-256color");
    assert_eq!(told(None, xterm, Some("en_GB.UTF-8")), plain(Colours::Many, Glyphs::Unicode));
    assert_eq!(told(Some(""), Some("xterm"), None), plain(Colours::Few, Glyphs::Unicode));
    assert_eq!(told(Some("1"), xterm, Some("de_DE.utf8")), plain(Colours::None, Glyphs::Unicode));
    assert_eq!(told(None, Some("dumb"), Some("en_GB.UTF-8")), plain(Colours::None, Glyphs::Ascii));
    assert_eq!(told(None, Some("linux"), Some("en_GB.UTF-8")), plain(Colours::Few, Glyphs::Ascii));
    assert_eq!(told(None, xterm, Some("C")), plain(Colours::Many, Glyphs::Ascii));
    assert_eq!(told(None, None, None), plain(Colours::Few, Glyphs::Unicode));
    let full = Told { term: xterm, colorterm: Some("truecolor"), ..Told::default() };
    assert_eq!(Theme::from_env(&full).colours, Colours::Full);
    let ground = |colorfgbg| Theme::from_env(&Told { colorfgbg, ..full }).ground;
    for (said, meant) in
        [("15;0", Ground::Dark), ("0;15", Ground::Light), ("0;default;7", Ground::Light), ("x", Ground::Dark)]
    {
        assert_eq!(ground(Some(said)), meant, "{said}");
    }
    assert_eq!(ground(None), Ground::Dark);
}

#[test]
fn angles_are_written_in_the_theme_s_signs() {
    assert_eq!(Theme::default().angle(deg(30.0)), "30.0°");
    assert_eq!(Theme { glyphs: Glyphs::Ascii, ..Theme::default() }.angle(deg(-0.01)), "0.0 deg");
}
