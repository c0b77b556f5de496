//! What the sharpener set and the program remembers: one small file in the data folder.

use std::path::Path;
use std::str::FromStr;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Deserializer, Serialize};
use strum::VariantArray;

use super::theme::{Blocks, Colours, Glyphs, Ground, Look, Theme};
use crate::care::{Kept, RackError, Workshop, Written};
use crate::units::{Unit, clean::clean};

/// The file in the data folder.
pub const FILE: Kept = Kept { name: "settings.toml", most: 16 * 1024 };

/// Settings with the theme made up from file, environment and options.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Colours and glyphs.
    pub theme: Theme,
    /// Unit of everything told outside a round.
    pub units: Unit,
    /// Bell: one for taken, two for a question.
    pub bell: bool,
    /// The mouse too: its wheel, and the names in the footer.
    pub mouse: bool,
    /// What was just recorded is shown as it happens.
    pub motion: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self::over(&Saved::default(), Theme::default())
    }
}

/// What the file says.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Saved {
    #[serde(deserialize_with = "word::<Colours, _>")]
    colours: Option<String>,
    #[serde(deserialize_with = "word::<Ground, _>", skip_serializing_if = "Option::is_none")]
    ground: Option<String>,
    #[serde(deserialize_with = "word::<Look, _>", skip_serializing_if = "Option::is_none")]
    look: Option<String>,
    #[serde(deserialize_with = "word::<Blocks, _>", skip_serializing_if = "Option::is_none")]
    blocks: Option<String>,
    ascii: Option<bool>,
    contrast: bool,
    units: Unit,
    bell: bool,
    mouse: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    motion: Option<bool>,
}

impl Settings {
    /// What was saved in this data folder, over what the environment says. A faulty file is told and not used.
    pub fn load(care: &Workshop, environment: Theme) -> (Self, Option<String>) {
        let (saved, problem) = match care.kept::<Saved>(&FILE) {
            Ok(saved) => (saved.unwrap_or_default(), None),
            Err(error) => (Saved::default(), Some(format!("{error}. Default settings are used."))),
        };
        (Self::over(&saved, environment), problem)
    }

    fn over(saved: &Saved, environment: Theme) -> Self {
        let mut theme = environment;
        let colours = chosen(saved.colours.as_deref());
        theme.ground = chosen(saved.ground.as_deref()).unwrap_or(theme.ground);
        theme.look = chosen(saved.look.as_deref()).unwrap_or(theme.look);
        theme.blocks = chosen(saved.blocks.as_deref()).unwrap_or(theme.blocks);
        // The environment's wish for no colour stands over what was saved.
        if let (Some(colours), true) = (colours, environment.colours != Colours::None) {
            theme.colours = colours;
        }
        if saved.ascii == Some(true) {
            theme.glyphs = Glyphs::Ascii;
        }
        theme.contrast = saved.contrast;
        let motion = saved.motion.unwrap_or(true);
        Self { theme, units: saved.units, bell: saved.bell, mouse: saved.mouse, motion }
    }

    /// What the file says now; the usual where there is none, or where it is at fault.
    pub fn seen(care: &Workshop) -> Saved {
        care.kept(&FILE).ok().flatten().unwrap_or_default()
    }

    /// Checks a settings file.
    ///
    /// # Errors
    /// It cannot be read, is no TOML, has an unknown key or a word that is none of those allowed, or is of a later format.
    pub fn check(path: &Path) -> Result<(), RackError> {
        FILE.read::<Saved>(path).map(drop)
    }

    /// Remembers them: `seen` is what the file said when it was read here. What another window changed meanwhile is kept and
    /// comes back with the settings as they are now; a file that cannot be understood is set aside under a name made from `now`.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn save(&self, care: &Workshop, seen: &Saved, now: DateTime<Utc>) -> Result<(Self, Written<Saved>), RackError> {
        let saved = Saved {
            colours: Some(told(self.theme.colours)),
            ground: Some(told(self.theme.ground)),
            look: Some(told(self.theme.look)),
            blocks: Some(told(self.theme.blocks)),
            ascii: Some(self.theme.ascii()),
            contrast: self.theme.contrast,
            units: self.units,
            bell: self.bell,
            mouse: self.mouse,
            motion: Some(self.motion),
        };
        let written = care.keep(&FILE, seen, &saved, now)?;
        Ok((Self::over(&written.value, self.theme), written))
    }
}

/// A setting of a few words.
trait Word: Copy + FromStr + VariantArray + Into<&'static str> {
    /// Its name in the file.
    const KEY: &'static str;
}

impl Word for Colours {
    const KEY: &'static str = "colours";
}

impl Word for Ground {
    const KEY: &'static str = "ground";
}

impl Word for Look {
    const KEY: &'static str = "look";
}

impl Word for Blocks {
    const KEY: &'static str = "blocks";
}

fn chosen<T: Word>(word: Option<&str>) -> Option<T> {
    word.and_then(|word| word.parse().ok())
}

fn told<T: Word>(choice: T) -> String {
    choice.into().to_owned()
}

/// A word that there is; it is kept as written.
fn word<'de, T: Word, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    let word = String::deserialize(from)?;
    if word.parse::<T>().is_ok() {
        return Ok(Some(word));
    }
    let allowed: Vec<&str> = T::VARIANTS.iter().map(|choice| (*choice).into()).collect();
    Err(serde::de::Error::custom(format!("{} is \"{}\"; allowed: {}.", T::KEY, clean(&word), allowed.join(", "))))
}
