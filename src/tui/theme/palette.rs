//! The colours behind the roles: three looks, each for a dark and a light ground, in 24 bit and among the 256 that most
//! terminals have; and which of the terminal's own 16 stands for a shape.
//!
//! Words reach 4.5 : 1 and shapes 3 : 1 against black and a dark grey, or white and a light grey, and what lies side by
//! side stays apart under the common colour deficiencies: the tests compute both, after which nothing here may be
//! changed by eye alone.

#![allow(clippy::unreadable_literal, reason = "a colour is read as its six digits")]

use ratatui::style::Color;

use super::{Colours, Ground, Look};

/// What a colour is for. The order is that of the tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantArray)]
pub(super) enum Tone {
    Quiet,
    Good,
    Warn,
    Bad,
    Mark,
    Left,
    Right,
    Ask,
    Bite,
    Aim,
    Gap,
    Steel,
    Plate,
    Rivet,
    Link,
    Bar,
    Wood,
    Grain,
    Chip,
    Filed,
    Gauge,
}

/// How many tones there are.
const TONES: usize = 21;
/// A colour in 24 bit, and the one of the 256 that stands for it.
type Row = (u32, u8);

#[rustfmt::skip]
const BENCH_DARK: [Row; TONES] = [
    (0x9aa6b0, 248), (0x4cc9b0, 79), (0xf2b84b, 221), (0xff7d6e, 210), (0xffd75f, 221), (0x38acd2, 38),
    (0xeaa2ff, 219), (0xc9b3ff, 183), (0x7fb8ff, 75), (0xbf83d5, 140), (0xff9c7a, 216), (0xb3c2d1, 250),
    (0xe4ecf4, 255), (0x667481, 243), (0x8899a7, 246), (0x66727d, 242), (0xc0914f, 179), (0x8f6a35, 137),
    (0xffd88f, 222), (0xff8a3c, 208), (0x64cbab, 72),
];
#[rustfmt::skip]
const BENCH_LIGHT: [Row; TONES] = [
    (0x56616b, 59), (0x0a6b5e, 59), (0x5d6a14, 22), (0xcb2d1b, 124), (0x8a4b00, 94), (0x0b5f9e, 24),
    (0x772ab4, 91), (0x5a3fb0, 54), (0x1862c3, 25), (0x821ca2, 54), (0xb03a1c, 88), (0x254b69, 24),
    (0x1f3040, 236), (0x658f96, 66), (0x586b85, 241), (0x8384b3, 103), (0xa7783a, 101), (0x7d5522, 94),
    (0xd9651a, 166), (0xc2410c, 166), (0x0f8a76, 30),
];
#[rustfmt::skip]
const TIMBER_DARK: [Row; TONES] = [
    (0xa8a095, 247), (0x9edd76, 114), (0xf5b942, 221), (0xf0755a, 209), (0xffe08a, 222), (0x85c6ed, 117),
    (0xec9dc1, 218), (0xe0b0ff, 183), (0x8fbffe, 111), (0xe49ed2, 218), (0xff9a6b, 209), (0xc9c2b8, 251),
    (0xf2ece2, 255), (0x80756a, 243), (0x9f9b91, 247), (0x756a5f, 242), (0xb7723a, 173), (0x965f2f, 130),
    (0xffc978, 222), (0xf56a4a, 209), (0x8fcf5f, 113),
];
#[rustfmt::skip]
const TIMBER_LIGHT: [Row; TONES] = [
    (0x625a50, 240), (0x467004, 22), (0x5c3b00, 52), (0xab0534, 161), (0x7d4a00, 94), (0x175f8a, 24),
    (0x932560, 89), (0x6a35a0, 54), (0x3065ba, 25), (0x822596, 90), (0xa83c14, 88), (0x4e4742, 238),
    (0x2f2723, 235), (0x9c8473, 102), (0x746768, 241), (0x848a74, 101), (0x8c4c10, 88), (0x774518, 94),
    (0xc87402, 130), (0xc0341c, 124), (0x5b962a, 64),
];
#[rustfmt::skip]
const FROST_DARK: [Row; TONES] = [
    (0x93a7bd, 110), (0x58d0e8, 81), (0xffc95c, 221), (0xff7f8f, 210), (0xfff07a, 228), (0x7dd6ff, 117),
    (0xf497d8, 212), (0xbfb0ff, 147), (0x749ffa, 68), (0xddacff, 183), (0xff90a8, 211), (0x9fc3e8, 153),
    (0xe0f0ff, 253), (0x547494, 67), (0x7c98b7, 110), (0x566f8e, 67), (0xc8b070, 179), (0x978248, 137),
    (0xfff0b0, 229), (0xff7ab0, 211), (0x7fe0a0, 114),
];
#[rustfmt::skip]
const FROST_LIGHT: [Row; TONES] = [
    (0x4d6176, 60), (0x00687c, 24), (0x7a5600, 94), (0xb01f42, 161), (0x7d5600, 94), (0x0b6baa, 25),
    (0xa02081, 126), (0x5040b8, 26), (0x133490, 61), (0x7b31b9, 91), (0xb02850, 125), (0x304988, 25),
    (0x102f55, 60), (0x738ba4, 102), (0x4b7099, 67), (0x7884c7, 60), (0x94823f, 101), (0x6b5c22, 58),
    (0xb67e00, 130), (0xc81f78, 125), (0x198c57, 22),
];

impl Tone {
    /// Words, from which a reader wants more contrast than from a shape.
    #[cfg(test)]
    pub(super) const fn is_word(self) -> bool {
        (self as usize) < Self::Steel as usize
    }

    /// The colour of this tone, where there are enough of them.
    pub(super) const fn colour(self, colours: Colours, look: Look, ground: Ground) -> Color {
        let table = match (look, ground) {
            (Look::Bench, Ground::Dark) => &BENCH_DARK,
            (Look::Bench, Ground::Light) => &BENCH_LIGHT,
            (Look::Timber, Ground::Dark) => &TIMBER_DARK,
            (Look::Timber, Ground::Light) => &TIMBER_LIGHT,
            (Look::Frost, Ground::Dark) => &FROST_DARK,
            (Look::Frost, Ground::Light) => &FROST_LIGHT,
        };
        let (full, index) = table[self as usize];
        match colours {
            Colours::None => Color::Reset,
            Colours::Few => self.hue(ground),
            Colours::Many => Color::Indexed(index),
            Colours::Full => Color::from_u32(full),
        }
    }

    /// One of the six hues that a person's own palette has, for what is drawn; words keep the terminal's own colour.
    const fn hue(self, ground: Ground) -> Color {
        match ground {
            Ground::Dark => self.bright_hue(),
            Ground::Light => self.dark_hue(),
        }
    }

    const fn bright_hue(self) -> Color {
        match self {
            Self::Quiet | Self::Good | Self::Warn | Self::Bad | Self::Ask => Color::Reset,
            Self::Steel => Color::Cyan,
            Self::Plate | Self::Rivet | Self::Left => Color::LightCyan,
            Self::Link | Self::Bar | Self::Bite => Color::LightBlue,
            Self::Wood => Color::Yellow,
            Self::Grain | Self::Chip => Color::LightYellow,
            Self::Filed | Self::Mark | Self::Gap => Color::LightRed,
            Self::Right | Self::Aim => Color::LightMagenta,
            Self::Gauge => Color::LightGreen,
        }
    }

    const fn dark_hue(self) -> Color {
        match self {
            Self::Quiet | Self::Good | Self::Warn | Self::Bad | Self::Ask => Color::Reset,
            Self::Steel | Self::Left | Self::Bite => Color::Blue,
            Self::Plate | Self::Right | Self::Aim | Self::Filed | Self::Gauge => Color::Magenta,
            Self::Rivet | Self::Link | Self::Bar => Color::LightBlue,
            Self::Wood | Self::Mark | Self::Gap => Color::Red,
            Self::Grain | Self::Chip => Color::LightRed,
        }
    }
}
