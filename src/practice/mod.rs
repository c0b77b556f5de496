//! Practice without a chain: a simulated loop behind the round that a person is led through.
//!
//! What the room is for: the coach asks as at a real bench, and what a bench would answer comes from the simulation: a caliper's
//! reading, what so many strokes leave, a raker filed down. The person decides. What is true stays hidden until the round is over;
//! then [`Outcome`] tells how near the decisions came. It joins [`crate::sim`], which knows no round, to the [`crate::coach`], which
//! knows no truth; it keeps everything in memory and must not know files, terminals or clocks, so that nothing of it can reach a
//! record.
//!
//! # Example
//!
//! ```
//! use chrono::DateTime;
//! use evenbite::coach::Reply;
//! use evenbite::practice::{Practice, Set};
//!
//! let now = DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00")?;
//! let (mut practice, mut coach) = Practice::begin(&Set { seed: 7, ..Set::default() }, now)?;
//! // Look over: nothing is wrong with a simulated loop. Then the caliper shows something for each cutter.
//! while coach.round.target.is_none() {
//!     let line = practice.answer(&coach).unwrap_or_default();
//!     match coach.enter(&line, now) {
//!         Reply::Record(pending) => {
//!             for one in pending {
//!                 let entry = practice.store(&coach, &one, now);
//!                 coach.recorded(entry);
//!             }
//!         }
//!         _ => drop(coach.keep()),
//!     }
//! }
//! assert!(practice.readings() >= 12);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod outcome;
pub mod shop;
#[cfg(test)]
mod tests;
mod told;

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use crate::advice::Skill;
use crate::chain::profile::built_in;
use crate::chain::{CutterNumber, Sequence, Side, Wood};
use crate::coach::{Coach, Pending, Prompt};
use crate::round::{Ask, Entry, Event, Header, Past, Prices, Reading, Round, Tool, Trust};
use crate::sim::{Dice, Loop, Make};
use crate::units::{Unit, mm};
pub use outcome::Outcome;
pub use shop::{Shop, Tools};

/// What stands on every screen of practice.
pub const MARK: &str = "PRACTICE";
/// The same in a sentence.
pub const MARKED: &str = "PRACTICE on a made-up loop: nothing of it is recorded.";

/// What a round of practice is called where a loop has its name.
const NAME: &str = "made-up loop";
/// Its chain: one of those that come with the program.
const PROFILE: &str = "three-eighths";
/// Share of the loops that have a struck cutter.
const STRUCK: f64 = 0.5;
/// Cutters that can be chosen, the usual number first.
pub const CUTTERS: [u16; 3] = [12, 36, 72];

/// What is practised on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Set {
    /// Cutters of the loop.
    pub cutters: u16,
    /// The dice: the same make the same loop, hand and readings.
    pub seed: u32,
    /// Who practises.
    pub who: String,
    /// Unit of lengths.
    pub unit: Unit,
}

impl Default for Set {
    fn default() -> Self {
        Self { cutters: CUTTERS[0], seed: 1, who: "you".to_owned(), unit: Unit::Mm }
    }
}

impl Set {
    /// Another loop each second.
    pub fn at(now: DateTime<FixedOffset>) -> Self {
        Self { seed: crate::coach::drill::seed(now), ..Self::default() }
    }
}

/// Why there is no practice on such a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a loop of {0} cutters cannot be practised on; allowed: {few}, {some} or {many}.", few = CUTTERS[0], some = CUTTERS[1], many = CUTTERS[2])]
pub struct NoSuchLoop(pub u16);

/// A round of practice: the loop as it truly is, and what was done to it.
#[derive(Debug)]
pub struct Practice {
    set: Set,
    shop: Shop,
    /// The loop as it came.
    came: Loop,
    readings: u32,
    /// Strokes that were taken back on record: the steel is gone all the same.
    given: BTreeMap<CutterNumber, u32>,
    /// What was filed before a reading, so that it is not filed twice where the reading is taken back: cutter, reading, and how many
    /// of it there were.
    filed: BTreeSet<(CutterNumber, Reading, usize)>,
}

impl Practice {
    /// A loop is made, and a round begun on it.
    ///
    /// # Errors
    /// [`NoSuchLoop`] for a number of cutters that is none of [`CUTTERS`].
    pub fn begin(set: &Set, now: DateTime<FixedOffset>) -> Result<(Self, Coach), NoSuchLoop> {
        let none = || NoSuchLoop(set.cutters);
        if !CUTTERS.contains(&set.cutters) {
            return Err(none());
        }
        let profile = built_in::named(PROFILE).ok_or_else(none)?;
        let spec = profile.spec().clone();
        let mut dice = Dice::new(u64::from(set.seed));
        let make = Make { cutters: set.cutters, ..shop::as_it_comes(STRUCK, spec.base_gap.get(), &mut dice) };
        let person = shop::a_hand(&mut dice);
        let shop = Shop::new(&make, person, Tools::default(), dice);
        let header = Header {
            tag: NAME.to_owned(),
            started: now,
            sharpener: set.who.clone(),
            wood: Wood::Any,
            tool: Tool::File,
            units: set.unit,
            begin: Side::Left,
            take_strokes: true,
            take_angles: false,
            edges: false,
            trust: Trust::default(),
            spread: false,
            links: set.cutters * 2,
            sequence: Sequence::Full,
            first: Side::Left,
            start_mark: String::new(),
            saw: String::new(),
            profile: profile.name.clone(),
            spec,
        };
        let round = Round::begin(header).map_err(|_| none())?;
        let mut coach = Coach::new(round, Past::default(), Skill::default(), Prices::default());
        // Nobody measures a new cutter of a loop that is made up, and Enter takes readings as fast as it is pressed.
        coach.knows_new_length = true;
        coach.watch_doubles = false;
        let came = shop.truth.clone();
        let (given, filed) = (BTreeMap::new(), BTreeSet::new());
        Ok((Self { set: set.clone(), shop, came, readings: 0, given, filed }, coach))
    }

    /// What it is practised on.
    pub const fn set(&self) -> &Set {
        &self.set
    }

    /// Name for where a loop has its name.
    pub const fn name() -> &'static str {
        NAME
    }

    /// Readings taken so far.
    pub const fn readings(&self) -> u32 {
        self.readings
    }

    /// What Enter alone brings at the step in hand, where the simulation has an answer: a sound part, what an instrument shows after
    /// what the prompt asked for was done. Nothing where the person decides.
    pub fn answer(&mut self, coach: &Coach) -> Option<String> {
        match asked(coach)? {
            Asked::Sound => Some("1".to_owned()),
            Asked::Zero => Some("0.00".to_owned()),
            Asked::Read(cutter, reading) => {
                let taken = coach.round.cutter(cutter).map_or(0, |at| at.taken(reading));
                // A reading that is taken once more is no new filing.
                if coach.repeating().is_none() && self.filed.insert((cutter, reading, taken)) {
                    self.shop.prepare(coach, coach.findings(), cutter, reading);
                }
                self.readings += 1;
                let shown = self.shop.read(cutter.get(), reading);
                Some(match (reading, coach.round.header.units, shown.parse()) {
                    // The instrument is switched to the unit that it is asked for in.
                    (
                        Reading::LengthBefore | Reading::LengthAfter | Reading::GapBefore | Reading::GapAfter,
                        unit @ Unit::Inch,
                        Ok(length),
                    ) => unit.show(mm(length)),
                    _ => shown,
                })
            }
        }
    }

    /// Why a typed line is not taken at the step in hand, where it is not.
    pub fn refuses(coach: &Coach, line: &str) -> Option<&'static str> {
        match asked(coach) {
            Some(Asked::Read(..) | Asked::Zero) if !line.trim().is_empty() => Some(
                "In practice the instrument is simulated: Enter alone takes its reading, a typed figure would be none.",
            ),
            None if line.trim().is_empty() && wants_strokes(coach) => {
                Some("Type how many strokes you give; what they take is simulated.")
            }
            _ => None,
        }
    }

    /// A prompt as practice has it: marked, and with what Enter brings.
    pub fn dress(coach: &Coach, prompt: &mut Prompt) {
        prompt.place = format!("{MARK}: {}", prompt.place);
        match asked(coach) {
            Some(asked @ (Asked::Read(..) | Asked::Zero)) => {
                prompt.enter = if matches!(asked, Asked::Zero) { "take what it shows" } else { "take the reading" };
                // In a pane the field has no room to say so.
                prompt.now.push_str(" Enter takes the reading.");
            }
            Some(Asked::Sound) => prompt.enter = "look: it is sound",
            None if wants_strokes(coach) => prompt.enter = "",
            None => {}
        }
    }

    /// An event as it would stand on record; strokes are given to the loop.
    pub fn store(&mut self, coach: &Coach, pending: &Pending, now: DateTime<FixedOffset>) -> Entry {
        match pending.event {
            Event::Strokes { cutter, count } => {
                let given = self.given.entry(cutter).or_default();
                let already = count.min(*given);
                *given -= already;
                let advice = coach.findings().cutter(cutter).and_then(|found| found.strokes);
                let light = count == 1 && advice.is_some_and(|advice| advice.light);
                self.shop.come_to(coach, cutter);
                if count > already {
                    self.shop.file(cutter, count - already, light);
                }
            }
            Event::Void { target } => {
                let gone = coach.round.entries.iter().find(|entry| entry.seq == target);
                if let Some(Event::Strokes { cutter, count }) = gone.map(|entry| &entry.event) {
                    *self.given.entry(*cutter).or_default() += count;
                }
            }
            _ => {}
        }
        let seq = u32::try_from(coach.round.entries.len()).unwrap_or(u32::MAX).saturating_add(1);
        Entry { seq, at: now, by: None, typed: pending.typed.clone(), event: pending.event.clone() }
    }

    /// What was true, once the round is over; nothing before.
    pub fn outcome(&self, coach: &Coach) -> Option<Outcome> {
        coach.round.closed.as_ref()?;
        Some(Outcome::of(self, coach))
    }
}

/// What the simulation is asked.
enum Asked {
    /// Whether a part is sound.
    Sound,
    /// What the closed caliper shows.
    Zero,
    /// A reading at a cutter.
    Read(CutterNumber, Reading),
}

fn asked(coach: &Coach) -> Option<Asked> {
    if coach.is_held() || coach.question.is_some() {
        return None;
    }
    if let Some((cutter, reading)) = coach.repeating() {
        return Some(Asked::Read(cutter, reading)).filter(|_| reading != Reading::Strokes);
    }
    let step = coach.round.step();
    match (step.ask, step.cutter) {
        (Ask::Look(_), _) => Some(Asked::Sound),
        (Ask::Zero, _) => Some(Asked::Zero),
        (Ask::Read(reading), Some(cutter)) if reading != Reading::Strokes => Some(Asked::Read(cutter, reading)),
        _ => None,
    }
}

fn wants_strokes(coach: &Coach) -> bool {
    let step = matches!(coach.round.step().ask, Ask::Read(Reading::Strokes));
    step && !coach.is_held() && coach.repeating().is_none() && coach.question.is_none()
}
