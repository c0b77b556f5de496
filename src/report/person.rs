//! A person's page: how well their readings repeat, what their strokes take, how their cutters come out. For that person and
//! whoever teaches them: nothing of it goes on a loop's sheet, and nobody is compared with another.

mod data;
mod text;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use super::data::Number;
use crate::advice::Skill;
use crate::advice::person::{Creeps, Figures, Known, Person, Quantity, StrokeRate, Trend};
use crate::advice::say::person::{repeats, uncertainty};
use crate::chain::Side;
use crate::record::Sharpener;
use crate::units::Unit;
use crate::units::clean::clean;

/// How far one reading is trusted.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Trusted {
    length_u_mm: Number,
    gap_u_mm: Number,
    angle_u_deg: Number,
    /// The figures that are the person's own; the others are usual ones.
    own: [bool; 3],
    /// The day of the study of lengths.
    length_u_on: Option<NaiveDate>,
}

/// A figure with its interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct Cell {
    value: Number,
    low: Number,
    high: Number,
}

impl From<Known> for Cell {
    fn from(known: Known) -> Self {
        Self { value: Number(known.value), low: Number(known.low), high: Number(known.high) }
    }
}

/// One quantity on one side; absent where there are too few rounds to judge.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct FigureRow {
    quantity: Quantity,
    side: Side,
    unit: &'static str,
    rounds: usize,
    cutters: usize,
    off: Option<Cell>,
    scatter: Option<Cell>,
    /// Proven change of either per round.
    off_a_round: Option<Cell>,
    scatter_a_round: Option<Cell>,
}

impl From<&Figures> for FigureRow {
    fn from(found: &Figures) -> Self {
        let change = |trend: Trend| if let Trend::Changes(known) = trend { Some(known.into()) } else { None };
        Self {
            quantity: found.quantity,
            side: found.side,
            unit: if found.quantity == Quantity::Angle { "deg" } else { "mm" },
            rounds: found.rounds,
            cutters: found.cutters,
            off: found.off.map(Into::into),
            scatter: found.scatter.map(Into::into),
            off_a_round: change(found.off_trend),
            scatter_a_round: change(found.scatter_trend),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct RateRow {
    profile: String,
    side: Side,
    filings: usize,
    stroke_mm: Option<Cell>,
}

impl From<&StrokeRate> for RateRow {
    fn from(found: &StrokeRate) -> Self {
        let (profile, side) = (clean(&found.profile), found.side);
        Self { profile, side, filings: found.filings, stroke_mm: found.rate.map(Into::into) }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CreepRow {
    side: Side,
    rounds: usize,
    change_mm: Option<Cell>,
}

impl From<&Creeps> for CreepRow {
    fn from(found: &Creeps) -> Self {
        Self { side: found.side, rounds: found.rounds, change_mm: found.change.map(Into::into) }
    }
}

/// The page of one person.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PersonPage {
    person: String,
    /// Rounds that tell something of them.
    rounds: usize,
    first: Option<NaiveDate>,
    last: Option<NaiveDate>,
    readings: Trusted,
    strokes: Vec<RateRow>,
    figures: Vec<FigureRow>,
    within_a_round: Vec<CreepRow>,
    /// Drills that were passed, and those there are.
    drills_passed: usize,
    drills: usize,
    /// Files that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    #[serde(skip)]
    found: Person,
    #[serde(skip)]
    skill: Skill,
    #[serde(skip)]
    demo: bool,
}

/// Whose page it is.
pub(crate) const WHOSE: &str =
    "For this person and whoever teaches them. Nothing of it goes on a sheet, and nobody is ranked.";

impl PersonPage {
    /// What is known of a person; `drills` are those passed and those there are.
    pub(crate) fn of(person: &Sharpener, found: Person, drills: (usize, usize)) -> Self {
        let skill = person.skill();
        let day = |at: Option<DateTime<FixedOffset>>| at.map(|at| at.date_naive());
        Self {
            person: clean(&person.name),
            rounds: found.rounds,
            first: day(found.first),
            last: day(found.last),
            readings: Trusted {
                length_u_mm: skill.length.into(),
                gap_u_mm: skill.gap.into(),
                angle_u_deg: skill.angle.into(),
                own: [person.length_u.is_some(), person.gap_u.is_some(), person.angle_u.is_some()],
                length_u_on: person.length_u_on,
            },
            strokes: found.rates.iter().map(Into::into).collect(),
            figures: found.figures.iter().map(Into::into).collect(),
            within_a_round: found.creeps.iter().map(Into::into).collect(),
            drills_passed: drills.0,
            drills: drills.1,
            not_read: Vec::new(),
            found,
            skill,
            demo: false,
        }
    }

    /// The same, without these files, each in a sentence.
    #[must_use]
    pub(crate) fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// The same, of the invented workshop or not.
    #[must_use]
    pub(crate) const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// Files that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// True where no round tells anything of them.
    pub const fn is_without_rounds(&self) -> bool {
        self.rounds == 0
    }

    /// Rounds and days.
    fn rests_on(&self) -> String {
        let rounds = super::words::count(self.rounds, "round");
        match (self.first, self.last) {
            (Some(first), Some(last)) if first != last => format!("{rounds}, {first} to {last}."),
            (Some(first), _) => format!("{rounds}, {first}."),
            _ => "No closed round with readings of theirs is on record.".to_owned(),
        }
    }

    fn reading_lines(&self, unit: Unit) -> Vec<String> {
        let (skill, own) = (&self.skill, self.readings.own);
        let day = self.readings.length_u_on.map(|day| day.to_string());
        vec![
            repeats("length", &uncertainty(unit, skill.length), own[0], day.as_deref()),
            repeats("gap", &uncertainty(unit, skill.gap), own[1], None),
            repeats("angle", &format!("{:.1} degrees", skill.angle.get()), own[2], None),
        ]
    }

    /// Heading and lines of each part; parts of which nothing is on record are left out.
    fn parts(&self, unit: Unit) -> Vec<(&'static str, Vec<String>)> {
        let found = &self.found;
        let parts = [
            ("How well readings repeat", self.reading_lines(unit)),
            ("What a stroke takes", found.rate_lines(unit)),
            ("How cutters come out", found.figure_lines(unit)),
            ("Within a round", found.creep_lines(unit)),
            ("From round to round", found.trend_lines(unit)),
            ("Drills", vec![format!("{} of {} passed.", self.drills_passed, self.drills)]),
        ];
        parts.into_iter().filter(|(_, lines)| !lines.is_empty()).collect()
    }
}
