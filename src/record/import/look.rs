//! A file looked at for one loop: the same for every face.

use std::fmt::Display;

use chrono::{DateTime, FixedOffset};

use super::{ImportError, Options, Preview, Target, Then, Whole, preview};
use crate::chain::Wood;
use crate::record::{Rack, RackError};
use crate::round::{Card, Tool};
use crate::units::Unit;
use crate::units::clean::clean;

/// What a person says that the file does not.
#[derive(Debug, Clone, Default)]
pub struct Wish {
    /// Tag of the loop that the readings belong to.
    pub tag: String,
    /// Chain type; needed where the loop is new.
    pub profile: Option<String>,
    /// Unit of the columns that do not say theirs.
    pub unit: Option<Unit>,
    /// Drive links; of use where the loop is new.
    pub links: Option<u16>,
    /// Name of a new loop; its tag where empty.
    pub name: String,
    /// Who measured.
    pub person: Option<String>,
    /// What the round is worked with.
    pub tool: Option<Tool>,
    /// What the saw cuts.
    pub wood: Wood,
    /// When it was measured.
    pub measured: Option<DateTime<FixedOffset>>,
    /// What becomes of the round.
    pub then: Then,
    /// Name of the file.
    pub file: String,
    /// Lines whose readings are right though they are doubted.
    pub sure: Vec<usize>,
    /// Time of the import.
    pub now: DateTime<FixedOffset>,
}

impl Wish {
    /// Where the readings go: what the file says of the round, else what the person says; the two may not differ.
    fn target(&self, profile: &str, whole: &Whole) -> Result<Target, ImportError> {
        let person = Some(clean(self.person.as_deref().unwrap_or_default())).filter(|name| !name.is_empty());
        let day = |at: &DateTime<FixedOffset>| at.date_naive();
        if let (Some(file), Some(said)) = (&whole.measured, &self.measured)
            && day(file) != day(said)
        {
            return Err(otherwise("the day", &day(file), &day(said)));
        }
        if let (Some(file), Some(said)) = (&whole.person, &person)
            && file != said
        {
            return Err(otherwise("the person", file, said));
        }
        if let (Some(file), Some(said)) = (whole.tool, self.tool)
            && file != said
        {
            return Err(otherwise("the tool", &file, &said));
        }
        let today = Some(self.now).filter(|_| self.then == Then::Resume);
        Ok(Target {
            tag: self.tag.clone(),
            name: if self.name.is_empty() { self.tag.clone() } else { self.name.clone() },
            profile: profile.to_owned(),
            sharpener: whole.person.clone().or(person).ok_or(ImportError::NoPerson)?,
            wood: self.wood,
            tool: whole.tool.or(self.tool).unwrap_or_default(),
            started: whole.measured.or(self.measured).or(today).ok_or(ImportError::NoDay)?,
            file: self.file.clone(),
            then: self.then,
        })
    }
}

fn otherwise(what: &'static str, file: &dyn Display, said: &dyn Display) -> ImportError {
    ImportError::Otherwise { what, file: file.to_string(), said: said.to_string() }
}

/// What a file holds for a loop.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Tag of the loop.
    pub tag: String,
    /// Its card, where it is in care already.
    pub card: Option<Card>,
    /// Name of its chain type.
    pub profile: String,
    /// The file's rows.
    pub preview: Preview,
    /// Where they go.
    pub target: Target,
}

impl Rack {
    /// Looks at a file's text for a loop. Nothing is kept.
    ///
    /// # Errors
    /// A text that cannot be a tag; a card at fault; a chain type missing, unknown or another than the loop's; or the text
    /// cannot be understood, as [`preview`] tells. Faults of rows are in the preview.
    pub fn look(&self, text: &str, wish: &Wish) -> Result<Look, ImportError> {
        let card = match self.card(&wish.tag) {
            Ok(card) => Some(card),
            Err(RackError::NoLoop(_)) => None,
            Err(error) => return Err(error.into()),
        };
        let tag = wish.tag.clone();
        let profile = match (&card, &wish.profile) {
            (Some(card), Some(said)) if *said != card.profile => {
                return Err(ImportError::OtherProfile { tag, has: card.profile.clone(), said: said.clone() });
            }
            (Some(card), _) => card.profile.clone(),
            (None, Some(said)) => said.clone(),
            (None, None) => return Err(ImportError::NoProfile(tag)),
        };
        let known = self.profile(&profile)?;
        let options = Options { unit: wish.unit, links: wish.links, now: wish.now };
        let preview = preview(text, &options, card.as_ref())?;
        let target = wish.target(&known.name, &preview.whole)?;
        Ok(Look { tag, card, profile, preview, target })
    }
}
