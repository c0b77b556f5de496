//! What the sharpener set and the program remembers: one small file in the data folder.

use serde::{Deserialize, Serialize};

use super::theme::{Colours, Glyphs, Theme};
use crate::record::{Rack, RackError, files};
use crate::units::{Unit, clean::clean};

/// Name of the file in the data folder.
pub const FILE: &str = "settings.toml";
/// Largest file read, bytes.
pub const MAX_BYTES: u64 = 16 * 1024;

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

/// Words for colours in the file and on the command line.
pub const COLOURS: [(&str, Colours); 3] = [("none", Colours::None), ("few", Colours::Few), ("full", Colours::Full)];

impl Settings {
    /// What was saved in this data folder, over what the environment says. A faulty file is told and not used.
    pub fn load(rack: &Rack, environment: Theme) -> (Self, Option<String>) {
        let path = rack.root().join(FILE);
        let read = match files::read_text(&path, MAX_BYTES) {
            Ok(text) => toml::from_str::<Saved>(&text)
                .map_err(|error| format!("{}: {}. Default settings are used.", path.display(), error.message())),
            Err(_) if !path.exists() => Ok(Saved::default()),
            Err(error) => Err(error.to_string()),
        };
        let (saved, problem) = match read {
            Ok(saved) => (saved, None),
            Err(problem) => (Saved::default(), Some(problem)),
        };
        let mut theme = environment;
        let colours = saved.colours.and_then(|word| COLOURS.iter().find(|(name, _)| *name == word));
        // The environment's wish for no colour stands over what was saved.
        if let (Some((_, colours)), true) = (colours, environment.colours != Colours::None) {
            theme.colours = *colours;
        }
        if saved.ascii == Some(true) {
            theme.glyphs = Glyphs::Ascii;
        }
        theme.contrast = saved.contrast;
        (Self { theme, units: saved.units, bell: saved.bell, mouse: saved.mouse }, problem)
    }

    /// What is wrong with the text of a settings file: line and sentence.
    ///
    /// # Errors
    /// No TOML, an unknown key, or a word for colours that is none.
    pub fn check(text: &str) -> Result<(), (usize, String)> {
        let line_of = |at: usize| text.as_bytes().iter().take(at).filter(|&&b| b == b'\n').count() + 1;
        let saved: Saved = toml::from_str(text).map_err(|error| {
            let at = error.span().map_or(0, |span| span.start);
            (line_of(at), format!("{}.", clean(error.message())))
        })?;
        let unknown = saved.colours.filter(|word| !COLOURS.iter().any(|(name, _)| name == word));
        unknown.map_or(Ok(()), |word| {
            let allowed = COLOURS.map(|(name, _)| name).join(", ");
            let at = text.find("colours").unwrap_or(0);
            Err((line_of(at), format!("colours is \"{}\"; allowed are {allowed}.", clean(&word))))
        })
    }

    /// Remembers them.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn save(&self, rack: &Rack) -> Result<(), RackError> {
        let colours =
            COLOURS.iter().find(|(_, colours)| *colours == self.theme.colours).map(|(word, _)| (*word).to_owned());
        let saved = Saved {
            colours,
            ascii: Some(self.theme.ascii()),
            contrast: self.theme.contrast,
            units: self.units,
            bell: self.bell,
            mouse: self.mouse,
        };
        let text = toml::to_string(&saved).unwrap_or_default();
        files::create_folder(rack.root())?;
        files::replace(&rack.root().join(FILE), text.as_bytes())?;
        Ok(())
    }
}
