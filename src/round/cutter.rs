//! One cutter's part of a round.

use std::collections::{BTreeMap, BTreeSet};
use std::iter::Sum;
use std::ops::Div;

use serde::{Deserialize, Serialize};
use strum::{Display, IntoStaticStr};

use super::best::Link;
use super::event::{Reading, When};
use crate::chain::{CutterNumber, Side};
use crate::stats::belief::Belief;
use crate::units::{Degrees, Millimetres};

/// What is to be done with a cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, Display, IntoStaticStr)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum CutterState {
    /// Healthy: brought to the common length.
    #[default]
    Kept,
    /// Damaged: needs more off than a dull edge; still brought to the common length unless left short.
    Damaged,
    /// Deliberately not matched this time.
    LeftShort,
    /// Not there, or not to be counted.
    Missing,
}

/// Repeated readings of one quantity; they average.
#[derive(Debug, Clone, PartialEq)]
pub struct Series<Q>(Vec<Q>);

impl<Q> Default for Series<Q> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<Q: Copy + Sum + Div<f64, Output = Q>> Series<Q> {
    /// Mean of the readings, `None` where there is none.
    pub fn mean(&self) -> Option<Q> {
        (!self.0.is_empty()).then(|| self.0.iter().copied().sum::<Q>() / self.0.len() as f64)
    }
}

impl<Q> Series<Q> {
    /// The readings.
    pub fn readings(&self) -> &[Q] {
        &self.0
    }

    /// True without a reading.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many readings.
    pub const fn count(&self) -> usize {
        self.0.len()
    }

    /// A repeat joins the readings; anything else starts over.
    pub(super) fn take(&mut self, value: Q, again: bool) {
        if !again {
            self.0.clear();
        }
        self.0.push(value);
    }
}

/// Strokes between two lengths of a cutter.
#[derive(Debug, Clone, PartialEq)]
pub struct Filed {
    /// How many.
    pub strokes: u32,
    /// Length that they took.
    pub took: Millimetres,
    /// Who gave them, where that is not the round's sharpener.
    pub by: Option<String>,
}

/// A cutter as this round knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutter {
    /// Number from the start mark.
    pub number: CutterNumber,
    /// Its hand.
    pub side: Side,
    /// What is to be done with it.
    pub state: CutterState,
    /// Length that must go, where entered for this cutter.
    pub need: Option<Millimetres>,
    /// Length before.
    pub before: Series<Millimetres>,
    /// Length after filing.
    pub after: Series<Millimetres>,
    /// Top-plate angle after filing.
    pub angle: Series<Degrees>,
    /// Raker gap before the raker was filed.
    pub gap_before: Series<Millimetres>,
    /// Raker gap after.
    pub gap_after: Series<Millimetres>,
    /// Strokes given in this round, all together.
    pub strokes: Option<u32>,
    /// Filing by filing: what strokes are learned from.
    pub filings: Vec<Filed>,
    /// Who took a reading of this cutter last, where that is not the round's sharpener.
    pub taken_by: BTreeMap<Reading, String>,
    /// Remarks.
    pub notes: Vec<String>,
    /// Length that it had when [`Cutter::gap_before`] was measured.
    pub at_gap_before: Option<Millimetres>,
    /// The tooth was filed after its gap was last measured.
    pub gap_stale: bool,
    /// It was marked damaged after it was last filed: the damage is still in it.
    pub hurt_since: bool,
    /// What is known of its length since the length to file to was chosen.
    pub(super) best: Option<Belief>,
    /// The readings after filing that this rests on, with what was done before each.
    pub(super) chain: Vec<Link>,
    /// What it is where it is not left short: kept or damaged.
    pub(super) else_is: CutterState,
    /// Its angle is being filed right: the tooth is then to be measured again.
    pub(super) mending_angle: bool,
    pub(super) pending_strokes: u32,
    pub(super) left_as_is: BTreeSet<Reading>,
    pub(super) left_out: BTreeSet<Reading>,
    pub(super) reopened: BTreeSet<Reading>,
}

impl Cutter {
    pub(super) const fn new(number: CutterNumber, side: Side) -> Self {
        Self {
            number,
            side,
            state: CutterState::Kept,
            need: None,
            before: Series(Vec::new()),
            after: Series(Vec::new()),
            angle: Series(Vec::new()),
            gap_before: Series(Vec::new()),
            gap_after: Series(Vec::new()),
            strokes: None,
            filings: Vec::new(),
            taken_by: BTreeMap::new(),
            notes: Vec::new(),
            at_gap_before: None,
            gap_stale: false,
            hurt_since: false,
            best: None,
            chain: Vec::new(),
            else_is: CutterState::Kept,
            mending_angle: false,
            pending_strokes: 0,
            left_as_is: BTreeSet::new(),
            left_out: BTreeSet::new(),
            reopened: BTreeSet::new(),
        }
    }

    /// Length now: after filing where measured, else as it came.
    pub fn length(&self) -> Option<Millimetres> {
        self.after.mean().or_else(|| self.before.mean())
    }

    /// Gap now: after its raker was filed where measured, else as it stood.
    pub fn gap(&self) -> Option<Millimetres> {
        self.gap_after.mean().or_else(|| self.gap_before.mean())
    }

    /// Length taken off in this round, where both ends were measured.
    pub fn removed(&self) -> Option<Millimetres> {
        Some(self.before.mean()? - self.after.mean()?)
    }

    /// True for a cutter that is brought to the common length.
    pub const fn is_matched(&self) -> bool {
        matches!(self.state, CutterState::Kept | CutterState::Damaged)
    }

    /// True for a cutter that is there.
    pub const fn is_present(&self) -> bool {
        !matches!(self.state, CutterState::Missing)
    }

    /// True where what the raker's gap told was answered: it is left as it is.
    pub(crate) fn is_raker_left(&self) -> bool {
        [Reading::GapBefore, Reading::GapAfter].iter().any(|reading| self.left_as_is.contains(reading))
    }

    /// True while this reading is asked for once more.
    pub(crate) fn is_reopened(&self, reading: Reading) -> bool {
        self.reopened.contains(&reading)
    }

    /// True when this reading was skipped on purpose.
    pub fn was_left_out(&self, reading: Reading) -> bool {
        self.left_out.contains(&reading)
    }

    /// True for a damaged cutter that lost as much as its damage is deep; where no depth was entered, what was filed after it was
    /// marked counts.
    pub fn is_repaired(&self) -> bool {
        let gone = |need: Millimetres| self.removed().is_some_and(|removed| removed + UNSEEN >= need);
        self.is_marked() && !self.after.is_empty() && !self.hurt_since && self.need.is_none_or(gone)
    }

    /// True for one that still has its damage, left short with it or not.
    pub fn is_hurt(&self) -> bool {
        self.is_marked() && !self.is_repaired()
    }

    /// True for one that was marked as damaged, left short with it or not.
    fn is_marked(&self) -> bool {
        match self.state {
            CutterState::Damaged => true,
            CutterState::LeftShort => self.need.is_some(),
            CutterState::Kept | CutterState::Missing => false,
        }
    }

    /// Its lengths before or after filing.
    pub const fn lengths(&self, when: When) -> &Series<Millimetres> {
        match when {
            When::Before => &self.before,
            When::After => &self.after,
        }
    }

    /// Readings taken of one kind; strokes are counted, not read.
    pub const fn taken(&self, reading: Reading) -> usize {
        match reading {
            Reading::LengthBefore => self.before.count(),
            Reading::LengthAfter => self.after.count(),
            Reading::Angle => self.angle.count(),
            Reading::GapBefore => self.gap_before.count(),
            Reading::GapAfter => self.gap_after.count(),
            Reading::Strokes => 0,
        }
    }
}

/// A length that is less by no more than this may be the same tooth measured anew: one standard uncertainty of a reading.
const UNSEEN: Millimetres = Millimetres::new(0.05);

/// What happens to it.
impl Cutter {
    /// Asks for a reading again. What a gap was before the raker was touched stays: it is the gap now that is asked for.
    pub(super) fn reopen(&mut self, reading: Reading) {
        let known = reading == Reading::GapBefore && !self.gap_before.is_empty();
        self.reopened.insert(if known { Reading::GapAfter } else { reading });
    }

    /// A state; `filed` where it was filed or ground in this round, measured since or not. A cutter said to be healthy has no damage
    /// left, and so no depth of it.
    pub(super) fn marked(&mut self, state: CutterState, need: Option<Millimetres>, filed: bool) {
        self.state = state;
        self.need = if state == CutterState::Kept { need } else { need.or(self.need) };
        self.hurt_since = state == CutterState::Damaged && filed;
        if matches!(state, CutterState::Kept | CutterState::Damaged) {
            self.else_is = state;
        }
    }

    fn has_gap(&self) -> bool {
        !(self.gap_before.is_empty() && self.gap_after.is_empty())
    }

    /// An angle. One that had to be filed right changed the tooth, so its length is asked for and its gap is stale.
    pub(super) fn angle_read(&mut self, degrees: Degrees, again: bool) {
        self.angle.take(degrees, again);
        if std::mem::take(&mut self.mending_angle) && !again {
            self.reopened.insert(Reading::LengthAfter);
            self.gap_stale |= self.has_gap();
        }
    }

    /// A gap. The first one is what the gap was; a later one is what it is now, whatever it was asked for as.
    pub(super) fn gap_read(&mut self, when: When, gap: Millimetres, again: bool) {
        let first = self.gap_before.is_empty() || (again && self.gap_after.is_empty());
        if when == When::Before && first {
            self.gap_before.take(gap, again);
            self.at_gap_before = self.length();
        } else {
            self.gap_after.take(gap, again);
            self.reopened.remove(&Reading::GapAfter);
        }
        self.gap_stale = false;
        self.raker_is_open_again();
    }

    fn raker_is_open_again(&mut self) {
        self.left_as_is.retain(|reading| !matches!(reading, Reading::GapBefore | Reading::GapAfter));
    }

    /// A length after filing: closes the strokes given since the length before, and makes the gap stale where the tooth was
    /// filed.
    pub(super) fn filed_to(&mut self, length: Millimetres, again: bool) {
        let from = self.length();
        self.after.take(length, again);
        if again {
            return;
        }
        let stroked = self.pending_strokes > 0;
        if let (Some(from), true) = (from, stroked) {
            let by = self.taken_by.get(&Reading::Strokes).cloned();
            self.filings.push(Filed { strokes: self.pending_strokes, took: from - length, by });
        }
        self.pending_strokes = 0;
        if stroked || from.is_none_or(|from| from - length > UNSEEN) {
            self.hurt_since = false;
            self.raker_is_open_again();
            self.gap_stale |= self.has_gap();
        }
    }
}
