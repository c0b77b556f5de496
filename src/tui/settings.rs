//! What the sharpener set and the program remembers: one small file in the data folder.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::{Deserialize, Deserializer, Serialize};
use strum::VariantArray;

use super::theme::{Colours, Glyphs, Theme};
use crate::care::{Kept, RackError, Workshop};
use crate::units::{Unit, clean::clean};

/// The file in the data folder.
pub const FILE: Kept = Kept { name: "settings.toml", most: 16 * 1024 };

/// Settings with the theme made up from file, environment and options.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Settings {
    /// Colours and glyphs.
    pub theme: Theme,
    /// Unit of tables outside a round.
    pub units: Unit,
    /// Bell: one taken, two a question.
    pub bell: bool,
    /// The mouse too: its wheel, and the names in the footer.
    pub mouse: bool,
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Saved {
    #[serde(deserialize_with = "colours_word")]
    colours: Option<String>,
    ascii: Option<bool>,
    contrast: bool,
    units: Unit,
    bell: bool,
    mouse: bool,
}

impl Settings {
    /// What was saved in this data folder, over what the environment says. A faulty file is told and not used.
    pub fn load(care: &Workshop, environment: Theme) -> (Self, Option<String>) {
        let (saved, problem) = match care.kept::<Saved>(&FILE) {
            Ok(saved) => (saved.unwrap_or_default(), None),
            Err(error) => (Saved::default(), Some(format!("{error}. Default settings are used."))),
        };
        let mut theme = environment;
        let colours = saved.colours.and_then(|word| word.parse().ok());
        // The environment's wish for no colour stands over what was saved.
        if let (Some(colours), true) = (colours, environment.colours != Colours::None) {
            theme.colours = colours;
        }
        if saved.ascii == Some(true) {
            theme.glyphs = Glyphs::Ascii;
        }
        theme.contrast = saved.contrast;
        (Self { theme, units: saved.units, bell: saved.bell, mouse: saved.mouse }, problem)
    }

    /// Checks a settings file.
    ///
    /// # Errors
    /// It cannot be read, is no TOML, has an unknown key or a word for colours that is none, or is of a later format.
    pub fn check(path: &Path) -> Result<(), RackError> {
        FILE.read::<Saved>(path).map(drop)
    }

    /// Remembers them. A file that cannot be understood is not written over: it is set aside under a name made from
    /// `now`, which comes back.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn save(&self, care: &Workshop, now: DateTime<Utc>) -> Result<Option<PathBuf>, RackError> {
        let saved = Saved {
            colours: Some(<&str>::from(self.theme.colours).to_owned()),
            ascii: Some(self.theme.ascii()),
            contrast: self.theme.contrast,
            units: self.units,
            bell: self.bell,
            mouse: self.mouse,
        };
        care.keep(&FILE, &saved, now)
    }
}

/// A word for colours that there is; it is kept as written.
fn colours_word<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    let word = String::deserialize(from)?;
    if word.parse::<Colours>().is_ok() {
        return Ok(Some(word));
    }
    let allowed: Vec<&str> = Colours::VARIANTS.iter().map(|colours| (*colours).into()).collect();
    Err(serde::de::Error::custom(format!("colours is \"{}\"; allowed are {}.", clean(&word), allowed.join(", "))))
}
