//! A file looked at for one loop: the same for every face.

use super::{ImportError, Options, Preview, preview};
use crate::record::{Rack, RackError};
use crate::round::Card;
use crate::units::Unit;

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
}

impl Rack {
    /// Looks at a file's text for a loop. Nothing is kept.
    ///
    /// # Errors
    /// A tag that cannot be one; a card at fault; a chain type missing, unknown or another than the loop's; or the text
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
        let spec = card.as_ref().map_or_else(|| known.spec().clone(), |card| card.spec(known.spec()));
        let lengths = Some((spec.mark_length, spec.new_length));
        let options = Options { unit: wish.unit, links: wish.links, lengths };
        let preview = preview(text, &options, card.as_ref())?;
        Ok(Look { tag, card, profile, preview })
    }
}
