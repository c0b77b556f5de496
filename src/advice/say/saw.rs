//! What the checks of a saw come to, in words: what it does to the cut, what helps, and who says so.
//!
//! Faults and remedies follow the tables of operator and maintenance manuals; what has no source says so.

use super::length;
use crate::advice::saw::{About, Fault, Hint, Limit, hints};
use crate::saw::{Glance, Grade, Part};
use crate::units::Unit;

/// Faults and remedies of manuals.
const MANUALS: &str = "operator manuals, fault tables; maintenance manual of a chain maker, pp. 52, 213";
const SPROCKET: &str = "maintenance manual of a chain maker, p. 43, and others";
const OIL: &str = "maintenance manual of a chain maker, pp. 39, 52, 67";
const SAFETY: &str = "occupational safety guides: set the tension cold, look again after 5 to 10 minutes";
const PRACTICE: &str = "common practice, no source";

/// Name of a part in a sentence.
pub(crate) const fn name(part: Part) -> &'static str {
    match part {
        Part::Rails => "bar rails",
        Part::Groove => "bar groove",
        Part::Straight => "bar shape",
        Part::Nose => "bar nose",
        Part::Sprocket => "sprocket",
        Part::Oil => "oil",
        Part::Tension => "tension",
        Part::TensionWarm => "tension after cutting",
    }
}

impl Fault {
    /// What was found, for the bench.
    pub(crate) fn words(&self, unit: Unit) -> String {
        let figure = self.figure.zip(self.part.figure());
        let figure = figure.map(|(mm, (what, _, _))| format!(", {what} {}", length(unit, mm))).unwrap_or_default();
        let limit = match self.past {
            Some(Limit::Maker(limit)) => format!(", at or past the maker's limit of {}", length(unit, limit)),
            Some(Limit::Usual(limit)) => {
                format!(", at or past the usual {} ({PRACTICE}; enter the maker's)", length(unit, limit))
            }
            None => String::new(),
        };
        let note = self.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
        format!("{}: {}{figure}{limit}{note}.", capital(name(self.part)), self.what())
    }

    /// What is wrong in a word or two.
    const fn what(&self) -> &'static str {
        match (self.part, self.grade) {
            (Part::Rails, Grade::Bad) => "uneven or burred",
            (Part::Groove, Grade::Bad) => "the chain leans in it",
            (Part::Straight, Grade::Bad) => "bent or cracked",
            (Part::Nose, Grade::Bad) => "does not turn freely",
            (Part::Oil, Grade::Bad) => "too little reaches bar and chain",
            (Part::Oil, _) => "little reaches bar and chain, to be watched",
            (Part::Tension | Part::TensionWarm, Grade::Bad) => "wrong",
            (Part::Tension | Part::TensionWarm, _) => "not quite right",
            (_, Grade::Bad) => "worn out",
            _ => "worn, to be watched",
        }
    }

    /// What it does to the cut, in plain words.
    pub(crate) const fn effect(&self) -> &'static str {
        match self.part {
            Part::Rails if matches!(self.grade, Grade::Bad) => {
                "The cut can still go crooked, however even the chain is."
            }
            Part::Groove if matches!(self.grade, Grade::Bad) => "The chain leans over: the cut can still go crooked.",
            Part::Straight if matches!(self.grade, Grade::Bad) => {
                "On a bent bar the cut goes crooked, however even the chain is."
            }
            Part::Rails | Part::Groove | Part::Straight => "If it gets worse the cut goes crooked.",
            Part::Nose => "A nose that does not turn gets hot and wears bar and chain.",
            Part::Sprocket => "A worn sprocket batters the chain's drive links, a new chain's most of all.",
            Part::Oil => "Without oil bar and chain run hot and wear, and links can crack at the rivets.",
            Part::Tension | Part::TensionWarm => {
                "A slack chain runs badly and can jump off; a tight one wears bar and chain."
            }
        }
    }

    /// What helps.
    pub(crate) const fn remedy(&self) -> &'static str {
        match self.part {
            Part::Groove | Part::Straight if matches!(self.grade, Grade::Watch) => "Look at it again at every visit.",
            Part::Sprocket if matches!(self.grade, Grade::Watch) => "No new chain on it if it can be helped.",
            Part::Rails => "Dress the rails square and to one height, take the burr off, or replace the bar.",
            Part::Groove => "Replace the bar, or have the rails closed.",
            Part::Straight => "Replace the bar.",
            Part::Nose => "Clean and grease it where it is made for it, or replace nose or bar.",
            Part::Sprocket => "Fit a new sprocket before a new chain goes on.",
            Part::Oil => "Fill the tank, clean oil hole and groove, and see that the running nose throws oil.",
            Part::Tension => "Set it with the chain cold; look again after 5 to 10 minutes of cutting.",
            Part::TensionWarm => "Let the chain cool, then set it. Never set a hot chain: it shrinks.",
        }
    }

    /// Who says so.
    pub(crate) const fn source(&self) -> &'static str {
        match self.part {
            Part::Rails | Part::Groove | Part::Straight => MANUALS,
            Part::Sprocket => SPROCKET,
            Part::Oil => OIL,
            Part::Tension | Part::TensionWarm => SAFETY,
            Part::Nose => PRACTICE,
        }
    }
}

impl Limit {
    /// The limit that a sprocket is held to, in words.
    pub(crate) fn words(self, unit: Unit) -> String {
        match self {
            Self::Maker(limit) => format!("{}, the maker's", length(unit, limit)),
            Self::Usual(limit) => {
                format!("{} to watch ({PRACTICE}); the maker's is not entered", length(unit, limit))
            }
        }
    }
}

impl Hint {
    const fn words(self) -> &'static str {
        match self {
            Self::Found(About::Bar, Grade::Bad) => "bar BAD",
            Self::Found(About::Bar, _) => "bar worn",
            Self::Found(About::Sprocket, Grade::Bad) => "sprocket BAD",
            Self::Found(About::Sprocket, _) => "sprocket worn",
            Self::Found(About::Oil, Grade::Bad) => "oil BAD",
            Self::Found(About::Oil, _) => "oil to watch",
            Self::Found(About::Tension, Grade::Bad) => "tension BAD",
            Self::Found(About::Tension, _) => "tension to watch",
            Self::WarmDue => "tension to look at again",
        }
    }
}

/// A few words for the rack; nothing where nothing is known to be wrong.
pub(crate) fn hint(glance: &Glance) -> Option<String> {
    let words: Vec<&str> = hints(glance).into_iter().map(Hint::words).collect();
    (!words.is_empty()).then(|| words.join(", "))
}

pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
