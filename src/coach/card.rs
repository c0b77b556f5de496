//! A loop's card, entry by entry: what each is called, what it holds, what may be typed there. Shared by both faces.

use chrono::{DateTime, FixedOffset};

use crate::chain::layout::LayoutError;
use crate::chain::profile::range;
use crate::chain::{Corner, LowerKickback, Profile, Sequence, Side, Spec};
use crate::round::card::{Own, Prices};
use crate::round::{Card, Visit};
use crate::units::figure;
use crate::units::{Millimetres, Unit};

/// What a card that was changed does from now on.
pub(crate) const fn from_now_on(card: &Card) -> &'static str {
    if card.for_practice {
        "No round is begun on it: it is for practice."
    } else {
        "Rounds begun from now on count with it."
    }
}

/// One entry of a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Entry {
    /// Name on screen.
    Name,
    /// Whose it is.
    Owner,
    /// The saw it runs on.
    Saw,
    /// How cutter 1 is found.
    Mark,
    /// Chain type.
    Chain,
    /// Drive links.
    Links,
    /// Order of cutters.
    Cutters,
    /// Hand of cutter 1.
    First,
    /// Length of a new cutter.
    NewLength,
    /// Reach of a new cutter.
    Reach,
    /// Back slope.
    Slope,
    /// Stamped raker gap.
    Gap,
    /// The maker's largest gap.
    Largest,
    /// Lower kickback or not.
    Kickback,
    /// Shape of the working corner.
    Corner,
    /// Price of a new loop.
    LoopPrice,
    /// Price of a round.
    RoundPrice,
    /// Hours of cutting between rounds.
    Hours,
    /// Set aside for practice.
    Practice,
}

/// Where nothing is typed, the answer is no.
const NO_YES: [(bool, &str); 2] = [(false, "no"), (true, "yes")];

/// Why an entry is not taken.
pub(crate) type Fault = (Entry, String);

impl Entry {
    /// All entries, in the order in which they are shown.
    pub(crate) const ALL: [Self; 19] = [
        Self::Name,
        Self::Owner,
        Self::Saw,
        Self::Mark,
        Self::Chain,
        Self::Links,
        Self::Cutters,
        Self::First,
        Self::NewLength,
        Self::Reach,
        Self::Slope,
        Self::Gap,
        Self::Largest,
        Self::Kickback,
        Self::Corner,
        Self::LoopPrice,
        Self::RoundPrice,
        Self::Hours,
        Self::Practice,
    ];

    /// The word by which it is named, its label, and its field in the file of the card.
    const fn names(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Name => ("name", "Name", "name"),
            Self::Owner => ("owner", "Owner", "owner"),
            Self::Saw => ("saw", "Saw", "saw"),
            Self::Mark => ("mark", "Start mark", "start_mark"),
            Self::Chain => ("chain", "Chain", "profile"),
            Self::Links => ("links", "Drive links", "links"),
            Self::Cutters => ("cutters", "Cutters", "sequence"),
            Self::First => ("first", "Cutter 1 is", "first"),
            Self::NewLength => ("new", "Length when new", "own.new_length_mm"),
            Self::Reach => ("reach", "Reach when new", "own.reach_new_mm"),
            Self::Slope => ("slope", "Back slope", "own.back_slope_deg"),
            Self::Gap => ("gap", "Raker gap stamped", "own.base_gap_mm"),
            Self::Largest => ("largest", "Maker's largest gap", "own.largest_gap_mm"),
            Self::Kickback => ("kickback", "Lower-kickback chain", "own.lower_kickback"),
            Self::Corner => ("corner", "Working corner", "own.corner"),
            Self::LoopPrice => ("price", "Price of a new loop", "prices.new_loop"),
            Self::RoundPrice => ("round", "Price of a round", "prices.round"),
            Self::Hours => ("hours", "Hours between rounds", "prices.hours_between"),
            Self::Practice => ("practice", "For practice", "for_practice"),
        }
    }

    /// The word by which it is named.
    pub(crate) const fn key(self) -> &'static str {
        self.names().0
    }

    /// What it is called.
    pub(crate) const fn label(self) -> &'static str {
        self.names().1
    }

    /// The entry that a field in the file of a card belongs to.
    pub(crate) fn of_field(field: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|entry| entry.names().2 == field)
    }

    /// The entry of a word.
    pub(crate) fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|entry| entry.key() == word)
    }

    /// What it is for and what may be typed; `usual` are the figures of the chain type.
    pub(crate) fn hint(self, usual: &Spec, unit: Unit) -> String {
        let length = |what: &str, figure| {
            format!("In {}, {what} Empty: the chain type's {}.", unit.of_lengths(), unit.show_named(figure))
        };
        match self {
            Self::Name => "What the tag on the loop says, such as 12 or Big saw A.".to_owned(),
            Self::Owner => "Whose it is. May stay empty.".to_owned(),
            Self::Saw => "The saw it runs on. Loops on one saw share its bar and sprocket. May stay empty.".to_owned(),
            Self::Mark => "How cutter 1 is found: a painted strap, the joining link. May stay empty.".to_owned(),
            Self::Chain => "Pitch: distance over three rivets, halved.".to_owned(),
            Self::Links => "Count the tangs that run in the bar, 20 to 400.".to_owned(),
            Self::Cutters => "Full: one every two drive links. Skip: one every three.".to_owned(),
            Self::First => "Hand of the first cutter after the start mark.".to_owned(),
            Self::NewLength => length("rear edge of a new cutter's top plate to its corner.", usual.new_length),
            Self::Reach => length(
                "raker top to corner. On a worn loop leave it empty: worn cutters tell it (g, or the word gauge).",
                usual.reach_new,
            ),
            Self::Slope => {
                format!("Degrees, fall of the top plate to the heel. Empty: the chain type's {}.", usual.back_slope)
            }
            Self::Gap => length("as stamped on the chain or stated in its manual.", usual.base_gap),
            Self::Largest => {
                format!(
                    "In {}, if the chain's maker names one: no rule goes above it. May stay empty.",
                    unit.of_lengths()
                )
            }
            Self::Kickback => "Yes: its rakers are never set above its gap.".to_owned(),
            Self::Corner => "A square one keeps its top-plate angle in hardwood too.".to_owned(),
            Self::LoopPrice | Self::RoundPrice => "In your own money, for costs. May stay empty.".to_owned(),
            Self::Hours => "Hours it cuts between rounds, for the cost of an hour. May stay empty.".to_owned(),
            Self::Practice => "Yes: set aside for drills, not for a saw; no round is begun on it.".to_owned(),
        }
    }

    /// What the card holds, as it would be typed; empty where it holds nothing.
    pub(crate) fn show(self, card: &Card, unit: Unit) -> String {
        let own = &card.own;
        let length = |length: Option<Millimetres>| length.map_or_else(String::new, |length| unit.short(length));
        let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
        match self {
            Self::Name => card.name.clone(),
            Self::Owner => card.owner.clone(),
            Self::Saw => card.saw.clone(),
            Self::Mark => card.start_mark.clone(),
            Self::Chain => card.profile.clone(),
            Self::Links => card.links.to_string(),
            Self::Cutters => card.sequence.to_string(),
            Self::First => side_word(card.first).to_owned(),
            Self::NewLength => length(own.new_length),
            Self::Reach => length(own.reach_new),
            Self::Slope => number(own.back_slope.map(crate::units::Degrees::get)),
            Self::Gap => length(own.base_gap),
            Self::Largest => length(own.largest_gap),
            Self::Kickback => word_of(&LowerKickback::ALL, &own.lower_kickback).to_owned(),
            Self::Corner => word_of(&Corner::ALL, &own.corner).to_owned(),
            Self::LoopPrice => number(card.prices.new_loop),
            Self::RoundPrice => number(card.prices.round),
            Self::Hours => number(card.prices.hours_between),
            Self::Practice => word_of(&NO_YES, &card.for_practice).to_owned(),
        }
    }

    /// The unit of what it holds, where it is a length or an angle.
    pub(crate) const fn unit(self, unit: Unit) -> &'static str {
        match self {
            Self::NewLength | Self::Reach | Self::Gap | Self::Largest => unit.name(),
            Self::Slope => "degrees",
            _ => "",
        }
    }

    /// The words that may be chosen; empty where anything may be typed.
    pub(crate) fn options(self) -> Vec<&'static str> {
        match self {
            Self::First => [Side::Left, Side::Right].map(side_word).to_vec(),
            Self::Kickback => LowerKickback::ALL.map(|(_, word)| word).to_vec(),
            Self::Corner => Corner::ALL.map(|(_, word)| word).to_vec(),
            Self::Practice => NO_YES.map(|(_, word)| word).to_vec(),
            _ => Vec::new(),
        }
    }

    /// Writes what was typed onto the card; what stands there already is left as it is, to its last digit.
    ///
    /// # Errors
    /// Why it cannot be, in a sentence.
    pub(crate) fn take(self, card: &mut Card, text: &str, profiles: &[Profile], unit: Unit) -> Result<(), String> {
        if text == self.show(card, unit) && !text.is_empty() {
            return Ok(());
        }
        let own = &mut card.own;
        let length = |key| figure::length(text, unit, range(key));
        match self {
            Self::Name if text.is_empty() => return Err("Type a name.".to_owned()),
            Self::Name => text.clone_into(&mut card.name),
            Self::Owner => text.clone_into(&mut card.owner),
            Self::Saw => text.clone_into(&mut card.saw),
            Self::Mark => text.clone_into(&mut card.start_mark),
            Self::Chain => card.profile = chain_named(text, profiles)?,
            Self::Links => card.links = links(text)?,
            Self::Cutters => card.sequence = text.parse().map_err(|error: LayoutError| error.to_string())?,
            Self::First => card.first = one_of(&[Side::Left, Side::Right].map(|side| (side, side_word(side))), text)?,
            Self::NewLength => own.new_length = length("new_length_mm")?,
            Self::Reach => own.reach_new = length("reach_new_mm")?,
            Self::Slope => own.back_slope = figure::angle(text, range("back_slope_deg"))?,
            Self::Gap => own.base_gap = length("base_gap_mm")?,
            Self::Largest => own.largest_gap = length("gap_max_mm")?,
            Self::Kickback => own.lower_kickback = one_of(&LowerKickback::ALL, text)?,
            Self::Corner => own.corner = one_of(&Corner::ALL, text)?,
            Self::LoopPrice => card.prices.new_loop = figure::amount(text)?,
            Self::RoundPrice => card.prices.round = figure::amount(text)?,
            Self::Hours => card.prices.hours_between = figure::amount(text)?,
            Self::Practice => card.for_practice = one_of(&NO_YES, text)?,
        }
        Ok(())
    }
}

/// A card on which nothing stands yet.
pub(crate) fn blank(now: DateTime<FixedOffset>) -> Card {
    Card {
        tag: String::new(),
        name: String::new(),
        owner: String::new(),
        saw: String::new(),
        profile: String::new(),
        links: 0,
        sequence: Sequence::Full,
        first: Side::Left,
        start_mark: String::new(),
        created: now,
        own: Own::default(),
        prices: Prices::default(),
        for_practice: false,
        scrapped: None,
        releases: Vec::new(),
        visit: Visit::default(),
    }
}

/// What on a card does not go together.
pub(crate) fn fault(card: &Card, unit: Unit) -> Option<Fault> {
    if let (Some(base), Some(largest)) = (card.own.base_gap, card.own.largest_gap)
        && largest < base
    {
        let [largest, base] = [largest, base].map(|gap| unit.show_named(gap));
        return Some((Entry::Largest, format!("{largest} is less than the stamped gap, {base}.")));
    }
    card.layout().err().map(|error| (Entry::Links, error.to_string()))
}

const fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn word_of<T: PartialEq>(words: &[(T, &'static str)], value: &T) -> &'static str {
    words.iter().find(|(known, _)| known == value).map_or("", |(_, word)| word)
}

/// One of a few words, or the beginning of one; the first where nothing is typed.
fn one_of<T: Copy>(words: &[(T, &'static str)], text: &str) -> Result<T, String> {
    let text = text.to_lowercase();
    let exact = words.iter().find(|(_, word)| *word == text);
    let found = exact.or_else(|| words.iter().find(|(_, word)| word.starts_with(&text)));
    let names = || words.iter().map(|(_, word)| *word).collect::<Vec<_>>().join(", ");
    found.map(|(value, _)| *value).ok_or_else(|| format!("{text} was read. Allowed: {}.", names()))
}

/// The name of the profile that is meant, whether by its name or by its title.
fn chain_named(text: &str, profiles: &[Profile]) -> Result<String, String> {
    let wanted = text.to_lowercase();
    let found = profiles.iter().find(|profile| profile.name == wanted || profile.title.to_lowercase() == wanted);
    let names = || profiles.iter().map(|profile| profile.name.as_str()).collect::<Vec<_>>().join(", ");
    found
        .map(|profile| profile.name.clone())
        .ok_or_else(|| format!("There is no chain type {text}. There are: {}.", names()))
}

/// A number of drive links.
pub(crate) fn links(text: &str) -> Result<u16, String> {
    text.parse().map_err(|_| "Type a whole number from 20 to 400.".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;

    fn card() -> Card {
        let now = DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap();
        let mut card = blank(now);
        let profiles = [built_in::named("three-eighths").unwrap()];
        for (entry, text) in [(Entry::Name, "12"), (Entry::Chain, "three-eighths"), (Entry::Links, "60")] {
            entry.take(&mut card, text, &profiles, Unit::Mm).unwrap();
        }
        card
    }

    #[test]
    fn what_is_shown_can_be_typed_again_and_changes_nothing() {
        let mut card = card();
        let profiles = [built_in::named("three-eighths").unwrap()];
        card.own.new_length = Some(Millimetres::new(9.8765));
        card.own.base_gap = Some(Millimetres::new(0.65));
        for unit in [Unit::Mm, Unit::Inch] {
            let before = card.clone();
            for entry in Entry::ALL {
                let text = entry.show(&card, unit);
                entry.take(&mut card, &text, &profiles, unit).unwrap_or_else(|why| panic!("{entry:?} {text}: {why}"));
            }
            assert_eq!(card, before, "{unit:?}");
        }
    }

    #[test]
    fn a_card_speaks_the_unit_of_who_reads_it() {
        let mut card = card();
        let usual = built_in::named("three-eighths").unwrap();
        Entry::Gap.take(&mut card, "25 thou", &[], Unit::Inch).unwrap();
        assert_eq!(Entry::Gap.show(&card, Unit::Inch), "0.025");
        assert_eq!(
            Entry::Largest.take(&mut card, "0.3", &[], Unit::Inch).unwrap_err(),
            "0.3 was read. Allowed: 0.008 to 0.078 in."
        );
        for entry in Entry::ALL {
            let hint = entry.hint(usual.spec(), Unit::Inch);
            assert!(!hint.contains("mm"), "{hint}");
        }
        Entry::Largest.take(&mut card, "0.020", &[], Unit::Inch).unwrap();
        assert_eq!(
            fault(&card, Unit::Inch),
            Some((Entry::Largest, "0.0200 in is less than the stamped gap, 0.0250 in.".to_owned()))
        );
    }
}
