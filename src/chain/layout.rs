//! How the cutters stand round the loop: which places carry one, of which hand, under which number.
//!
//! A loop of `N` drive links has `N` places, one per drive link. A cutter takes two places; a place without one
//! carries a plain tie strap. Cutters alternate in hand from one to the next, whatever lies between, so an odd number of
//! them leaves two neighbours of the same hand where the loop closes. Numbers run from the start mark in the
//! direction the chain runs and never change: they are what a paused round comes back to.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use strum::Display;

use super::number::CutterNumber;

/// Fewest and most drive links taken.
pub(crate) const LINKS: std::ops::RangeInclusive<u16> = 20..=400;

/// The hand of a cutter, seen from the rider's seat on the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Display)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "kebab-case")]
pub enum Side {
    /// Left-hand cutter.
    Left,
    /// Right-hand cutter.
    Right,
}

impl Side {
    /// The other hand.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// `L` or `R`.
    pub const fn letter(self) -> char {
        match self {
            Self::Left => 'L',
            Self::Right => 'R',
        }
    }
}

/// The order of cutters and plain places.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Sequence {
    /// Full complement: a cutter every two drive links.
    #[default]
    Full,
    /// Two cutters every five drive links.
    SemiSkip,
    /// A cutter every three drive links.
    Skip,
    /// Written out: `L`, `R` a cutter of that hand (two places), `-` a plain place.
    Custom(String),
}

/// A layout that cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// Drive links out of range.
    #[error("{0} drive links; allowed: {low} to {high}.", low = LINKS.start(), high = LINKS.end())]
    Links(u16),
    /// A custom order does not fill the loop.
    #[error(
        "The order fills {fills} drive links but the loop has {links}: each L or R fills two, each - fills one. Write it out, or a part that goes into the loop a whole number of times."
    )]
    Length {
        /// Links that the written order takes.
        fills: usize,
        /// Links of the loop.
        links: u16,
    },
    /// A character that the order does not know.
    #[error("{0:?} in the order; allowed: L, R, - and spaces.")]
    Letter(char),
    /// A custom order without cutters.
    #[error("The order has no cutter: write at least one L or R.")]
    Empty,
    /// A sequence name that is not known.
    #[error("\"{0}\" is not a sequence; allowed: full, semi-skip, skip or a written order such as LRLR-LR.")]
    Name(String),
}

/// One cutter's place in the loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// 1 at the start mark, counting on in running direction.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// First of the drive-link places it takes, from 0 at the start mark.
    pub link: u16,
}

/// All cutters of a loop in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    links: u16,
    slots: Vec<Slot>,
}

impl Layout {
    /// Lays the cutters out. `first` is the hand of cutter 1 (a custom order states its own).
    ///
    /// # Errors
    /// [`LayoutError`] for a link count out of range or an order that does not fill the loop.
    pub fn new(links: u16, sequence: &Sequence, first: Side) -> Result<Self, LayoutError> {
        if !LINKS.contains(&links) {
            return Err(LayoutError::Links(links));
        }
        let slots = match sequence {
            Sequence::Full => repeat(links, &[2], first),
            Sequence::SemiSkip => repeat(links, &[2, 3], first),
            Sequence::Skip => repeat(links, &[3], first),
            Sequence::Custom(order) => written(links, order)?,
        };
        Ok(Self { links, slots })
    }

    /// Drive links of the loop.
    pub const fn links(&self) -> u16 {
        self.links
    }

    /// Cutters in order, number 1 first.
    pub fn slots(&self) -> &[Slot] {
        &self.slots
    }

    /// How many cutters.
    pub fn count(&self) -> u16 {
        u16::try_from(self.slots.len()).unwrap_or(u16::MAX)
    }

    /// The cutter of that number.
    pub fn slot(&self, number: CutterNumber) -> Option<Slot> {
        self.slots.get(number.index()).copied()
    }

    /// Its hand.
    pub fn side(&self, number: CutterNumber) -> Option<Side> {
        self.slot(number).map(|slot| slot.side)
    }

    /// Numbers of one hand, in order.
    pub fn of_side(&self, side: Side) -> impl Iterator<Item = CutterNumber> + '_ {
        self.slots.iter().filter(move |slot| slot.side == side).map(|slot| slot.number)
    }

    /// How many cutters of one hand.
    pub fn count_of(&self, side: Side) -> usize {
        self.of_side(side).count()
    }

    /// The order in which cutters are measured: as they stand, or spread so that every beginning of the list covers
    /// both sides and all of the loop (each side by the van der Corput sequence, the sides in turn).
    pub fn measuring_order(&self, spread: bool) -> Vec<CutterNumber> {
        if !spread {
            return self.slots.iter().map(|slot| slot.number).collect();
        }
        let [left, right] =
            [Side::Left, Side::Right].map(|side| van_der_corput(&self.of_side(side).collect::<Vec<_>>()));
        let both = left.len().min(right.len());
        let mut order: Vec<CutterNumber> =
            left[..both].iter().zip(&right[..both]).flat_map(|(l, r)| [*l, *r]).collect();
        order.extend(&left[both..]);
        order.extend(&right[both..]);
        order
    }

    /// Pairs of same-hand cutters that follow each other, the pair across the start mark last.
    pub fn same_hand_neighbours(&self) -> Vec<(CutterNumber, CutterNumber)> {
        let next = self.slots.iter().cycle().skip(1);
        self.slots
            .iter()
            .zip(next)
            .filter(|(a, b)| a.number != b.number && a.side == b.side)
            .map(|(a, b)| (a.number, b.number))
            .collect()
    }

    /// True when the two stand next to each other among the cutters of their hand, the loop being closed.
    pub fn neighbours_on_side(&self, a: CutterNumber, b: CutterNumber) -> bool {
        let Some(side) = self.side(a).filter(|&side| self.side(b) == Some(side)) else { return false };
        let numbers: Vec<CutterNumber> = self.of_side(side).collect();
        let place = |n| numbers.iter().position(|&x| x == n);
        match (place(a), place(b)) {
            (Some(i), Some(j)) => {
                let apart = i.abs_diff(j);
                apart == 1 || (numbers.len() > 2 && apart == numbers.len() - 1)
            }
            _ => false,
        }
    }
}

/// The numbers in bit-reversed order of their places: halves, then quarters, then eighths.
fn van_der_corput(numbers: &[CutterNumber]) -> Vec<CutterNumber> {
    let bits = usize::BITS - numbers.len().saturating_sub(1).leading_zeros();
    let reversed = |i: usize| if bits == 0 { 0 } else { i.reverse_bits() >> (usize::BITS - bits) };
    (0..1usize << bits).filter_map(|i| numbers.get(reversed(i))).copied().collect()
}

/// Cutters at the given steps, over and over, as long as the cutter with the plain places after it still fits: what is
/// left over at the end stays plain.
fn repeat(links: u16, steps: &[u16], first: Side) -> Vec<Slot> {
    let mut slots = Vec::new();
    let (mut link, mut side) = (0, first);
    for step in steps.iter().cycle() {
        if link + step > links {
            break;
        }
        slots.push(Slot { number: CutterNumber::at_index(slots.len()), side, link });
        side = side.other();
        link += step;
    }
    slots
}

fn written(links: u16, order: &str) -> Result<Vec<Slot>, LayoutError> {
    let mut slots = Vec::new();
    let mut link: usize = 0;
    for c in order.chars().filter(|c| !c.is_whitespace()) {
        let side = match c.to_ascii_uppercase() {
            'L' => Some(Side::Left),
            'R' => Some(Side::Right),
            '-' => None,
            _ => return Err(LayoutError::Letter(c)),
        };
        if let (Some(side), Ok(at)) = (side, u16::try_from(link)) {
            slots.push(Slot { number: CutterNumber::at_index(slots.len()), side, link: at });
        }
        link += if side.is_some() { 2 } else { 1 };
    }
    if link != usize::from(links) {
        return Err(LayoutError::Length { fills: link, links });
    }
    if slots.is_empty() { Err(LayoutError::Empty) } else { Ok(slots) }
}

impl Sequence {
    /// The order over a loop of so many drive links: one that fills a part of it, a whole number of times over, is a pattern and
    /// is written out.
    #[must_use]
    pub fn over(self, links: u16) -> Self {
        let Self::Custom(order) = &self else { return self };
        let places = |c: char| match c {
            'L' | 'R' => 2,
            '-' => 1,
            _ => 0,
        };
        let (links, fills) = (usize::from(links), order.chars().map(places).sum::<usize>());
        if fills == 0 || fills >= links || links % fills != 0 {
            return self;
        }
        let part: String = order.chars().filter(|c| !c.is_whitespace()).collect();
        Self::Custom(part.repeat(links / fills))
    }

    /// What is unlikely about a number of drive links in this order, a sentence: an odd one is more often a slip in counting
    /// than a loop. Common practice, no source.
    pub fn unlikely(&self, links: u16) -> Option<String> {
        let asked = links % 2 == 1 && LINKS.contains(&links) && !matches!(self, Self::Custom(_));
        let (before, after) = (links.saturating_sub(1), links.saturating_add(1));
        asked.then(|| format!("{links} is odd, most loops are even: is it {before} or {after}? Count the tangs again."))
    }
}

impl FromStr for Sequence {
    type Err = LayoutError;

    fn from_str(text: &str) -> Result<Self, LayoutError> {
        let text = text.trim();
        match text.to_ascii_lowercase().as_str() {
            "full" => Ok(Self::Full),
            "semi-skip" => Ok(Self::SemiSkip),
            "skip" => Ok(Self::Skip),
            lower if !lower.is_empty() && lower.chars().all(|c| "lr- ".contains(c)) => {
                Ok(Self::Custom(text.to_ascii_uppercase()))
            }
            _ => Err(LayoutError::Name(crate::units::clean::clean(text))),
        }
    }
}

impl fmt::Display for Sequence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full => f.write_str("full"),
            Self::SemiSkip => f.write_str("semi-skip"),
            Self::Skip => f.write_str("skip"),
            Self::Custom(order) => f.write_str(order),
        }
    }
}

impl Serialize for Sequence {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Sequence {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests;
