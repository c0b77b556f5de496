//! The end of a course day: a page per learner. What was done, how it came out, what is next; never a rank, a mark or a
//! certificate.

mod data;
mod html;
mod text;

use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use strum::VariantArray;

use super::data::Number;
use crate::advice::Lesson;
use crate::advice::repeatability::own_length;
use crate::advice::say::drill as words;
use crate::chain::Side;
use crate::drill::{Drill, Learner, Score, Set};
use crate::units::clean::clean;
use crate::units::{Millimetres, Unit};

/// One drill of a learner.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct DrillLine {
    drill: Drill,
    #[serde(skip)]
    name: &'static str,
    /// Whole sets; those that were broken off count as nothing.
    sets: usize,
    /// Misses of the last set.
    misses: usize,
    /// Items of the last set.
    of: usize,
    /// Unit of the figures: `mm` or `deg`.
    unit: &'static str,
    /// Mean error of the last set with its sign, and its scatter; of repeated readings the scatter alone.
    bias: Option<Number>,
    spread: Option<Number>,
    /// Mean of each side: error, or steel taken.
    left: Option<Number>,
    right: Option<Number>,
    /// Last third less first.
    drift: Option<Number>,
    /// Step of the instrument.
    resolution: Option<Number>,
    /// How soon the learner was told in the last set.
    #[serde(skip)]
    stage: &'static str,
    passed: Option<String>,
    /// Misses of the first set.
    first_misses: usize,
    /// Scatter of the first set, where that is what is judged; for strokes, how far apart the sides were.
    #[serde(skip)]
    first_judged: Option<f64>,
    #[serde(skip)]
    judged: Option<f64>,
}

/// One learner's page.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct LearnerPage {
    learner: String,
    /// Standard uncertainty of one length reading by the last study, mm.
    length_u_mm: Option<Number>,
    drills: Vec<DrillLine>,
    /// Own first set against the last, in sentences, lengths in mm.
    better: Vec<String>,
    next: Drill,
    #[serde(skip)]
    next_why: &'static str,
    /// Drills of which no whole set was done.
    not_assessed: Vec<Drill>,
    /// Lessons whose question was answered, under this name.
    lessons: Vec<Lesson>,
}

/// The pages of a course, in the order in which the learners began.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Course {
    day: String,
    place: String,
    instructor: String,
    learners: Vec<LearnerPage>,
    /// Records that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    #[serde(skip)]
    demo: bool,
}

/// What the instructor has seen, ticked by hand.
const SAFETY: [&str; 5] = [
    "Eye protection and gloves; the loop held fast in the vice.",
    "Cracked, bent or over-heated links are found and the loop is laid aside.",
    "No raker below its limit; the maker's limit comes first.",
    "Stops at the witness mark.",
    "The chain is cleaned, oiled and tensioned before it runs.",
];
/// What is judged of a set without misses: scatter of readings, mm, or how far apart the sides are, a share.
fn judged(drill: Drill, score: &Score) -> Option<f64> {
    match drill {
        Drill::MeasureTwice => score.spread,
        Drill::SameStrokes => score.apart.map(f64::abs),
        _ => None,
    }
}

/// A scatter, which is told finer than a length: `0.021 mm` or `0.0008 in`.
fn fine(unit: Unit, mm: f64) -> String {
    match unit {
        Unit::Mm => format!("{mm:.3} mm"),
        Unit::Inch => unit.show_named(Millimetres::new(mm)),
    }
}

/// The step of an instrument: `0.01` or `0.0005`.
fn step_of(unit: Unit, step: Number) -> String {
    match unit {
        Unit::Mm => step.to_string(),
        Unit::Inch => unit.show(Millimetres::new(step.rounded())),
    }
}

/// What the page is.
const WHAT: &str = "A record of practice, no certificate.";

impl DrillLine {
    fn of(learner: &Learner, drill: Drill) -> Option<Self> {
        let sets = learner.whole(drill);
        let (set, score): &(&Set, Score) = sets.last()?;
        let side = |side: Side| score.sides.get(&side).copied().map(Number);
        Some(Self {
            drill,
            name: words::name(drill),
            sets: sets.len(),
            misses: score.misses,
            of: score.items.len(),
            unit: if drill == Drill::HoldAngle { "deg" } else { "mm" },
            bias: score.bias.filter(|_| drill != Drill::FindShort).map(Number),
            spread: score.spread.filter(|_| drill != Drill::FindShort).map(Number),
            left: side(Side::Left),
            right: side(Side::Right),
            drift: score.drift.map(Number),
            resolution: set.up.resolution.map(Number),
            stage: words::stage(set.up.stage),
            passed: learner.passed_at(drill).map(|at| at.format("%Y-%m-%d").to_string()),
            first_misses: sets.first().map_or(0, |(_, score)| score.misses),
            first_judged: sets.first().and_then(|(_, score)| judged(drill, score)),
            judged: judged(drill, score),
        })
    }

    /// The first set against the last; nothing where there is one set, or it did not get better.
    fn better(&self, unit: Unit) -> Option<String> {
        if self.sets < 2 {
            return None;
        }
        let name = self.name;
        match (self.drill, self.first_judged, self.judged) {
            (Drill::MeasureTwice, Some(first), Some(last)) if last < first => {
                let [first, last] = [first, last].map(|figure| fine(unit, figure));
                Some(format!("{name}: scatter {first} in the first set, {last} in the last."))
            }
            (Drill::SameStrokes, Some(first), Some(last)) if last < first => Some(format!(
                "{name}: sides {:.0} % apart in the first set, {:.0} % in the last.",
                100.0 * first,
                100.0 * last
            )),
            (Drill::MeasureTwice | Drill::SameStrokes, ..) => None,
            _ => (self.misses < self.first_misses).then(|| {
                let (first, of, last) = (self.first_misses, self.of, self.misses);
                format!("{name}: {first} misses of {of} in the first set, {last} in the last.")
            }),
        }
    }

    /// What the last set came to, in a sentence; lengths in `unit`.
    fn words(&self, unit: Unit) -> String {
        let is_length = self.unit == "mm";
        let show = |value: Number, decimals: usize| match unit {
            Unit::Inch if is_length => format!("{:+.4}", Millimetres::new(value.rounded()).inches()),
            _ => format!("{:+.decimals$}", value.rounded()),
        };
        let figure =
            |name: &str, value: Option<Number>| value.map(|value| format!("{name} {}", show(value, 2))).into_iter();
        let mut parts: Vec<String> = match self.drill {
            Drill::MeasureTwice | Drill::SameStrokes => Vec::new(),
            _ => vec![format!("{} of {} missed", self.misses, self.of)],
        };
        let steel = self.drill == Drill::SameStrokes;
        let side = |side: &str| if steel { format!("{side} taken") } else { format!("{side} off by") };
        parts.extend(figure("off by", self.bias));
        parts.extend(figure(&side("left"), self.left));
        parts.extend(figure(&side("right"), self.right));
        parts.extend(self.spread.map(|spread| format!("scatter {}", show(spread, 3).trim_start_matches('+'))));
        parts.extend(figure("last third less first", self.drift));
        let figures = parts.join(", ");
        if self.drill == Drill::SeeEdge || self.drill == Drill::FindShort {
            return figures;
        }
        let shown = |step: Number| if is_length { step_of(unit, step) } else { step.to_string() };
        let step = self.resolution.map(|step| format!(", read in steps of {}", shown(step))).unwrap_or_default();
        let named = if is_length { unit.of_lengths() } else { "degrees" };
        format!("{figures} ({named}{step})")
    }
}

impl LearnerPage {
    fn of(learner: &Learner) -> Self {
        let drills: Vec<DrillLine> =
            Drill::VARIANTS.iter().filter_map(|drill| DrillLine::of(learner, *drill)).collect();
        let better = drills.iter().filter_map(|line| line.better(Unit::Mm)).collect();
        let done = |drill: &Drill| drills.iter().any(|line| line.drill == *drill);
        let not_assessed = Drill::VARIANTS.iter().copied().filter(|drill| !done(drill)).collect();
        let (next, why) = learner.next_drill();
        let studied = learner.whole(Drill::MeasureTwice).last().and_then(|(set, _)| own_length(&set.repeats()));
        let length_u_mm = studied.map(Number::from);
        let learner = clean(&learner.header.name);
        Self {
            learner,
            length_u_mm,
            better,
            next,
            next_why: words::why_next(why),
            not_assessed,
            drills,
            lessons: Vec::new(),
        }
    }

    /// Own first set against the last, in sentences.
    fn better(&self, unit: Unit) -> Vec<String> {
        self.drills.iter().filter_map(|line| line.better(unit)).collect()
    }

    fn next_words(&self) -> String {
        format!("{}: {}.", words::name(self.next), self.next_why)
    }

    fn lessons_words(&self) -> Vec<String> {
        self.lessons.iter().map(|lesson| format!("{}. {}", lesson.number(), lesson.title())).collect()
    }

    fn not_assessed_words(&self) -> String {
        let names: Vec<&str> = self.not_assessed.iter().map(|drill| words::name(*drill)).collect();
        if names.is_empty() { "Every drill was done.".to_owned() } else { format!("{}.", names.join(", ")) }
    }
}

impl Course {
    /// The pages of these learners; place and instructor may be empty, to be written by hand.
    pub fn of(learners: &[Learner], place: &str, instructor: &str, day: DateTime<FixedOffset>) -> Self {
        let mut order: Vec<&Learner> = learners.iter().collect();
        order.sort_by_key(|learner| learner.header.started);
        Self {
            day: day.format("%Y-%m-%d").to_string(),
            place: clean(place),
            instructor: clean(instructor),
            learners: order.into_iter().map(LearnerPage::of).collect(),
            not_read: Vec::new(),
            demo: false,
        }
    }

    /// The same with the lessons that each has done.
    #[must_use]
    pub fn with_lessons(mut self, of: impl Fn(&str) -> Vec<Lesson>) -> Self {
        for page in &mut self.learners {
            page.lessons = of(&page.learner);
            page.lessons.sort_by_key(|lesson| lesson.number());
        }
        self
    }

    /// The same, of the invented workshop or not.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// The same, without these records, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// Records that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// The same with numbers in place of names, for a table that goes from hand to hand. One page alone is its learner's own.
    #[must_use]
    pub fn without_names(mut self) -> Self {
        if self.learners.len() > 1 {
            for (number, page) in (1..).zip(&mut self.learners) {
                page.learner = format!("learner {number}");
            }
        }
        self
    }

    /// True without a learner.
    pub const fn is_empty(&self) -> bool {
        self.learners.is_empty()
    }

    /// What stands at the head of a page.
    fn head(&self, page: &LearnerPage, unit: Unit) -> [(&'static str, String); 7] {
        let or_line = |text: &str| if text.is_empty() { "________________".to_owned() } else { text.to_owned() };
        let step = page.drills.iter().find(|line| line.unit == "mm").and_then(|line| line.resolution);
        let read =
            step.map_or_else(String::new, |step| format!(", read in steps of {} {}", step_of(unit, step), unit.name()));
        let u = page.length_u_mm.map_or_else(
            || "not studied yet".to_owned(),
            |u| format!("one length reading {}", fine(unit, u.rounded())),
        );
        [
            ("Learner", page.learner.clone()),
            ("Day", self.day.clone()),
            ("Place", or_line(&self.place)),
            ("Instructor", or_line(&self.instructor)),
            ("Loop, file", or_line("")),
            ("Caliper", format!("{}{read}", or_line(""))),
            ("Uncertainty", u),
        ]
    }
}
