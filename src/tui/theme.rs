//! What things look like, by the role they play; no screen names a colour.
//!
//! Colour is only ever an accent: a sign, a word or a place says the same. No background is set, so the person's own
//! light or dark ground stays; the few accents used keep enough contrast on both (the tests compute it). Glyphs are
//! one column wide and come in a second, plain ASCII set.
//!
//! The theme reads no environment: whoever starts the program hands the values in.

use ratatui::style::{Color, Modifier, Style};
use ratatui::symbols::border;
use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

use crate::chain::Side;
use crate::units::Degrees;

/// How much colour the terminal is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Colours {
    /// None at all: bold, dim, underline and reverse only.
    None,
    /// The terminal's own 16, so that the person's palette decides.
    #[default]
    Few,
    /// Colours of our own, each at least 4.5 : 1 against both black and white.
    Full,
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

/// What a piece of the screen is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Role {
    /// Ordinary text.
    Text,
    /// Text that can wait.
    Quiet,
    /// Heading of a screen or part.
    Title,
    /// What to do now.
    Now,
    /// Where a reading is typed.
    Field,
    /// As it should be.
    Good,
    /// Wants a look.
    Warn,
    /// Wrong, or dangerous.
    Bad,
    /// A key to press.
    Key,
    /// What that key does.
    KeyName,
    /// Left-hand cutters.
    Left,
    /// Right-hand cutters.
    Right,
    /// The row that a list stands on.
    Selected,
    /// The cutter in hand.
    Current,
    /// Lines and axes.
    Frame,
    /// The witness mark.
    Mark,
    /// First curve.
    Curve1,
    /// Second curve.
    Curve2,
    /// Third curve.
    Curve3,
    /// Not measured yet.
    Unmeasured,
    /// A question that must be answered.
    Question,
}

impl Role {
    /// The role of cutters of that hand.
    pub const fn of_side(side: Side) -> Self {
        match side {
            Side::Left => Self::Left,
            Side::Right => Self::Right,
        }
    }
}

/// A sign by its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Glyph {
    /// The start mark of a loop.
    Start,
    /// A measured point.
    Point,
    /// The value in hand on a scale.
    Here,
    /// More than is shown.
    More,
    /// Leads on to the right.
    Forward,
    /// Leads on to the left.
    Back,
    /// Upward.
    Up,
    /// Downward.
    Down,
    /// Horizontal line.
    Line,
    /// Vertical line.
    Bar,
    /// Upper left corner.
    UpperLeft,
    /// Upper right corner.
    UpperRight,
    /// Lower left corner.
    LowerLeft,
    /// Lower right corner.
    LowerRight,
    /// A tick on an upright axis.
    TickLeft,
    /// A tick under a level axis.
    TickDown,
    /// A target on a scale.
    Target,
    /// Inside a tolerance zone.
    Zone,
    /// Done part of a bar.
    Full,
    /// Part of a bar still to do.
    Empty,
    /// Faint dot of a background line.
    Faint,
    /// Taken, done.
    Done,
    /// Separates short notes.
    Bullet,
}

impl Glyph {
    /// Unicode and ASCII form.
    const fn forms(self) -> (&'static str, &'static str) {
        match self {
            Self::Start => ("║", "|"),
            Self::Point => ("•", "o"),
            Self::Here => ("●", "x"),
            Self::More => ("…", "~"),
            Self::Forward => ("→", ">"),
            Self::Back => ("←", "<"),
            Self::Up => ("↑", "^"),
            Self::Down => ("↓", "v"),
            Self::Line => ("─", "-"),
            Self::Bar => ("│", "|"),
            Self::UpperLeft => ("╭", "."),
            Self::UpperRight => ("╮", "."),
            Self::LowerLeft => ("╰", "'"),
            Self::LowerRight => ("╯", "'"),
            Self::TickLeft => ("┤", "+"),
            Self::TickDown => ("┬", "+"),
            Self::Target => ("┼", "|"),
            Self::Zone => ("═", "="),
            Self::Full => ("█", "#"),
            Self::Empty => ("░", "."),
            Self::Faint => ("·", "."),
            Self::Done => ("✓", "*"),
            Self::Bullet => ("·", "-"),
        }
    }
}

/// The accents; which colour each becomes depends on [`Colours`].
#[derive(Clone, Copy, PartialEq, Eq)]
enum Accent {
    Plain,
    Blue,
    Red,
    Purple,
    Orange,
    Teal,
}

impl Accent {
    /// Among the terminal's 16, only bright blue, bright red and magenta can be read on black **and** on white in the
    /// usual palettes; orange and teal therefore borrow magenta and blue.
    const fn colour(self, colours: Colours) -> Color {
        match (colours, self) {
            (Colours::None, _) | (_, Self::Plain) => Color::Reset,
            (Colours::Few, Self::Blue | Self::Teal) => Color::LightBlue,
            (Colours::Few, Self::Red) => Color::LightRed,
            (Colours::Few, Self::Purple | Self::Orange) => Color::Magenta,
            (Colours::Full, Self::Blue) => Color::Rgb(0x12, 0x73, 0xe2),
            (Colours::Full, Self::Red) => Color::Rgb(0xe0, 0x2e, 0x12),
            (Colours::Full, Self::Purple) => Color::Rgb(0xbb, 0x3c, 0xc6),
            (Colours::Full, Self::Orange) => Color::Rgb(0xb3, 0x5f, 0x00),
            (Colours::Full, Self::Teal) => Color::Rgb(0x00, 0x84, 0x79),
        }
    }
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
}

impl Theme {
    /// A theme from what the environment says: the values of `NO_COLOR`, `TERM` and the character-set locale
    /// (`LC_ALL`, `LC_CTYPE` or `LANG`, whichever counts).
    ///
    /// An empty `NO_COLOR` does not count. `TERM=dumb` gets neither colour nor line drawing; the Linux text console
    /// (`TERM=linux`) has no Braille and a locale without UTF-8 no lines, so both get ASCII.
    pub fn from_env(no_color: Option<&str>, term: Option<&str>, locale: Option<&str>) -> Self {
        let dumb = term == Some("dumb");
        let utf8 = locale.filter(|name| !name.is_empty()).is_none_or(|name| {
            let name = name.to_ascii_lowercase();
            name.contains("utf-8") || name.contains("utf8")
        });
        let bare = dumb || no_color.is_some_and(|value| !value.is_empty());
        Self {
            colours: if bare { Colours::None } else { Colours::Few },
            glyphs: if dumb || term == Some("linux") || !utf8 { Glyphs::Ascii } else { Glyphs::Unicode },
            contrast: false,
        }
    }

    /// True with the ASCII signs.
    pub fn ascii(&self) -> bool {
        self.glyphs == Glyphs::Ascii
    }

    /// The look of a role. The text colour is always set (to the terminal's own where there is no accent) and a
    /// background never.
    pub fn style(&self, role: Role) -> Style {
        let (accent, with_colour, bare) = look(role);
        let coloured = self.colours != Colours::None && !self.contrast;
        let colour = accent.colour(if coloured { self.colours } else { Colours::None });
        let mut modifier = if coloured { with_colour } else { bare };
        if self.contrast {
            modifier.remove(Modifier::DIM);
        }
        Style::new().fg(colour).add_modifier(modifier)
    }

    /// The text colour alone, for what is drawn dot by dot.
    pub fn colour(&self, role: Role) -> Color {
        self.style(role).fg.unwrap_or(Color::Reset)
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

/// Accent, modifiers beside the accent, modifiers that carry the role alone.
const fn look(role: Role) -> (Accent, Modifier, Modifier) {
    const NONE: Modifier = Modifier::empty();
    const BOLD: Modifier = Modifier::BOLD;
    const DIM: Modifier = Modifier::DIM;
    const LINED: Modifier = Modifier::BOLD.union(Modifier::UNDERLINED);
    const TURNED: Modifier = Modifier::REVERSED;
    const LOUD: Modifier = Modifier::BOLD.union(Modifier::REVERSED);
    match role {
        Role::Text | Role::KeyName => (Accent::Plain, NONE, NONE),
        Role::Quiet | Role::Frame | Role::Unmeasured => (Accent::Plain, DIM, DIM),
        Role::Title | Role::Key | Role::Curve1 => (Accent::Plain, BOLD, BOLD),
        Role::Now | Role::Current => (Accent::Plain, LOUD, LOUD),
        Role::Field => (Accent::Plain, LINED, LINED),
        Role::Selected => (Accent::Plain, TURNED, TURNED),
        Role::Good | Role::Curve2 => (Accent::Blue, NONE, NONE),
        Role::Warn => (Accent::Orange, NONE, BOLD),
        Role::Curve3 => (Accent::Orange, NONE, NONE),
        Role::Bad => (Accent::Red, BOLD, LINED),
        Role::Mark => (Accent::Red, NONE, BOLD),
        Role::Left => (Accent::Teal, NONE, NONE),
        Role::Right => (Accent::Purple, NONE, NONE),
        Role::Question => (Accent::Purple, LOUD, LOUD),
    }
}

#[cfg(test)]
mod tests;
