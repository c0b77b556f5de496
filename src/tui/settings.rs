//! What the sharpener set and the program remembers: one small file in the data folder.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use strum::VariantArray;

use super::theme::{Colours, Glyphs, Theme};
use crate::record::{Rack, RackError, files, small};
use crate::units::{Unit, clean::clean};

/// Name of the file in the data folder.
pub const FILE: &str = "settings.toml";
/// Largest file read, bytes.
const MAX_BYTES: u64 = 16 * 1024;

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
    colours: Option<String>,
    ascii: Option<bool>,
    contrast: bool,
    units: Unit,
    bell: bool,
    mouse: bool,
}

impl Settings {
    /// What was saved in this data folder, over what the environment says. A faulty file is told and not used.
    pub fn load(rack: &Rack, environment: Theme) -> (Self, Option<String>) {
        let path = rack.root().join(FILE);
        let read = if files::exists(&path) { read(&path) } else { Ok(Saved::default()) };
        let (saved, problem) = match read {
            Ok(saved) => (saved, None),
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
        read(path).map(drop)
    }

    /// Remembers them. A file that cannot be understood is not written over: it is set aside under a name made from
    /// `now`, which comes back.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn save(&self, rack: &Rack, now: DateTime<Utc>) -> Result<Option<PathBuf>, RackError> {
        let saved = Saved {
            colours: Some(<&str>::from(self.theme.colours).to_owned()),
            ascii: Some(self.theme.ascii()),
            contrast: self.theme.contrast,
            units: self.units,
            bell: self.bell,
            mouse: self.mouse,
        };
        let text = small::render(&saved)?;
        let path = rack.root().join(FILE);
        files::create_folder(rack.root())?;
        let faulty = files::exists(&path) && read(&path).is_err();
        let aside = if faulty { Some(files::set_aside(&path, now)?) } else { None };
        files::replace(&path, text.as_bytes())?;
        Ok(aside)
    }
}

fn read(path: &Path) -> Result<Saved, RackError> {
    let text = files::read_text(path, MAX_BYTES)?;
    let saved: Saved = small::parse(path, &text)?;
    match saved.colours.as_deref().filter(|word| word.parse::<Colours>().is_err()) {
        None => Ok(saved),
        Some(word) => {
            let allowed: Vec<&str> = Colours::VARIANTS.iter().map(|colours| (*colours).into()).collect();
            let fault = format!("colours is \"{}\"; allowed are {}.", clean(word), allowed.join(", "));
            Err(RackError::line(path, small::line_of(&text, "colours"), &fault))
        }
    }
}
