//! What things look like, by the role they play; no screen names a colour.
//!
//! Colour is only ever an accent: a sign, a word or a place says the same. No background is set except under filled shapes,
//! so the person's own light or dark ground stays; the palette is made for either (`palette`). Glyphs are one column
//! wide and come in a second, plain ASCII set.
//!
//! The theme reads no environment and asks no terminal: whoever starts the program hands the values in.

mod glyph;
mod palette;
mod role;

use ratatui::style::{Color, Modifier, Style};
use ratatui::symbols::border;
use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

use crate::units::Degrees;
pub use glyph::Glyph;
pub use role::Role;
use role::look;

/// How much colour the terminal is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Colours {
    /// None at all: bold, dim, underline and reverse only.
    None,
    /// The terminal's own 16, so that the person's palette decides: hues for what is drawn, none for words.
    #[default]
    Few,
    /// Colours of our own among the 256 that most terminals have.
    Many,
    /// The same in 24 bit.
    Full,
}

/// What the person's terminal has behind the words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Ground {
    /// Black or nearly so.
    #[default]
    Dark,
    /// White or nearly so.
    Light,
}

impl Ground {
    /// What `COLORFGBG` says: numbers of the 16 colours, the last one for the ground.
    fn of(told: &str) -> Option<Self> {
        let last = told.rsplit(';').next()?.trim().parse::<u8>().ok()?;
        match last {
            0..=6 | 8 => Some(Self::Dark),
            7 | 9..=15 => Some(Self::Light),
            _ => None,
        }
    }
}

/// Which palette.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Look {
    /// Cool steel, orange where it is filed.
    #[default]
    Bench,
    /// Warm greys, green and red-brown.
    Timber,
    /// Blue steel on pale wood.
    Frost,
}

/// How finely filled shapes are drawn. A terminal cannot be asked what its font has, so this is a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Blocks {
    /// Two a cell, one over the other.
    Halves,
    /// Four a cell: in every font.
    #[default]
    Quadrants,
    /// Eight a cell: finer, in newer fonts only (Unicode 16).
    Octants,
}

/// Which set of signs is drawn. A terminal cannot be asked what its font has, so this is a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Glyphs {
    /// Lines, blocks and Braille dots.
    #[default]
    Unicode,
    /// Nothing outside ASCII.
    Ascii,
}

/// How everything looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Theme {
    /// How much colour.
    pub colours: Colours,
    /// Which signs.
    pub glyphs: Glyphs,
    /// High contrast: the person's own text colour only, nothing dim. No single colour reaches 7 : 1 on both a black
    /// and a white ground, so colour gives way here.
    pub contrast: bool,
    /// What stands behind the words.
    pub ground: Ground,
    /// Which palette.
    pub look: Look,
    /// How finely shapes are drawn.
    pub blocks: Blocks,
}

/// What the environment says: the values of its variables, where they are set.
#[derive(Debug, Clone, Copy, Default)]
pub struct Told<'a> {
    /// `NO_COLOR`; an empty one does not count.
    pub no_color: Option<&'a str>,
    /// `TERM`.
    pub term: Option<&'a str>,
    /// `COLORTERM`.
    pub colorterm: Option<&'a str>,
    /// `COLORFGBG`.
    pub colorfgbg: Option<&'a str>,
    /// `LC_ALL`, `LC_CTYPE` or `LANG`, whichever counts.
    pub locale: Option<&'a str>,
}

impl Theme {
    /// A theme of so much colour and those signs, everything else as it is at first.
    pub const fn new(colours: Colours, glyphs: Glyphs) -> Self {
        let (ground, look, blocks) = (Ground::Dark, Look::Bench, Blocks::Quadrants);
        Self { colours, glyphs, contrast: false, ground, look, blocks }
    }

    /// A theme from what the environment says.
    ///
    /// `TERM=dumb` gets neither colour nor line drawing; the Linux text console (`TERM=linux`) has no Braille and a
    /// locale without UTF-8 no lines, so both get ASCII.
    pub fn from_env(told: &Told) -> Self {
        let term = told.term.unwrap_or_default();
        let dumb = term == "dumb";
        let utf8 = told.locale.filter(|name| !name.is_empty()).is_none_or(|name| {
            let name = name.to_ascii_lowercase();
            name.contains("utf-8") || name.contains("utf8")
        });
        let colours = if dumb || told.no_color.is_some_and(|value| !value.is_empty()) {
            Colours::None
        } else if matches!(told.colorterm, Some("truecolor" | "24bit")) {
            Colours::Full
        } else if term.contains("256color") {
            Colours::Many
        } else {
            Colours::Few
        };
        let glyphs = if dumb || term == "linux" || !utf8 { Glyphs::Ascii } else { Glyphs::Unicode };
        Self { ground: told.colorfgbg.and_then(Ground::of).unwrap_or_default(), ..Self::new(colours, glyphs) }
    }

    /// True with the ASCII signs.
    pub fn ascii(&self) -> bool {
        self.glyphs == Glyphs::Ascii
    }

    /// Colour is used at all.
    pub fn coloured(&self) -> bool {
        self.colours != Colours::None && !self.contrast
    }

    /// The look of a role. The text colour is always set (to the terminal's own where there is no accent) and a
    /// background never.
    pub fn style(&self, role: Role) -> Style {
        let (tone, with_colour, bare) = look(role);
        let few = self.colours == Colours::Few;
        let mut modifier =
            if self.coloured() && !(few && self.colour(role) == Color::Reset) { with_colour } else { bare };
        if self.contrast || few || (self.coloured() && tone.is_some()) {
            modifier.remove(Modifier::DIM);
        }
        Style::new().fg(self.colour(role)).add_modifier(modifier)
    }

    /// The colour alone, for what is drawn dot by dot or filled.
    pub fn colour(&self, role: Role) -> Color {
        match look(role).0 {
            Some(tone) if self.coloured() => tone.colour(self.colours, self.look, self.ground),
            _ => Color::Reset,
        }
    }

    /// A text as it may be written with these signs.
    pub fn text(&self, text: &str) -> String {
        if !self.ascii() {
            return text.to_owned();
        }
        text.replace('°', " deg").replace('→', ">").replace('←', "<")
    }

    /// A sign, one column wide.
    pub const fn glyph(&self, glyph: Glyph) -> &'static str {
        let (unicode, ascii) = glyph.forms();
        match self.glyphs {
            Glyphs::Unicode => unicode,
            Glyphs::Ascii => ascii,
        }
    }

    /// The same as one character.
    pub fn sign(&self, glyph: Glyph) -> char {
        self.glyph(glyph).chars().next().unwrap_or(' ')
    }

    /// An angle to a tenth of a degree: `30.0°`, or `30.0 deg` in ASCII.
    pub fn angle(&self, angle: Degrees) -> String {
        let text = angle.to_string();
        match (self.glyphs, text.strip_suffix(" deg")) {
            (Glyphs::Unicode, Some(number)) => format!("{number}°"),
            _ => text,
        }
    }

    /// Lines of a box.
    pub const fn border(&self) -> border::Set<'static> {
        border::Set {
            top_left: self.glyph(Glyph::UpperLeft),
            top_right: self.glyph(Glyph::UpperRight),
            bottom_left: self.glyph(Glyph::LowerLeft),
            bottom_right: self.glyph(Glyph::LowerRight),
            vertical_left: self.glyph(Glyph::Bar),
            vertical_right: self.glyph(Glyph::Bar),
            horizontal_top: self.glyph(Glyph::Line),
            horizontal_bottom: self.glyph(Glyph::Line),
        }
    }
}

#[cfg(test)]
mod tests;
