//! Cutters measured for a loop's own reach, and for what a plate gauge leaves on it. Shared by both faces.
//!
//! A row is a cutter: its length, its reach, the gap that the plate left there. Each row is kept as it is taken. What the rows
//! come to stands beside them: the loop's reach, the plate's measures, and where its curve runs between the two rules.

use super::Tone;
use crate::chain::profile::{ProfileError, range};
use crate::chain::{Measure, Plate, Profile, Rule, Spec, Wood, measures};
use crate::round::Card;
use crate::units::figure;
use crate::units::{Millimetres, Unit, mm};

/// Least difference in length between the cutters that tell a plate.
const APART: Millimetres = mm(0.5);
/// How far the plate's curve may miss a measured gap before that is called a lot.
const MISS: f64 = 0.06;

/// What is asked of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cell {
    /// Length of the cutter.
    Length,
    /// Its reach.
    Reach,
    /// The gap that the plate left.
    Gap,
    /// Where the plate's foot rests.
    Foot,
}

impl Cell {
    /// All of them, in the order in which they are asked.
    pub(crate) const ALL: [Self; 4] = [Self::Length, Self::Reach, Self::Gap, Self::Foot];

    /// Its key in a form.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Reach => "reach",
            Self::Gap => "gap",
            Self::Foot => "foot",
        }
    }

    /// What it is called.
    pub(crate) const fn label(self) -> &'static str {
        match self {
            Self::Length => "Cutter length",
            Self::Reach => "Its reach",
            Self::Gap => "Gap the plate left",
            Self::Foot => "Plate foot",
        }
    }

    /// What it is and whether it may stay empty.
    pub(crate) fn hint(self, unit: Unit) -> String {
        let of = unit.of_lengths();
        match self {
            Self::Length => format!("In {of}. Cutters of different wear tell most."),
            Self::Reach => format!("In {of}, top of the raker to the corner, along the chain. May stay empty."),
            Self::Gap => format!("In {of}, raker filed flush with the plate. Empty without a plate."),
            Self::Foot => format!("In {of}, from the top of the raker ahead to where the foot rests."),
        }
    }
}

/// A loop's rows, and what they come to.
#[derive(Debug, Clone)]
pub(crate) struct Gauge {
    /// Its card.
    pub card: Card,
    profile: Profile,
    unit: Unit,
}

impl Gauge {
    /// Over a loop's card and its chain.
    pub(crate) const fn new(card: Card, profile: Profile, unit: Unit) -> Self {
        Self { card, profile, unit }
    }

    /// Unit of its lengths.
    pub(crate) const fn unit(&self) -> Unit {
        self.unit
    }

    /// The figures of the loop.
    pub(crate) fn spec(&self) -> Spec {
        self.card.spec(self.profile.spec())
    }

    /// Where the plate's foot rests as far as that was told, as it would be typed.
    pub(crate) fn foot(&self) -> String {
        self.card.own.plate_foot.map_or_else(String::new, |foot| self.unit.short(foot))
    }

    /// One cell as typed; `None` for an empty one.
    ///
    /// # Errors
    /// What was read and what is allowed.
    pub(crate) fn read(&self, cell: Cell, text: &str) -> Result<Option<Millimetres>, String> {
        let allowed = match cell {
            Cell::Length => {
                let spec = self.spec();
                (spec.mark_length.get() * 0.5, spec.new_length.get() + 2.0)
            }
            Cell::Reach => (1.0, 60.0),
            Cell::Gap => (-1.0, 3.0),
            Cell::Foot => range("plate_foot_mm"),
        };
        figure::length(text, self.unit, allowed)
    }

    /// The card with one more row, as typed in the order of [`Cell::ALL`].
    ///
    /// # Errors
    /// The cell at fault, and why.
    pub(crate) fn with_row(&self, typed: [&str; 4]) -> Result<Card, (Cell, String)> {
        let [length, reach, gap, foot] = typed;
        let read = |cell, text| self.read(cell, text).map_err(|why| (cell, why));
        let length =
            read(Cell::Length, length)?.ok_or((Cell::Length, "Type a length; the rows so far are kept.".to_owned()))?;
        let reach = read(Cell::Reach, reach)?;
        let plate_gap = read(Cell::Gap, gap)?;
        let foot = read(Cell::Foot, foot)?;
        if reach.is_none() && plate_gap.is_none() {
            return Err((Cell::Reach, "Give a reach or a gap as well as the length.".to_owned()));
        }
        if plate_gap.is_some() && foot.is_none() {
            return Err((
                Cell::Foot,
                "Say once where the foot rests: without it nothing is known of the plate.".to_owned(),
            ));
        }
        let mut card = self.card.clone();
        card.own.plate_foot = foot.or(card.own.plate_foot);
        card.own.measured.push(Measure { length, reach, plate_gap });
        // A plate entered by hand would hide what was measured now.
        if plate_gap.is_some() {
            card.own.plate = None;
        }
        Ok(card)
    }

    /// The card without its last row; nothing where there is none.
    pub(crate) fn without_last(&self) -> Option<Card> {
        let mut card = self.card.clone();
        card.own.measured.pop().map(|_| card)
    }

    /// The plate that the rows of a card tell.
    pub(crate) fn plate_of(&self, card: &Card) -> Option<Plate> {
        let spec = card.spec(self.profile.spec());
        measures::plate(&spec, card.own.plate_foot?, &card.own.measured)
    }

    /// The chain type with this plate, for every loop of it.
    ///
    /// # Errors
    /// A figure of the plate that no profile may have.
    pub(crate) fn profile_with(&self, plate: Plate) -> Result<Profile, ProfileError> {
        let figures = [
            ("plate_foot_mm", plate.foot.get()),
            ("plate_height_mm", plate.height.get()),
            ("plate_slot_mm", plate.slot.get()),
        ];
        let (name, title) = (&self.profile.name, &self.profile.title);
        Profile::measured(&self.profile, name, title, &figures, "calibrated on a loop of this chain type")
    }

    /// What the rows come to, sentence by sentence.
    pub(crate) fn found(&self) -> Vec<(Tone, String)> {
        if self.card.own.measured.is_empty() {
            let apart = self.unit.rough(APART);
            let what = format!(
                "Take a cutter that is little worn and one that is much worn, {apart} apart or more; three are better."
            );
            return vec![(Tone::Plain, what)];
        }
        let spec = self.spec();
        self.reach_line(&spec).into_iter().chain(self.plate_lines(&spec)).collect()
    }

    fn reach_line(&self, spec: &Spec) -> Option<(Tone, String)> {
        let rows = &self.card.own.measured;
        rows.iter().any(|row| row.reach.is_some()).then_some(())?;
        let mut profile = self.profile.spec().clone();
        profile.new_length = spec.new_length;
        let Some(seen) = measures::reach(&profile, rows) else {
            let why = "These reaches make no sense: a reach grows with wear. Measure again.".to_owned();
            return Some((Tone::Bad, why));
        };
        let how = if seen.growth_seen { "grows as measured" } else { "grows as the chain type says" };
        let text = format!(
            "Reach of this loop: {} new, {} at the mark, give or take {}; {how} (chain type: {} new).",
            self.unit.show(seen.new),
            self.unit.show_named(seen.at_mark),
            self.unit.show_named(seen.u),
            self.unit.show_named(profile.reach_new)
        );
        Some((Tone::Good, text))
    }

    fn plate_lines(&self, spec: &Spec) -> Vec<(Tone, String)> {
        let (rows, unit) = (&self.card.own.measured, self.unit);
        let gaps = rows.iter().filter(|row| row.plate_gap.is_some()).count();
        if gaps == 0 {
            return Vec::new();
        }
        let Some(plate) = self.plate_of(&self.card) else {
            let apart = unit.rough(APART);
            let text = format!("The plate needs gaps of two cutters that differ by {apart} in length or more.");
            return vec![(Tone::Warn, text)];
        };
        let (new, worth, mark) = (mm(0.0), spec.worth_wear(Wood::Any), spec.usable());
        let at = |wear: Millimetres| unit.show(plate.gap(spec, wear));
        let by_rule = |wear: Millimetres| {
            spec.target_gap(Rule::Scaled, Wood::Any, wear).map_or_else(String::new, |gap| unit.show(gap))
        };
        let text = format!(
            "The plate leaves {} new, {} at the changeover, {} at the mark; the wear-scaled gap is {}, {}, {} {}.",
            at(new),
            at(worth),
            at(mark),
            by_rule(new),
            by_rule(worth),
            by_rule(mark),
            unit.name()
        );
        let mut lines = vec![(Tone::Good, text)];
        if let Some(miss) = measures::worst_miss(spec, plate, rows).filter(|_| gaps > 2) {
            let (tone, more) =
                if miss > MISS { (Tone::Warn, "; measure again what is farthest off") } else { (Tone::Good, "") };
            lines.push((tone, format!("It meets the gaps measured within {}{more}.", unit.show_named(mm(miss)))));
        }
        if plate.gap(spec, mark) > spec.gap_max || plate.gap(spec, new) < mm(0.0) {
            let text = "Some of its gaps are out of bounds: the largest gap allowed still holds.".to_owned();
            lines.push((Tone::Warn, text));
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;
    use crate::coach::card::blank;

    #[test]
    fn rows_are_read_and_told_in_inches() {
        let now = chrono::DateTime::parse_from_rfc3339("2026-03-01T08:00:00+01:00").unwrap();
        let profile = built_in::named("three-eighths").unwrap();
        let mut gauge = Gauge::new(Card { links: 60, ..blank(now) }, profile, Unit::Inch);
        for row in [["0.39", "0.236", "0.026", "0.551"], ["0.30", "0.33", "0.030", "0.551"]] {
            gauge.card = gauge.with_row(row).unwrap();
        }
        assert_eq!(gauge.foot(), "0.551");
        for (_, said) in gauge.found() {
            assert!(!said.contains("mm"), "{said}");
        }
        let (cell, why) = gauge.with_row(["9.9", "", "", ""]).unwrap_err();
        assert_eq!(cell, Cell::Length);
        assert!(why.contains(" in."), "{why}");
        assert_eq!(gauge.without_last().map(|card| card.own.measured.len()), Some(1));
    }
}
