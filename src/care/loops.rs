//! Loops in care and their chains: taken in, their cards; profiles and what follows from them.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset};

use super::{CareError, Workshop};
use crate::chain::{Profile, Spec, Wood};
use crate::record::{CardChange, RackError};
use crate::report::gaps::{GapTable, Steps};
use crate::round::Card;
use crate::units::{Millimetres, Unit};

/// Which rows a table of gaps has: from one cutter length down to another by steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapRange {
    /// What is cut.
    pub wood: Wood,
    /// The first length; that of a new cutter where absent.
    pub from: Option<Millimetres>,
    /// The last length; the witness mark where absent.
    pub to: Option<Millimetres>,
    /// From one to the next.
    pub step: Steps,
}

impl Default for GapRange {
    fn default() -> Self {
        Self::of(Unit::Mm, None)
    }
}

impl GapRange {
    /// All lengths in any wood, by this step, or by one that suits the unit.
    pub fn of(unit: Unit, step: Option<Millimetres>) -> Self {
        let by = step.unwrap_or_else(|| unit.table_step());
        // A chain's lengths are round in mm; in inches only whole steps are.
        Self { wood: Wood::Any, from: None, to: None, step: Steps { by, whole: unit == Unit::Inch } }
    }
}

impl Workshop {
    /// Takes a new loop into care.
    ///
    /// # Errors
    /// Another loop has its tag; a card that cannot be; the disk fails.
    pub fn create_loop(&self, card: &Card) -> Result<(), RackError> {
        self.rack.create_loop(card)
    }

    /// Tags of all loops, whether their cards can be read or not: none of them can be given again.
    pub fn taken_tags(&self) -> Vec<String> {
        self.rack.taken_tags()
    }

    /// Names of those who file, as far as they are known.
    pub fn hands(&self, tag: &str) -> Vec<String> {
        self.rack.hands(tag)
    }

    /// The card of a loop.
    ///
    /// # Errors
    /// No such loop, or its card cannot be read.
    pub fn card(&self, tag: &str) -> Result<Card, RackError> {
        self.rack.card(tag)
    }

    /// Keeps a card changed at `now`: `read` is what it was changed from. What another window changed meanwhile is kept and comes back
    /// with the card as it now stands; so does what both changed, where theirs stays, and why its earlier values are not written down.
    ///
    /// # Errors
    /// No such loop; its card cannot be read; what comes of both cannot be; the disk fails (the old card stays).
    pub fn change_card(&self, read: &Card, wish: &Card, now: DateTime<FixedOffset>) -> Result<CardChange, RackError> {
        self.rack.change_card(read, wish, now.to_utc())
    }

    /// A loop's card and its chain.
    ///
    /// # Errors
    /// No such loop, its card cannot be read, or its profile is missing.
    pub fn card_and_chain(&self, tag: &str) -> Result<(Card, Profile), RackError> {
        let card = self.rack.card(tag)?;
        let profile = self.rack.profile(&card.profile)?;
        Ok((card, profile))
    }

    /// All profiles, the built-in ones and those of one's own; and the files at fault.
    pub fn profiles(&self) -> (Vec<Profile>, Vec<(PathBuf, RackError)>) {
        self.rack.profiles()
    }

    /// One profile. An own one at fault is an error, never silently the built-in one.
    ///
    /// # Errors
    /// There is none of that name, or its file is at fault.
    pub fn profile(&self, name: &str) -> Result<Profile, RackError> {
        self.rack.profile(name)
    }

    /// Keeps a profile of one's own, in place of the one of its name.
    ///
    /// # Errors
    /// A value that cannot be; the disk fails.
    pub fn save_profile(&self, profile: &Profile) -> Result<(), RackError> {
        self.rack.save_profile(profile)
    }

    /// The figures that a new round of a loop works with: the profile's, the loop's own in their place, and what its rounds
    /// tell.
    ///
    /// # Errors
    /// No such loop, or its rounds cannot be listed.
    pub fn spec(&self, card: &Card, profile: &Profile) -> Result<Spec, RackError> {
        self.rack.spec(card, profile)
    }

    /// The raker gap by cutter length: of a chain, with a loop's own figures where one is named.
    ///
    /// # Errors
    /// The loop's card cannot be read, or the range cannot be.
    pub fn gaps(&self, profile: &Profile, tag: Option<&str>, range: &GapRange) -> Result<GapTable, CareError> {
        let own = match tag {
            Some(tag) => Some(self.rack.spec(&self.rack.card(tag)?, profile)?),
            None => None,
        };
        let GapRange { wood, from, to, step } = *range;
        Ok(GapTable::new(profile, wood, from, to, step, own)?.with_demo(self.rack.is_demo()))
    }
}
